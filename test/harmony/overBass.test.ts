/** Chords over a bass of their own: what they sound as, the scale they take and the part they play. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { analyseHarmony } from '../../lib/harmony/analysis.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { chromaOf, nameOf, noteAtFifths } from '../../lib/theory/pitch.ts'

const heard = (text: string) => readHarmony(unrollChart(readChart(text)))

/**
 * Changes, which chord, its key and function, its scale as named, its notes from the chord's own root. Suspended dominants as slash
 * chords and sevenths in the bass as Levine, *The Jazz Theory Book* (1995), has them; the rest is common practice.
 */
const rows: readonly [text: string, at: number, key: string, part: string, scale: string, notes: string][] = [
  ['| C | C/Bb | F/A | C/G G7 | C | C |', 1, 'C', 'V/IV', 'C mixolydian', 'C D E F G A Bb'],
  ['| Bbmaj7 | Eb/F | Bbmaj7 | Bb6 |', 1, 'Bb', 'V', 'F mixolydian', 'Eb F G A Bb C D'],
  ['| Cmaj7 | F/G | Cmaj7 | C6 |', 1, 'C', 'V', 'G mixolydian', 'F G A B C D E'],
  ['| Fmaj7 | Bb/C | Fmaj7 | F6 |', 1, 'F', 'V', 'C mixolydian', 'Bb C D E F G A'],
  ['| Fmaj7 | Gm7/C | Fmaj7 | F6 |', 1, 'F', 'V', 'C mixolydian', 'G A Bb C D E F'],
  ['| Bbmaj7 | Ebmaj7/F | Bbmaj7 | Bb6 |', 1, 'Bb', 'V', 'F mixolydian', 'Eb F G A Bb C D'],
  ['| Am7 | E/C | Am7 | Am7 |', 1, 'Am', 'bIII', 'C lydian augmented', 'E F# G# A B C D'],
  ['| G | D/C | G/B | G |', 1, 'G', 'V', 'D mixolydian', 'D E F# G A B C'],
  ['| Cm | Cm/B | Cm/Bb | Cm/A | Ab7 | G7 | Cm | Cm |', 1, 'Cm', 'i', 'C melodic minor', 'C D Eb F G A B'],
  ['| Cm | Cm/B | Cm/Bb | Cm/A | Ab7 | G7 | Cm | Cm |', 3, 'Cm', 'vi', 'A locrian', 'C D Eb F G A Bb'],
  ['| Gmaj7 | C/A | D7 | Gmaj7 |', 1, 'G', 'ii', 'A dorian', 'C D E F# G A B'],
  ['| Cmaj7 | C/E | F | G7 | C | C |', 1, 'C', 'I', 'C major', 'C D E F G A B'],
]

test.each(rows)('%s, chord %i', (text, at, key, part, scale, notes) => {
  const harmony = heard(text)
  const chord = harmony.chords[at]!
  expect([chord.localKey && nameOfKey(chord.localKey), chord.function]).toEqual([key, part])
  expect(analyseHarmony(harmony).chords[at]!.scale).toBe(scale.replace(/^(.)b/, '$1♭'))
  expect(chord.scale!.notes.map(nameOf).join(' ')).toBe(notes)
})

describe('any chord over any bass', () => {
  const roots = Array.from({ length: 12 }, (_, i) => noteAtFifths(i - 5))
  test('takes a scale that holds the chord and its bass', () => {
    for (const quality of ['', 'm', '6', 'm6', '7', 'maj7', 'm7', 'm7b5', 'dim7', '7(b9)', 'aug', '7sus4', 'm(maj7)'])
      for (const bass of roots) {
        const { root, chord, scale, function: part } = heard(`| C${quality}/${nameOf(bass)} | F |`).chords[0]!
        const held = scale!.notes.map(chromaOf)
        for (const degree of chord!.degrees) expect(held).toContain((chromaOf(root!) + degreeChroma(degree)) % 12)
        expect(held, `C${quality}/${nameOf(bass)}`).toContain(chromaOf(bass))
        expect(part).not.toBeNull()
      }
  })
})
