/** Letters of lines: by chord, role and direction, in every key; read in the same words as players write them. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import type { Role } from '../../lib/line/line.ts'
import { type NoteToSpell, spellNotes } from '../../lib/line/spellLine.ts'
import { readKey } from '../../lib/theory/key.ts'
import { midiOf, nameOf, readPitch } from '../../lib/theory/pitch.ts'

const roles: Readonly<Record<string, Role>> = { '*': 'target', '.': 'approach', _: 'cell', '-': 'connect' }

/** Harmony of a chart in a key that it states. */
function harmonyOf(changes: string, key: string) {
  const chart = readChart(`| ${changes} |`)
  expect(chart.problems).toEqual([])
  return readHarmony(unrollChart({ ...chart, key: readKey(key) }))
}

/** Bars of notes, each a pitch under any name and a mark for its role; the bar's chords share its notes out evenly. */
function notesOf(line: string, changes: ReturnType<typeof harmonyOf>): NoteToSpell[] {
  return line.split('|').flatMap((bar, b) => {
    const notes = bar.trim().split(/\s+/)
    const chords = changes.chords.flatMap((chord, i) => (chord.bar === b + 1 ? [i] : []))
    return notes.map((text, n) => {
      const chord = chords[Math.floor((n * chords.length) / notes.length)]!
      const role = roles[text.at(-1)!]!
      return { bar: b + 1, midi: midiOf(readPitch(text.slice(0, -1))!), role, chord }
    })
  })
}

function spelled(changes: string, key: string, line: string, spelling: 'easy' | 'strict' = 'easy'): string {
  const harmony = harmonyOf(changes, key)
  const notes = notesOf(line, harmony)
  const pitches = spellNotes(notes, harmony, { spelling })
  return pitches.map((pitch) => nameOf(pitch!).replace(/-?\d$/, '')).join(' ')
}

/** Changes, key, notes as entered (the names need not be right), expected letters. */
const lines: readonly [string, string, string, string][] = [
  // Ligon, Connecting Chords with Linear Harmony (1996), enclosures of C, E and G over C in F major and in F minor.
  ['C7 | F', 'F', 'D5. B4. C5* | F4*', 'D B C F'],
  ['C7 | F', 'F', 'F4. Eb4. E4* | F4*', 'F D# E F'],
  ['C7 | F', 'F', 'A4. Gb4. G4* | F4*', 'A F# G F'],
  ['C7 | Fm', 'Fm', 'C#5. B4. C5* | F4*', 'Db B C F'],
  ['C7 | Fm', 'Fm', 'F4. Eb4. E4* | F4*', 'F D# E F'],
  ['C7 | Fm', 'Fm', 'G#4. Gb4. G4* | F4*', 'Ab F# G F'],
  // The same source: E flat over Cm7, two chromatic notes each side.
  ['Cm7 | F7', 'Bb', 'Db4. D4. F4. E4. Eb4* | A4*', 'C# D F E Eb A'],
  // Lower neighbours of E, G and B flat; the upper neighbour of G from a half step: the design's own table.
  ['Cmaj7', 'C', 'F4. Eb4. E4*', 'F D# E'],
  ['Cmaj7', 'C', 'A4. Gb4. G4*', 'A F# G'],
  ['Gm7', 'F', 'C5. A4. Bb4*', 'C A Bb'],
  ['Cmaj7', 'C', 'G#4. F#4. G4*', 'Ab F# G'],
  // Passing notes, raised going up, lowered going down: common practice (Ligon: on in the direction of the alteration).
  ['Cmaj7', 'C', 'C5_ Db5- D5_ Eb5- E5*', 'C C# D D# E'],
  ['Cmaj7', 'C', 'E5_ D#5- D5_ C#5- C5*', 'E Eb D Db C'],
  ['Gm7 | C7', 'F', 'G4* G#4- A4_ Bb4_ B4. C5. | Bb4*', 'G G# A Bb B C Bb'],
  ['Fm7 | Bb7', 'Eb', 'Bb4_ A4- Ab4_ F#4- F4_ | D4*', 'Bb A Ab Gb F D'],
  // Two approaches to the third of the chord from below: D, D sharp, E.
  ['Dm7 G7 | Cmaj7', 'C', 'F4* A4_ C5_ A4_ B4* D4. Eb4. | E4*', 'F A C A B D D# E'],
  // A dominant on its way to minor keeps its scale's flats on the way down.
  ['Dm7b5 G7 | Cm6', 'Cm', 'F4* Ab4_ C5_ Ab4_ G#4_ G4_ F4_ Eb4_ | D#4*', 'F Ab C Ab Ab G F Eb Eb'],
  // Chord tones under the chord's letters, in flat and sharp keys.
  ['A7 | Dm7', 'C', 'A4_ Db5* E5_ G5_ | F5*', 'A C# E G F'],
  ['B7 | Em', 'G', 'B4_ Eb5* Gb5_ A5_ | G5*', 'B D# F# A G'],
  ['Gdim7 | Abmaj7', 'Ab', 'G4_ A#4_ C#5_ E5_ | Eb5*', 'G Bb Db E Eb'],
]

describe('a line takes the letters a player expects', () => {
  test.each(lines)('%s in %s: %s', (changes, key, line, expected) => {
    expect(spelled(changes, key, line)).toBe(expected)
  })
})

describe('hard letters', () => {
  // Hutchinson: a chord's third and seventh keep their letter in strict teaching, or are read with ease.
  test.each([
    ['Dm7 | Db7 | Cmaj7', 'C', 'C5* | B4* | B4*', 'easy', 'C B B'],
    ['Dm7 | Db7 | Cmaj7', 'C', 'C5* | B4* | B4*', 'strict', 'C Cb B'],
    ['Abm7 | Db7', 'Eb', 'B4* Gb4_ | F4*', 'easy', 'B Gb F'],
    ['Abm7 | Db7', 'Eb', 'B4* Gb4_ | F4*', 'strict', 'Cb Gb F'],
    ['C#7 | F#m7', 'A', 'F4* G#4_ | E4*', 'easy', 'F G# E'],
    ['C#7 | F#m7', 'A', 'F4* G#4_ | E4*', 'strict', 'E# G# E'],
    // The signature has the C flat: both read it.
    ['Abm7 | Db7 | Gbmaj7', 'Gb', 'B4* Gb4_ | F4* | Bb4*', 'easy', 'Cb Gb F Bb'],
    ['G#m7 | C#7 | F#maj7', 'F#', 'B4* F#4_ | F4* | A#4*', 'easy', 'B F# E# A#'],
    // A seventh that would need two flats is read plain in both.
    ['Cdim7 | Dbmaj7', 'Db', 'A4* Gb4_ | F4*', 'strict', 'A Gb F'],
  ] as const)('%s in %s, %s', (changes, key, line, spelling, expected) => {
    expect(spelled(changes, key, line, spelling)).toBe(expected)
  })
})
