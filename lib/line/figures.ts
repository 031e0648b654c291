/** Figures: what an approach or a cell is, what it is called, how it sounds on a chord, and how often players were counted using it. */

import type { ApproachKind } from '../brief.ts'
import { fixed } from '../fixed.ts'
import { type Chord, familyOf } from '../theory/chord.ts'
import {
  packedApproaches,
  packedApproachesByTarget,
  packedBigrams,
  packedCells,
  packedIntervals,
  packedTextbook,
} from './soloCounts.ts'

/** Every kind that an approach can be; `mixed` is what fits none of the four. */
export type FigureKind = ApproachKind | 'mixed'

/** How much recordings use a textbook enclosure. */
export type Verdict = 'dead' | 'rare' | 'used' | 'common'

const unpack = (packed: string, between = ','): readonly (readonly [string, string])[] =>
  packed.split(between).map((entry) => {
    const colon = entry.lastIndexOf(':')
    return [entry.slice(0, colon), entry.slice(colon + 1)] as const
  })
const numbers = (packed: string): ReadonlyMap<string, number> =>
  new Map(unpack(packed).map(([key, count]) => [key, Number(count)]))

const approachCounts = numbers(packedApproaches)
const approachCountsByTarget = numbers(packedApproachesByTarget)
const verdicts: ReadonlyMap<string, Verdict> = new Map(unpack(packedTextbook).map(([key, v]) => [key, v as Verdict]))
/** Signed semitones between neighbouring eighths, counted. */
export const intervalCounts = numbers(packedIntervals)
/** Pairs of intervals that follow each other, as `first second`, counted. */
export const bigramCounts = numbers(packedBigrams)

const keyOf = (offsets: readonly number[]) => offsets.join(' ')

/**
 * The kind of an approach from its offsets, semitones from the target in playing order. Enclosure: notes above and below, all
 * within three semitones. Chromatic: a chain of semitones from one side. Scale: whole and half steps from one side. Arpeggio:
 * every interval a third or more. Definitions as in the counts.
 *
 * @example
 * figureKind([2, -1]) // => 'enclosure'
 * figureKind([-2, -1]) // => 'chromatic'
 * figureKind([4, 2]) // => 'scale'
 * figureKind([7, 4]) // => 'arpeggio'
 * figureKind([-1, -3]) // => 'mixed'
 */
export function figureKind(offsets: readonly number[]): FigureKind {
  const moves = offsets.map((offset, i) => (offsets[i + 1] ?? 0) - offset)
  const above = offsets.some((o) => o > 0)
  const below = offsets.some((o) => o < 0)
  if (above && below && offsets.every((o) => Math.abs(o) <= 3)) return 'enclosure'
  const oneWay = moves.every((m) => m > 0) || moves.every((m) => m < 0)
  if (oneWay && moves.every((m) => Math.abs(m) === 1)) return 'chromatic'
  if (oneWay && moves.every((m) => Math.abs(m) <= 2)) return 'scale'
  if (moves.every((m) => Math.abs(m) >= 3)) return 'arpeggio'
  return 'mixed'
}

/** On which sides of the target the notes lie, those that follow each other on one side together. */
function saySides(offsets: readonly number[]): string {
  const runs: { readonly side: string; count: number }[] = []
  for (const offset of offsets) {
    const side = offset > 0 ? 'above' : offset < 0 ? 'below' : 'on it'
    if (runs.at(-1)?.side === side) runs.at(-1)!.count += 1
    else runs.push({ side, count: 1 })
  }
  const said = runs.map(({ side, count }) => ['', '', 'two ', 'three '][count] + side)
  return [said.slice(0, -1).join(', '), said.at(-1)].filter((each) => each !== '').join(' then ')
}

/**
 * What a player calls an approach. An enclosure says its sides in playing order.
 *
 * @example
 * approachName([2, -1]) // => 'enclosure, above then below'
 * approachName([3, 1, -2, -1]) // => 'enclosure, two above then two below'
 * approachName([-2, -1]) // => 'chromatic from below'
 * approachName([-1]) // => 'half step from below'
 */
export function approachName(offsets: readonly number[]): string {
  const first = offsets[0]!
  const side = first > 0 ? 'from above' : 'from below'
  if (offsets.length === 1) {
    const size = Math.abs(first)
    if (size === 0) return 'repeated note'
    return `${size === 1 ? 'half step' : size === 2 ? 'whole step' : size <= 4 ? 'third' : 'leap'} ${side}`
  }
  switch (figureKind(offsets)) {
    case 'enclosure':
      return `enclosure, ${saySides(offsets)}`
    case 'chromatic':
      return `chromatic ${side}`
    case 'scale':
      return `scale ${side}`
    case 'arpeggio':
      return `arpeggio ${side}`
    default:
      return `free approach ${side}`
  }
}

/**
 * How often exactly these offsets led into a chord tone on beat 1 or 3.
 *
 * @example
 * approachCount([3, 1, -2, -1]) // => 12
 */
export const approachCount = (offsets: readonly number[]): number => approachCounts.get(keyOf(offsets)) ?? 0

/** The textbook's enclosures carry a verdict; other figures none. */
export const verdictOf = (offsets: readonly number[]): Verdict | null => verdicts.get(keyOf(offsets)) ?? null

/** Whether an approach is left out unless textbook figures are asked for: an enclosure that recordings hardly hold. */
export const hardlyPlayed = (offsets: readonly number[]): boolean => {
  const verdict = verdictOf(offsets)
  return verdict === 'dead' || verdict === 'rare'
}

/** An approach of the catalogue: its offsets, kind and share among approaches of as many notes. */
export interface Approach {
  readonly offsets: readonly number[]
  readonly kind: FigureKind
  readonly count: number
  /** Of all approaches of its kind and length, smoothed by what shorter figures say; sums to one over the catalogue. */
  readonly share: number
}

const totalIntervals = [...intervalCounts.values()].reduce((a, b) => a + b, 0)
/** The probability of an interval between neighbouring eighths. */
export const intervalShare = (semitones: number): number =>
  ((intervalCounts.get(String(semitones)) ?? 0) + 0.5) / (totalIntervals + 20)

const afterInterval: ReadonlyMap<number, number> = [...bigramCounts].reduce((sums, [pair, count]) => {
  const first = Number(pair.split(' ')[0])
  return sums.set(first, (sums.get(first) ?? 0) + count)
}, new Map<number, number>())

/** The probability of an interval given the one before it, smoothed by its own share. */
export function intervalShareAfter(semitones: number, before: number): number {
  const weight = 8
  const pair = bigramCounts.get(`${before} ${semitones}`) ?? 0
  return (pair + weight * intervalShare(semitones)) / ((afterInterval.get(before) ?? 0) + weight)
}

/** How much a figure of three or four notes leans on its own count, against what its last notes say. */
const ownWeight = 12

function catalogue(): readonly (readonly Approach[])[] {
  const byLength: Approach[][] = [[]]
  let shorter = new Map<string, number>([['', 1]])
  for (let k = 1; k <= 4; k++) {
    const rows = [...approachCounts].map(([key, count]) => ({ offsets: key.split(' ').map(Number), count }))
    const counted = rows.filter(({ offsets }) => offsets.length === k)
    const all = counted.reduce((sum, { count }) => sum + count, 0)
    const tried = new Map(counted.map(({ offsets, count }) => [keyOf(offsets), { offsets, count }]))
    // Figures that no one was counted playing, but whose last notes many were: one note more in front.
    if (k >= 3)
      for (const key of shorter.keys())
        for (const move of [-4, -3, -2, -1, 1, 2, 3, 4]) {
          const tail = key.split(' ').map(Number)
          const offsets = [tail[0]! - move, ...tail]
          if (!tried.has(keyOf(offsets))) tried.set(keyOf(offsets), { offsets, count: 0 })
        }
    for (const offsets of [...verdicts.keys()].map((key) => key.split(' ').map(Number)))
      if (offsets.length === k && !tried.has(keyOf(offsets))) tried.set(keyOf(offsets), { offsets, count: 0 })
    const shares = [...tried.values()].map(({ offsets, count }) => {
      const tail = shorter.get(keyOf(offsets.slice(1))) ?? 0
      const into = (offsets[1] ?? 0) - offsets[0]!
      const next = k === 1 ? 0 : (offsets[2] ?? 0) - offsets[1]!
      const expected = k === 1 ? 0 : tail * (intervalShareAfter(next, into) / intervalShare(next)) * intervalShare(into)
      return { offsets, count, kind: figureKind(offsets), share: (count + ownWeight * expected) / (all + ownWeight) }
    })
    byLength.push(shares)
    shorter = new Map(shares.filter(({ count }) => count >= 2).map(({ offsets, share }) => [keyOf(offsets), share]))
  }
  // Shares within kind and length, so that a brief can set the kinds' own shares.
  return byLength.map((rows) => {
    const sums = rows.reduce(
      (m, row) => m.set(row.kind, (m.get(row.kind) ?? 0) + row.share),
      new Map<FigureKind, number>(),
    )
    return rows.map((row) => ({ ...row, share: row.share / sums.get(row.kind)! }))
  })
}

/** Every approach worth trying, by its number of notes, 1 to 4. */
export const approaches: readonly (readonly Approach[])[] = fixed(catalogue())

/** The qualities by which the counts tell targets apart. */
export type CountedQuality = 'dom' | 'major' | 'minor' | 'hdim'

const byTargetTotals = [...approachCountsByTarget].reduce((sums, [key, count]) => {
  const [quality, degree, ...offsets] = key.split(' ')
  const total = `${quality} ${degree} ${offsets.length}`
  return sums.set(total, (sums.get(total) ?? 0) + count)
}, new Map<string, number>())

const countedAs: Readonly<Record<string, CountedQuality>> = {
  major: 'major',
  minor: 'minor',
  'minor-major': 'minor',
  dominant: 'dom',
  sus: 'dom',
  'half-diminished': 'hdim',
}

/** The quality under which the counts know a chord; null where they are silent. */
export const countedQuality = (chord: Chord): CountedQuality | null => countedAs[familyOf(chord)] ?? null

/** How often a degree (its number, 9 as 2) of a quality was landed on with two notes leading in. */
export const landingCount = (quality: CountedQuality | null, number: number): number =>
  byTargetTotals.get(`${quality} ${((number - 1) % 7) + 1} 2`) ?? 0

/** How much likelier an approach is on this degree of this chord than anywhere: 1 where the counts are silent. */
export function leaningTo(
  quality: CountedQuality | null,
  degreeNumber: number,
  approach: Pick<Approach, 'offsets' | 'count'>,
): number {
  if (quality === null) return 1
  const { offsets } = approach
  const here = approachCountsByTarget.get(`${quality} ${degreeNumber} ${keyOf(offsets)}`) ?? 0
  const all = byTargetTotals.get(`${quality} ${degreeNumber} ${offsets.length}`) ?? 0
  const anywhere = approach.count / (lengthTotals[offsets.length] ?? 1) + 1e-4
  const weight = 25
  return (here + weight * anywhere) / (all + weight) / anywhere
}

const lengthTotals = [...approachCounts].reduce((sums, [key, count]) => {
  const k = key.split(' ').length
  sums[k] = (sums[k] ?? 0) + count
  return sums
}, [] as number[])

/** A cell of the catalogue: scale steps from the note it starts on, named as if that note were the root. */
export interface Cell {
  readonly name: string
  readonly steps: readonly number[]
  readonly count: number
}

/** Cells in order of how often they were counted, beats 1 and 3 together. */
export const cells: readonly Cell[] = fixed(
  unpack(packedCells).map(([key, count]) => {
    const equals = key.indexOf('=')
    return {
      name: key.slice(0, equals),
      steps: key
        .slice(equals + 1)
        .split(' ')
        .map(Number),
      count: Number(count),
    }
  }),
)

const cellsBySteps: ReadonlyMap<string, Cell> = new Map(cells.map((cell) => [keyOf(cell.steps), cell]))

/**
 * The cell of four diatonic notes given as scale steps from the first; null where nobody was counted playing it.
 *
 * @example
 * cellOf([0, 1, 2, 4]).name // => '1-2-3-5'
 */
export const cellOf = (steps: readonly number[]): Cell | null => cellsBySteps.get(keyOf(steps)) ?? null

/** The cells of these names, in order of how often they were counted; a name that was not counted has none. */
export const cellsNamed = (names: readonly string[]): readonly Cell[] =>
  cells.filter(({ name }) => names.includes(name))

/**
 * A cell's name from its scale steps, as if it started on the root: what only goes down counts from the octave, and what lies below
 * a root that the cell also rises from has a sign before it.
 *
 * @example
 * nameOfSteps([0, -1, -2, -3]) // => '8-7-6-5'
 * nameOfSteps([0, 1, -1, 0]) // => '1-2-_7-1'
 */
export function nameOfSteps(steps: readonly number[]): string {
  const falls = steps.some((step) => step < 0) && steps.every((step) => step <= 0)
  return steps.map((step) => (falls ? step + 8 : step < 0 ? `_${step + 8}` : step + 1)).join('-')
}

/** Every ordered enclosure of two to four notes within three semitones, as books list them: offsets as text. */
export const textbookEnclosures: readonly string[] = [...verdicts.keys()]
