/** The notes between targets, drawn by seed through the line's lattice, stretch by stretch. */
import type { Harmony } from '../harmony/harmony.ts'
import { drawIndex, randomFrom } from '../lattice/lattice.ts'
import { type LineGround, layGround } from './allowedNotes.ts'
import type { LineChoices } from './approachFits.ts'
import type { Target } from './chooseTargets.ts'
import { bucketOf, noInterval } from './figureWeights.ts'
import {
  addSounded,
  countReturns,
  type Leans,
  leanNext,
  leanOnward,
  type NextLean,
  newTrail,
  remember,
  type Shapes,
  type Sounded,
  type Trail,
} from './leanBack.ts'
import {
  beforeFirst,
  type LineWays,
  type Standing,
  type WayFigure,
  type WayOn,
  waysOn,
  weighWays,
} from './pathWeights.ts'
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

/** What notes lean back towards, and how far. */
export interface Memory {
  readonly leans: Leans
  readonly trail: Trail
  /** The shapes of the phrases before. */
  readonly shapes: Shapes
  readonly soundedAt: (moment: number, midi: number) => Sounded
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
  memory: Memory | null = null,
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
    const sounding = soundingBefore(notes)
    const drawn = ground.trills
      ? drawAny(ground, own, before, sounding, memory)
      : drawWithoutTrills(ground, own, before, sounding, memory)
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

const drawAny = (
  ground: LineGround,
  seed: number,
  lately: readonly WayFigure[],
  sounding: readonly number[],
  memory: Memory | null,
) =>
  drawLine(ground, seed, dearestStep, lately, sounding, memory) ??
  drawLine(ground, seed, Infinity, lately, sounding, memory)

/** So often is a line drawn that should not go back and forth between two notes. */
const trillTries = 16

/** Draws until no four notes go back and forth between two; the line that does so least, where none does without. */
function drawWithoutTrills(
  ground: LineGround,
  seed: number,
  lately: readonly WayFigure[],
  sounding: readonly number[],
  memory: Memory | null,
): DrawnLine | null {
  let best: DrawnLine | null = null
  let least = Number.POSITIVE_INFINITY
  for (let i = 0; i < trillTries && least > 0; i++) {
    const drawn = drawAny(ground, (seed + Math.imul(i, 7919)) >>> 0, lately, sounding, memory)
    if (!drawn) return best
    const trills = countTrills(drawn.notes, sounding)
    if (trills < least) [best, least] = [drawn, trills]
  }
  return best
}

/** Whether four notes go back and forth between two. */
export const isTrill = ([a, b, c, d]: readonly number[]): boolean => a === c && b === d && a !== b

function countTrills(notes: readonly DrawnNote[], sounding: readonly number[]): number {
  let run = [...sounding]
  let trills = 0
  notes.forEach(({ moment, midi }, n) => {
    if (n > 0 && notes[n - 1]!.moment !== moment - 1) run = []
    run = [...run.slice(-3), midi]
    if (run.length === 4 && isTrill(run)) trills += 1
  })
  return trills
}

/** The last three pitches before the last note so far, where no rest comes between. */
function soundingBefore(notes: readonly DrawnNote[]): readonly number[] {
  const four = notes.slice(-4)
  const unbroken = four.filter(({ moment }, i) => moment === four.at(-1)!.moment - four.length + 1 + i)
  return unbroken.slice(0, -1).map(({ midi }) => midi)
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
 * back and forth; null where no line keeps the range. Single steps dearer than `dearest`, in nats, are left out. With a memory several
 * are drawn, and the one kept that brings most back.
 *
 * @param before - the pitches that sound right before its first note, at most three
 */
export function drawLine(
  ground: LineGround,
  seed: number,
  dearest: number,
  lately: readonly WayFigure[] = [],
  before: readonly number[] = [],
  memory: Memory | null = null,
): DrawnLine | null {
  const ways = weighWays(ground, dearest)
  if (!memory) return drawThrough(ways, seed, lately, before, null)
  let best: DrawnLine | null = null
  let most = -1
  for (let i = 0; i < memory.leans.draws; i++) {
    const drawn = drawThrough(ways, (seed + Math.imul(i, 7907)) >>> 0, lately, before, memory)
    if (!drawn) return best
    const sounded = drawn.notes.map(({ moment, midi }) => memory.soundedAt(moment, midi))
    const returns = countReturns(memory.trail, memory.shapes, sounded)
    if (returns > most) [best, most] = [drawn, returns]
  }
  return best
}

/** One draw through ways that are weighed. */
function drawThrough(
  ways: LineWays,
  seed: number,
  lately: readonly WayFigure[],
  before: readonly number[],
  memory: Memory | null,
): DrawnLine | null {
  const { ground } = ways
  const random = randomFrom(seed)
  const notes: DrawnNote[] = []
  const figures: WayFigure[] = [...lately]
  const last = ground.moments.length - 1
  // The notes on foot that came last, the latest first; null for one that a figure led to.
  let behind: readonly (number | null)[] = []
  // All that sounded last, the latest last, back to a rest.
  let sounding = before
  const back = memory && leanOn(memory, ground)
  let cost = 0
  let at: Standing = beforeFirst
  // One number for the start, of which there is but one.
  random()
  while (at.layer < last || at.entry) {
    const open = waysOn(ways, at)
    const taken =
      open[
        drawIndex(
          open.map(
            (way) =>
              way.weight *
              leaning(way, figures, behind) *
              (ground.different ? unused(way, figures) : 1) *
              (ground.trills ? 1 : turning(way, ground, sounding)) *
              (back ? back.factor(way) : 1),
          ),
          random,
        )
      ]
    if (!taken) return null
    cost += taken.cost
    behind = [taken.figure ? null : taken.midi, ...behind.slice(0, 2)]
    if (!taken.entry) sounding = [...heardBefore(taken, ground, sounding), ...pitchesOf(taken)].slice(-3)
    back?.take(taken)
    at = taken
    if (taken.figure) figures.push(taken.figure)
    if (!taken.entry) addNotes(notes, ground, taken, figures.length - 1 - lately.length)
  }
  return { notes, figures: figures.slice(lately.length), cost }
}

/** How much likelier ways are for what they bring back, note by note as they are taken. */
function leanOn({ leans, trail: before, shapes, soundedAt }: Memory, { moments }: LineGround) {
  const trail = newTrail()
  for (const note of before.notes.slice(-8)) addSounded(trail, note)
  const own: Shapes = new Map()
  const known = [shapes, own] as const
  const soundedOf = (way: WayOn): readonly Sounded[] => {
    const pitches = pitchesOf(way)
    const first = way.layer - pitches.length + 1
    return pitches.map((midi, i) => soundedAt(moments[first + i]!, midi))
  }
  let next: NextLean | null = null
  return {
    factor: (way: WayOn): number => {
      if (way.figure === null) {
        next ??= leanNext(leans, trail, known, soundedAt(moments[way.layer]!, way.midi))
        return next(way.midi)
      }
      const added = soundedOf(way)
      next ??= leanNext(leans, trail, known, added[0]!)
      return next(added[0]!.midi) * leanOnward(leans, trail, known, added)
    },
    take: (way: WayOn): void => {
      if (way.entry) return
      next = null
      const from = trail.notes.length
      for (const note of soundedOf(way)) addSounded(trail, note)
      remember(own, trail, from)
    },
  }
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

/** The pitches that a way adds, in playing order. */
function pitchesOf({ midi, figure }: WayOn): readonly number[] {
  if (!figure) return [midi]
  if (figure.kind === 'approach') return [...figure.offsets.map((offset) => midi + offset), midi]
  const root = midi - figure.offsets.at(-1)!
  return figure.offsets.slice(1).map((offset) => root + offset)
}

/** What sounds unbroken before a way: nothing after a rest. */
function heardBefore(way: WayOn, { afterRest }: LineGround, sounding: readonly number[]): readonly number[] {
  const first = way.layer - pitchesOf(way).length + 1
  return afterRest[first] && first > 0 ? [] : sounding
}

/** How much less likely a way is that goes back and forth between two notes: so much that it is taken only where no other is left. */
const backAndForth = 1e-9

function turning(way: WayOn, ground: LineGround, sounding: readonly number[]): number {
  const run = [...heardBefore(way, ground, sounding), ...pitchesOf(way)]
  return run.some((_, i) => i >= 3 && isTrill(run.slice(i - 3, i + 1))) ? backAndForth : 1
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
