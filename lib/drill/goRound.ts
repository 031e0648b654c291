/** Several keys as one piece: the octave of each, and each leading into the next. */
import type { Harmony } from '../harmony/harmony.ts'
import { bestPath } from '../lattice/lattice.ts'
import type { Draft, Goal } from '../line/draftLine.ts'
import { spanOf } from '../theory/pitch.ts'
import { type JoinBrief, joinDraft, pickUpDraft } from './joinDrill.ts'

/** A draft as it sounds in its key. */
export interface KeyDraft {
  readonly harmony: Harmony
  readonly draft: Draft
}

type Range = readonly [number, number]

/** Nats for an octave outside the range that was asked for, though inside what the instrument has. */
const reachCost = 2
/** Semitones that an enclosure of the first target takes. */
const roomBelow = 2
const roomAbove = 2

/**
 * For each key the semitones by which a whole line moves there, chosen so that one key begins near where the one before ended, and
 * the first near where the last did; null for a key in which no octave holds the line.
 */
export function octavesOf(
  draft: Draft,
  moves: readonly number[],
  range: Range,
  wide: Range,
): readonly (number | null)[] {
  // The first target is led into from the key before, so it has room on both sides.
  const first = draft.targets[0]?.midi ?? 60
  const pitches = [...draft.notes.map(({ midi }) => midi), first - roomBelow, first + roomAbove]
  const [lowest, highest] = spanOf(pitches)
  const fits = (shift: number, [low, high]: Range) => lowest + shift >= low && highest + shift <= high
  const options = moves.map((up) => [up - 24, up - 12, up, up + 12].filter((shift) => fits(shift, wide)))
  const sizes = options.map(({ length }) => Math.max(1, length))
  const turn = (draft.targets.at(-1)?.midi ?? 0) - (draft.targets[0]?.midi ?? 0)
  const jump = (from: number | undefined, to: number | undefined) =>
    from === undefined || to === undefined ? 0 : Math.abs(to - from - turn) / 3
  const ways = (options[0]!.length > 0 ? options[0]! : [undefined]).map((start, only) =>
    bestPath({
      sizes,
      nodeCost: (key, o) => {
        const shift = options[key]![o]
        if (key === 0 && o !== only) return Infinity
        const home = key === moves.length - 1 ? jump(shift, start) : 0
        return home + (shift === undefined || fits(shift, range) ? 0 : reachCost) + 0.01 * Math.abs(shift ?? 0)
      },
      edges: (key, o) =>
        key + 1 >= options.length
          ? []
          : Array.from({ length: sizes[key + 1]! }, (_, to) => ({
              layer: key + 1,
              node: to,
              cost: jump(options[key]![o], options[key + 1]![to]),
            })),
    }),
  )
  const best = ways.reduce((a, b) => (b && (!a || b.cost < a.cost) ? b : a), null)
  return best ? best.steps.map(({ layer, node }) => options[layer]![node] ?? null) : moves.map(() => null)
}

/**
 * Joins drafts end to end, the last to the first, and puts an approach before the first; before each, where they are not joined. A
 * phrase's pickup has its own number of notes.
 */
export function goRound(
  parts: readonly KeyDraft[],
  brief: JoinBrief & { readonly join: boolean; readonly pickup: boolean },
  range: Range,
  seed: number,
): readonly KeyDraft[] {
  // A line carried to other keys may reach past the range asked for; so may what leads there.
  const reach: Range = spanOf([...range, ...parts.flatMap(({ draft }) => draft.notes.map(({ midi }) => midi))])
  return parts.map(({ harmony, draft }, i): KeyDraft => {
    const own = { ...brief, notes: draft.pickup ? (draft.pickup as JoinBrief['notes']) : brief.notes }
    const led = brief.pickup && (i === 0 || !brief.join) ? pickUpDraft(draft, harmony, own, reach, seed) : draft
    if (!brief.join) return { harmony, draft: led }
    const next = parts[(i + 1) % parts.length]!
    const target = next.draft.targets[0]
    if (!target) return { harmony, draft: led }
    const goal: Goal = { midi: target.midi, degree: target.degree, chord: next.harmony.chords[target.chord]! }
    return { harmony, draft: joinDraft(led, harmony, goal, brief, reach, seed) }
  })
}
