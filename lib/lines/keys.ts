/** The keys of a brief: which they are, how far each lies from the tune's own, and the room that a line has to be carried there. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { randomFrom } from '../lattice/lattice.ts'
import { soundingRange } from '../line/draftLine.ts'
import { pinnedPitches, readPins, transposePins } from '../line/pins.ts'
import type { Instrument } from '../theory/instrument.ts'
import { type Key, keyAt, keyOrders, keysInOrder } from '../theory/key.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'

/**
 * The keys of a brief, from the tune's own: an order of all twelve, a shuffle of them by the seed, or the list. A key of the
 * list keeps the tune's mode.
 */
export function keysOf(brief: Pick<Brief, 'keys' | 'seed'>, home: Key): readonly Key[] {
  if (brief.keys === null) return [home]
  if (brief.keys === 'shuffled') {
    const random = randomFrom(brief.seed ^ 0x2545f491)
    const ups = [...keyOrders.chromatic] as number[]
    for (let i = ups.length - 1; i > 0; i--) {
      const j = Math.floor(random() * (i + 1))
      const kept = ups[i]!
      ups[i] = ups[j]!
      ups[j] = kept
    }
    return ups.map((up) => ({ ...home, ...keyAt((chromaOf(home.tonic) + up) % 12, home.mode) }))
  }
  if (typeof brief.keys === 'string') return keysInOrder(brief.keys, home)
  return brief.keys.map(({ tonic }) => ({ ...home, tonic }))
}

/** By how many semitones up, within the octave, each key lies above the tune's own. */
export const movesOf = (keys: readonly Key[], home: Key): readonly number[] =>
  keys.map((key) => modulo(chromaOf(key.tonic) - chromaOf(home.tonic), 12))

/** So many semitones a window keeps at least, where it is narrowed so that every key fits. */
const keptWindow = 20

/**
 * The window for a line that is carried to several keys: the range less what the moves need at either end, but no narrower than
 * a tenth, so that a small range folds phrases rather than cramp the line. Pinned notes are always inside it.
 */
export function windowFor(
  [low, high]: readonly [number, number],
  moves: readonly number[],
  brief: Brief,
  harmony: Harmony,
): readonly [number, number] {
  const nearest = moves.map((up) => (up > 6 ? up - 12 : up))
  const down = -Math.min(0, ...nearest)
  const up = Math.max(0, ...nearest)
  const spare = Math.max(0, high - low - keptWindow)
  const share = Math.min(1, spare / Math.max(1, up + down))
  const pinned = pinnedPitches(readPins(brief.pins, harmony).pins).filter((midi) => midi >= low && midi <= high)
  return [Math.min(low + Math.floor(down * share), ...pinned), Math.max(high - Math.floor(up * share), ...pinned)]
}

/** How far a line may reach when it is carried to another key rather than fold: a step wider than the compass, if no range was given. */
export const carriedRange = (instrument: Instrument, brief: Brief): readonly [number, number] =>
  soundingRange(instrument, { ...brief, compass: brief.compass === 'small' ? 'comfortable' : 'full' })

/** The pins of a brief in a key so many semitones up, or down, by the octave that keeps them in range. */
export function pinsIn(
  brief: Brief,
  harmony: Harmony,
  up: number,
  [low, high]: readonly [number, number],
): Brief['pins'] {
  const pitches = pinnedPitches(readPins(brief.pins, harmony).pins)
  const nearest = up > 6 ? up - 12 : up
  const fits = (shift: number) => pitches.every((midi) => midi + shift >= low && midi + shift <= high)
  return transposePins(brief.pins, [nearest, up, up - 12, up + 12, up - 24].find(fits) ?? nearest)
}
