/** What a chord over a foreign bass sounds as: Eb/F as F9sus, C/Bb as C7 in third inversion, E/C as Cmaj7(#5). */
import { type Chord, familyOf, has, orderDegrees } from '../theory/chord.ts'
import { type Degree, degreeChroma } from '../theory/degree.ts'
import { chromaOf, type PitchClass } from '../theory/pitch.ts'
import { type ChordScale, type ScaleName, scaleChromas, scaleDegrees } from '../theory/scale.ts'

/** A chord as it sounds: its root and quality; those of the symbol where the bass is one of its notes or there is none. */
export interface Sounding {
  readonly root: PitchClass
  readonly chord: Chord
}

/** The plainest degree for a bass so many semitones above the root, where it is no note of the chord. */
const added: readonly Degree[] = ['1', 'b9', '9', '#9', '3', '11', '#11', '5', 'b13', '13', 'b7', '7']

/** For a major chord, the bass's semitones above the root, and what the two make over the bass. Common practice. */
const overMajor: Readonly<Partial<Record<number, readonly Degree[]>>> = {
  2: ['1', '4', '5', 'b7', '9'],
  5: ['1', '3', '5', '7', '9'],
  8: ['1', '3', '#5', '7'],
  9: ['1', 'b3', '5', 'b7'],
}
const overMinor: Readonly<Partial<Record<number, readonly Degree[]>>> = {
  5: ['1', '4', '5', 'b7', '9'],
  8: ['1', '3', '5', '7'],
  9: ['1', 'b3', 'b5', 'b7'],
}

/**
 * A chord symbol with its bass, as the two sound together. A bass that is a note of the chord, or its seventh, inverts it; one
 * under which another chord stands makes it that; any other is added to it.
 *
 * @example
 * // Eb/F is F9sus4.
 * soundOver({ letter: 'E', alter: -1 }, { degrees: ['1', '3', '5'], alt: false, named: '' }, { letter: 'F', alter: 0 }).chord.degrees
 * // => ['1', '4', '5', 'b7', '9']
 */
export function soundOver(root: PitchClass, chord: Chord, bass: PitchClass | null): Sounding {
  if (!bass) return { root, chord }
  const up = (chromaOf(bass) - chromaOf(root) + 12) % 12
  if (chord.degrees.some((degree) => degreeChroma(degree) === up)) return { root, chord }
  const family = familyOf(chord)
  const table = family === 'major' ? overMajor : family === 'minor' ? overMinor : {}
  const whole = has(chord, '5') && !chord.alt && chord.degrees.every((degree) => !/^[b#](9|1[13])$/.test(degree))
  const triad = !['6', '7', 'b7'].some((degree) => has(chord, degree))
  const made = whole && (triad || up === 2 || up === 5) ? table[up] : undefined
  if (made) return { root: bass, chord: { degrees: made, alt: false, named: chord.named } }
  return { root, chord: { ...chord, degrees: orderDegrees([...chord.degrees, added[up]!]) } }
}

/** The scales by the set of their pitch classes, plainest first. */
const byChromas = new Map<string, ScaleName>()
for (const name of Object.keys(scaleDegrees) as ScaleName[]) {
  const key = [...scaleChromas(name)].sort((a, b) => a - b).join(' ')
  if (!byChromas.has(key)) byChromas.set(key, name)
}

/**
 * The name that a scale's notes have from another of them; null where it has none. F mixolydian from E flat is lydian.
 *
 * @example
 * scaleFrom({ letter: 'E', alter: -1 }, { name: 'major', degrees: [], notes: ['E', 'F', 'G', 'A', 'B', 'C', 'D'].map((letter) => ({ letter, alter: letter === 'E' || letter === 'B' ? -1 : 0 })) })
 * // => 'lydian'
 */
export function scaleFrom(root: PitchClass, scale: ChordScale): ScaleName | null {
  const chromas = scale.notes.map((note) => (chromaOf(note) - chromaOf(root) + 12) % 12)
  return byChromas.get(chromas.sort((a, b) => a - b).join(' ')) ?? null
}

/** The root that a chord's scale is named from, and the scale's name there: the bass's where the bass makes another chord. */
export function nameScale(
  root: PitchClass,
  chord: Chord,
  bass: PitchClass | null,
  scale: ChordScale,
): { readonly root: PitchClass; readonly name: ScaleName } {
  const sounding = soundOver(root, chord, bass)
  const name = sounding.root === root ? null : scaleFrom(sounding.root, scale)
  return name ? { root: sounding.root, name } : { root, name: scale.name }
}
