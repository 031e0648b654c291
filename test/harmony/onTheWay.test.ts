/**
 * What leads to a minor chord does not take that chord's major third, unless the symbol asks for it: common practice, as the fifth mode of
 * harmonic minor has it (Levine, *The Jazz Theory Book*, 1995). Passing chords by where they go.
 */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { chromaOf, nameOf } from '../../lib/theory/pitch.ts'

const fifths = ['7', '9', '7(b9)', '7(#9)', '7(#11)', '9(#11)', '7(b9,#11)', '7(#9,#11)', '7(b9,#9,#11)', '7b5', '7#5']
const more = [
  '7(b13)',
  '7(b9,b13)',
  '7(#9,b13)',
  '7alt',
  '7sus4',
  '9sus4',
  '7sus4(b9)',
  '',
  '+',
  '7(b9,b5)',
  '7(#9,#5)',
  '5',
]
/** Chords that lead to A minor: its V, the V over another bass, vii° in every inversion, ii°, the substitute of V. */
const leading = [
  ...[...fifths, ...more].map((quality) => `E${quality}`),
  ...['E7/G#', 'E7/B', 'E7/D', 'E/G#', 'E7(b9)/G#'],
  ...[
    'G#dim7',
    'Bdim7',
    'Ddim7',
    'Fdim7',
    'G#dim',
    'Bdim',
    'Ddim',
    'Fdim',
    'Bdim7/D',
    'Bdim7/F',
    'G#dim7/B',
    'G#dim7/F',
  ],
  ...['Bb7', 'Bb9', 'Bb7(#11)', 'Bb13'],
]
const minors = ['Am', 'Am6', 'Am7', 'Am9', 'Am(maj7)']
/** Surroundings, and which chord leads there. */
const around: readonly (readonly [form: (from: string, to: string) => string, at: number])[] = [
  [(from, to) => `| Am | ${from} | ${to} | Am |`, 1],
  [(from, to) => `| Cmaj7 | ${from} | ${to} | Dm7 G7 | Cmaj7 | Cmaj7 |`, 1],
  [(from, to) => `| Gmaj7 | ${from} | ${to} D7 | Gmaj7 |`, 1],
  [(from, to) => `| Fmaj7 | ${from} | ${to} D7 | Gm7 C7 | F6 |`, 1],
  [(from, to) => `| ${to} | ${to} | Dm6 | ${from} | ${to} | ${from} |`, 3],
]
const moves = [0, 1, 3, 4, 6].flatMap((steps, i) => [{ steps, semitones: [0, 2, 5, 7, 10][i]! }])

test('nothing that leads to minor takes its major third, in any key', () => {
  fc.assert(
    fc.property(
      fc.constantFrom(...leading),
      fc.constantFrom(...minors),
      fc.constantFrom(...around),
      fc.constantFrom(...moves),
      (from, to, [form, at], interval) => {
        const chart = readChart(form(from, to))
        const { chords } = readHarmony(unrollChart(transposeChart(chart, interval)))
        const { root, chord, bass, scale } = chords[at]!
        const third = (chromaOf(chords[at + 1]!.root!) + 4) % 12
        const own = [
          ...chord!.degrees.map((degree) => (chromaOf(root!) + degreeChroma(degree)) % 12),
          chromaOf(bass ?? root!),
        ]
        expect(scale!.notes.map(chromaOf).includes(third) && !own.includes(third)).toBe(false)
        for (const sound of own) expect(scale!.notes.map(chromaOf)).toContain(sound)
      },
    ),
    { numRuns: 400 },
  )
})

describe('passing chords take the scale of where they go', () => {
  test.each([
    ['| Cmaj7 | C#dim7 | Dm7 | G7 | Cmaj7 | C6 |', 1, 'C# D E F G A Bb', 'to Dm7'],
    ['| Cmaj7 | Edim7 | Dm7 | G7 | Cmaj7 | C6 |', 1, 'E F G A Bb C# D', 'the same, a third higher'],
    ['| Am6 | Bdim7 | Am6 | Am6 |', 1, 'B C D E F G# A', 'to Am6'],
    ['| Fmaj7 | F#dim7 | Gm7 | C7 | Fmaj7 | F6 |', 1, 'F# G A Bb C D Eb', 'to Gm7'],
    [
      '| Fmaj7 | Abdim7 | Gm7 | C7 | Fmaj7 | F6 |',
      1,
      'Ab Bb Cb Db D Fb F G',
      'down by a half step: nothing of Gm7 is led to',
    ],
    ['| C6 | F6 | F#dim7 | C/G | A7 | Dm7 | G7 | C6 |', 2, 'F# G# A B C D Eb E#', 'to a major chord'],
    ['| Am | Dm6 | Am | Am |', 1, 'D E F G A B C', 'a minor iv'],
    ['| Cmaj7 | Fm6 | Cmaj7 | C6 |', 1, 'F G Ab Bb C D E', 'borrowed, in major'],
  ])('%s, chord %i: %s (%s)', (text, at, notes) => {
    expect(
      readHarmony(unrollChart(readChart(text)))
        .chords[at]!.scale!.notes.map(nameOf)
        .join(' '),
    ).toBe(notes)
  })
})
