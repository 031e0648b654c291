/** What may be played over a chord, as bit masks of pitch classes, and its scale as a ladder of steps. */
import type { HarmonyChord } from '../harmony/harmony.ts'
import { familyOf } from '../theory/chord.ts'
import { degreeChroma } from '../theory/degree.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { addedNote, walkedNotes } from '../theory/scale.ts'
import type { Moment } from './planRhythm.ts'

/** The pitch classes of a chord and of its scale, as bit masks. */
export interface Masks {
  readonly tones: number
  readonly scale: number
  /**
   * Scale notes a semitone above a chord tone, which rub against it (common practice: the avoid notes); of a dominant only the fourth:
   * its altered ninths and thirteenth are tensions.
   */
  readonly avoid: number
  /** What a bebop scale adds, which passes by a half step off the beat and is no note of the scale beside. */
  readonly passing: number
  /** What contradicts a bass other than the root on a strong beat: a half step from it and no chord tone. */
  readonly against: number
}

const maskOf = (chromas: readonly number[]) => chromas.reduce((mask, chroma) => mask | (1 << chroma), 0)
const knownMasks = new WeakMap<HarmonyChord, Masks>()

/** The masks of a chord that has a root; worked out once for each chord. */
export function masksOf(chord: HarmonyChord): Masks {
  const known = knownMasks.get(chord)
  if (known) return known
  const root = chromaOf(chord.root!)
  const tones = maskOf(chord.chord!.degrees.map((degree) => (root + degreeChroma(degree)) % 12))
  const scale = maskOf(chord.scale ? walkedNotes(chord.scale).map(chromaOf) : []) | tones
  const rubbed = familyOf(chord.chord!) === 'dominant' ? 1 << ((root + 4) % 12) : tones
  const rubs = (chroma: number) => ((scale & ~tones) >> chroma) & (rubbed >> modulo(chroma - 1, 12)) & 1
  const avoid = maskOf([0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10, 11].filter(rubs))
  const added = chord.scale && addedNote(chord.scale)
  const passing = added ? maskOf([chromaOf(added)]) & ~scale : 0
  const bass = chord.bass ? chromaOf(chord.bass) : root
  const beside = bass === root ? 0 : maskOf([modulo(bass - 1, 12), modulo(bass + 1, 12)])
  const masks = { tones, scale, avoid, passing, against: beside & ~tones }
  knownMasks.set(chord, masks)
  return masks
}

/** The pitch classes that may be walked on where a moment has some weight. */
export const heldOn = ({ scale, against }: Masks, weight: Moment['weight']): number =>
  weight === 'strong' ? scale & ~against : scale

/** A scale as semitones above its first note, and the step that each of the twelve is, -1 for none. */
interface Ladder {
  readonly first: number
  readonly above: readonly number[]
  readonly steps: readonly number[]
}

const knownLadders = new WeakMap<HarmonyChord, Ladder>()

function ladderOf(chord: HarmonyChord): Ladder {
  const known = knownLadders.get(chord)
  if (known) return known
  const chromas = chord.scale ? walkedNotes(chord.scale).map(chromaOf) : []
  const first = chromas[0] ?? 0
  const above = chromas.map((chroma) => modulo(chroma - first, 12))
  const ladder = { first, above, steps: Array.from({ length: 12 }, (_, up) => above.indexOf(up)) }
  knownLadders.set(chord, ladder)
  return ladder
}

/** So many scale steps from a note as semitones, in the chord's scale; null where the note is outside it. */
export function scaleOffset(chord: HarmonyChord, midi: number, steps: number): number | null {
  const ladder = ladderOf(chord)
  const { first, above } = ladder
  const place = ladder.steps[modulo(midi - first, 12)]!
  if (place < 0) return null
  const to = place + steps
  return above[modulo(to, above.length)]! + 12 * Math.floor(to / above.length) - above[place]!
}
