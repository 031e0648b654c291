/** Degrees of a chord or scale, by their usual names: 1, b3, #11, bb7. Counted from the major scale above the root. */
import { type Interval, intervalBetween, naturals, type PitchClass, transposeClass } from './pitch.ts'
import { alterOfSigns, signsOf } from './signs.ts'

/** Accidentals and a number from 1 to 13, such as `b3`, `#11`, `bb7`. */
export type Degree = string

/** The number of a degree: 3 for `b3`, 11 for `#11`. */
export const numberOf = (degree: Degree): number => Number(degree.replace(/^[b#]+/, ''))

/** The alteration of a degree: -1 for `b3`, 1 for `#11`. */
export const alterOf = (degree: Degree): number => alterOfSigns(degree.replace(/\d+$/, ''))

/**
 * The interval of a degree above its root; compound degrees keep their octave.
 *
 * @example
 * degreeInterval('b3') // => { steps: 2, semitones: 3 }
 * degreeInterval('#11') // => { steps: 10, semitones: 18 }
 */
export const degreeInterval = (degree: Degree): Interval => usual.get(degree) ?? workOut(degree)

function workOut(degree: Degree): Interval {
  const steps = numberOf(degree) - 1
  return { steps, semitones: naturals[steps % 7]! + 12 * Math.floor(steps / 7) + alterOf(degree) }
}

/** Those that chords and scales have, worked out once: every line asks for them thousands of times. */
const usual: ReadonlyMap<Degree, Interval> = new Map(
  [-2, -1, 0, 1, 2].flatMap((alter) =>
    Array.from({ length: 14 }, (_, steps): [Degree, Interval] => {
      const degree = signsOf(alter) + (steps + 1)
      return [degree, workOut(degree)]
    }),
  ),
)

/** The pitch class of a degree above the root, 0 to 11. */
export const degreeChroma = (degree: Degree): number => (degreeInterval(degree).semitones + 24) % 12

/**
 * The note name of a degree above a root.
 *
 * @example
 * degreeNote({ letter: 'D', alter: 0 }, 'b7') // => { letter: 'C', alter: 0 }
 */
export const degreeNote = (root: PitchClass, degree: Degree): PitchClass => transposeClass(root, degreeInterval(degree))

/**
 * The degree that a note is above a root, within the octave: C over D is `b7`.
 *
 * @example
 * degreeOf({ letter: 'C', alter: 0 }, { letter: 'D', alter: 0 }) // => 'b7'
 */
export function degreeOf(note: PitchClass, root: PitchClass): Degree {
  const { steps, semitones } = intervalBetween(root, note)
  let alter = semitones - naturals[steps]!
  if (alter > 6) alter -= 12
  if (alter < -6) alter += 12
  return signsOf(alter) + (steps + 1)
}
