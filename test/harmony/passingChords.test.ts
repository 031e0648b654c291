/**
 * Augmented and diminished chords by where they go, in every key: function, scale and words. Sources, from memory where no page is given:
 * augmented dominants and the whole tones, melodic minor's modes (altered, lydian augmented): Levine, *The Jazz Theory Book* (1995);
 * passing diminished chords by what they stand in for (A7(b9) as C#dim7), bIII° down to ii: Nettles and Graf, *The Chord Scale Theory
 * and Jazz Harmony* (1997); the common-tone diminished chord and line clichés: Hutchinson, *Music Theory for the 21st-Century
 * Classroom*. That a minor chord's major third is not foretold is common practice, as are the numerals with +.
 */
import { expect, test } from 'vitest'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { chromaOf } from '../../lib/theory/pitch.ts'

/** Changes, which chord, its key, its function, its scale, and words of its reason. */
type Row = readonly [changes: string, at: number, key: string, part: string, scale: string, said: RegExp]

const augmented: readonly Row[] = [
  ['| C | C+ | F | G7 | C | C |', 1, 'C', 'V/IV', 'whole tone', /V of IV in C major: it leads to F/],
  ['| C | C+ | C6 | C+ | C | C |', 1, 'C', 'I+', 'lydian augmented', /raised to G#, rises to the A of C6/],
  ['| C | C+ | C6 | C+ | C | C |', 3, 'C', 'I+', 'lydian augmented', /raised to G#, falls back in C/],
  ['| C C+ | C6 C+7 | F | G7 | C | C |', 1, 'C', 'I+', 'lydian augmented', /A line rises through it: G G# A/],
  ['| C C+ | C6 C+7 | F | G7 | C | C |', 3, 'C', 'V/IV', 'whole tone', /leads to F/],
  ['| Cmaj7 | Dm7 | G7#5 | C6 | C6 |', 2, 'C', 'V', 'whole tone', /going home to C6/],
  ['| C | G+ | C | C |', 1, 'C', 'V', 'whole tone', /going home to C/],
  ['| Cmaj7 | Dm7 | G7#5 | Am7 | Dm7 | G7 | C6 | C6 |', 2, 'C', 'V', 'mixolydian b6', /going to Am7 instead of home/],
  ['| C | G+ | Am | F | C | G7 | C | C |', 1, 'C', 'V', 'mixolydian b6', /going to Am instead of home/],
  ['| C | C+ | Am | F | Dm7 | G7 | C | C |', 1, 'C', 'I+', 'lydian augmented', /to the A of Am, whose V it is as Eaug/],
  ['| C | E+ | Am | F | G7 | C |', 1, 'C', 'V/vi', 'altered', /V of vi in C major: it leads to Am/],
  ['| C | C+ | Dm7 | G7 | C | C |', 1, 'C', 'I+', 'harmonic major', /rises to the A of Dm7/],
  ['| C | F | F+ | Dm7 | G7 | C | C |', 2, 'C', 'IV+', 'lydian augmented', /to the D of Dm7, whose V it is as Aaug/],
  ['| C | G | G+ | Em | A7 | Dm7 G7 | C |', 2, 'C', 'V', 'lydian augmented', /to the E of Em, whose V it is as Baug/],
  ['| G | B+ | C | Cm | G | D7 | G | G |', 1, 'G', 'III+', 'whole tone', /to C, whose V it is as Gaug/],
  ['| Cmaj7 | A7#5 | Dm7 | G7 | C6 | C6 |', 1, 'C', 'V/ii', 'altered', /leads to Dm7/],
  ['| C | A+ | Dm | G7 | C | C |', 1, 'C', 'V/ii', 'altered', /leads to Dm/],
  ['| Cmaj7 | Abaug | Fm6 | Bb7 | Cmaj7 | C6 |', 1, 'C', 'bVI+', 'lydian augmented', /to the F of Fm6, whose V it is/],
  ['| Cm | Fm | G+ | Cm | Ab7 | G7 | Cm6 | Cm6 |', 2, 'Cm', 'V', 'altered', /going home to Cm/],
  ['| Cm | Fm | G7#5 | Cm | Ab7 | G7 | Cm6 | Cm6 |', 2, 'Cm', 'V', 'altered', /going home to Cm/],
  ['| Cm | Fm | G9(#5) | Cm | Ab7 | G7 | Cm6 | Cm6 |', 2, 'Cm', 'V', 'whole tone', /going home to Cm/],
  ['| Am | Ab+ | C/G | F#m7b5 | F | E7 | Am | Am |', 1, 'Am', 'VII+', 'altered', /bass falls by half steps through it/],
  ['| Am | C+/G# | C/G | D/F# | F | E7 | Am | Am |', 1, 'Am', 'bIII+', 'lydian augmented', /from Am to C\/G/],
  ['| Am | E+/G# | Am/G | D/F# | F | E7 | Am | Am |', 1, 'Am', 'V', 'altered', /going home to Am\/G/],
]

const lines: readonly Row[] = [
  [
    '| Am | Am(maj7) | Am7 | Am6 | Dm | E7 | Am | Am |',
    1,
    'Am',
    'i',
    'melodic minor',
    /A line falls through it: A G# G F#\./,
  ],
  ['| Am | Am(maj7)/G# | Am7/G | Am6/F# | Fmaj7 | E7 | Am | Am |', 3, 'Am', 'i', 'melodic minor', /A G# G F#\./],
  [
    '| C | Cmaj7 | C7 | F | Fm | C | C |',
    2,
    'C',
    'V/IV',
    'mixolydian',
    /leads to F\. A line falls through it: C B Bb\./,
  ],
  ['| Cm | Cm(#5) | Cm6 | Cm7 | Fm | G7 | Cm | Cm |', 1, 'Cm', 'i', 'aeolian', /A line rises through it: G G# A Bb\./],
]

const diminished: readonly Row[] = [
  ['| Cmaj7 | C#dim7 | Dm7 | G7 | Cmaj7 | C6 |', 1, 'C', '#i°', 'ultralocrian', /up a half step to Dm7, as A7\(b9\)/],
  ['| Cmaj7 | D#dim7 | Em7 | A7 | Dm7 G7 | C6 |', 1, 'C', '#ii°', 'ultralocrian', /up a half step to Em7, as B7\(b9\)/],
  ['| Cmaj7 | Am7 | G#dim7 | Am7 | Dm7 G7 | C6 |', 2, 'C', '#v°', 'ultralocrian', /up a half step to Am7, as E7\(b9\)/],
  ['| G7 | G#dim7 | Am7 | F | G7 | C |', 1, 'C', '#v°', 'ultralocrian', /to Am7, as E7\(b9\)/],
  ['| Em7 | Ebdim7 | Dm7 | G7 | Cmaj7 | C6 |', 1, 'C', 'biii°', 'whole-half diminished', /down a half step to Dm7/],
  ['| Fmaj7 | Abdim7 | Gm7 | C7 | F6 | F6 |', 1, 'F', 'biii°', 'whole-half diminished', /down a half step to Gm7/],
  ['| C | Cdim7 | C | C | G7 | C |', 1, 'C', 'i°', 'whole-half diminished', /the same root, on its way back to C/],
  [
    '| C | D#dim7 | C/E | F | G7 | C |',
    1,
    'C',
    '#ii°',
    'whole-half diminished',
    /keeping the C of C\/E: a common-tone/,
  ],
  ['| G7 | Gdim7 | G7 | G7 | C | C |', 1, 'C', 'v°', 'whole-half diminished', /the same root, on its way back to G7/],
  ['| F | F#dim7 | C/G | G7 | C | C |', 1, 'C', '#iv°', 'whole-half diminished', /the bass from IV up to V or I/],
  ['| F6 | F#dim7 | G7 | G7 | C | C |', 1, 'C', '#iv°', 'whole-half diminished', /up a half step to G7, as D7\(b9\)/],
  [
    '| Fmaj7 | Fdim7 | C/E | A7 | Dm7 G7 | C |',
    1,
    'C',
    'iv°',
    'whole-half diminished',
    /notes of Bdim7, which leads up to C\/E/,
  ],
  [
    '| G7 | Bdim7 | C6 | G7 | Cmaj7 | C6 |',
    1,
    'C',
    'vii°',
    'whole-half diminished',
    /up a half step to C6, as G7\(b9\)/,
  ],
  ['| Am | G#dim7 | Am | Bdim7 | Am/C | E7 | Am | Am |', 1, 'Am', 'vii°', 'ultralocrian', /as E7\(b9\)/],
  ['| Am | G#dim7 | Am | Bdim7 | Am/C | E7 | Am | Am |', 3, 'Am', 'ii°', 'locrian natural 6', /notes of G#dim7/],
  ['| Cm | F#dim7 | Cm/G | G7 | Cm | Cm |', 1, 'Cm', '#iv°', 'whole-half diminished', /the bass from IV up to V or I/],
]

const moves = Array.from({ length: 12 }, (_, up) => ({
  steps: [0, 1, 1, 2, 2, 3, 3, 4, 5, 5, 6, 6][up]!,
  semitones: up,
}))

test.each([...augmented, ...lines, ...diminished])('%s, chord %i: %s %s, %s', (changes, at, key, part, scale, said) => {
  const chart = readChart(changes)
  const here = readHarmony(unrollChart(chart)).chords[at]!
  expect([nameOfKey(here.localKey!), here.function, here.scale!.name]).toEqual([key, part, scale])
  expect(here.reason).toMatch(said)
  for (const move of moves) {
    const there = readHarmony(unrollChart(transposeChart(chart, move))).chords[at]!
    const tonic = (chromaOf(here.localKey!.tonic) + move.semitones) % 12
    expect([chromaOf(there.localKey!.tonic), there.function, there.scale!.name]).toEqual([tonic, part, scale])
    expect(there.scale!.notes.map(chromaOf)).toEqual(
      here.scale!.notes.map((note) => (chromaOf(note) + move.semitones) % 12),
    )
  }
})

test('a line needs three notes', () => {
  for (const changes of ['| Cmaj7 | C6 | Dm7 | G7 |', '| Am7 | Am6 | Dm7 | G7 |', '| C | C+ | Fm | Bb7 |'])
    for (const { reason } of readHarmony(unrollChart(readChart(changes))).chords) expect(reason).not.toMatch(/line/)
})
