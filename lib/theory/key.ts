/** Keys: their names, signatures and the orders in which a player takes all twelve. */
import {
  chromaOf,
  fifthsOf,
  type Interval,
  intervalBetween,
  nameOf,
  noteAtFifths,
  type PitchClass,
  readPitchClass,
  transposeClass,
} from './pitch.ts'
import { typedName } from './signs.ts'

export interface Key {
  readonly tonic: PitchClass
  readonly mode: 'major' | 'minor'
  /** A centre written without a signature, because none belongs to it: a modal vamp. */
  readonly open?: true
}

/** The sharps (positive) or flats (negative) of a key by its tonic and mode, whether or not it is written with them. */
export const fullSignatureOf = (key: Key): number => fifthsOf(key.tonic) - (key.mode === 'minor' ? 3 : 0)

/**
 * The sharps (positive) or flats (negative) of the key signature; none where the key is open.
 *
 * @example
 * signatureOf({ tonic: { letter: 'E', alter: -1 }, mode: 'major' }) // => -3
 * signatureOf({ tonic: { letter: 'C', alter: 1 }, mode: 'minor' }) // => 4
 */
export const signatureOf = (key: Key): number => (key.open ? 0 : fullSignatureOf(key))

/** @example keyName({ tonic: { letter: 'E', alter: -1 }, mode: 'major' }) // => 'Eb major' */
export const keyName = (key: Key): string => `${nameOf(key.tonic)} ${key.mode}`

/** The short name: `Eb`, `F#m`. */
export const nameOfKey = (key: Key): string => nameOf(key.tonic) + (key.mode === 'minor' ? 'm' : '')

const longestName = 64

/**
 * Reads a key as people write it: `Eb`, `Ebm`, `E flat minor`, `F# minor`, `c`; null where it is none or its signature would
 * need more signs than may be, seven unless said.
 *
 * @example
 * keyName(readKey('F#m')) // => 'F# minor'
 * keyName(readKey('B flat')) // => 'Bb major'
 * readKey('H dur') // => null
 * readKey('Db minor') // => null
 * keyName(readKey('Db minor', 8)) // => 'Db minor'
 */
export function readKey(text: string, signs = 7): Key | null {
  // No key has a longer name: what follows is not to be tried on pages of text.
  if (typeof text !== 'string' || text.length > longestName) return null
  const plain = typedName(text.trim())
  const match = /^([A-Ga-g])([#b]?)\s*(major|maj|minor|min|mi|ma|m|M|-|ionian|aeolian)?$/i.exec(plain)
  if (!match) return null
  const [, letter = '', sign = '', word = ''] = match
  const tonic = readPitchClass(letter.toUpperCase() + sign)
  if (!tonic) return null
  const minor = word === 'm' || word === '-' || /^(mi|min|minor|aeolian)$/i.test(word)
  const key: Key = { tonic, mode: minor ? 'minor' : 'major' }
  return Math.abs(signatureOf(key)) > signs ? null : key
}

/** Orders of the twelve keys, each as steps of semitones from the first; a cycle that closes early starts again above. */
export const keyOrders = {
  chromatic: [0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11],
  'chromatic-down': [0, 11, 10, 9, 8, 7, 6, 5, 4, 3, 2, 1],
  fourths: [0, 5, 10, 3, 8, 1, 6, 11, 4, 9, 2, 7],
  fifths: [0, 7, 2, 9, 4, 11, 6, 1, 8, 3, 10, 5],
  'whole-tones': [0, 2, 4, 6, 8, 10, 1, 3, 5, 7, 9, 11],
  'minor-thirds': [0, 3, 6, 9, 1, 4, 7, 10, 2, 5, 8, 11],
  'major-thirds': [0, 4, 8, 1, 5, 9, 2, 6, 10, 3, 7, 11],
  tritones: [0, 6, 1, 7, 2, 8, 3, 9, 4, 10, 5, 11],
} as const

export type KeyOrder = keyof typeof keyOrders

/**
 * The usual name of the key on a given pitch class: the one with fewer accidentals, G flat rather than F sharp major, and
 * C, F and G sharp rather than D, G and A flat minor.
 *
 * @example
 * keyName(keyAt(6, 'major')) // => 'Gb major'
 * keyName(keyAt(1, 'minor')) // => 'C# minor'
 */
export function keyAt(chroma: number, mode: Key['mode']): Key {
  const shift = mode === 'minor' ? 3 : 0
  const fifths = [0, 1, 2, 3, 4, 5, -6, -5, -4, -3, -2, -1].map((f) => f + shift)
  const tonic = fifths.map(noteAtFifths).find((note) => chromaOf(note) === chroma)!
  const key: Key = { tonic, mode }
  // E flat minor and D sharp minor both take six signs: flats, as in major.
  return mode === 'minor' && signatureOf(key) === 6 ? { tonic: noteAtFifths(fifthsOf(tonic) - 12), mode } : key
}

/**
 * The twelve keys in an order, from a first key, each under its usual name.
 *
 * @example
 * keysInOrder('fourths', { tonic: { letter: 'C', alter: 0 }, mode: 'major' }).slice(0, 3).map(keyName) // => ['C major', 'F major', 'Bb major']
 */
export function keysInOrder(order: KeyOrder, first: Key): readonly Key[] {
  const { open } = first
  return keyOrders[order].map((up) => {
    const key = up === 0 ? first : keyAt((chromaOf(first.tonic) + up) % 12, first.mode)
    return open ? { ...key, open } : key
  })
}

/** The interval, within the octave up, that carries one tonic to another. */
export const intervalToKey = (from: Key, to: Key): Interval => intervalBetween(from.tonic, to.tonic)

/** The key an interval above another. */
export const transposeKey = (key: Key, interval: Interval): Key => ({
  ...key,
  tonic: transposeClass(key.tonic, interval),
})

/**
 * The alteration that a key signature gives a letter.
 *
 * @example
 * signOfLetter(-3, 'E') // => -1
 */
export function signOfLetter(signature: number, letter: PitchClass['letter']): number {
  const place = fifthsOf({ letter, alter: 0 })
  return Math.floor((signature - place + 5) / 7)
}
