/**
 * An outside check of spelling: the ps13 algorithm of Meredith, "The ps13 Pitch Spelling Algorithm", Journal of New Music Research
 * 35 (2006), its description from memory, with its published context of 10 notes before and 42 after. It knows neither
 * chords nor bars: only which pitch classes are about, and passing and neighbour notes.
 */
import { modulo, type Pitch, pitchAt } from '../../lib/theory/pitch.ts'

const before = 10
const after = 42

/** Letters above a tonic for each number of semitones: a harmonic chromatic scale. */
const lettersAbove = [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6]
/** The letter, counted from A, of the first note by its semitones above A. */
const firstLetter = [0, 1, 1, 2, 2, 3, 4, 4, 5, 5, 6, 6]

/** Spells a melody; the whole may lie a diminished second off, which is a matter of the signature. */
export function ps13(midis: readonly number[]): readonly Pitch[] {
  const chromas = midis.map((midi) => modulo(midi - 69, 12))
  const first = chromas[0]!
  const tonicLetter = Array.from({ length: 12 }, (_, tonic) =>
    modulo(firstLetter[first]! - lettersAbove[modulo(first - tonic, 12)]!, 7),
  )
  const letters = chromas.map((chroma, j) => {
    const strength = new Array<number>(7).fill(0)
    for (let i = Math.max(0, j - before); i < Math.min(chromas.length, j + after); i++) {
      const tonic = chromas[i]!
      strength[modulo(lettersAbove[modulo(chroma - tonic, 12)]! + tonicLetter[tonic]!, 7)]! += 1
    }
    return strength.indexOf(Math.max(...strength))
  })
  for (let i = 0; i + 2 < letters.length; i++) {
    const [a, b, c] = [letters[i]!, letters[i + 1]!, letters[i + 2]!]
    const [low, middle, high] = [midis[i]!, midis[i + 1]!, midis[i + 2]!]
    // A neighbour note takes the letter next to the note it leaves and comes back to.
    if (a === c && b === a && middle !== low) letters[i + 1] = modulo(a + (middle > low ? 1 : -1), 7)
    // A passing note between letters a third apart takes the one between.
    if (modulo(a - c, 7) === 2 && low > middle && middle > high && (b === a || b === c))
      letters[i + 1] = modulo(a - 1, 7)
    if (modulo(c - a, 7) === 2 && low < middle && middle < high && (b === a || b === c))
      letters[i + 1] = modulo(a + 1, 7)
  }
  return letters.map((letter, j) => {
    const name = (['A', 'B', 'C', 'D', 'E', 'F', 'G'] as const)[letter]!
    const natural = [0, 2, 3, 5, 7, 8, 10][letter]!
    const alter = modulo(chromas[j]! - natural + 6, 12) - 6
    return pitchAt({ letter: name, alter }, midis[j]!)
  })
}
