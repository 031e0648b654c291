/** From concert to written: the key, clef and interval at which a player reads what is to sound. */
import type { Instrument } from '../theory/instrument.ts'
import { fullSignatureOf, type Key, transposeKey } from '../theory/key.ts'
import { type Interval, invert, midiOf } from '../theory/pitch.ts'

/** How a part is put on paper. */
export interface WrittenPart {
  readonly concertKey: Key
  readonly key: Key
  readonly clef: Instrument['clef']
  /** Sounding minus written, in the part's own letters. */
  readonly transposition: Interval
}

/**
 * How an instrument reads a tune in a concert key. A written key of more than six sharps or flats gives way to its enharmonic,
 * and with it every note and chord: for concert B a B flat part reads D flat, an E flat part A flat. A part at concert pitch
 * keeps the octave of guitar and basses, and takes the clef that its range sits in.
 *
 * @example
 * nameOfKey(writtenPart(readKey('B'), { transposition: { steps: -1, semitones: -2 } }, false).key) // => 'Db'
 * nameOfKey(writtenPart(readKey('E'), { transposition: { steps: -1, semitones: -2 } }, false).key) // => 'F#'
 */
export function writtenPart(
  concertKey: Key,
  instrument: Pick<Instrument, 'transposition' | 'clef' | 'comfortable'>,
  concert: boolean,
): WrittenPart {
  const own = instrument.transposition
  const octaves = own.semitones % 12 === 0
  if (concert && !octaves) {
    const far = fullSignatureOf(concertKey)
    const transposition = { steps: Math.abs(far) <= 7 ? 0 : far > 0 ? -1 : 1, semitones: 0 }
    const key = transposeKey(concertKey, invert(transposition))
    return { concertKey, key, clef: concertClef(instrument), transposition }
  }
  const key = transposeKey(concertKey, invert(own))
  const far = fullSignatureOf(key)
  if (Math.abs(far) <= 6) return { concertKey, key, clef: instrument.clef, transposition: own }
  const steps = own.steps + (far > 0 ? -1 : 1)
  const transposition = { steps, semitones: own.semitones }
  return { concertKey, key: transposeKey(concertKey, invert(transposition)), clef: instrument.clef, transposition }
}

/** Treble where the middle of the comfortable range sounds from middle C, treble an octave down from F3, else bass. */
function concertClef({ comfortable: [low, high], transposition }: Pick<Instrument, 'comfortable' | 'transposition'>) {
  const middle = (midiOf(low) + midiOf(high)) / 2 + transposition.semitones
  return middle >= 60 ? 'treble' : middle >= 53 ? 'treble-8' : 'bass'
}
