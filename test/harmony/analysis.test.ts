/** The marks that an analysis shows: numerals with qualities, keys where they turn, brackets and arrows. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { analyseHarmony } from '../../lib/harmony/analysis.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'

const analysed = (text: string) => analyseHarmony(readHarmony(unrollChart(readChart(text))))

/** Numerals as they stand over a staff, key changes before a colon; common practice. */
const numerals = (text: string) =>
  analysed(text)
    .chords.map(({ numeral, key }) => `${key ? `${key}: ` : ''}${numeral ?? '-'}`)
    .join(' | ')

describe('numerals and keys', () => {
  test.each([
    ['| Dm7 | G7 | Cmaj7 |', 'C major: ii7 | V7 | Imaj7'],
    ['| Dm7b5 | G7(b9) | Cm6 | Cm6 |', 'C minor: iiø7 | V7 | i6 | -'],
    ['| Cmaj7 A7 | Dm7 Db7 | C6 |', 'C major: Imaj7 | V7/ii | ii7 | subV7 | I6'],
    ['| Ebmaj7 | Bbm7 Eb7 | Abmaj7 |', 'E♭ major: Imaj7 | A♭ major: ii7 | V7 | Imaj7'],
    ['| Cmaj7 | Fm7 Bb7 | Cmaj7 |', 'C major: Imaj7 | iv7 | ♭VII7 | Imaj7'],
    ['| Fmaj7 | F7 | Bbmaj7 Bdim7 | F6 |', 'F major: Imaj7 | V7/IV | IVmaj7 | ♯iv°7 | I6'],
    ['| Gmaj7 | N.C. | Am7 D7sus4 | Gmaj7 |', 'G major: Imaj7 | - | ii7 | V7sus | Imaj7'],
    ['| Bb7 | Eb7 | Bb7 | F7 |', 'B♭ major: I7 | IV7 | I7 | V7'],
    ['| Cm(maj7) | Abmaj7 | Dm7b5 G+ | Cm |', 'C minor: imaj7 | ♭VImaj7 | iiø7 | V+ | i'],
  ])('%s', (text, expected) => {
    expect(numerals(text)).toBe(expected)
  })

  test('scales carry their root', () => {
    expect(analysed('| F#m7b5 | B7alt | Em6 | N.C. |').chords.map(({ scale }) => scale)).toEqual([
      'F♯ locrian',
      'B altered',
      'E melodic minor',
      null,
    ])
  })
})

describe('brackets and arrows', () => {
  test('a bracket over each ii–V, an arrow for each dominant that leads', () => {
    const { brackets, arrows } = analysed('| Em7b5 A7 | Dm7 | G7sus4 G7 | Cmaj7 |')
    expect(brackets).toEqual([
      { from: 0, to: 1, minor: true },
      { from: 2, to: 4, minor: false },
    ])
    expect(arrows).toEqual([
      { from: 1, to: 2, motion: 'fifth' },
      { from: 4, to: 5, motion: 'fifth' },
    ])
  })

  test('substitutes by half step, backdoors bracketed, nothing over a blues', () => {
    expect(analysed('| Dm7 Db7 | Cmaj7 |')).toMatchObject({
      brackets: [{ from: 0, to: 1, minor: false }],
      arrows: [{ from: 1, to: 2, motion: 'half step' }],
    })
    expect(analysed('| Cmaj7 | Fm7 Bb7 | Cmaj7 |').brackets).toEqual([{ from: 1, to: 2, minor: false }])
    expect(analysed('| F7 | Bb7 | F7 | F7 |')).toMatchObject({ brackets: [], arrows: [] })
    expect(analysed('| N.C. |')).toMatchObject({ brackets: [], arrows: [] })
  })
})
