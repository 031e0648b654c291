/** The same line in another key: moved by semitones, folded by octaves where it would leave the range. */
import { bestPath, type Edge } from '../lattice/lattice.ts'
import type { Draft } from './draftLine.ts'

/** A line may leap so far, in semitones. */
const widest = 12
/** Nats for each change of octave inside the line; less where a rest or a target makes a natural joint. */
const foldCost = { inside: 8, target: 3, rest: 1 }

/** For each note of a draft, by how many semitones it moves. */
export type Shifts = readonly number[]

/**
 * Moves a draft up so many semitones (0 to 11), or down into the octave that fits: as a whole inside the range where it can, else
 * as a whole inside a wider one, else with phrases folded by octaves. Null where the range is too small for that too.
 * Deterministic, fewest folds first.
 */
export function carryLine(
  draft: Draft,
  up: number,
  [low, high]: readonly [number, number],
  wide: readonly [number, number] = [low, high],
): Shifts | null {
  const { notes, moments } = draft
  if (notes.length === 0) return []
  const nearest = up > 6 ? up - 12 : up
  const shifts = [up - 12, up, up - 24, up + 12]
  const lowest = notes.reduce((least, { midi }) => Math.min(least, midi), 127)
  const highest = notes.reduce((most, { midi }) => Math.max(most, midi), 0)
  for (const [bottom, top] of [[low, high], wide] as const) {
    const whole = [nearest, ...shifts].find((shift) => lowest + shift >= bottom && highest + shift <= top)
    if (whole !== undefined) return notes.map(() => whole)
  }
  const fits = (note: number, shift: number) => notes[note]!.midi + shift >= low && notes[note]!.midi + shift <= high
  const path = bestPath({
    sizes: notes.map(() => shifts.length),
    nodeCost: (note, s) => (fits(note, shifts[s]!) ? 0.01 * Math.abs(shifts[s]! - nearest) : Number.POSITIVE_INFINITY),
    edges: (note, s) => {
      if (note + 1 >= notes.length) return []
      const rest = notes[note + 1]!.moment !== notes[note]!.moment + 1
      const own = notes[note]!.figure
      const inApproach = own !== null && draft.figures[own]!.kind === 'approach'
      const joint = rest
        ? foldCost.rest
        : moments[notes[note]!.moment]!.target !== null
          ? foldCost.target
          : foldCost.inside
      return shifts.flatMap((to, t): Edge[] => {
        if (t === s) return [{ layer: note + 1, node: t, cost: 0 }]
        const leap = notes[note + 1]!.midi + to - notes[note]!.midi - shifts[s]!
        // An approach stays whole, with the target it leads to.
        if (inApproach || (!rest && Math.abs(leap) > widest)) return []
        return [{ layer: note + 1, node: t, cost: joint + Math.abs(leap) / 12 }]
      })
    },
  })
  return path ? path.steps.map(({ node }) => shifts[node]!) : null
}

/** The played bars at which a carried line changes its octave. */
export const foldsOf = (draft: Draft, shifts: Shifts): readonly number[] => [
  ...new Set(
    draft.notes.flatMap((note, i) => (i > 0 && shifts[i] !== shifts[i - 1] ? [draft.moments[note.moment]!.bar] : [])),
  ),
]

/** A draft as it sounds when each of its notes moves by so many semitones. */
export function moveDraft(draft: Draft, shifts: Shifts): Draft {
  const atTarget = new Map(draft.notes.map((note, i) => [draft.moments[note.moment]!.target, shifts[i]!]))
  return {
    ...draft,
    notes: draft.notes.map((note, i) => ({ ...note, midi: note.midi + shifts[i]! })),
    targets: draft.targets.map((target, t) => ({ ...target, midi: target.midi + (atTarget.get(t) ?? shifts[0] ?? 0) })),
  }
}
