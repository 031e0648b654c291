/** How targets, approaches and cells are recognised in notes that are there, whoever wrote them: one set of rules for drawing and reading. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { chordTones } from '../theory/chord.ts'
import { degreeChroma } from '../theory/degree.ts'
import { strongTicks, ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { walkedNotes } from '../theory/scale.ts'
import { chordIndexAt } from './chooseTargets.ts'
import { type Cell, cellOf, type FigureKind, figureKind } from './figures.ts'

/** A note as it sounds, or a rest (null): all of a line in order, without gap or overlap. */
export interface Tone {
  readonly bar: number
  readonly start: number
  readonly ticks: number
  readonly midi: number | null
}

/** A note that a line aims at: where it stands among the tones, the chord it lands on, and what makes it one. */
export interface FoundTarget {
  readonly tone: number
  readonly chord: number
  /** `strong`: a chord tone on a strong beat; `rest`: the note that a phrase comes to rest on. */
  readonly by: 'strong' | 'rest'
}

const eighth = ticksPerQuarter / 2
/** A phrase ends where the next note begins more than so much later: a beat and a quarter, as phrases were counted. */
const breath = 1.25 * ticksPerQuarter
/** The most notes that an approach holds. */
const longestApproach = 4

/** Whether a pitch is one of a chord's own tones: root, third, fifth or seventh, or what stands for one (a sixth, a fourth). */
export const isChordTone = ({ root, chord }: Pick<HarmonyChord, 'root' | 'chord'>, midi: number): boolean =>
  root !== null &&
  chord !== null &&
  chordTones(chord).some((degree) => modulo(chromaOf(root) + degreeChroma(degree) - midi, 12) === 0)

/** Whether a pitch is one of a chord's tones, tensions among them, or of its scale. */
export const isInScale = (
  { root, chord, scale }: Pick<HarmonyChord, 'root' | 'chord' | 'scale'>,
  midi: number,
): boolean =>
  root !== null &&
  [...(chord?.degrees ?? []), ...(scale?.degrees ?? [])].some(
    (degree) => modulo(chromaOf(root) + degreeChroma(degree) - midi, 12) === 0,
  )

/** The ticks of every strong beat of a harmony. */
export const strongPlaces = (harmony: Pick<Harmony, 'bars'>): ReadonlySet<number> =>
  new Set(harmony.bars.flatMap(({ start, meter }) => strongTicks(meter).map((tick) => start + tick)))

/** The notes that phrases come to rest on: the last before a breath, unless it is no more than an eighth off the beat. */
function restingTones(tones: readonly Tone[], harmony: Pick<Harmony, 'bars'>): ReadonlySet<number> {
  const resting = new Set<number>()
  let last = -1
  const end = harmony.bars.at(-1)
  const settle = (next: number) => {
    const tone = tones[last]
    if (!tone || next - tone.start <= breath) return
    const bar = harmony.bars[tone.bar - 1]
    const onBeat = bar !== undefined && (tone.start - bar.start) % ticksPerQuarter === 0
    if (tone.ticks > eighth || onBeat) resting.add(last)
  }
  tones.forEach(({ start, midi }, i) => {
    if (midi === null) return
    settle(start)
    last = i
  })
  settle(end ? end.start + end.ticks + breath : Number.POSITIVE_INFINITY)
  return resting
}

/** The targets of a line: chord tones that begin on strong beats, and the notes that phrases come to rest on. */
function findTargets(tones: readonly Tone[], harmony: Harmony, strong = strongPlaces(harmony)): readonly FoundTarget[] {
  const resting = restingTones(tones, harmony)
  return tones.flatMap(({ start, midi }, tone): FoundTarget[] => {
    if (midi === null) return []
    const onStrong = strong.has(start)
    if (!onStrong && !resting.has(tone)) return []
    const chord = chordIndexAt(harmony, start)
    const heard = harmony.chords[chord]
    if (!heard?.root) return []
    if (onStrong && isChordTone(heard, midi)) return [{ tone, chord, by: 'strong' }]
    return resting.has(tone) ? [{ tone, chord, by: 'rest' }] : []
  })
}

/** The notes that lead into a tone without a break, nearest first, each as far from the next as all: eighths, or a shorter value throughout. */
export function runInto(tones: readonly Tone[], tone: number, most = longestApproach): readonly number[] {
  const run: number[] = []
  const apart = tones[tone]!.start - (tones[tone - 1]?.start ?? Number.NEGATIVE_INFINITY)
  if (apart > eighth) return run
  for (let i = tone - 1; i >= 0 && run.length < most; i--) {
    if (tones[i]!.midi === null || tones[i + 1]!.start - tones[i]!.start !== apart) break
    run.push(i)
  }
  return run
}

/** Semitones from a tone of the notes before it, in playing order. */
export const offsetsInto = (tones: readonly Tone[], tone: number, notes: number): readonly number[] =>
  Array.from({ length: notes }, (_, i) => tones[tone - notes + i]!.midi! - tones[tone]!.midi!)

/** What may count as an approach: its offsets and their kind. */
export type Accepts = (offsets: readonly number[], kind: FigureKind) => boolean

const anyKind: Accepts = (_, kind) => kind !== 'mixed'

/**
 * How many of the notes before a tone are its approach: the longest unbroken run of one to four that one of the four kinds
 * holds; 0 for none. It does not reach back over the target before.
 *
 * @param from - the first tone that it may take
 */
function approachLength(tones: readonly Tone[], tone: number, from: number, accepts: Accepts = anyKind): number {
  const run = runInto(tones, tone).filter((i) => i >= from)
  for (let k = run.length; k > 0; k--) {
    const offsets = offsetsInto(tones, tone, k)
    if (accepts(offsets, figureKind(offsets))) return k
  }
  return 0
}

/**
 * The cell that a tone starts: itself and the next three, eighths without a break and all in the scale of its chord, as scale
 * steps from it; null where there is none.
 */
export function stepsFrom(
  tones: readonly Tone[],
  tone: number,
  chord: HarmonyChord | undefined,
): readonly number[] | null {
  const four = tones.slice(tone, tone + 4)
  if (!chord?.scale || four.length < 4 || four.some(({ midi }) => midi === null)) return null
  if (four.some(({ start }, i) => i > 0 && start - four[i - 1]!.start !== eighth)) return null
  const chromas = walkedNotes(chord.scale).map(chromaOf)
  const places = four.map(({ midi }) => scalePlace(chromas, midi!))
  return places.includes(null) ? null : places.map((place) => place! - places[0]!)
}

/** A note's place in a scale, counted in scale steps through all octaves; null outside it. */
function scalePlace(chromas: readonly number[], midi: number): number | null {
  const above = chromas.map((chroma) => modulo(chroma - chromas[0]!, 12))
  const from = midi - chromas[0]!
  const step = above.indexOf(modulo(from, 12))
  return step < 0 ? null : Math.floor(from / 12) * chromas.length + step
}

/** A figure found: which tones it holds (a cell's with its target), and what it is. */
export type FoundFigure =
  | { readonly kind: 'approach'; readonly target: number; readonly from: number; readonly notes: number }
  | {
      readonly kind: 'cell'
      readonly target: number
      readonly from: number
      readonly notes: number
      readonly cell: Cell
    }

/**
 * Reads targets and figures in a line: into each target its approach, and from each the cell that it starts, where players
 * were counted using it and no approach or target takes its notes. Figures come in playing order.
 */
export function recognise(
  tones: readonly Tone[],
  harmony: Harmony,
): { readonly targets: readonly FoundTarget[]; readonly figures: readonly FoundFigure[] } {
  const targets = findTargets(tones, harmony)
  const lengths = targets.map(({ tone }, t) => approachLength(tones, tone, (targets[t - 1]?.tone ?? -1) + 1))
  const figures = targets.flatMap(({ tone, chord }, target): FoundFigure[] => {
    const notes = lengths[target]!
    const found: FoundFigure[] = notes > 0 ? [{ kind: 'approach', target, from: tone - notes, notes }] : []
    const next = targets[target + 1]
    const room = next ? next.tone - lengths[target + 1]! - tone : 4
    const steps = room < 4 ? null : stepsFrom(tones, tone, harmony.chords[chord])
    const cell = steps && cellOf(steps)
    return cell ? [...found, { kind: 'cell', target, from: tone, notes: 4, cell }] : found
  })
  return { targets, figures }
}
