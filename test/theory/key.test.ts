/** Keys: their signatures, names and orders. */
import { readFileSync } from 'node:fs'
import { Key as TonalKey } from 'tonal'
import { describe, expect, test } from 'vitest'
import {
  intervalToKey,
  type Key,
  type KeyOrder,
  keyAt,
  keyName,
  keyOrders,
  keysInOrder,
  nameOfKey,
  readKey,
  signatureOf,
  signOfLetter,
  transposeKey,
} from '../../lib/theory/key.ts'
import { chromaOf, letters, nameOf } from '../../lib/theory/pitch.ts'

/** Twelve chromas as the usual keys of a mode. */
const usual = (mode: Key['mode']) => Array.from({ length: 12 }, (_, chroma) => keyAt(chroma, mode))

describe('usual names', () => {
  // G flat over F sharp major, C and F sharp minor rather than D and G flat: fewer accidentals, flats where they tie.
  test('are those with fewer accidentals', () => {
    expect(usual('major').map(nameOfKey)).toEqual('C Db D Eb E F Gb G Ab A Bb B'.split(' '))
    expect(usual('minor').map(nameOfKey)).toEqual('Cm C#m Dm Ebm Em Fm F#m Gm G#m Am Bbm Bm'.split(' '))
    for (const mode of ['major', 'minor'] as const)
      for (const key of usual(mode)) expect(Math.abs(signatureOf(key))).toBeLessThanOrEqual(6)
  })
})

describe('signatures', () => {
  // The circle of fifths. Source: tonal's keys, which state their own.
  test.each([...usual('major'), ...usual('minor')].map((key) => [nameOfKey(key), key] as const))('%s', (_, key) => {
    const name = nameOf(key.tonic)
    const stated = key.mode === 'major' ? TonalKey.majorKey(name) : TonalKey.minorKey(name)
    const count = stated.keySignature.length * (stated.keySignature.startsWith('b') ? -1 : 1)
    expect(signatureOf(key)).toBe(count)
    const scale = key.mode === 'major' ? TonalKey.majorKey(name).scale : TonalKey.minorKey(name).natural.scale
    for (const letter of letters) {
      const sign = scale.find((note) => note.startsWith(letter))!.slice(1)
      expect(signOfLetter(signatureOf(key), letter)).toBe(sign === '#' ? 1 : sign === 'b' ? -1 : 0)
    }
  })

  test('reach seven sharps and seven flats, every letter altered', () => {
    expect(letters.map((letter) => signOfLetter(7, letter))).toEqual(Array(7).fill(1))
    expect(letters.map((letter) => signOfLetter(-7, letter))).toEqual(Array(7).fill(-1))
    expect(letters.map((letter) => signOfLetter(0, letter))).toEqual(Array(7).fill(0))
  })
})

describe('reading', () => {
  test.each([
    ['C', 'C major'],
    ['Eb', 'Eb major'],
    ['E♭', 'Eb major'],
    ['F#m', 'F# minor'],
    ['F♯ minor', 'F# minor'],
    ['bb minor', 'Bb minor'],
    ['B flat', 'Bb major'],
    ['B-flat major', 'Bb major'],
    ['c sharp minor', 'C# minor'],
    ['Am', 'A minor'],
    ['a-', 'A minor'],
    ['CM', 'C major'],
    ['Cm', 'C minor'],
    ['  G  ', 'G major'],
    ['D aeolian', 'D minor'],
    ['Cb', 'Cb major'],
    ['C#', 'C# major'],
    ['A#m', 'A# minor'],
  ])('%j is %s', (text, name) => {
    expect(keyName(readKey(text)!)).toBe(name)
  })

  test.each([
    '',
    'H',
    'H dur',
    'C dorian',
    'Cmaj7',
    'Fb',
    'G#',
    'D#',
    'Dbm',
    'C##',
    'C D',
    '3',
    'minor',
    'x'.repeat(999),
    // A minute would not do where each dash is tried with all that follow it.
    '-'.repeat(600_000),
  ])('%.40j is refused', (text) => {
    expect(readKey(text)).toBeNull()
  })

  test('every key reads back under its short name and its long', () => {
    for (const key of [...usual('major'), ...usual('minor')]) {
      expect(readKey(nameOfKey(key))).toEqual(key)
      expect(readKey(keyName(key))).toEqual(key)
    }
  })
})

describe('orders', () => {
  // Source: test/data/keyOrders.json, derived: permutations of twelve; which cycles close is arithmetic.
  const stated = JSON.parse(readFileSync('test/data/keyOrders.json', 'utf8')).keyOrders as Record<string, string[]>
  const called: Readonly<Record<KeyOrder, string>> = {
    chromatic: 'chromatic_up',
    'chromatic-down': 'chromatic_down',
    fourths: 'fourths',
    fifths: 'fifths',
    'whole-tones': 'whole_tones',
    'minor-thirds': 'minor_thirds',
    'major-thirds': 'major_thirds',
    tritones: 'tritones',
  }

  test.each(Object.entries(called) as [KeyOrder, string][])('%s', (order, name) => {
    expect(keysInOrder(order, readKey('C')!).map(nameOfKey)).toEqual(stated[name])
  })

  test('every order that is stated is there, and every order takes all twelve once from wherever it starts', () => {
    expect(Object.values(called).sort()).toEqual(Object.keys(stated).sort())
    for (const order of Object.keys(keyOrders) as KeyOrder[])
      for (const first of [...usual('major'), ...usual('minor')]) {
        const keys = keysInOrder(order, first)
        expect(keys[0]).toEqual(first)
        expect(keys.every(({ mode }) => mode === first.mode)).toBe(true)
        expect([...new Set(keys.map(({ tonic }) => chromaOf(tonic)))].length).toBe(12)
      }
  })

  test('the first key keeps the name it was given', () => {
    expect(keysInOrder('fourths', readKey('F#')!).map(nameOfKey).slice(0, 3)).toEqual(['F#', 'B', 'E'])
  })
})

test('moving a key by the interval to another gives the other', () => {
  for (const from of usual('major'))
    for (const to of usual('major')) {
      const interval = intervalToKey(from, to)
      expect(transposeKey(from, interval)).toEqual(to)
      expect(interval.steps).toBeGreaterThanOrEqual(0)
    }
})
