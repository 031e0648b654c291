/** Degrees of chords and scales, against tonal's intervals and tables worked by hand. */
import { Interval as TonalInterval } from 'tonal'
import { describe, expect, test } from 'vitest'
import { alterOf, degreeChroma, degreeInterval, degreeNote, degreeOf, numberOf } from '../../lib/theory/degree.ts'
import { chromaOf, letters, nameOf, type PitchClass } from '../../lib/theory/pitch.ts'

/** Degrees and the intervals that tonal calls them by. */
const names: readonly [string, string][] = [
  ['1', '1P'],
  ['b2', '2m'],
  ['2', '2M'],
  ['#2', '2A'],
  ['b3', '3m'],
  ['3', '3M'],
  ['b4', '4d'],
  ['4', '4P'],
  ['#4', '4A'],
  ['b5', '5d'],
  ['5', '5P'],
  ['#5', '5A'],
  ['b6', '6m'],
  ['6', '6M'],
  ['bb7', '7d'],
  ['b7', '7m'],
  ['7', '7M'],
  ['b9', '9m'],
  ['9', '9M'],
  ['#9', '9A'],
  ['b10', '10m'],
  ['11', '11P'],
  ['#11', '11A'],
  ['b13', '13m'],
  ['13', '13M'],
]

describe.each(names)('%s', (degree, name) => {
  const interval = TonalInterval.get(name)

  test(`is the interval ${name}`, () => {
    expect(degreeInterval(degree)).toEqual({ steps: interval.num! - 1, semitones: interval.semitones })
    expect(degreeChroma(degree)).toBe(interval.chroma)
    expect(numberOf(degree)).toBe(interval.num)
  })

  test('of every root is found again on that root', () => {
    const roots = letters.flatMap((letter) => [-1, 0, 1].map((alter): PitchClass => ({ letter, alter })))
    const number = ((numberOf(degree) - 1) % 7) + 1
    for (const root of roots) {
      const note = degreeNote(root, degree)
      expect(degreeOf(note, root)).toBe(degree.replace(/\d+$/, String(number)))
      expect((chromaOf(note) - chromaOf(root) + 12) % 12).toBe(degreeChroma(degree))
    }
  })
})

// Worked by hand.
test.each([
  ['Db', 'b7', 'Cb'],
  ['F#', '3', 'A#'],
  ['B', '#11', 'E#'],
  ['C', 'bb7', 'Bbb'],
  ['Ab', 'b9', 'Bbb'],
  ['E', '#9', 'F##'],
])('on %s the %s is %s', (root, degree, note) => {
  const [letter, ...signs] = root
  const alter = signs.join('') === '#' ? 1 : signs.join('') === 'b' ? -1 : 0
  expect(nameOf(degreeNote({ letter: letter as PitchClass['letter'], alter }, degree))).toBe(note)
})

test.each([
  ['b3', -1],
  ['bb7', -2],
  ['#11', 1],
  ['##4', 2],
  ['13', 0],
])('%s is altered by %d', (degree, alter) => {
  expect(alterOf(degree)).toBe(alter)
})

test('a note under another letter than its sound suggests keeps that letter as its degree', () => {
  const c: PitchClass = { letter: 'C', alter: 0 }
  expect(degreeOf({ letter: 'F', alter: -1 }, c)).toBe('b4')
  expect(degreeOf({ letter: 'B', alter: 1 }, c)).toBe('#7')
  expect(degreeOf({ letter: 'D', alter: -2 }, c)).toBe('bb2')
})
