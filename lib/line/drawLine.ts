/** The notes between targets, drawn by seed through the line's lattice, stretch by stretch. */
import type { Harmony } from '../harmony/harmony.ts'
import { drawIndex, randomFrom } from '../lattice/lattice.ts'
import { type LineGround, layGround } from './allowedNotes.ts'
import type { LineChoices } from './approachFits.ts'
import type { Target } from './chooseTargets.ts'
import { bucketOf, noInterval } from './figureWeights.ts'
import { beforeFirst, type Standing, type WayFigure, type WayOn, waysOn, weighWays } from './pathWeights.ts'
import type { Moment } from './planRhythm.ts'

/** A note of the line at its moment, with the figure it belongs to (an index into `figures`) or null. */
export interface DrawnNote {
  /** Index into the moments. */
  readonly moment: number
  readonly midi: number
  readonly figure: number | null
}

export interface DrawnLine {
  readonly notes: readonly DrawnNote[]
  readonly figures: readonly WayFigure[]
  /** Summed cost in nats. */
  readonly cost: number
}

/** How much less likely an approach is right after itself, and within the last few. */
const sameAgain = 0.04
const sameLately = 0.4
const notLately = 4

/** So many notes are laid out at once; longer lines are drawn stretch by stretch, from target to target, in flat memory. */
const stretchNotes = 320
/** Single notes rarer than one in some 1,800 are left out, unless no line is left without them. */
const dearestStep = 7.5

/**
 * Draws a whole line by seed. Up to 320 notes it is drawn exactly under its targets; a longer one is drawn so in stretches, each
 * from the target on which the one before ended. Null where no line keeps the range and the pins.
 */
export const drawWhole = (
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  range: readonly [number, number],
  choices: LineChoices,
  seed: number,
): DrawnLine | null =>
  drawStretches(harmony, moments, targets, range, choices, seed, { from: 0, to: moments.length - 1 })

/**
 * The same for the notes from one moment to another.
 *
 * @param lately - the figures that came last before them, from which they lean away
 */
export function drawStretches(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  range: readonly [number, number],
  choices: LineChoices,
  seed: number,
  bounds: { readonly from: number; readonly to: number },
  lately: readonly WayFigure[] = [],
): DrawnLine | null {
  const notes: DrawnNote[] = []
  const figures: WayFigure[] = []
  let cost = 0
  let bucket = noInterval
  let { from } = bounds
  for (const [i, to] of stretchEnds(moments, bounds).entries()) {
    const own = (seed + Math.imul(i, 0x9e3779b1)) >>> 0
    const ground = layGround(harmony, moments, targets, range, choices, { from, to, bucket })
    const before = i === 0 ? lately : choices.different ? [...lately, ...figures] : []
    const drawn = drawLine(ground, own, dearestStep, before) ?? drawLine(ground, own, Infinity, before)
    if (!drawn) return null
    const known = figures.length
    // The target between two stretches belongs to both.
    for (const note of i === 0 ? drawn.notes : drawn.notes.slice(1))
      notes.push({ ...note, figure: note.figure === null ? null : note.figure + known })
    figures.push(...drawn.figures)
    cost += drawn.cost
    from = to
    const [earlier, last] = notes.slice(-2)
    bucket = earlier && last && last.moment === earlier.moment + 1 ? bucketOf(last.midi - earlier.midi) : noInterval
  }
  return { notes, figures, cost }
}

/** The moments at which stretches end: targets with a note after them, some 320 notes apart, and the last moment. */
function stretchEnds(
  moments: readonly Moment[],
  { from, to }: { readonly from: number; readonly to: number },
): readonly number[] {
  const ends: number[] = []
  let sounding = 0
  for (let m = from; m < to; m++) {
    const { rest, target } = moments[m]!
    if (!rest) sounding += 1
    const next = moments[m + 1]!
    if (sounding < stretchNotes || target === null || next.rest || next.target !== null) continue
    ends.push(m)
    sounding = 1
  }
  return [...ends, to]
}

/**
 * Draws a line over its ground by seed, exactly under its targets, leaning away from figures just used and from notes that go
 * back and forth; null where no line keeps the range. Single steps dearer than `dearest`, in nats, are left out.
 */
export function drawLine(
  ground: LineGround,
  seed: number,
  dearest: number,
  lately: readonly WayFigure[] = [],
): DrawnLine | null {
  const random = randomFrom(seed)
  const ways = weighWays(ground, dearest)
  const notes: DrawnNote[] = []
  const figures: WayFigure[] = [...lately]
  const last = ground.moments.length - 1
  // The notes on foot that came last, the latest first; null for one that a figure led to.
  let behind: readonly (number | null)[] = []
  let cost = 0
  let at: Standing = beforeFirst
  // One number for the start, of which there is but one.
  random()
  while (at.layer < last || at.entry) {
    const open = waysOn(ways, at)
    const taken =
      open[
        drawIndex(
          open.map((way) => way.weight * leaning(way, figures, behind) * (ground.different ? unused(way, figures) : 1)),
          random,
        )
      ]
    if (!taken) return null
    cost += taken.cost
    behind = [taken.figure ? null : taken.midi, ...behind.slice(0, 2)]
    at = taken
    if (taken.figure) figures.push(taken.figure)
    if (!taken.entry) addNotes(notes, ground, taken, figures.length - 1 - lately.length)
  }
  return { notes, figures: figures.slice(lately.length), cost }
}

/** How much less likely a way is for what was played just before: a factor. */
function leaning(
  { figure, midi }: WayOn,
  figures: readonly WayFigure[],
  [first = null, second = null, third = null]: readonly (number | null)[],
): number {
  // A, B, A, B: the second return is what makes it a rut.
  if (figure === null) return first !== null && second === midi && first === third ? 0.1 : 1
  if (figure.offsets.length < 2) return 1
  for (let back = 1; back <= Math.min(notLately, figures.length); back++)
    if (sameOffsets(figures.at(-back)!.offsets, figure.offsets)) return back === 1 ? sameAgain : sameLately
  return 1
}

/** How much less likely an approach is for each time that it has been used, where none is to come twice. */
const usedAgain = 1e-5

const unused = ({ figure }: WayOn, figures: readonly WayFigure[]): number => {
  if (figure?.kind !== 'approach') return 1
  const times = figures.filter(({ kind, offsets }) => kind === 'approach' && sameOffsets(offsets, figure.offsets))
  return usedAgain ** Math.min(8, times.length)
}

const sameOffsets = (a: readonly number[], b: readonly number[]) =>
  a.length === b.length && a.every((o, i) => o === b[i])

/** Adds the notes of a way just taken: its own note, and before it those of its figure. */
function addNotes(notes: DrawnNote[], { moments }: LineGround, { layer, midi, figure }: WayOn, index: number): void {
  if (figure?.kind === 'cell') {
    const [, ...after] = figure.offsets
    const root = midi - figure.offsets.at(-1)!
    after.forEach((offset, i) => {
      notes.push({ moment: moments[layer - after.length + 1 + i]!, midi: root + offset, figure: index })
    })
    return
  }
  figure?.offsets.forEach((offset, i) => {
    notes.push({ moment: moments[layer - figure.offsets.length + i]!, midi: midi + offset, figure: index })
  })
  notes.push({ moment: moments[layer]!, midi, figure: null })
}
