/** Spelled notes and intervals, against the arithmetic of tonal 6.4.3 and tables worked by hand. */
import fc from 'fast-check'
import { Note, Interval as TonalInterval } from 'tonal'
import { describe, expect, test } from 'vitest'
import {
  chromaOf,
  fifthsOf,
  type Interval,
  intervalBetween,
  invert,
  letters,
  midiOf,
  nameOf,
  noteAtFifths,
  type Pitch,
  type PitchClass,
  pitchAt,
  readPitch,
  readPitchClass,
  sameNote,
  spanOf,
  stepOf,
  transposeClass,
  transposePitch,
} from '../../lib/theory/pitch.ts'

const pitchClasses: readonly PitchClass[] = letters.flatMap((letter) =>
  [-2, -1, 0, 1, 2].map((alter) => ({ letter, alter })),
)
const seeded = { seed: 1 }
const anyClass = fc.constantFrom(...pitchClasses)
const anyPitch = fc.record({
  letter: fc.constantFrom(...letters),
  alter: fc.integer({ min: -2, max: 2 }),
  octave: fc.integer({ min: 0, max: 8 }),
})
/** Intervals by their tonal names, up and down: perfect, major, minor, augmented, diminished, simple and compound. */
const intervalNames = [1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11, 13].flatMap((number) =>
  ([1, 4, 5].includes(((number - 1) % 7) + 1) ? ['d', 'P', 'A'] : ['d', 'm', 'M', 'A']).flatMap((quality) => [
    `${number}${quality}`,
    `-${number}${quality}`,
  ]),
)
const intervalOf = (name: string): Interval => {
  const { step, alt, dir, num, semitones } = TonalInterval.get(name)
  expect([step, alt].every(Number.isInteger)).toBe(true)
  return { steps: (Math.abs(num!) - 1) * dir!, semitones: semitones! }
}

describe('names', () => {
  test('every note with up to two accidentals reads back as it is written', () => {
    for (const note of pitchClasses) expect(readPitchClass(nameOf(note))).toEqual(note)
    fc.assert(
      fc.property(anyPitch, (pitch) => {
        expect(readPitch(nameOf(pitch))).toEqual(pitch)
      }),
      seeded,
    )
  })

  test.each(['', 'H', 'c', 'C###', 'Cbbb', 'C#b', 'C4', 'Do', 'C♯', ' C', '1'])('%j is no note name', (text) => {
    expect(readPitchClass(text)).toBeNull()
  })

  test.each(['', 'C', 'C#', 'H4', 'C44', 'c4', 'C4.5', 'C###4', '60'])('%j is no pitch', (text) => {
    expect(readPitch(text)).toBeNull()
  })
})

describe('sound', () => {
  // C4 is middle C, MIDI 60: the scientific pitch notation of the MIDI tuning standard.
  test.each([
    ['C4', 60],
    ['A4', 69],
    ['B#3', 60],
    ['Cb4', 59],
    ['E#4', 65],
    ['Fb4', 64],
    ['Bbb3', 57],
    ['F##5', 79],
    ['C0', 12],
    ['C-1', 0],
    ['G9', 127],
  ])('%s is MIDI %d', (name, midi) => {
    expect(midiOf(readPitch(name)!)).toBe(midi)
  })

  test("every pitch's number and place among the twelve are tonal's", () => {
    fc.assert(
      fc.property(anyPitch, (pitch) => {
        const { midi, chroma, height } = Note.get(nameOf(pitch))
        expect(midiOf(pitch)).toBe(midi ?? height)
        expect(chromaOf(pitch)).toBe(chroma)
      }),
      seeded,
    )
  })

  test('a name put at a number sounds it; a name that cannot throws', () => {
    fc.assert(
      fc.property(anyPitch, (pitch) => {
        expect(pitchAt(pitch, midiOf(pitch))).toEqual(pitch)
      }),
      seeded,
    )
    expect(() => pitchAt({ letter: 'C', alter: 0 }, 61)).toThrow('C does not sound MIDI 61')
  })
})

describe('intervals', () => {
  test("transposing by every interval, up and down, is tonal's", () => {
    fc.assert(
      fc.property(anyPitch, fc.constantFrom(...intervalNames), (pitch, name) => {
        const expected = Note.get(Note.transpose(nameOf(pitch), name))
        const found = transposePitch(pitch, intervalOf(name))
        expect(nameOf(found)).toBe(expected.name)
        expect(transposeClass(pitch, intervalOf(name))).toEqual({ letter: expected.letter, alter: expected.alt })
      }),
      { ...seeded, numRuns: 1_000 },
    )
  })

  test("the interval between two names leads from one to the other, as far as tonal's pitch classes lie apart", () => {
    for (const from of pitchClasses)
      for (const to of pitchClasses) {
        const { steps, semitones } = intervalBetween(from, to)
        expect(steps).toBe((stepOf(to.letter) - stepOf(from.letter) + 7) % 7)
        expect(transposeClass(from, { steps, semitones })).toEqual(to)
        expect((semitones + 24) % 12).toBe((Note.chroma(nameOf(to))! - Note.chroma(nameOf(from))! + 12) % 12)
      }
  })

  test('an interval turned round leads back', () => {
    fc.assert(
      fc.property(anyPitch, fc.constantFrom(...intervalNames), (pitch, name) => {
        const interval = intervalOf(name)
        expect(transposePitch(transposePitch(pitch, interval), invert(interval))).toEqual(pitch)
      }),
      seeded,
    )
    expect(invert({ steps: 0, semitones: 0 })).toEqual({ steps: 0, semitones: 0 })
  })

  // Worked by hand. Concert B is read D flat by a B flat part and A flat by an E flat part only after respelling.
  test.each([
    ['Bb', { steps: 2, semitones: 3 }, 'Db'],
    ['B', { steps: 1, semitones: 2 }, 'C#'],
    ['F', { steps: 3, semitones: 6 }, 'B'],
    ['F', { steps: 3, semitones: 5 }, 'Bb'],
    ['E', { steps: -5, semitones: -9 }, 'G'],
    ['C', { steps: -1, semitones: -2 }, 'Bb'],
  ])('%s moved by %j is %s', (from, interval, to) => {
    expect(nameOf(transposeClass(readPitchClass(from)!, interval))).toBe(to)
  })
})

describe('the line of fifths', () => {
  test('runs F C G D A E B, a sharp seven further up, and reads back', () => {
    expect([-1, 0, 1, 2, 3, 4, 5, 6, 7, -2, -7].map(noteAtFifths).map(nameOf)).toEqual(
      'F C G D A E B F# C# Bb Cb'.split(' '),
    )
    for (const note of pitchClasses) expect(noteAtFifths(fifthsOf(note))).toEqual(note)
  })

  test('a fifth up is one further', () => {
    fc.assert(
      fc.property(anyClass, (note) => {
        expect(fifthsOf(transposeClass(note, { steps: 4, semitones: 7 }))).toBe(fifthsOf(note) + 1)
      }),
      seeded,
    )
  })
})

test('two notes are the same by letter and alteration, not by sound', () => {
  const [sharp, flat] = [readPitchClass('F#')!, readPitchClass('Gb')!]
  expect(chromaOf(sharp)).toBe(chromaOf(flat))
  expect(sameNote(sharp, flat)).toBe(false)
  expect(sameNote(sharp, { ...sharp, octave: 4 } as Pitch)).toBe(true)
})

describe('spanOf', () => {
  test('half a million pitches, more than one call takes as arguments', () => {
    const midis = Array.from({ length: 500_000 }, (_, i) => 40 + ((i * 7) % 41))
    expect(spanOf(midis)).toEqual([40, 80])
  })
  test('no pitch at all leaves any other the lowest and highest', () => {
    const [lowest, highest] = spanOf([])
    expect([Math.min(lowest, 60), Math.max(highest, 60)]).toEqual([60, 60])
  })
})
