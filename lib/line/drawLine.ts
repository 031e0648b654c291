/** The notes between targets, drawn by seed through the line's lattice, stretch by stretch. */
import type { Harmony } from '../harmony/harmony.ts'
import { bestPath, type Path, randomFrom, samplePath } from '../theory/lattice.ts'
import type { Target } from './chooseTargets.ts'
import type { LineChoices } from './leadIn.ts'
import { type DrawnFigure, type LineLattice, lineLattice } from './lineLattice.ts'
import { bucketOf, noInterval } from './mixture.ts'
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
  readonly figures: readonly DrawnFigure[]
  /** Summed cost in nats. */
  readonly cost: number
}

/** How much less likely an approach is right after itself, and within the last few. */
const sameAgain = 0.04
const sameLately = 0.4
const lately = 4

/** So many notes are laid out at once; longer lines are drawn stretch by stretch, from target to target, in flat memory. */
const stretchNotes = 320
/** Single notes rarer than one in some 1,800 are left out, unless no line is left without them. */
const dearestStep = 7.5

/**
 * Draws a whole line by seed. Up to 320 notes it is drawn exactly under its targets; a longer one is drawn so in stretches, each
 * from the target on which the one before ended. Null where no line keeps the range and the pins.
 */
export function drawWhole(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  range: readonly [number, number],
  choices: LineChoices,
  seed: number,
): DrawnLine | null {
  const notes: DrawnNote[] = []
  const figures: DrawnFigure[] = []
  let cost = 0
  let bucket = noInterval
  let from = 0
  for (const [i, to] of stretchEnds(moments).entries()) {
    const own = (seed + Math.imul(i, 0x9e3779b1)) >>> 0
    const draw = (dearest: number) => {
      const laid = lineLattice(harmony, moments, targets, range, choices, { from, to, bucket, dearest })
      return laid.moments.length === 0 ? { notes: [], figures: [], cost: 0 } : drawLine(laid, own)
    }
    const drawn = draw(dearestStep) ?? draw(Infinity)
    if (!drawn) return null
    const known = figures.length
    // The target between two stretches belongs to both.
    for (const note of i === 0 ? drawn.notes : drawn.notes.slice(1))
      notes.push({ ...note, figure: note.figure === null ? null : note.figure + known })
    figures.push(...drawn.figures)
    cost += drawn.cost
    from = to
    const [before, last] = notes.slice(-2)
    bucket = before && last && last.moment === before.moment + 1 ? bucketOf(last.midi - before.midi) : noInterval
  }
  return { notes, figures, cost }
}

/** The moments at which stretches end: targets with a note after them, some 320 notes apart, and the last moment. */
function stretchEnds(moments: readonly Moment[]): readonly number[] {
  const ends: number[] = []
  let sounding = 0
  moments.forEach(({ rest, target }, m) => {
    if (!rest) sounding += 1
    const next = moments[m + 1]
    if (sounding < stretchNotes || target === null || !next || next.rest || next.target !== null) return
    ends.push(m)
    sounding = 1
  })
  return [...ends, moments.length - 1]
}

/**
 * Draws a line through its lattice by seed, exactly under its targets, leaning away from figures just used and from notes that
 * go back and forth; null where no line keeps the range.
 */
export function drawLine(laid: LineLattice, seed: number): DrawnLine | null {
  const { lattice, midiOf, figures } = laid
  const path = samplePath(lattice, randomFrom(seed), (_node, to, label, soFar) => {
    if (label >= 0) {
      const offsets = figures[label]!.offsets
      if (offsets.length < 2) return 1
      let seen = 0
      for (let i = soFar.length - 1; i >= 0 && seen < lately; i--) {
        const before = soFar[i]!.label
        if (before === undefined || before < 0) continue
        seen += 1
        if (sameOffsets(figures[before]!.offsets, offsets)) return seen === 1 ? sameAgain : sameLately
      }
      return 1
    }
    const midi = (back: number) => {
      const step = soFar[soFar.length - back]
      return step && step.label !== undefined && step.label < 0
        ? midiOf[lattice.layerStart[step.layer]! + step.node]!
        : null
    }
    // A, B, A, B: the second return is what makes it a rut.
    return midi(2) === midiOf[to] && midi(1) === midi(3) && midi(1) !== null ? 0.1 : 1
  })
  return path && readLine(laid, path)
}

/** The cheapest line, exactly: dull to play (it runs up and down), but a measure for the others. */
export function cheapestLine(laid: LineLattice): DrawnLine | null {
  const path = bestPath(laid.lattice)
  return path && readLine(laid, path)
}

const sameOffsets = (a: readonly number[], b: readonly number[]) =>
  a.length === b.length && a.every((o, i) => o === b[i])

function readLine(laid: LineLattice, path: Path): DrawnLine {
  const { lattice, midiOf, figures, moments } = laid
  const notes: DrawnNote[] = []
  const used: DrawnFigure[] = []
  for (const { layer, node, label } of path.steps.slice(1)) {
    const midi = midiOf[lattice.layerStart[layer]! + node]!
    // A layer of the lattice is one higher than its place among the sounding moments: the silence comes first.
    const moment = moments[layer - 1]!
    const figure = label !== undefined && label >= 0 ? figures[label]! : null
    if (figure?.kind === 'cell') {
      used.push(figure)
      const root = midi - figure.offsets.at(-1)!
      for (let i = 1; i < figure.offsets.length; i++)
        notes.push({
          moment: moments[layer - figure.offsets.length + i]!,
          midi: root + figure.offsets[i]!,
          figure: used.length - 1,
        })
      continue
    }
    if (figure) {
      notes.pop()
      used.push(figure)
      figure.offsets.forEach((offset, i) => {
        notes.push({
          moment: moments[layer - figure.offsets.length + i - 1]!,
          midi: midi + offset,
          figure: used.length - 1,
        })
      })
    }
    notes.push({ moment, midi, figure: null })
  }
  return { notes, figures: used, cost: path.cost }
}
