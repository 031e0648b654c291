/** Practising: what is played pass after pass, as plain data that follows from a few choices. */
import { limits, type TempoStep } from '../brief.ts'
import type { Key } from '../theory/key.ts'

export interface Practice {
  /** Quarter notes a minute on the first pass. */
  readonly tempo: number
  /** The bars practised, counted from 1, both included. */
  readonly bars: readonly [number, number]
  /** How many passes; 0 goes on until stopped; null once, or once through the keys where the key changes. */
  readonly passes: number | null
  readonly faster: TempoStep | null
  /** The pass, from 0, that has the tempo and from which it climbs, where that is not the first: the tempo was changed there. */
  readonly climbFrom?: number
  /** The tempo where rising or falling stops. */
  readonly goal: number | null
  /** The keys in their order; the first is where practising starts. */
  readonly keys: readonly Key[]
  /** The next key after so many passes; 0 stays. */
  readonly keyAfter: number
  /** The line rests on every second pass. */
  readonly lineOut: boolean
  /** One bar at a time, then two, then four, then all; each stretch takes the passes, and the key changes after all of them. */
  readonly build: boolean
  /** Three passes: the line alone and slow, with the band at the tempo, then the band alone. */
  readonly demonstration: boolean
  /** Bars of rest between passes. */
  readonly rest: number
  /** Bars counted in: before the first pass, and at the end of each rest that is long enough. */
  readonly countIn: number
  /** Whether notes stand before the first bar, which need a bar to sound in. */
  readonly pickup?: boolean
}

export interface Pass {
  /** From 0. */
  readonly index: number
  readonly bars: readonly [number, number]
  readonly tempo: number
  readonly key: Key
  /** Which of the keys it is, from 0. */
  readonly keyIndex: number
  readonly lineOut: boolean
  readonly bandOut: boolean
  /** Nothing comes after it: the band comes to rest. */
  readonly ends: boolean
  /** Bars before it, of which the last `countIn` are clicked. */
  readonly lead: number
  readonly countIn: number
  /** The next pass begins with the same bar at once, so the end may lead there. */
  readonly round: boolean
}

/**
 * The tempo of the n-th pass, from 0: the first one's, moved n times, within the limits and never past the goal.
 *
 * @example
 * tempoOfPass({ tempo: 100, faster: { by: 5, unit: '%' }, goal: null }, 2) // => 110.25
 * tempoOfPass({ tempo: 100, faster: { by: -8, unit: 'beats' }, goal: 90 }, 3) // => 90
 */
export function tempoOfPass({ tempo, faster, goal }: Pick<Practice, 'tempo' | 'faster' | 'goal'>, n: number): number {
  if (!faster || faster.by === 0) return tempo
  const [slowest, quickest] = limits.tempo
  const up = faster.by > 0
  // A goal on the other side of the start is none.
  const stop = goal !== null && goal > tempo === up ? goal : up ? quickest : slowest
  let now = tempo
  for (let i = 0; i < n && now !== stop; i++) {
    now = faster.unit === '%' ? now * (1 + faster.by / 100) : now + faster.by
    if (up ? now >= stop : now <= stop) now = stop
  }
  return now
}

/**
 * The stretches of bars that practising goes through: one bar at a time, then two, then four, then all of them.
 *
 * @example
 * stretchesOf([5, 7]) // => [[5, 5], [6, 6], [7, 7], [5, 6], [7, 7], [5, 7]]
 */
export function stretchesOf([from, to]: readonly [number, number]): readonly (readonly [number, number])[] {
  const length = to - from + 1
  const sizes = [1, 2, 4].filter((size) => size < length)
  const groups = sizes.flatMap((size) =>
    Array.from({ length: Math.ceil(length / size) }, (_, i): readonly [number, number] => [
      from + i * size,
      Math.min(to, from + (i + 1) * size - 1),
    ]),
  )
  return [...groups, [from, to]]
}

/** What the pass at an index, from 0, is; null when practising is over. Any pass can be asked for without the ones before. */
export function passAt(practice: Practice, index: number): Pass | null {
  if (practice.demonstration) return demonstrationPass(practice, index)
  const { keys, keyAfter, passes } = practice
  const stretches = practice.build ? stretchesOf(practice.bars) : [practice.bars]
  // A round is every stretch once through its passes; without building it is one pass.
  const times = practice.build ? (passes ?? 1) || 1 : 1
  const perRound = stretches.length * times
  const round = Math.floor(index / perRound)
  const inRound = index - round * perRound
  const rounds = keyAfter > 0 ? keyAfter * keys.length : 1
  const endless = passes === 0
  const most = practice.build || passes === null ? rounds * perRound : passes
  if (index < 0 || (!endless && index >= most)) return null
  const n = practice.build ? inRound % times : index
  const base = practice.climbFrom ?? 0
  const sameStretch = Math.floor(index / times) === Math.floor(base / times)
  const climbed = practice.build ? n - (sameStretch ? base % times : 0) : index - base
  const keyIndex = keyAfter > 0 ? Math.floor(round / keyAfter) % keys.length : 0
  const place = stretches[Math.floor(inRound / times)]!
  const lead = index === 0 ? Math.max(practice.countIn, practice.pickup ? 1 : 0) : practice.rest
  const isLast = !endless && index === most - 1
  const staysPut = !practice.build || n < times - 1
  const sameKey = keyAfter === 0 || (index + 1) % (perRound * keyAfter) !== 0
  return {
    index,
    bars: place,
    tempo: tempoOfPass(practice, Math.max(0, climbed)),
    key: keys[keyIndex]!,
    keyIndex,
    lineOut: practice.lineOut && n % 2 === 1,
    bandOut: false,
    ends: isLast,
    lead,
    countIn: Math.min(practice.countIn, lead),
    round: practice.rest === 0 && staysPut && sameKey && !isLast,
  }
}

/** How much slower than the tempo a line is first shown. */
const slowly = 0.6

/**
 * The passes of a demonstration, each counted in: the line alone at three fifths of the tempo, line and band at the tempo, the band alone; so in
 * each key where the key changes.
 */
function demonstrationPass(practice: Practice, index: number): Pass | null {
  const { bars, keys, keyAfter, tempo } = practice
  const times = keyAfter > 0 ? keys.length : 1
  if (index < 0 || index >= 3 * times) return null
  const turn = index % 3
  const keyIndex = Math.floor(index / 3)
  const lead = Math.max(1, practice.countIn)
  return {
    index,
    bars,
    tempo: turn === 0 ? Math.max(limits.tempo[0], Math.round(slowly * tempo)) : tempo,
    key: keys[keyIndex]!,
    keyIndex,
    lineOut: turn === 2,
    bandOut: turn === 0,
    ends: turn > 0,
    lead,
    countIn: lead,
    round: false,
  }
}
