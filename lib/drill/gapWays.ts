/** What may stand between a target and the next in an exact drill: cells that leave the one, approaches that lead into the other. */

import type { Harmony } from '../harmony/harmony.ts'
import { lastStarted } from '../inOrder.ts'
import { fitOf, settingOf, widest } from '../line/approachFits.ts'
import { chordIndexAt, type Target } from '../line/chooseTargets.ts'
import { heldOn, masksOf, scaleOffset } from '../line/chordMasks.ts'
import type { Goal } from '../line/draftLine.ts'
import { approachCount, type Cell, leaningTo } from '../line/figures.ts'
import { type Moment, weightAt } from '../line/planRhythm.ts'
import { modulo } from '../theory/pitch.ts'
import type { GapNote } from './gapRhythm.ts'
import type { Pool, PoolApproach } from './pool.ts'

/** A note of a gap where it stands. */
export type GapMoment = Omit<Moment, 'target' | 'rest'> & Pick<GapNote, 'part'>

/** A way to lead into a target: offsets, cost in nats, and what of it leaves the scale. */
export interface LeadIn {
  readonly offsets: readonly number[]
  readonly cost: number
  /** Holds a note outside the scale on a strong beat, or one that does not resolve by a half step. */
  readonly outside: boolean
  readonly text: string
}

export interface LeavingCell {
  readonly offsets: readonly number[]
  readonly name: string
  readonly cost: number
}

/** The played bar that holds a tick; the first for what comes before it. */
const barAt = ({ bars }: Harmony, tick: number): number => bars[Math.max(0, lastStarted(bars, tick))]!.bar

/** The moments of a gap from a tick on, each with the chord that sounds; before the first bar stands a bar like it. */
export function momentsFrom(
  harmony: Harmony,
  start: number,
  notes: readonly GapNote[],
  chord: number,
): readonly GapMoment[] {
  let at = start
  return notes.map(({ ticks, part }): GapMoment => {
    const tick = at
    at += ticks
    const first = harmony.bars[0]!
    const bar = tick < first.start ? 0 : barAt(harmony, tick)
    const heard = chordIndexAt(harmony, tick)
    return {
      bar,
      start: tick,
      ticks,
      chord: part === 'target' ? chord : Math.max(0, heard),
      weight: weightAt(harmony, Math.max(1, bar), bar === 0 ? tick + first.ticks : tick),
      part,
    }
  })
}

/** What a foreign note costs: on a strong beat, and where it leads nowhere by a half step. */
const foreignCost = { strong: 6, unresolved: 12 }
/** How strongly the counts weigh against what joins well; cells come again and again, so theirs weigh more. */
const countWeight = { approach: 0.6, cell: 1.1 }

/** The lead-ins of a pool that may stand before a goal, on the last moments of a gap: in range, in the scale or resolving. */
export function leadInsTo(
  harmony: Harmony,
  moments: readonly GapMoment[],
  goal: Goal,
  [low, high]: readonly [number, number],
  pool: Pool,
): readonly LeadIn[] {
  const led = moments.filter(({ part }) => part === 'approach')
  const before = led.map((moment) => ({ ...moment, target: null, rest: false })).reverse()
  const setting = settingOf(harmony, goal.chord, goal, before)
  return pool.approaches.flatMap((approach): readonly LeadIn[] => {
    const offsets = approach.steps.length === led.length ? offsetsOf(approach, goal) : null
    if (!offsets || offsets.some((offset) => goal.midi + offset < low || goal.midi + offset > high)) return []
    const count = approachCount(offsets)
    if (!pool.asked && count === 0) return []
    const own =
      -countWeight.approach * Math.log((count + 0.5) * leaningTo(setting.quality, setting.degree, { offsets, count }))
    const fit = fitOf(offsets, setting)
    if (fit > 0) return [{ offsets, cost: own - Math.log(fit), outside: false, text: approach.text }]
    const resolves = foreignResolve(offsets, setting.landed)
    if (!resolves && !pool.asked) return []
    const dear = resolves ? foreignCost.strong : foreignCost.unresolved
    return [{ offsets, cost: own + dear, outside: true, text: approach.text }]
  })
}

/** An approach in semitones from its goal; null where it is held by scale steps and the goal is outside its scale. */
function offsetsOf({ steps }: PoolApproach, goal: Goal): readonly number[] | null {
  const offsets = steps.map(({ by, diatonic }) => (diatonic ? scaleOffset(goal.chord, goal.midi, by) : by))
  return offsets.every((offset) => offset !== null) ? offsets : null
}

/** Whether every note outside the scale landed on goes on by a half step, to the next note or to the target. */
const foreignResolve = (offsets: readonly number[], landed: number): boolean =>
  offsets.every(
    (offset, i) =>
      (landed >> modulo(offset, 12)) & 1 || Math.abs(offset) === 1 || Math.abs((offsets[i + 1] ?? 0) - offset) === 1,
  )

/** The cells that may leave a target: in range, and in the scales that sound where their notes stand. */
export function cellsFrom(
  harmony: Harmony,
  moments: readonly GapMoment[],
  target: Pick<Target, 'midi' | 'chord'>,
  [low, high]: readonly [number, number],
  pool: readonly Cell[],
): readonly LeavingCell[] {
  const after = moments.filter(({ part }) => part === 'cell')
  if (after.length === 0) return []
  return pool.flatMap(({ name, steps, count }): readonly LeavingCell[] => {
    const offsets = steps.map((step) => scaleOffset(harmony.chords[target.chord]!, target.midi, step))
    const plays = offsets.every((offset, i) => {
      if (offset === null) return false
      const pitch = target.midi + offset
      if (i === 0) return pitch >= low && pitch <= high
      const { chord, weight } = after[i - 1]!
      const heard = harmony.chords[chord]
      const fits = !heard?.chord || ((heldOn(masksOf(heard), weight) >> (pitch % 12)) & 1) === 1
      return fits && pitch >= low && pitch <= high
    })
    // Three of one pitch running is no cell to practise.
    const stuck = steps.some((step, i) => i > 1 && step === steps[i - 1] && step === steps[i - 2])
    return plays && !stuck ? [{ offsets: offsets as number[], name, cost: -countWeight.cell * Math.log(count) }] : []
  })
}

/** Nats for the interval from a cell's last note, or from the target itself, to the approach: steps and thirds cheapest. */
function joinCost(from: number, to: number): number {
  const size = Math.abs(to - from)
  if (size > widest) return Number.POSITIVE_INFINITY
  if (size === 0) return 3
  return size <= 2 ? 0 : size <= 4 ? 0.3 : size <= 7 ? 1.2 : size <= 9 ? 2.5 : 4
}

/** Whether a gap's notes, the goal at their end, hold three of one pitch running. */
const threeRunning = (pitches: readonly number[]): boolean =>
  pitches.some((pitch, i) => i > 1 && pitch === pitches[i - 1] && pitch === pitches[i - 2])

/** The cheapest cell before a lead-in, with the cost of both joined; null where none joins. Without room for cells, the bare target. */
export function joined(
  cells: readonly LeavingCell[],
  target: number | null,
  goal: number,
  leadIn: LeadIn,
  cellCost: (cell: LeavingCell) => number = ({ cost }) => cost,
): { readonly cell: LeavingCell | null; readonly cost: number } | null {
  const led = leadIn.offsets.map((offset) => goal + offset)
  if (target === null) return { cell: null, cost: leadIn.cost }
  // A figure that was asked for may hold three of one pitch itself.
  const stuck = (notes: readonly number[]) => threeRunning(notes) && !threeRunning([...led, goal])
  if (cells.length === 0) {
    const cost = joinCost(target, led[0] ?? goal)
    return cost < Infinity && !stuck([target, ...led, goal]) ? { cell: null, cost: leadIn.cost + cost } : null
  }
  let best: { readonly cell: LeavingCell; readonly cost: number } | null = null
  for (const cell of cells) {
    const last = target + cell.offsets.at(-1)!
    const cost = leadIn.cost + cellCost(cell) + joinCost(last, led[0] ?? goal)
    if (cost === Infinity || (best && cost >= best.cost)) continue
    const notes = [...cell.offsets.slice(-2).map((offset) => target + offset), ...led, goal]
    if (!stuck(notes)) best = { cell, cost }
  }
  return best
}
