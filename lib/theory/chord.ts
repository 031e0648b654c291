/** A chord apart from its root: the degrees it holds, and what follows from them. */
import { alterOf, type Degree, degreeChroma, degreeNote, numberOf } from './degree.ts'
import type { PitchClass } from './pitch.ts'

/**
 * A chord quality as a set of degrees, in order of their number. `alt` is true where the symbol said so and the fifth is open
 * to either alteration. `named` is what the person's symbol called it, in canonical ASCII after the root, such as `m7b5`.
 */
export interface Chord {
  readonly degrees: readonly Degree[]
  readonly alt: boolean
  readonly named: string
}

/** The families that the counts of figures distinguish, with those that need a hand of their own. */
export type Family =
  | 'major'
  | 'minor'
  | 'dominant'
  | 'half-diminished'
  | 'diminished'
  | 'augmented'
  | 'sus'
  | 'minor-major'
  | 'power'

export const has = (chord: Chord, degree: Degree): boolean => chord.degrees.includes(degree)
const withNumber = (chord: Chord, ...numbers: number[]) => chord.degrees.filter((d) => numbers.includes(numberOf(d)))

/** Pitch classes above the root, ascending, each once: a minor seventh is 0 3 7 10. */
export const pitchClassesOf = (chord: Chord): readonly number[] =>
  [...new Set(chord.degrees.map(degreeChroma))].sort((a, b) => a - b)

/** Whether a chord's fifth is raised over a major third, and its seventh not major: C+ and C7#5. */
export const isAugmented = (chord: Chord): boolean =>
  has(chord, '3') && has(chord, '#5') && !has(chord, '5') && !has(chord, '7')

/**
 * The family of a chord, read off its third, fifth and seventh.
 *
 * @example
 * familyOf({ degrees: ['1', 'b3', 'b5', 'b7'], alt: false, named: 'm7b5' }) // => 'half-diminished'
 */
export function familyOf(chord: Chord): Family {
  const minorSeventh = has(chord, 'b7')
  if (has(chord, '3')) {
    if (minorSeventh) return 'dominant'
    return isAugmented(chord) ? 'augmented' : 'major'
  }
  if (has(chord, 'b3')) {
    if (has(chord, 'bb7')) return 'diminished'
    if (has(chord, 'b5') && !has(chord, '5')) return minorSeventh ? 'half-diminished' : 'diminished'
    return has(chord, '7') ? 'minor-major' : 'minor'
  }
  return has(chord, '4') || has(chord, '2') || has(chord, '11') || has(chord, '9') ? 'sus' : 'power'
}

/**
 * The two guide tones: third and seventh. The sixth takes the seventh's place where there is none, the fourth (or second) the
 * third's in a sus chord; where a triad has nothing else, the root stands for the seventh, and where there is no third of any
 * kind, the fifth for the third.
 *
 * @example
 * guideDegrees({ degrees: ['1', '3', '5', 'b7'], alt: false, named: '7' }) // => ['3', 'b7']
 * guideDegrees({ degrees: ['1', '3', '5', '6'], alt: false, named: '6' }) // => ['3', '6']
 * guideDegrees({ degrees: ['1', '4', '5', 'b7'], alt: false, named: '7sus4' }) // => ['4', 'b7']
 */
export function guideDegrees(chord: Chord): readonly [Degree, Degree] {
  const third = has(chord, '3') ? '3' : has(chord, 'b3') ? 'b3' : (withNumber(chord, 4)[0] ?? withNumber(chord, 2)[0])
  const seventh = withNumber(chord, 7)[0] ?? withNumber(chord, 6)[0]
  return [third ?? withNumber(chord, 5)[0] ?? '1', seventh ?? '1']
}

/** The degrees of the plain chord: root, third (or its substitute), fifth, seventh or sixth. */
export const chordTones = (chord: Chord): readonly Degree[] => chord.degrees.filter((d) => numberOf(d) <= 7)

/** The degrees above the plain chord: 9, 11, 13 and their alterations. */
export const tensions = (chord: Chord): readonly Degree[] => chord.degrees.filter((d) => numberOf(d) > 7)

/** The spelled notes of a chord over a root, in the order of its degrees. */
export const tonesOf = (root: PitchClass, chord: Chord): readonly PitchClass[] =>
  chord.degrees.map((degree) => degreeNote(root, degree))

/** Degrees by number, a flat before a natural before a sharp; each once. */
export const orderDegrees = (degrees: readonly Degree[]): readonly Degree[] =>
  [...new Set(degrees)].sort((a, b) => numberOf(a) - numberOf(b) || alterOf(a) - alterOf(b))
