/** Lines that move inside a chord that stays: A G# G F# in Am Am(maj7) Am7 Am6, G G# A Bb in C C+ C6 C7. */
import type { PlayedChord } from '../changes/unrollChart.ts'
import { type Chord, has } from '../theory/chord.ts'
import { type Degree, degreeNote } from '../theory/degree.ts'
import { chromaOf, nameOf } from '../theory/pitch.ts'

type Direction = 'rises' | 'falls'

/** The moving note of a chord, in semitones above its root: of a plain triad its fifth, or where a falling line begins, its root. */
function movingNote(chord: Chord, direction: Direction, begins: boolean): number | null {
  if (!has(chord, '3') && !has(chord, 'b3')) return null
  const raised = !has(chord, '5') && ['#5', 'b6', 'b13'].some((degree) => has(chord, degree))
  const above = [has(chord, '7'), has(chord, 'b7'), has(chord, '6'), raised, has(chord, '5')].indexOf(true)
  if (above < 0) return null
  return above === 4 && direction === 'falls' && begins ? 12 : 11 - above
}

const names = (direction: Direction): readonly Degree[] => [
  '5',
  direction === 'rises' ? '#5' : 'b6',
  '6',
  'b7',
  '7',
  '1',
]

/**
 * What to say of chords through which a line of three notes or more moves by steps, by their indexes.
 *
 * @example
 * linesWithin([]).size // => 0
 */
export function linesWithin(chords: readonly PlayedChord[]): ReadonlyMap<number, string> {
  const said = new Map<number, string>()
  for (const direction of ['rises', 'falls'] as const)
    for (let from = 0; from < chords.length; from++) {
      const { indexes, notes } = lineFrom(chords, from, direction)
      if (notes.length < 3) continue
      const line = notes.map((note) => nameOf(degreeNote(chords[from]!.root!, names(direction)[note - 7]!)))
      for (const index of indexes) said.set(index, `A line ${direction} through it: ${line.join(' ')}.`)
      from = indexes.at(-1)! - 1
    }
  return said
}

/** The longest line that begins at a chord; chords that repeat its note belong to it. */
function lineFrom(chords: readonly PlayedChord[], from: number, direction: Direction) {
  const first = chords[from]!
  const indexes: number[] = []
  const notes: number[] = []
  for (let i = from; i < chords.length; i++) {
    const { root, chord } = chords[i]!
    if (!root || !chord || !first.root || !first.chord || chromaOf(root) !== chromaOf(first.root)) break
    if (has(chord, '3') !== has(first.chord, '3')) break
    const last = notes.at(-1)
    const note =
      last === 12 && chord.named === first.chord.named ? 12 : movingNote(chord, direction, last === undefined)
    if (note === null) break
    const step = last === undefined ? 1 : direction === 'rises' ? note - last : last - note
    if (step !== 0 && step !== 1 && step !== 2) break
    indexes.push(i)
    if (step !== 0) notes.push(note)
  }
  return { indexes, notes }
}
