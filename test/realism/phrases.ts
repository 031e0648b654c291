/**
 * How lines are cut into phrases, where they go and what comes back, beside real solos. The solos' figures stand in
 * test/data/phrases.json: 117 solos in swing, bebop, cool and hard bop styles, by tempo. Source: the event table of the Weimar Jazz
 * Database (Jazzomat Research Project) as carried by the R data package jazzodata 0.1.4, MIT licence.
 */
import { readFileSync } from 'node:fs'
import type { Draft } from '../../lib/line/draftLine.ts'

/** An onset: quarter beats from the first bar line, and MIDI. */
export type Onset = readonly [time: number, midi: number]

/** What is counted of lines in 4/4. */
export interface PhraseCounts {
  /** Phrases by the eighth of the bar on which they start and end. */
  readonly start: readonly number[]
  readonly end: readonly number[]
  /** Their length in beats, the silence after them, and moves over eight eighths, each in classes. */
  readonly span: readonly number[]
  readonly gap: readonly number[]
  readonly move: readonly number[]
  readonly shift: readonly number[]
  readonly range16: number
  readonly moveSmall: number
  readonly moveWide: number
  readonly barsEmpty: number
  readonly barsWithDownbeat: number
  readonly offbeatHeldOver: number
  /** How much likelier a shape of five notes comes again within four bars than fourteen bars and more on. */
  readonly shapeAgain: number
}

export const distances = ['start', 'end', 'span', 'gap', 'move', 'shift'] as const

/** The same of real solos, by tempo: slow under 100, medium under 140, fast from 140. */
export const solosBy: Readonly<Record<'slow' | 'medium' | 'fast', PhraseCounts>> = JSON.parse(
  readFileSync('test/data/phrases.json', 'utf8'),
)

/** The onsets of a draft. */
export const onsetsOf = ({ notes, moments }: Draft): readonly Onset[] =>
  notes.map(({ moment, midi }) => [moments[moment]!.start / 24, midi])

const bar = 4
/** A phrase ends where the next onset is further away than this, and has three notes or more. */
const breath = 1.25
/** Upper limits of the classes, the last without one. */
const classes = {
  span: [2, 4, 6, 8, 12, 16, 24],
  gap: [2, 2.5, 3, 4, 6],
  move: [1, 3, 5, 8, 12],
  shift: [-11, -7, -4, -2, 0, 1, 3, 5, 8, 12],
} as const

/** The eighth of the bar that an onset is heard on: three eighths of a beat late it is on the beat still. */
export const eighthOf = (time: number): number => {
  const eighths = Math.floor(2 * time + 0.25) % (2 * bar)
  return eighths < 0 ? eighths + 2 * bar : eighths
}

/** Cuts a list wherever two neighbours do not belong together. */
function cut<T>(list: readonly T[], together: (a: T, b: T) => boolean): readonly (readonly T[])[] {
  const parts: T[][] = []
  list.forEach((each, i) => {
    if (i > 0 && together(list[i - 1]!, each)) parts.at(-1)!.push(each)
    else parts.push([each])
  })
  return parts
}

export const phrasesIn = (piece: readonly Onset[]): readonly (readonly Onset[])[] =>
  cut(piece, ([a], [b]) => b - a <= breath).filter(({ length }) => length >= 3)

const runsIn = (piece: readonly Onset[]) => cut(piece, ([a], [b]) => b - a >= 0.33 && b - a <= 0.72)

const histogram = (values: readonly number[], limits: readonly number[]): readonly number[] => {
  const counts = Array<number>(limits.length + 1).fill(0)
  for (const value of values) counts[limits.filter((limit) => value >= limit).length]! += 1
  return counts
}
const perEighth = (times: readonly number[]): readonly number[] => {
  const counts = Array<number>(2 * bar).fill(0)
  for (const time of times) counts[eighthOf(time)]! += 1
  return counts
}
const share = <T>(list: readonly T[], test: (each: T) => boolean) => list.filter(test).length / list.length
const middle = (values: readonly number[]) =>
  [...values].sort((a, b) => a - b)[Math.floor(values.length / 2)] ?? Number.NaN
const neighbours = <T>(list: readonly T[]) => list.slice(1).map((each, i) => [list[i]!, each] as const)

export function countPhrases(pieces: readonly (readonly Onset[])[]): PhraseCounts {
  const phrased = pieces.map(phrasesIn)
  const phrases = phrased.flat()
  const first = (phrase: readonly Onset[]) => phrase[0]![0]
  const last = (phrase: readonly Onset[]) => phrase.at(-1)![0]
  const runs = pieces.flatMap(runsIn)
  const eights = runs.flatMap((run) => run.slice(8).map(([, midi], i) => [run[i]![0], midi - run[i]![1]] as const))
  const moves = eights.filter(([time]) => eighthOf(time) === 0).map(([, shift]) => Math.abs(shift))
  const ranges = runs.flatMap((run) =>
    run.slice(15).map((_, i) => {
      const pitches = run.slice(i, i + 16).map(([, midi]) => midi)
      return Math.max(...pitches) - Math.min(...pitches)
    }),
  )
  const steps = phrases.flatMap(neighbours)
  const offbeats = steps.filter(([[time]]) => eighthOf(time) % 2 === 1)
  return {
    start: perEighth(phrases.map(first)),
    end: perEighth(phrases.map(last)),
    span: histogram(
      phrases.map((phrase) => last(phrase) - first(phrase)),
      classes.span,
    ),
    gap: histogram(
      phrased.flatMap(neighbours).map(([a, b]) => first(b) - last(a)),
      classes.gap,
    ),
    move: histogram(moves, classes.move),
    shift: histogram(
      eights.map(([, shift]) => shift),
      classes.shift,
    ),
    range16: middle(ranges),
    moveSmall: share(moves, (move) => move <= 2),
    moveWide: share(moves, (move) => move >= 5),
    ...countBars(pieces),
    offbeatHeldOver: share(offbeats, ([[a], [b]]) => b - a > 0.85),
    shapeAgain: shapesAgain(pieces),
  }
}

/** Bars from a piece's first to its last: without a note, and with one on beat 1. */
function countBars(pieces: readonly (readonly Onset[])[]): Pick<PhraseCounts, 'barsEmpty' | 'barsWithDownbeat'> {
  const barAt = (time: number) => Math.floor((time + 0.125) / bar)
  let [all, empty, met] = [0, 0, 0]
  for (const piece of pieces.filter(({ length }) => length > 0)) {
    const bars = barAt(piece.at(-1)![0]) - barAt(piece[0]![0]) + 1
    all += bars
    empty += bars - new Set(piece.map(([time]) => barAt(time))).size
    met += new Set(piece.filter(([time]) => eighthOf(time) === 0).map(([time]) => barAt(time))).size
  }
  return { barsEmpty: empty / all, barsWithDownbeat: met / all }
}

/** The contour and rhythm of five notes: steps, thirds and wider, with direction; eighths between onsets. */
const shapeOf = (five: readonly Onset[]): string =>
  neighbours(five)
    .map(([[a, low], [b, high]]) => {
      const size = Math.abs(high - low)
      const kind = size === 0 ? 0 : size <= 2 ? 1 : size <= 4 ? 2 : 3
      return `${Math.sign(high - low) * kind}/${Math.round(2 * (b - a))}`
    })
    .join(' ')

function shapesAgain(pieces: readonly (readonly Onset[])[]): number {
  let [soon, late] = [0, 0]
  for (const piece of pieces) {
    const end = piece.at(-1)?.[0] ?? 0
    const shapes = phrasesIn(piece).flatMap((phrase) =>
      phrase.slice(4).map((_, i) => [phrase[i]![0], shapeOf(phrase.slice(i, i + 5))] as const),
    )
    const times = new Map<string, number[]>()
    for (const [time, shape] of shapes) times.set(shape, [...(times.get(shape) ?? []), time])
    for (const [time, shape] of shapes) {
      if (time + 72 > end) continue
      const later = times.get(shape)!.map((other) => other - time)
      if (later.some((away) => away >= 1.9 && away <= 16.1)) soon += 1
      if (later.some((away) => away >= 55.9 && away <= 70.1)) late += 1
    }
  }
  return soon / late
}

/** Jensen-Shannon divergence of two lists of counts, in bits; 1 where one of them is empty. */
export function apart(a: readonly number[], b: readonly number[]): number {
  const [sumA, sumB] = [a, b].map((list) => list.reduce((x, y) => x + y, 0)) as [number, number]
  if (sumA === 0 || sumB === 0) return 1
  const half = (p: number, q: number) => (p === 0 ? 0 : (p / 2) * Math.log2((2 * p) / (p + q)))
  return a.reduce((bits, n, i) => bits + half(n / sumA, b[i]! / sumB) + half(b[i]! / sumB, n / sumA), 0)
}
