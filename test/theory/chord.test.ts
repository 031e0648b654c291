/** Chords apart from their root: families, guide tones, sounds. */
import { Chord as TonalChord } from 'tonal'
import { describe, expect, test } from 'vitest'
import {
  type Chord,
  chordTones,
  type Family,
  familyOf,
  guideDegrees,
  orderDegrees,
  pitchClassesOf,
  tensions,
  tonesOf,
} from '../../lib/theory/chord.ts'
import { chromaOf, nameOf, readPitchClass } from '../../lib/theory/pitch.ts'

const chord = (degrees: string, alt = false): Chord => ({ degrees: degrees.split(' '), alt, named: '' })

/**
 * Quality, its degrees, family, guide tones. Guide tones: third and seventh; the sixth where there is no seventh, the fourth
 * instead of the third in a sus chord (Ligon, *Connecting Chords with Linear Harmony*, 1996; Hutchinson, *Music Theory for the
 * 21st-Century Classroom*); what a bare triad or fifth lends is our own choice.
 */
const qualities: readonly [string, string, Family, string][] = [
  ['', '1 3 5', 'major', '3 1'],
  ['6', '1 3 5 6', 'major', '3 6'],
  ['69', '1 3 5 6 9', 'major', '3 6'],
  ['maj7', '1 3 5 7', 'major', '3 7'],
  ['maj9', '1 3 5 7 9', 'major', '3 7'],
  ['maj7#11', '1 3 5 7 #11', 'major', '3 7'],
  ['maj7#5', '1 3 #5 7', 'major', '3 7'],
  ['add9', '1 3 5 9', 'major', '3 1'],
  ['aug', '1 3 #5', 'augmented', '3 1'],
  ['7', '1 3 5 b7', 'dominant', '3 b7'],
  ['9', '1 3 5 b7 9', 'dominant', '3 b7'],
  ['13', '1 3 5 b7 9 13', 'dominant', '3 b7'],
  ['7b9', '1 3 5 b7 b9', 'dominant', '3 b7'],
  ['7#9', '1 3 5 b7 #9', 'dominant', '3 b7'],
  ['7#5', '1 3 #5 b7', 'dominant', '3 b7'],
  ['7b5', '1 3 b5 b7', 'dominant', '3 b7'],
  ['m', '1 b3 5', 'minor', 'b3 1'],
  ['m6', '1 b3 5 6', 'minor', 'b3 6'],
  ['m7', '1 b3 5 b7', 'minor', 'b3 b7'],
  ['m9', '1 b3 5 b7 9', 'minor', 'b3 b7'],
  ['m11', '1 b3 5 b7 9 11', 'minor', 'b3 b7'],
  ['mMaj7', '1 b3 5 7', 'minor-major', 'b3 7'],
  ['m7b5', '1 b3 b5 b7', 'half-diminished', 'b3 b7'],
  ['dim', '1 b3 b5', 'diminished', 'b3 1'],
  ['dim7', '1 b3 b5 bb7', 'diminished', 'b3 bb7'],
  ['sus4', '1 4 5', 'sus', '4 1'],
  ['7sus4', '1 4 5 b7', 'sus', '4 b7'],
  ['9sus4', '1 4 5 b7 9', 'sus', '4 b7'],
  ['sus2', '1 2 5', 'sus', '2 1'],
  ['5', '1 5', 'power', '5 1'],
]

describe.each(qualities)('C%s', (name, degrees, family, guides) => {
  const read = chord(degrees)

  test(`is ${family}; its guide tones are ${guides}`, () => {
    expect(familyOf(read)).toBe(family)
    expect(guideDegrees(read).join(' ')).toBe(guides)
  })

  test('sounds as tonal 6.4.3 has it', () => {
    const { notes, empty } = TonalChord.get(`C${name}`)
    expect(empty).toBe(false)
    const chromas = notes.map((note) => chromaOf(readPitchClass(note)!))
    expect(pitchClassesOf(read)).toEqual([...chromas].sort((a, b) => a - b))
    expect(
      tonesOf(readPitchClass('C')!, read)
        .map(chromaOf)
        .sort((a, b) => a - b),
    ).toEqual(pitchClassesOf(read))
  })

  test('parts into plain tones and tensions', () => {
    expect([...chordTones(read), ...tensions(read)]).toEqual(read.degrees)
    expect(orderDegrees([...read.degrees].reverse())).toEqual(read.degrees)
  })
})

// Worked by hand.
test.each([
  ['Db', '1 3 5 b7', 'Db F Ab Cb'],
  ['B', '1 3 5 7 #11', 'B D# F# A# E#'],
  ['F#', '1 b3 b5 bb7', 'F# A C Eb'],
  ['Ab', '1 3 5 b7 b9', 'Ab C Eb Gb Bbb'],
])('on %s, %s is %s', (root, degrees, notes) => {
  expect(tonesOf(readPitchClass(root)!, chord(degrees)).map(nameOf).join(' ')).toBe(notes)
})

test('an altered dominant, its fifth open, keeps its guide tones', () => {
  const altered = chord('1 3 b5 b7 b9 #9 b13', true)
  expect(familyOf(altered)).toBe('dominant')
  expect(guideDegrees(altered)).toEqual(['3', 'b7'])
  expect(pitchClassesOf(altered)).toEqual([0, 1, 3, 4, 6, 8, 10])
})

test('a chord without anything but its root still has two guide tones', () => {
  expect(guideDegrees(chord('1'))).toEqual(['1', '1'])
})

test('degrees that come twice are put once, a flat before a sharp', () => {
  expect(orderDegrees(['#9', '5', 'b9', '1', '5', '9'])).toEqual(['1', '5', 'b9', '9', '#9'])
})
