/** Chord scales by name, each as degrees above the chord's root, spelled as the chord would spell them. */

import { fixed } from '../fixed.ts'
import { type Degree, degreeChroma, degreeNote } from './degree.ts'
import { chromaOf, type PitchClass } from './pitch.ts'

/**
 * Chord scales a player names, with their degrees. Source: the scale table of Levine, *The Jazz Theory Book* (1995), and
 * Hutchinson, *Music Theory for the 21st-Century Classroom*; the altered scale keeps the chord's own major third.
 */
export const scaleDegrees = fixed({
  major: ['1', '2', '3', '4', '5', '6', '7'],
  dorian: ['1', '2', 'b3', '4', '5', '6', 'b7'],
  phrygian: ['1', 'b2', 'b3', '4', '5', 'b6', 'b7'],
  lydian: ['1', '2', '3', '#4', '5', '6', '7'],
  mixolydian: ['1', '2', '3', '4', '5', '6', 'b7'],
  aeolian: ['1', '2', 'b3', '4', '5', 'b6', 'b7'],
  locrian: ['1', 'b2', 'b3', '4', 'b5', 'b6', 'b7'],
  'melodic minor': ['1', '2', 'b3', '4', '5', '6', '7'],
  'lydian augmented': ['1', '2', '3', '#4', '#5', '6', '7'],
  'lydian dominant': ['1', '2', '3', '#4', '5', '6', 'b7'],
  'mixolydian b6': ['1', '2', '3', '4', '5', 'b6', 'b7'],
  'locrian natural 2': ['1', '2', 'b3', '4', 'b5', 'b6', 'b7'],
  altered: ['1', 'b2', 'b3', '3', 'b5', 'b6', 'b7'],
  'harmonic minor': ['1', '2', 'b3', '4', '5', 'b6', '7'],
  'phrygian dominant': ['1', 'b2', '3', '4', '5', 'b6', 'b7'],
  // Modes of harmonic minor: the fifth with both ninths (common practice), the second, the fourth, the sixth and the seventh.
  'phrygian dominant with sharp 9': ['1', 'b2', 'b3', '3', '4', '5', 'b6', 'b7'],
  'locrian natural 6': ['1', 'b2', 'b3', '4', 'b5', '6', 'b7'],
  'dorian #4': ['1', '2', 'b3', '#4', '5', '6', 'b7'],
  'lydian #2': ['1', '#2', '3', '#4', '5', '6', '7'],
  ultralocrian: ['1', 'b2', 'b3', 'b4', 'b5', 'b6', 'bb7'],
  'harmonic major': ['1', '2', '3', '4', '5', 'b6', '7'],
  'half-whole diminished': ['1', 'b2', 'b3', '3', '#4', '5', '6', 'b7'],
  'whole-half diminished': ['1', '2', 'b3', '4', 'b5', 'b6', 'bb7', '7'],
  'whole tone': ['1', '2', '3', '#4', '#5', 'b7'],
  'bebop dominant': ['1', '2', '3', '4', '5', '6', 'b7', '7'],
  'bebop major': ['1', '2', '3', '4', '5', '#5', '6', '7'],
  'bebop dorian with natural 3': ['1', '2', 'b3', '3', '4', '5', '6', 'b7'],
  'bebop dorian with natural 7': ['1', '2', 'b3', '4', '5', '6', 'b7', '7'],
} as const satisfies Record<string, readonly Degree[]>)

/**
 * The note that a bebop scale adds to the scale it stands on, so that chord tones stay on the beat: it passes off the beat between its
 * neighbours and is no note to walk on or land on. Source: Baker, *How to Play Bebop* (1985), from memory.
 */
const addedDegrees: Readonly<Partial<Record<keyof typeof scaleDegrees, Degree>>> = {
  'bebop dominant': '7',
  'bebop major': '#5',
  'bebop dorian with natural 3': '3',
  'bebop dorian with natural 7': '7',
}

export type ScaleName = keyof typeof scaleDegrees

/** A chord scale over a root: its degrees in order and their spelled notes. */
export interface ChordScale {
  readonly name: ScaleName
  readonly degrees: readonly Degree[]
  readonly notes: readonly PitchClass[]
}

/**
 * The chord scale of a name over a root.
 *
 * @example
 * scaleOver({ letter: 'G', alter: 0 }, 'lydian dominant').notes.map(nameOf) // => ['G', 'A', 'B', 'C#', 'D', 'E', 'F']
 */
export function scaleOver(root: PitchClass, name: ScaleName): ChordScale {
  const degrees = scaleDegrees[name]
  return { name, degrees, notes: degrees.map((degree) => degreeNote(root, degree)) }
}

/** The scale's pitch classes above its root, ascending. */
export const scaleChromas = (name: ScaleName): readonly number[] => chromasOf.get(name)!
const chromasOf = new Map(Object.entries(scaleDegrees).map(([name, degrees]) => [name, degrees.map(degreeChroma)]))

/** Whether a scale holds a pitch class, by sound. */
export const scaleHolds = (scale: ChordScale, chroma: number): boolean =>
  scale.notes.some((note) => chromaOf(note) === chroma)

/**
 * The notes of a scale that a line walks on: all but what a bebop scale adds.
 *
 * @example
 * walkedNotes(scaleOver({ letter: 'G', alter: 0 }, 'bebop dominant')).map(nameOf) // => ['G', 'A', 'B', 'C', 'D', 'E', 'F']
 */
export const walkedNotes = ({ name, degrees, notes }: ChordScale): readonly PitchClass[] =>
  notes.filter((_, i) => degrees[i] !== addedDegrees[name])

/** The note that a bebop scale adds; null for other scales. */
export function addedNote({ name, degrees, notes }: ChordScale): PitchClass | null {
  const added = addedDegrees[name]
  return added === undefined ? null : (notes[degrees.indexOf(added)] ?? null)
}
