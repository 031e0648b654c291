/** Flats and sharps: typed, printed, said and in names of files. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import fc from 'fast-check'
import { Note } from 'tonal'
import { describe, expect, test } from 'vitest'
import { keyAt, keyName, readKey } from '../../lib/theory/key.ts'
import { letters } from '../../lib/theory/pitch.ts'
import {
  alterOfSigns,
  nameForFile,
  printSigns,
  sayAlter,
  signsOf,
  signsOfFonts,
  tuneForFile,
  typedName,
  typedSigns,
  withSigns,
} from '../../lib/theory/signs.ts'

const alters = [-2, -1, 0, 1, 2]
const names = letters.flatMap((letter) => alters.map((alter) => letter + signsOf(alter)))

test('signs stand for as many semitones as tonal reads from them', () => {
  for (const alter of alters) {
    expect(Note.get(`C${signsOf(alter)}`).alt).toBe(alter)
    expect(alterOfSigns(signsOf(alter))).toBe(alter + 0)
  }
})

describe('what is printed', () => {
  test('has no typed sign left, and is typed again as it was', () => {
    const degrees = [...Array(13).keys()].flatMap((n) => alters.map((alter) => `${signsOf(alter)}${n + 1}`))
    const numerals = ['I', 'ii', 'iii', 'IV', 'V', 'vi', 'vii'].flatMap((n) => ['', 'b', '#'].map((sign) => sign + n))
    const octaves = names.map((name) => `${name}4`)
    for (const text of [...names, ...octaves, ...degrees, ...numerals]) {
      expect(withSigns(text)).not.toMatch(/b|#/)
      expect(withSigns(text)).toBe(printSigns(text))
      expect(typedSigns(withSigns(text))).toBe(text)
    }
  })

  // The Unicode names of the signs say which is which.
  test.each([
    ['Eb', 'E\u266d'],
    ['F#', 'F\u266f'],
    ['Abb', 'A\u266d\u266d'],
    ['C7(b9,#11)/Bb', 'C7(♭9,♯11)/B♭'],
    ['Ebm7b5', 'E♭m7♭5'],
    ['V7/bVII of Bb minor', 'V7/♭VII of B♭ minor'],
    ['subV7', 'subV7'],
    ['A bad ebb: Bebop about b', 'A bad ebb: Bebop about b'],
  ])('%s as %s', (typed, printed) => {
    expect(withSigns(typed)).toBe(printed)
  })
})

test('a key is the same typed, printed, and said', () => {
  for (const mode of ['major', 'minor'] as const)
    for (let chroma = 0; chroma < 12; chroma++) {
      const key = keyAt(chroma, mode)
      const said = [key.tonic.letter, sayAlter(key.tonic.alter), mode].filter(Boolean).join(' ')
      expect(typedName(said)).toBe(keyName(key))
      for (const text of [keyName(key), withSigns(keyName(key)), said]) expect(readKey(text)).toEqual(key)
    }
})

test('double signs are read as two', () => {
  expect(typedSigns('B\u{1d12b} F\u{1d12a}')).toBe('Bbb F##')
  expect(alters.map(sayAlter)).toEqual(['double flat', 'flat', '', 'sharp', 'double sharp'])
})

test.each([
  ['B♭ instruments', 'b-flat-instruments'],
  ['Gb major', 'g-flat-major'],
  ['F♯ minor', 'f-sharp-minor'],
  ['Bass clef instruments', 'bass-clef-instruments'],
  ['  ¿Año nuevo? ', 'ano-nuevo'],
  ["Ana's tune / Ben’s", 'anas-tune-bens'],
  ['Smørrebrød', 'smørrebrød'],
  ['Тихий вечер', 'тихий-вечер'],
  ['Ήσυχο βράδυ', 'ήσυχο-βράδυ'],
  ['静かな夜', '静かな夜'],
  ['고요한 밤', '고요한-밤'],
  ['שקט בלילה', 'שקט-בלילה'],
  ['शांत रात', 'शांत-रात'],
  ['.. / \\ : * ? " < > | \u202e \0 🎷', ''],
])('a file of %s is called %s', (name, file) => {
  expect(nameForFile(name)).toBe(file)
})

// What Windows, the strictest, refuses: < > : " / \ | ? *, control characters, a dot or space at the end (Microsoft, "Naming Files").
test('no name of a file is too long or holds what a system refuses', () => {
  for (const name of names) expect(nameForFile(`${name} minor`.repeat(20))).toMatch(/^[a-z0-9-]{1,60}$/)
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 200 }), (title) => {
      const name = tuneForFile(title)
      expect(name).toMatch(/^(?!-)[\p{L}\p{M}\p{N}-]+(?<!-)$/u)
      // A name may have 255 bytes on most systems, its ending among them.
      expect(Buffer.byteLength(name)).toBeLessThanOrEqual(200)
      expect(nameForFile(name)).toBe(name)
    }),
  )
})

// SMuFL 1.4: U+E260 accidentalFlat … U+E264 accidentalDoubleFlat; U+EA63 figbassDoubleFlat … U+EA67; U+ED60 csymAccidentalFlat …
test('signs of music fonts are what their tables call them', () => {
  const print = (...points: readonly number[]) => points.map((point) => signsOfFonts.get(String.fromCodePoint(point)))
  expect(print(0xe260, 0xe261, 0xe262, 0xe263, 0xe264)).toEqual(['♭', '♮', '♯', '𝄪', '𝄫'])
  expect(print(0xea63, 0xea64, 0xea65, 0xea66, 0xea67)).toEqual(['𝄫', '♭', '♮', '♯', '𝄪'])
  expect(print(0xed60, 0xed61, 0xed62)).toEqual(['♭', '♮', '♯'])
})

test('no other room turns one into the other', () => {
  const turning =
    /replace(?:All)?\(\s*(?:'[b#♭♯]'|\/[b#♭♯]\/g?|\/\[[b#♭♯]+\]\+?\/g?),\s*['"(]|'b'\.repeat|['"][♭♯]['"]\s*:/
  const others = ['lib', 'web'].flatMap((folder) =>
    readdirSync(folder, { recursive: true, encoding: 'utf8' })
      .filter((file) => file.endsWith('.ts') && file !== join('theory', 'signs.ts'))
      .map((file) => join(folder, file)),
  )
  expect(others.filter((file) => turning.test(readFileSync(file, 'utf8')))).toEqual([])
  expect("text.replace(/b/g, '♭')").toMatch(turning)
  expect("alter < 0 ? 'b'.repeat(-alter) : ''").toMatch(turning)
})
