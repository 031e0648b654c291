/**
 * Tritone substitutes, alone and with their ii, which part they play and which scale they take: none of these charts was there when costs
 * were judged. Substitutes and lydian dominant as Levine, *The Jazz Theory Book* (1995), and Nettles and Graf (1997) have them; the labels are
 * one person's.
 */
import { expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'

/** A chart, which of its chords, and the parts that a teacher would let pass. */
const rows: readonly (readonly [text: string, at: number, parts: readonly string[]])[] = [
  ['| Dm7 | Db7 | Cmaj7 | Cmaj7 |', 1, ['subV']],
  ['| Bb6 | E7 | Ebmaj7 | Ebm6 | Bb6 | Bb6 |', 1, ['subV/IV']],
  ['| Fmaj7 | Ab7 | Gm7 | C7 | F6 | F6 |', 1, ['subV/ii']],
  ['| Gmaj7 | Eb7 | D7 | G6 |', 1, ['subV/V']],
  ['| Ebmaj7 | Db7 | Cm7 | F7 | Fm7 | Bb7 | Eb6 | Eb6 |', 1, ['subV/vi']],
  ['| Cm6 | Db7 | Cm6 | Ab7 | G7 | Cm6 |', 1, ['subV']],
  ['| Cm6 | Db7 | Cm6 | Ab7 | G7 | Cm6 |', 3, ['subV/V', 'bVI7']],
  ['| Abmaj7 | A7 | Abmaj7 | A7 | Abmaj7 | Ab6 |', 1, ['subV']],
  ['| Em7 | Eb7 | Dm7 | Db7 | Cmaj7 | C6 |', 1, ['subV/ii']],
  ['| Em7 | Eb7 | Dm7 | Db7 | Cmaj7 | C6 |', 3, ['subV']],
  ['| Cmaj7 Eb7 | Dm7 Db7 | Cmaj7 Eb7 | Dm7 Db7 | C6 | C6 |', 1, ['subV/ii']],
  ['| Cmaj7 Eb7 | Abmaj7 Db7 | Cmaj7 Eb7 | Abmaj7 Db7 | C6 | C6 |', 3, ['subV']],
  ['| Dm7 | Abm7 Db7 | Cmaj7 | C6 |', 2, ['subV']],
  ['| Fmaj7 | Gm7 | Dbm7 Gb7 | Fmaj7 |', 3, ['subV']],
  ['| Bbmaj7 | G7 | Gm7 Gb7 | Fmaj7 |', 3, ['subV', 'subV/V']],
  ['| Gmaj7 | Ebm7 Ab7 | Gmaj7 | G6 |', 2, ['subV']],
  ['| Cmaj7 | Dm7 G7 | Cmaj7 | Cm7 F7 | Em7 | A7 | Dm7 G7 | C6 |', 5, ['subV/iii']],
  ['| Cmaj7 | Am7 | Dm7 | G7 | Fm7 | Bb9 | Am7 | D7 | Dm7 G7 | C6 |', 5, ['subV/vi']],
  ['| C6 | C6 | Em7 | Ebm7 Ab7(#11) | Gm7 | C7 | Fmaj7 | Dm7 G7 | C6 |', 4, ['subV/V']],
  ['| Cm6 | Dm7b5 G7 | Cm6 | Dbm7 Gb7 | Fm7 | Bb7 | Ebmaj7 | Dm7b5 G7 | Cm6 |', 5, ['subV/iv']],
  ['| Am6 | Fm7 Bb7 | Am6 | Bm7b5 E7 | Am6 | Am6 |', 2, ['subV']],
  ['| Bbmaj7 | C7 | Cm7 B13 | Bbmaj7 | Bb6 |', 3, ['subV']],
  ['| Ebmaj7 | Gbm7 B7 | Fm7 Bb7 | Eb6 |', 2, ['subV/V', 'subV/ii']],
  ['| Cmaj7 | Bbm7 Eb7 | Dm7 G7 | C6 |', 2, ['subV/ii']],
  ['| Dmaj7 | Fm7 Bb7 | Em7 A7 | D6 |', 2, ['subV/V', 'subV/ii']],
  ['| Abmaj7 | Bm7 E7 | Bbm7 Eb7 | Abmaj7 |', 2, ['subV/V', 'subV/ii']],
  ['| Fmaj7 | Bbm7 | Fmaj7 | Gb7(#11) | Fmaj7 | F6 |', 3, ['subV']],
  ['| Gm6 | Am7b5 | Ab7 | Gm6 | Gm6 |', 2, ['subV']],
  ['| Am7 | Bm7b5 | Bb7 | Am7 | Am7 |', 2, ['subV']],
  ['| Dm6 | Bb7 | Eb7 | Dm6 |', 2, ['subV']],
  ['| C6 | F#7 | Fmaj7 | Fm6 | C6 | C6 |', 1, ['subV/IV']],
  ['| C6 | F7 | Em7 | A7 | Dm7 G7 | C6 |', 1, ['subV/iii', 'IV7', 'subV/ii']],
  ['| Bb7 | B7 | Bb7 | Fm7 E7 | Eb7 | Eb7 | Bb7 | Dm7 Db7 | Cm7 | F7 | Bb7 | Cm7 B7 |', 4, ['subV', 'subV/IV']],
  ['| Bb7 | B7 | Bb7 | Fm7 E7 | Eb7 | Eb7 | Bb7 | Dm7 Db7 | Cm7 | F7 | Bb7 | Cm7 B7 |', 9, ['subV/ii']],
  ['| Bb7 | B7 | Bb7 | Fm7 E7 | Eb7 | Eb7 | Bb7 | Dm7 Db7 | Cm7 | F7 | Bb7 | Cm7 B7 |', 14, ['subV']],
]

test('nine in ten are heard as a teacher hears them', () => {
  const right = rows.filter(([text, at, parts]) => {
    const { function: part, scale } = readHarmony(unrollChart(readChart(text))).chords[at]!
    return parts.includes(part!) && scale!.name === 'lydian dominant'
  })
  expect(right.length / rows.length).toBeGreaterThanOrEqual(0.9)
})
