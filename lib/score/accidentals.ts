/** Which accidentals stand in a bar: those that the bar needs, and a courtesy where the eye would otherwise be misled. */
import { signOfLetter } from '../theory/key.ts'
import { type Letter, nameOf, type Pitch } from '../theory/pitch.ts'
import type { ScoreEvent } from './score.ts'

/** A note of a bar as far as its accidental goes; `held` is true where it is tied to the one before. */
export interface Sounded {
  readonly pitch: Pitch | null
  readonly held: boolean
}

type Accidental = ScoreEvent['accidental']

/**
 * The accidentals of each bar's notes, in written pitch. An accidental holds for its own line or space to the end of the bar;
 * a note tied over the bar line takes none. A courtesy is given to the first note of a letter that is back in the key after
 * the bar before altered it, and to one that the same bar altered in another octave. Common practice; Gould, *Behind Bars*
 * (2011), from memory.
 *
 * @param bars - each with its signature (sharps positive) and its notes in order
 *
 * @example
 * accidentalsOf([{ signature: 0, notes: ['F#4', 'F#4'].map((n) => ({ pitch: readPitch(n), held: false })) }, { signature: 0, notes: [{ pitch: readPitch('F4'), held: false }] }]) // => [['shown', null], ['cautionary']]
 */
export function accidentalsOf(
  bars: readonly { readonly signature: number; readonly notes: readonly Sounded[] }[],
): readonly (readonly Accidental[])[] {
  let altered = new Map<Letter, number>()
  return bars.map(({ signature, notes }) => {
    const inForce = new Map<string, number>()
    const before = altered
    altered = new Map()
    return notes.map(({ pitch, held }) => {
      if (pitch === null) return null
      const { letter, alter, octave } = pitch
      const place = nameOf({ letter, alter: 0, octave })
      const usual = signOfLetter(signature, letter)
      const misled = before.get(letter) ?? altered.get(letter) ?? usual
      before.delete(letter)
      if (held) {
        if (alter !== usual) altered.set(letter, alter)
        return null
      }
      const needed = (inForce.get(place) ?? usual) !== alter
      inForce.set(place, alter)
      const courtesy = !needed && misled !== alter
      if (alter === usual && !courtesy && !needed) return null
      if (alter === usual) altered.delete(letter)
      else altered.set(letter, alter)
      return needed ? 'shown' : courtesy ? 'cautionary' : null
    })
  })
}
