/** How often a line uses each kind of approach and each interval: the mixtures a brief can ask for, as costs in nats. */
import { type ApproachKind, approachKinds, type Brief } from '../brief.ts'
import { intervalShare, intervalShareAfter } from './figures.ts'
import { packedPhrasedBigrams, packedSoloBigrams, packedSoloKinds } from './fittedMixture.ts'

/** The buckets of an interval: -6 (and wider down) to 6 (and wider up) as 0 to 12, and 13 for none before. */
export const noInterval = 13
export const bucketOf = (interval: number): number => Math.max(-6, Math.min(6, interval)) + 6

export interface Mixture {
  /** Nats of an approach by kind and number of notes, 1 to 4. */
  readonly approach: Readonly<Record<ApproachKind, readonly number[]>>
  /** Nats of an interval of -12 to 12 semitones (as 0 to 24), by the bucket of the interval before. */
  readonly steps: readonly Float64Array[]
  /**
   * Nats for a connecting note by where it falls, five each for a strong beat, another beat and between beats: chord tone, other
   * scale note, avoid note, note outside the scale, and what a bebop scale adds, which passes between beats alone. A chord tone on a
   * strong beat costs nothing.
   */
  readonly fits: readonly number[]
  /** Whether a line may go back and forth between two notes. */
  readonly trills: boolean
  /** Whether it is that of recorded solos. */
  readonly recorded: boolean
}

/** What the counts say of an interval after another, before any fitting. */
export function countedSteps(): Float64Array[] {
  return Array.from({ length: 14 }, (_, bucket) =>
    Float64Array.from({ length: 25 }, (_, i) => {
      const interval = i - 12
      const before = bucket - 6
      if (bucket === noInterval) return -Math.log(intervalShare(interval))
      if (Math.abs(before) < 6) return -Math.log(intervalShareAfter(interval, before))
      const wide = [6, 7, 8, 9].map((size) => intervalShareAfter(interval, Math.sign(before) * size))
      return -Math.log(wide.reduce((a, b) => a + b, 0) / wide.length)
    }),
  )
}

const never = Number.POSITIVE_INFINITY
/** Runs take what a bebop scale adds rather than go round it, where a person asked for it. Chosen by ear. */
const passing = -1

/** A drill: enclosures first, approaches of two notes and more. Weights chosen by ear and by the shares they give. */
const drill: Mixture = {
  approach: {
    enclosure: costs(3, [0, 1, 1, 1]),
    chromatic: costs(1.2, [0.02, 1, 1, 1]),
    scale: costs(1, [0.02, 1, 1, 1]),
    arpeggio: costs(0.5, [0.02, 1, 1, 1]),
  },
  steps: correctedSteps(packedSoloBigrams),
  fits: [...[0, 1.05, 2.5, never, never], ...[0, 0.36, 1.05, 2.8, never], ...[0.16, 0, 0.22, 1.2, passing]],
  trills: true,
  recorded: false,
}

function costs(kind: number, byLength: readonly number[]): readonly number[] {
  return [Number.POSITIVE_INFINITY, ...byLength.map((length) => -Math.log(kind * length))]
}

/**
 * A solo: kinds and intervals as recordings have them. The lattice multiplies what the counts say with what the harmony
 * allows, which bends the shares; fitted corrections bend them back (test/rebuild/fitMixture.ts).
 */
const solo: Mixture = {
  approach: Object.fromEntries(
    packedSoloKinds
      .split(' ')
      .map((row, i) => [approachKinds[i]!, [Number.POSITIVE_INFINITY, ...row.split(',').map(Number)]]),
  ) as unknown as Mixture['approach'],
  steps: correctedSteps(packedSoloBigrams),
  fits: [...[0, 0.02, 0.6, never, never], ...[0, 0.4, 1.05, 2.2, never], ...[0, 0.8, 1.0, 0.9, passing]],
  trills: true,
  recorded: true,
}

/** The counted costs with corrections in hundredths of a nat, a row a bucket. */
function correctedSteps(packed: string): Float64Array[] {
  const rows = packed.split(';').map((row) => row.split(',').map(Number))
  return countedSteps().map((row, bucket) => row.map((cost, i) => cost + (rows[bucket]?.[i] ?? 0) / 100))
}

/** A drill for beginners: as a drill, but leaps are rarer the wider they are. Chosen by ear. */
const gentle: Mixture = {
  ...drill,
  approach: {
    ...drill.approach,
    chromatic: costs(1.2, [1, 1, 1, 1]),
    scale: costs(1, [1, 1, 1, 1]),
  },
  steps: countedSteps().map((row) => row.map((cost, i) => cost + 0.6 * Math.max(0, Math.abs(i - 12) - 2))),
  trills: false,
}

/** A solo in phrases: what their rhythm, targets that travel and leaning back do to the shares is bent back too (test/rebuild/fitPhrases.ts). */
const phrased: Mixture = {
  ...solo,
  steps: correctedSteps(packedPhrasedBigrams),
}

export const mixtures = { drill, solo, phrased, gentle } as const

/** A gentle drill where leaps are to be few, as they are in a small compass; a solo's mixture where all four kinds are asked for; else a drill. */
export const mixtureOf = ({
  approach,
  compass,
  leaps,
  rhythm,
}: Pick<Brief, 'approach' | 'compass'> & Partial<Pick<Brief, 'leaps' | 'rhythm'>>): Mixture => {
  if ((leaps ?? (compass === 'small' ? 'few' : 'some')) === 'few') return gentle
  return approach.length < 4 ? drill : rhythm === 'phrased' ? phrased : solo
}
