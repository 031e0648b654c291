/** What a chord can be in a key: the table of functions, how well each kind of chord fits there, and how they lead on. */
import { type Chord, familyOf, has } from '../theory/chord.ts'
import { numberOf } from '../theory/degree.ts'
import type { Key } from '../theory/key.ts'

/** Kinds of chord that a listener takes differently when hearing a key. */
export type Kind = 'maj7' | 'triad' | 'aug' | 'm7' | 'm' | 'm6' | 'half-dim' | 'dim' | 'dominant' | 'sus' | 'power'

/** The kind of a chord: a sixth counts as a major seventh, m6 and m(maj7) are minor tonics, a sus chord is a dominant in waiting. */
export function harmonicKind(chord: Chord): Kind {
  const seventh = chord.degrees.some((degree) => numberOf(degree) === 7 || numberOf(degree) === 6)
  switch (familyOf(chord)) {
    case 'dominant':
      return 'dominant'
    case 'augmented':
      return 'aug'
    case 'major':
      return seventh ? 'maj7' : 'triad'
    case 'minor-major':
      return 'm6'
    case 'minor':
      return has(chord, 'b7') ? 'm7' : has(chord, '6') ? 'm6' : 'm'
    case 'half-diminished':
      return 'half-dim'
    case 'diminished':
      return 'dim'
    case 'sus':
      return has(chord, '7') || (has(chord, '2') && !has(chord, '4') && !has(chord, 'b7')) ? 'triad' : 'sus'
    case 'power':
      return 'power'
  }
}

type Fits = Readonly<Partial<Record<Kind, number>>>

/**
 * For each mode, the semitones of a chord's root above the tonic, and what it costs (in nats, judged by ear and by the labelled
 * progressions of the tests) to hear each kind of chord there. What is missing is not heard in the key at all.
 */
const fits: Readonly<Record<Key['mode'], readonly Fits[]>> = {
  major: [
    { maj7: 0, triad: 0, power: 0, dominant: 0.7, sus: 1.1, dim: 0.9, aug: 0.8 },
    { dominant: 0.9, maj7: 1.3, triad: 1.6, dim: 0.6, aug: 1.4 },
    { m7: 0, m: 0.2, m6: 0.5, 'half-dim': 0.9, dominant: 0.7, triad: 0.9, sus: 0.9, dim: 1.4, power: 1, aug: 0.8 },
    { dim: 0.7, maj7: 1.3, triad: 1.4, dominant: 1.2, m7: 2, aug: 1.2 },
    { m7: 0.3, m: 0.4, dominant: 0.8, 'half-dim': 1, triad: 2.2, sus: 1.3, power: 1, aug: 0.9 },
    { maj7: 0.1, triad: 0.1, dominant: 0.7, m7: 0.8, m: 0.8, m6: 0.6, sus: 1.2, power: 0.6, aug: 0.8 },
    { 'half-dim': 0.9, dim: 0.6, dominant: 1.6, aug: 1.4 },
    { dominant: 0, sus: 0, triad: 0.3, m7: 1, m: 1.2, power: 0.3, aug: 0.3 },
    { dominant: 1, maj7: 1.3, triad: 1.4, dim: 0.7, aug: 1.2 },
    { m7: 0.2, m: 0.2, dominant: 0.7, 'half-dim': 1.3, triad: 2, sus: 1.2, power: 0.8, aug: 0.8 },
    { dominant: 0.9, maj7: 1.3, triad: 1.5, aug: 1.2 },
    { 'half-dim': 0.6, dim: 0.3, dominant: 1, m7: 1.5, aug: 1.1 },
  ],
  minor: [
    { m: 0, m6: 0, m7: 0.2, dominant: 1, power: 0.2, dim: 1, aug: 0.9 },
    { maj7: 0.8, dominant: 0.8, triad: 1, aug: 1.4 },
    { 'half-dim': 0, m7: 0.8, m: 1, dominant: 0.8, dim: 0.3, aug: 0.9 },
    { maj7: 0.7, triad: 0.7, dominant: 1.4, aug: 0.5 },
    { dim: 0.9, aug: 1.3 },
    { m7: 0.2, m: 0.2, m6: 0.3, dominant: 0.6, triad: 0.9, power: 0.6, aug: 0.8 },
    { dim: 0.7, 'half-dim': 1, dominant: 1.2, aug: 1.4 },
    { dominant: 0, sus: 0.1, triad: 0.4, m7: 0.6, m: 0.6, power: 0.4, aug: 0.2 },
    { maj7: 0.3, triad: 0.3, dominant: 0.5, aug: 0.9 },
    { 'half-dim': 0.6, dim: 0.8, aug: 1.3 },
    { dominant: 0.5, triad: 0.5, maj7: 1.6, m7: 1.4, aug: 0.8 },
    { dim: 0.1, 'half-dim': 1.1, dominant: 1.1, aug: 1.0 },
  ],
}

/** A chord heard in a key: the mode, the root's semitones above the tonic, and what hearing it so costs. */
export interface Reading {
  readonly mode: Key['mode']
  readonly above: number
  readonly cost: number
  /** One of a ii–V that stands in for another a tritone away. */
  readonly substitute?: true
}

const readingsByKind = new Map<Kind, readonly Reading[]>()

/**
 * Every key a chord of a kind can be heard in, by its place there.
 *
 * @example
 * readingsOf('half-dim').map((each) => each.mode + ' ' + each.above)
 * // => ['major 2', 'major 4', 'major 6', 'major 9', 'major 11', 'minor 2', 'minor 6', 'minor 9', 'minor 11']
 */
export function readingsOf(kind: Kind): readonly Reading[] {
  const known = readingsByKind.get(kind)
  if (known) return known
  const readings = (['major', 'minor'] as const).flatMap((mode) =>
    fits[mode].flatMap((fit, above) => (fit[kind] === undefined ? [] : [{ mode, above, cost: fit[kind] }])),
  )
  readingsByKind.set(kind, readings)
  return readings
}

/** Whether a chord of a kind leads on as a dominant does. */
export const isDominant = (kind: Kind): boolean => kind === 'dominant' || kind === 'sus' || kind === 'aug'
const isMinorTonic = (kind: Kind) => kind === 'm' || kind === 'm6' || kind === 'm7'
const isMajorTonic = (kind: Kind) => kind === 'maj7' || kind === 'triad'

/** A chord as the lattice sees it: its root, its kind, and how many bars it lasts. */
export interface Sound {
  readonly root: number
  readonly kind: Kind
  readonly bars: number
  /** Whether a section starts here. */
  readonly opens: boolean
}

/** Fifths between the signatures of two keys, 0 to 6. */
function distance(tonicA: number, modeA: Key['mode'], tonicB: number, modeB: Key['mode']): number {
  const a = modeA === 'minor' ? tonicA + 3 : tonicA
  const b = modeB === 'minor' ? tonicB + 3 : tonicB
  const fifths = ((b - a + 24) * 7) % 12
  return Math.min(fifths, 12 - fifths)
}

const isTonic = (reading: Reading, kind: Kind) =>
  reading.above === 0 && (isMajorTonic(kind) || isMinorTonic(kind) || kind === 'power' || kind === 'dominant')

/**
 * What it costs to go from one chord, heard one way, to the next, heard another: dearer for far keys, cheaper after an arrival;
 * rewards (negative) for the motions a listener follows.
 */
function motionCost(from: Sound, a: Reading, to: Sound, b: Reading): number {
  const up = (to.root - from.root + 12) % 12
  const tonicA = (from.root - a.above + 12) % 12
  const tonicB = (to.root - b.above + 12) % 12
  if (tonicA !== tonicB || a.mode !== b.mode) {
    const parallel = tonicA === tonicB
    const setsOut = b.above === 2 && (to.kind === 'm7' || to.kind === 'half-dim')
    let cost = parallel ? 1.4 : 2.7 + 0.15 * distance(tonicA, a.mode, tonicB, b.mode)
    if (isDominant(from.kind) && up === 5) {
      // A dominant that reaches its root has done its work, whatever its arrival goes on to be.
      if (a.above !== 7) cost -= leadable[a.mode].includes((a.above + 5) % 12) ? 1 : 0
      else if (parallel) cost -= 1.2
      else cost -= setsOut && a.mode === 'minor' ? 2.4 : 0.6
    }
    if (from.kind === 'dim' && up === 1) cost -= 1.2
    if (isTonic(a, from.kind) && from.kind !== 'dominant') cost -= 0.7
    if (setsOut) cost -= 0.6
    else if (b.above === 7 && isDominant(to.kind)) cost -= 0.3
    if (to.opens) cost -= 0.5
    return cost
  }
  return -sameKeyReward(from.kind, a, to.kind, b, up)
}

/** The degrees of a key that a dominant may lead to without leaving it. */
const leadable: Readonly<Record<Key['mode'], readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9],
  minor: [0, 3, 5, 7, 8, 10],
}

function sameKeyReward(fromKind: Kind, a: Reading, toKind: Kind, b: Reading, up: number): number {
  const tonic = isTonic(b, toKind) && (b.mode === 'major' ? toKind !== 'm7' : true)
  if (isDominant(toKind) && up === 5 && a.above === 2 && b.above === 7) {
    if (fromKind === (b.mode === 'major' ? 'm7' : 'half-dim')) return 8
    if (fromKind === 'm7') return 7.2
    if (fromKind === 'm' || fromKind === 'm6' || fromKind === 'dim') return 1.6
  }
  if (isDominant(toKind) && a.above === 2 && b.above === 1 && (fromKind === 'm7' || fromKind === 'half-dim')) return 2
  if (isDominant(fromKind)) {
    if (tonic && a.above === 7) return toKind === 'dominant' ? 1.2 : 2
    if (tonic && a.above === 1) return 2.5
    if (tonic && a.above === 10 && b.mode === 'major' && isMajorTonic(toKind)) return 5.5
    if (a.above === 10 && b.above === 11) return 1
    if (a.above === 5 && b.above === 0 && toKind === 'dominant' && b.mode === 'major') return 2.2
    if (a.above === 0 && b.above === 5 && toKind === 'dominant') return b.mode === 'major' ? 1.2 : 0.6
    if (a.above === 5 && b.above === 6 && toKind === 'dim') return 0.8
    const led = isDominant(toKind) || leadable[a.mode].includes(b.above)
    if (up === 5) return led ? 1.2 : -1.5
    return up === 11 && led ? 1.2 : 0
  }
  if (fromKind === 'triad' && a.above === 7 && tonic) return 1.2
  if (fromKind === 'dim' && (up === 1 || (a.above === 6 && (tonic || b.above === 7)))) return 1.2
  if (a.above === 5 && b.above === 6 && toKind === 'dim') return 0.8
  if (fromKind === 'half-dim' && a.above === 11 && tonic) return 1
  if (a.above === 5 && b.above === 10 && isMinorTonic(fromKind) && toKind === 'dominant') return 1
  if (tonic && a.above === 5) return 0.6
  if (a.above === 0 && b.above === 5 && isMajorTonic(toKind)) return 1
  if (up === 5) return 0.4
  return a.above === 0 ? 0.2 : 0
}

/** What it costs to hear a chord so, apart from its neighbours: a chord held for long is likelier at rest than passing. */
export function restingCost(sound: Sound, reading: Reading): number {
  const { kind, bars } = sound
  if (isTonic(reading, kind) || (kind === 'sus' && reading.above === 7)) return reading.cost
  const held = Math.min(Math.max(bars - 1, 0), 7)
  if (isDominant(kind)) return reading.cost + 0.4 * held
  return reading.cost * (bars >= 4 ? 3 : 1) + 0.55 * held
}

const motions = new Map<string, Float64Array>()

/**
 * The motion costs from every reading of one chord to every reading of the next, in rows by the first: worked out once for each
 * pair of kinds and each step of the root, since nothing else matters.
 */
export function motionCosts(from: Sound, to: Sound): Float64Array {
  const name = `${from.kind} ${to.kind} ${(to.root - from.root + 12) % 12} ${to.opens}`
  const known = motions.get(name)
  if (known) return known
  const costs = readingsOf(from.kind).flatMap((a) => readingsOf(to.kind).map((b) => motionCost(from, a, to, b)))
  const table = Float64Array.from(costs)
  motions.set(name, table)
  return table
}
