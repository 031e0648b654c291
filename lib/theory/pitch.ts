/** Spelled notes: a letter, its alteration, and an octave where the note is a real pitch. The one door to `tonal`. */
import { Note } from 'tonal'
import { signsOf } from './signs.ts'

export type Letter = 'C' | 'D' | 'E' | 'F' | 'G' | 'A' | 'B'
export const letters: readonly Letter[] = ['C', 'D', 'E', 'F', 'G', 'A', 'B']

/** The letters' semitones above C, which are those of a major scale above its tonic. */
export const naturals: readonly number[] = [0, 2, 4, 5, 7, 9, 11]

/** A note name without octave. `alter` counts semitones: -1 flat, 1 sharp. */
export interface PitchClass {
  readonly letter: Letter
  readonly alter: number
}

/** A note with its octave; C4 is middle C, MIDI 60. Sounding unless a name says written. */
export interface Pitch extends PitchClass {
  readonly octave: number
}

/** A spelled distance upward: letters counted from 0 (unison) and semitones. A minor third is `{ steps: 2, semitones: 3 }`. */
export interface Interval {
  readonly steps: number
  readonly semitones: number
}

export const modulo = (n: number, size: number): number => ((n % size) + size) % size

/** The letter's place above C, 0 to 6. */
export const stepOf = (letter: Letter): number => letters.indexOf(letter)

/**
 * Reads a note name such as `Eb` or `F#`, flats and sharps in ASCII; null where it is none. At most two accidentals.
 *
 * @example
 * readPitchClass('Eb') // => { letter: 'E', alter: -1 }
 * readPitchClass('H') // => null
 */
export function readPitchClass(text: string): PitchClass | null {
  if (!/^[A-G](#{0,2}|b{0,2})$/.test(text)) return null
  const note = Note.get(text)
  return note.empty ? null : { letter: note.letter as Letter, alter: note.alt }
}

/**
 * Reads a pitch such as `Eb4`, C4 being middle C; null where it is none.
 *
 * @example
 * readPitch('F#3') // => { letter: 'F', alter: 1, octave: 3 }
 * readPitch('F#') // => null
 */
export function readPitch(text: string): Pitch | null {
  if (typeof text !== 'string' || !/^[A-G](#{0,2}|b{0,2})-?\d$/.test(text)) return null
  const note = Note.get(text)
  return note.empty || note.oct === undefined
    ? null
    : { letter: note.letter as Letter, alter: note.alt, octave: note.oct }
}

/**
 * Names a note in ASCII, with its octave where it has one.
 *
 * @example
 * nameOf({ letter: 'B', alter: -1 }) // => 'Bb'
 * nameOf({ letter: 'B', alter: -1, octave: 3 }) // => 'Bb3'
 */
export function nameOf(note: PitchClass | Pitch): string {
  return note.letter + signsOf(note.alter) + ('octave' in note ? note.octave : '')
}

/**
 * The note's place among the twelve, C being 0.
 *
 * @example
 * chromaOf({ letter: 'C', alter: -1 }) // => 11
 */
export const chromaOf = (note: PitchClass): number => modulo(naturals[stepOf(note.letter)]! + note.alter, 12)

/**
 * The MIDI number of a pitch.
 *
 * @example
 * midiOf({ letter: 'C', alter: -1, octave: 4 }) // => 59
 */
export const midiOf = (pitch: Pitch): number => 12 * (pitch.octave + 1) + naturals[stepOf(pitch.letter)]! + pitch.alter

/**
 * The lowest and the highest of some pitches, MIDI numbers, however many they are; of none, no pitch is low or high enough.
 *
 * @example
 * spanOf([64, 60, 67]) // => [60, 67]
 */
export const spanOf = (midis: readonly number[]): readonly [lowest: number, highest: number] =>
  midis.reduce<readonly [number, number]>(
    ([lowest, highest], midi) => [Math.min(lowest, midi), Math.max(highest, midi)],
    [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY],
  )

/**
 * Gives a note name the octave at which it sounds a MIDI number; throws where the two disagree, which is our own bug.
 *
 * @example
 * nameOf(pitchAt({ letter: 'C', alter: -1 }, 59)) // => 'Cb4'
 */
export function pitchAt(note: PitchClass, midi: number): Pitch {
  if (chromaOf(note) !== modulo(midi, 12)) throw new Error(`${nameOf(note)} does not sound MIDI ${midi}`)
  const natural = midi - note.alter
  return { letter: note.letter, alter: note.alter, octave: Math.floor(natural / 12) - 1 }
}

/**
 * A MIDI number as a pitch with as few signs as will do: what open strings are called. Where it takes one, that is a sharp, as on the
 * way up, unless a flat is asked for, as on the way down.
 *
 * @example
 * nameOf(naturalAt(64)) // => 'E4'
 * nameOf(naturalAt(61)) // => 'C#4'
 * nameOf(naturalAt(61, 'flat')) // => 'Db4'
 */
export const naturalAt = (midi: number, sign: 'sharp' | 'flat' = 'sharp'): Pitch => {
  const chroma = modulo(midi, 12)
  const letter =
    sign === 'sharp'
      ? letters.findLast((each) => naturals[stepOf(each)]! <= chroma)!
      : letters.find((each) => naturals[stepOf(each)]! >= chroma)!
  return { letter, alter: chroma - naturals[stepOf(letter)]!, octave: Math.floor(midi / 12) - 1 }
}

/** The widest transposition that a file is believed: five octaves, in letters and in semitones. */
const widest: Interval = { steps: 35, semitones: 60 }

/**
 * A transposition that a file states; none where no part could be written so, since a name would have thousands of signs.
 *
 * @example
 * statedTransposition(-1, -2) // => { steps: -1, semitones: -2 }
 * statedTransposition(64_000_000, 192_000_000) // => { steps: 0, semitones: 0 }
 */
export function statedTransposition(steps: number, semitones: number): Interval {
  const whole = Number.isInteger(steps) && Number.isInteger(semitones)
  return whole && Math.abs(steps) <= widest.steps && Math.abs(semitones) <= widest.semitones
    ? { steps, semitones }
    : { steps: 0, semitones: 0 }
}

/**
 * The letters of an interval of which only semitones are known.
 *
 * @example
 * lettersOf(-9) // => -5
 */
export const lettersOf = (semitones: number): number => Math.round((semitones * 7) / 12)

/**
 * The note an interval above (below, where the interval is negative) another, its letter counted exactly.
 *
 * @example
 * nameOf(transposeClass({ letter: 'B', alter: -1 }, { steps: 2, semitones: 3 })) // => 'Db'
 */
export function transposeClass(note: PitchClass, interval: Interval): PitchClass {
  const step = stepOf(note.letter) + interval.steps
  const letter = letters[modulo(step, 7)]!
  const wanted = naturals[stepOf(note.letter)]! + note.alter + interval.semitones
  const natural = naturals[modulo(step, 7)]! + 12 * Math.floor(step / 7)
  return { letter, alter: wanted - natural }
}

/** The same for a pitch, octave counted. */
export function transposePitch(pitch: Pitch, interval: Interval): Pitch {
  const { letter, alter } = transposeClass(pitch, interval)
  return { letter, alter, octave: pitch.octave + Math.floor((stepOf(pitch.letter) + interval.steps) / 7) }
}

/**
 * The spelled interval up from one note name to another, within the octave.
 *
 * @example
 * intervalBetween({ letter: 'D', alter: 0 }, { letter: 'C', alter: 0 }) // => { steps: 6, semitones: 10 }
 */
export function intervalBetween(from: PitchClass, to: PitchClass): Interval {
  const steps = modulo(stepOf(to.letter) - stepOf(from.letter), 7)
  const natural = modulo(naturals[stepOf(to.letter)]! - naturals[stepOf(from.letter)]!, 12)
  return { steps, semitones: natural + to.alter - from.alter }
}

/** The interval turned round: what goes up goes down. */
export const invert = (interval: Interval): Interval => ({
  steps: -interval.steps || 0,
  semitones: -interval.semitones || 0,
})

/** Whether two note names are the same letter and alteration. */
export const sameNote = (a: PitchClass, b: PitchClass): boolean => a.letter === b.letter && a.alter === b.alter

/** The note's place on the line of fifths: C 0, G 1, F -1, F# 6, Bb -2. Sharper is higher. */
export const fifthsOf = (note: PitchClass): number => [0, 2, 4, -1, 1, 3, 5][stepOf(note.letter)]! + 7 * note.alter

/**
 * The other name of a note, as far along the line of fifths towards fewer signs.
 *
 * @example
 * nameOf(otherName({ letter: 'B', alter: -2 })) // => 'A'
 * nameOf(otherName({ letter: 'F', alter: 1 })) // => 'Gb'
 */
export const otherName = (note: PitchClass): PitchClass => noteAtFifths(fifthsOf(note) + (note.alter < 0 ? 12 : -12))

/**
 * A note under a name of one sign at most.
 *
 * @example
 * nameOf(withoutDouble({ letter: 'F', alter: 2 })) // => 'G'
 */
export const withoutDouble = (note: PitchClass): PitchClass => (Math.abs(note.alter) < 2 ? note : otherName(note))

/** The note name at a place on the line of fifths. */
export function noteAtFifths(fifths: number): PitchClass {
  const letter = (['F', 'C', 'G', 'D', 'A', 'E', 'B'] as const)[modulo(fifths + 1, 7)]!
  return { letter, alter: Math.floor((fifths + 1) / 7) }
}
