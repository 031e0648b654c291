/** Instruments of a class: how they sound from what they read, their clef and their ranges. */
import { type Interval, invert, type Pitch, readPitch, transposePitch } from './pitch.ts'

export interface Instrument {
  readonly id: string
  readonly name: string
  readonly clef: 'treble' | 'bass' | 'tenor' | 'alto' | 'treble-8'
  /** Sounding minus written: an alto sax sounds a major sixth below, `{ steps: -5, semitones: -9 }`. */
  readonly transposition: Interval
  /** Usual written range. Common practice, from memory. */
  readonly range: readonly [Pitch, Pitch]
  /** A written range that asks for no strain: the default. Common practice, from memory. */
  readonly comfortable: readonly [Pitch, Pitch]
  /** General MIDI program, from 0. */
  readonly program: number
}

function instrument(
  id: string,
  name: string,
  clef: Instrument['clef'],
  transposition: readonly [number, number],
  range: string,
  comfortable: string,
  program: number,
): Instrument {
  const pair = (text: string): readonly [Pitch, Pitch] => {
    const [low = '', high = ''] = text.split(' ')
    return [readPitch(low)!, readPitch(high)!]
  }
  const [steps, semitones] = transposition
  return {
    id,
    name,
    clef,
    transposition: { steps, semitones },
    range: pair(range),
    comfortable: pair(comfortable),
    program,
  }
}

export const instruments: readonly Instrument[] = [
  instrument('soprano-sax', 'Soprano saxophone', 'treble', [-1, -2], 'Bb3 F6', 'D4 D6', 64),
  instrument('alto-sax', 'Alto saxophone', 'treble', [-5, -9], 'Bb3 F6', 'C4 D6', 65),
  instrument('tenor-sax', 'Tenor saxophone', 'treble', [-8, -14], 'Bb3 F6', 'C4 D6', 66),
  instrument('baritone-sax', 'Baritone saxophone', 'treble', [-12, -21], 'A3 F6', 'C4 C6', 67),
  instrument('clarinet', 'Clarinet in B♭', 'treble', [-1, -2], 'E3 C6', 'G3 A5', 71),
  instrument('trumpet', 'Trumpet in B♭', 'treble', [-1, -2], 'F#3 B5', 'A3 A5', 56),
  instrument('flute', 'Flute', 'treble', [0, 0], 'C4 A6', 'D4 E6', 73),
  instrument('trombone', 'Trombone', 'bass', [0, 0], 'E2 Bb4', 'A2 G4', 57),
  instrument('guitar', 'Guitar', 'treble', [-7, -12], 'E3 D6', 'G3 B5', 26),
  instrument('piano', 'Piano, right hand', 'treble', [0, 0], 'F3 F6', 'A3 C6', 0),
  instrument('double-bass', 'Double bass', 'bass', [-7, -12], 'E2 G4', 'E2 D4', 32),
]

/** The instrument of an id, or undefined. */
export const instrumentOf = (id: string): Instrument | undefined => instruments.find((each) => each.id === id)

/** What a player reads for a sounding pitch. */
export const writtenPitch = (instrument: Instrument, sounding: Pitch): Pitch =>
  transposePitch(sounding, invert(instrument.transposition))

/** What sounds when a player reads a written pitch. */
export const soundingPitch = (instrument: Instrument, written: Pitch): Pitch =>
  transposePitch(written, instrument.transposition)
