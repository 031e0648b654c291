/** The letters that a chord and its scale ask for, and which of them are hard to read. */
import type { HarmonyChord } from '../harmony/harmony.ts'
import { degreeChroma, degreeNote } from '../theory/degree.ts'
import { signatureOf, signOfLetter } from '../theory/key.ts'
import { chromaOf, type Letter, modulo, otherName, type PitchClass } from '../theory/pitch.ts'

/** Whether a note is one that readers stumble at: B sharp, E sharp, C flat, F flat. */
export const isAwkward = ({ letter, alter }: PitchClass) =>
  (alter === 1 && (letter === 'B' || letter === 'E')) || (alter === -1 && (letter === 'C' || letter === 'F'))
/** Whether a key signature has a note as it stands. */
export const inSignature = (note: PitchClass, signature: number) => signOfLetter(signature, note.letter) === note.alter

/** The name a note is read under where its own would be hard: the other name of the same sound with at most one accidental. */
function plainName(note: PitchClass, signature: number, keepAwkward: boolean): PitchClass {
  if (Math.abs(note.alter) < 2 && (!isAwkward(note) || keepAwkward || inSignature(note, signature))) return note
  return otherName(note)
}

/** The letters that a chord and its scale ask for, by pitch class, in one signature. */
export interface Asked {
  readonly tones: ReadonlyMap<number, readonly PitchClass[]>
  readonly scale: ReadonlyMap<number, PitchClass>
  /** The letters of both as theory has them, before any is read plain: F for the F double sharp of G sharp minor. */
  readonly letters: ReadonlyMap<number, Letter>
  /** The middle of the local key on the line of fifths. */
  readonly middle: number
}

/** What a chord asks of the letters around it; nothing where there is none. */
export function askedBy(chord: HarmonyChord | undefined, signature: number, strict: boolean): Asked {
  const tones = new Map<number, readonly PitchClass[]>()
  const scale = new Map<number, PitchClass>()
  const letters = new Map<number, Letter>()
  if (chord?.root && chord.chord) {
    const { root } = chord
    for (const degree of chord.chord.degrees) {
      const chroma = modulo(chromaUp(root, degree), 12)
      // A sharp ninth may be read as a flat tenth.
      const names = degree === '#9' ? ['#9', 'b10'] : [degree]
      const plain = names.map((name) => plainName(degreeNote(root, name), signature, strict && name === degree))
      if (!tones.has(chroma)) tones.set(chroma, plain)
      letters.set(chroma, degreeNote(root, degree).letter)
    }
    for (const degree of chord.scale?.degrees ?? []) {
      const note = degreeNote(root, degree)
      const chroma = chromaUp(root, degree)
      scale.set(chroma, plainName(note, signature, false))
      if (!letters.has(chroma)) letters.set(chroma, note.letter)
    }
  }
  const key = chord?.localKey
  return { tones, scale, letters, middle: (key ? signatureOf(key) : signature) + 2 }
}

const chromaUp = (root: PitchClass, degree: string): number => modulo(chromaOf(root) + degreeChroma(degree), 12)
