/** Instruments of a class: how they sound from what they read, their clef, their ranges, and the part they are handed. */
import { fixed } from '../fixed.ts'
import { type Interval, invert, type Pitch, readPitch, transposePitch } from './pitch.ts'

/** A family, as a list of instruments is ordered. */
export type InstrumentFamily = 'saxophones' | 'woodwind' | 'brass' | 'strings' | 'rhythm section' | 'voices'

/** The parts of a class set: in C, B flat, E flat or F in treble clef, or in bass clef. */
export const partGroups = ['C', 'Bb', 'Eb', 'F', 'bass clef'] as const
export type PartGroup = (typeof partGroups)[number]

export interface Instrument {
  readonly id: string
  readonly name: string
  readonly family: InstrumentFamily
  /** The part of a class set that its player would be handed, whatever clef the player's own part has. */
  readonly group: PartGroup
  /** `treble-8` sounds an octave below the treble clef and is written so: its player's pitch is the sounding one. */
  readonly clef: 'treble' | 'bass' | 'tenor' | 'alto' | 'treble-8'
  /** Sounding minus written: an alto sax sounds a major sixth below, `{ steps: -5, semitones: -9 }`. */
  readonly transposition: Interval
  /** Usual written range. Common practice, from memory. */
  readonly range: readonly [Pitch, Pitch]
  /** A written range that asks for no strain of a middling player: the default. Common practice, from memory. */
  readonly comfortable: readonly [Pitch, Pitch]
  /** General MIDI program, from 0. */
  readonly program: number
}

/** Sounding minus written, as MusicXML 4.0 states it in diatonic steps and chromatic semitones, octaves added in. */
const transpositions = {
  concert: [0, 0],
  'minor third up': [2, 3],
  'tone down': [-1, -2],
  'fifth down': [-4, -7],
  'sixth down': [-5, -9],
  'octave down': [-7, -12],
  'ninth down': [-8, -14],
  'octave and sixth down': [-12, -21],
  'two octaves and tone down': [-15, -26],
} as const satisfies Record<string, readonly [number, number]>

type Row = readonly [
  id: string,
  name: string,
  group: PartGroup,
  clef: Instrument['clef'],
  transposition: keyof typeof transpositions,
  range: string,
  comfortable: string,
  program: number,
]

const pair = (text: string): readonly [Pitch, Pitch] => {
  const [low = '', high = ''] = text.split(' ')
  return [readPitch(low)!, readPitch(high)!]
}

const family = <const R extends readonly Row[]>(
  name: InstrumentFamily,
  rows: R,
): readonly (Instrument & { readonly id: R[number][0] })[] =>
  rows.map(([id, called, group, clef, transposition, range, comfortable, program]) => {
    const [steps, semitones] = transpositions[transposition]
    return {
      id,
      name: called,
      family: name,
      group,
      clef,
      transposition: { steps, semitones },
      range: pair(range),
      comfortable: pair(comfortable),
      program,
    }
  })

/** Every instrument, by family, high before low. Programs are those of General MIDI level 1, from memory. */
const known = [
  ...family('saxophones', [
    ['sopranino-sax', 'Sopranino saxophone', 'Eb', 'treble', 'minor third up', 'Bb3 F6', 'D4 C6', 64],
    ['soprano-sax', 'Soprano saxophone', 'Bb', 'treble', 'tone down', 'Bb3 F6', 'D4 D6', 64],
    ['alto-sax', 'Alto saxophone', 'Eb', 'treble', 'sixth down', 'Bb3 F6', 'C4 D6', 65],
    ['tenor-sax', 'Tenor saxophone', 'Bb', 'treble', 'ninth down', 'Bb3 F6', 'C4 D6', 66],
    ['baritone-sax', 'Baritone saxophone', 'Eb', 'treble', 'octave and sixth down', 'A3 F6', 'C4 C6', 67],
    ['bass-sax', 'Bass saxophone', 'Bb', 'treble', 'two octaves and tone down', 'Bb3 F6', 'C4 A5', 67],
  ]),
  ...family('woodwind', [
    ['flute', 'Flute', 'C', 'treble', 'concert', 'C4 A6', 'D4 E6', 73],
    ['oboe', 'Oboe', 'C', 'treble', 'concert', 'Bb3 F6', 'D4 C6', 68],
    ['clarinet', 'Clarinet in B♭', 'Bb', 'treble', 'tone down', 'E3 C6', 'G3 A5', 71],
    ['bass-clarinet', 'Bass clarinet', 'Bb', 'treble', 'ninth down', 'Eb3 C6', 'G3 G5', 71],
    ['bassoon', 'Bassoon', 'bass clef', 'bass', 'concert', 'Bb1 Bb4', 'F2 F4', 70],
  ]),
  ...family('brass', [
    ['trumpet', 'Trumpet in B♭', 'Bb', 'treble', 'tone down', 'F#3 Bb5', 'A3 A5', 56],
    ['flugelhorn', 'Flugelhorn', 'Bb', 'treble', 'tone down', 'F#3 A5', 'A3 F5', 56],
    ['horn', 'Horn in F', 'F', 'treble', 'fifth down', 'F#3 C6', 'A3 F5', 60],
    ['trombone', 'Trombone', 'bass clef', 'bass', 'concert', 'E2 Bb4', 'A2 G4', 57],
    ['trombone-tenor-clef', 'Trombone, tenor clef', 'bass clef', 'tenor', 'concert', 'E2 Bb4', 'C3 A4', 57],
    ['tuba', 'Tuba', 'bass clef', 'bass', 'concert', 'E1 F4', 'Bb1 C4', 58],
  ]),
  ...family('strings', [
    ['violin', 'Violin', 'C', 'treble', 'concert', 'G3 E6', 'A3 B5', 40],
    ['viola', 'Viola', 'C', 'alto', 'concert', 'C3 A5', 'D3 E5', 41],
    ['cello', 'Cello', 'bass clef', 'bass', 'concert', 'C2 C5', 'E2 E4', 42],
  ]),
  ...family('rhythm section', [
    ['guitar', 'Guitar', 'C', 'treble', 'octave down', 'E3 D6', 'G3 B5', 26],
    ['double-bass', 'Double bass', 'bass clef', 'bass', 'octave down', 'E2 G4', 'E2 D4', 32],
    ['electric-bass', 'Electric bass', 'bass clef', 'bass', 'octave down', 'E2 G4', 'E2 D4', 33],
    ['piano', 'Piano, right hand', 'C', 'treble', 'concert', 'F3 F6', 'A3 C6', 0],
    ['vibraphone', 'Vibraphone', 'C', 'treble', 'concert', 'F3 F6', 'A3 D6', 11],
  ]),
  ...family('voices', [
    ['soprano-voice', 'Soprano voice', 'C', 'treble', 'concert', 'C4 A5', 'D4 G5', 53],
    ['mezzo-voice', 'Mezzo-soprano voice', 'C', 'treble', 'concert', 'A3 F5', 'B3 E5', 53],
    ['alto-voice', 'Alto voice', 'C', 'treble', 'concert', 'F3 D5', 'G3 C5', 53],
    ['tenor-voice', 'Tenor voice', 'C', 'treble-8', 'concert', 'C3 A4', 'D3 G4', 53],
    ['baritone-voice', 'Baritone voice', 'bass clef', 'bass', 'concert', 'A2 F4', 'B2 E4', 53],
    ['bass-voice', 'Bass voice', 'bass clef', 'bass', 'concert', 'E2 D4', 'G2 C4', 53],
  ]),
]

/** The names by which instruments are asked for. */
export type InstrumentId = (typeof known)[number]['id']

/** Every instrument, by family, high before low. */
export const instruments: readonly (Instrument & { readonly id: InstrumentId })[] = fixed(known)

/**
 * The instrument of an id; undefined where there is none of that name.
 *
 * @example
 * instrumentOf('horn').transposition // => { steps: -4, semitones: -7 }
 * instrumentOf('kazoo') // => undefined
 */
export function instrumentOf(id: InstrumentId): Instrument
export function instrumentOf(id: string): Instrument | undefined
export function instrumentOf(id: string): Instrument | undefined {
  return instruments.find((each) => each.id === id)
}

/**
 * What a player reads for a sounding pitch.
 *
 * @example
 * nameOf(writtenPitch(instrumentOf('alto-sax'), readPitch('C4'))) // => 'A4'
 */
export const writtenPitch = (instrument: Instrument, sounding: Pitch): Pitch =>
  transposePitch(sounding, invert(instrument.transposition))

/** What sounds when a player reads a written pitch. */
export const soundingPitch = (instrument: Instrument, written: Pitch): Pitch =>
  transposePitch(written, instrument.transposition)
