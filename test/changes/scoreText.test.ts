/** A chart that was read from a score prints as text that reads back to it: chords, beats, keys, meters, form, words. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Chart, Mark } from '../../lib/changes/chart.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { settleAsTyped } from '../../lib/changes/settleAsTyped.ts'
import { readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { kindDegrees } from '../../lib/changes/xml/musicXmlKinds.ts'
import { chartOfMeasures, symbolOf } from '../../lib/changes/xml/scoreBars.ts'
import { countMeasures } from '../../lib/changes/xml/scoreForm.ts'
import type { ScoreMeasure } from '../../lib/changes/xml/scoreMeasure.ts'
import { keyAt } from '../../lib/theory/key.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'
import { letters } from '../../lib/theory/pitch.ts'
import { withoutPlaces } from './chartText.ts'

const note = fc.record({ letter: fc.constantFrom(...letters), alter: fc.constantFrom(-1, 0, 0, 1) })
const symbol = fc
  .record({ root: note, kind: fc.constantFrom(...Object.keys(kindDegrees)), bass: fc.option(note, { freq: 4 }) })
  .map(({ root, kind, bass }) => readSymbol(symbolOf(root, kindDegrees[kind]!, false, bass).symbol).symbol!)
const meter = fc.constantFrom(
  ...[
    [4, 4],
    [3, 4],
    [2, 2],
    [5, 4],
    [7, 4],
    [6, 8],
    [12, 8],
    [7, 8],
    [2, 4],
    [1, 4],
  ].map(([beats, unit]) => ({ beats: beats!, unit: unit! })),
)
const marks: readonly Mark[] = ['Segno', 'To Coda', 'Fine', 'D.C.', 'D.C. al Fine', 'D.S. al Coda', 'D.S.']
const name = fc.oneof(
  fc.constantFrom(
    'A',
    'B',
    'Coda',
    'Verse 1',
    'Intro',
    'Solo (4x)',
    'A | B',
    '"Tag"',
    '[C]',
    '12',
    'Key: G',
    'Ending 1',
    'D.C.',
  ),
  fc.string({ maxLength: 60, unit: 'grapheme' }),
)
const words = fc.option(
  fc.oneof(fc.constantFrom('Blue Study', 'Key: C Time: 3/4', '| x |', 'R&B', '<b>', 'Don’t', 'A – B♭', 'x,'), name),
)
const size = 960

/** Measures whose meter and key stay for a while, with chords on eighths, triplets or anywhere. */
const measures = fc
  .array(
    fc.record({
      meter: fc.option(meter, { freq: 8 }),
      key: fc.option(fc.tuple(fc.nat(11), fc.constantFrom('major' as const, 'minor' as const)), { freq: 5 }),
      section: fc.option(name, { freq: 4 }),
      ending: fc.option(fc.constantFrom([1], [2], [1, 2], [3]), { freq: 4 }),
      repeatStart: fc.nat(5).map((n) => n === 0),
      repeatEnd: fc.nat(5).map((n) => n === 0),
      times: fc.option(fc.integer({ min: 1, max: 5 }), { freq: 6 }),
      marks: fc.oneof(
        { weight: 5, arbitrary: fc.constant([]) },
        { weight: 1, arbitrary: fc.subarray([...marks], { maxLength: 2 }) },
      ),
      codas: fc.oneof(
        { weight: 8, arbitrary: fc.constant([]) },
        { weight: 1, arbitrary: fc.constantFrom(['start' as const], ['end' as const]) },
      ),
      chords: fc.array(
        fc.record({
          at: fc.oneof(
            fc.nat(16).map((n) => n * 12),
            fc.nat(12).map((n) => n * 8),
            fc.nat(200),
          ),
          symbol,
        }),
        { maxLength: 5 },
      ),
      short: fc.nat(9).map((n) => n === 0),
      repeats: fc.nat(12).map((n) => (n === 0 ? 1 : 0)),
    }),
    { minLength: 1, maxLength: 14 },
  )
  .map((list) => {
    let now = { beats: 4, unit: 4 }
    return list.map((each, i): ScoreMeasure => {
      now = each.meter ?? now
      const length = each.short ? ticksPerBar(now) / 2 : ticksPerBar(now)
      return {
        ...each,
        number: `${i + 1}`,
        meter: now,
        key: each.key && keyAt(...each.key),
        length,
        partial: each.short,
        chords: each.chords.map((chord) => ({ ...chord, span: { start: 0, end: 0 } })),
        span: { start: 0, end: size },
      }
    })
  })

/** Bars without their form: what sounds in them, and what is said over them. */
const sounds = ({ title, composer, style, tempo, key, meter, bars }: Chart) => ({
  ...{ title, composer, style, tempo, key, meter },
  bars: bars.map(({ section, meter, key, chords }) => ({
    ...{ section, meter, key },
    chords: chords.map(({ symbol, beats }) => [symbol, Math.round(beats * 1e6)]),
  })),
})

describe('what a score says prints as text that reads back to it', () => {
  const anything = [measures, words, words, words, fc.option(fc.integer({ min: 1, max: 999 }))] as const
  type Words = string | null
  const chartOf = (list: readonly ScoreMeasure[], title: Words, composer: Words, style: Words, tempo: number | null) =>
    chartOfMeasures(countMeasures(list), { title, composer, style, tempo }, [])

  test('words, sections, keys, meters, chords and their beats', () => {
    fc.assert(
      fc.property(...anything, (list, title, composer, style, tempo) => {
        const chart = chartOf(list, title, composer, style, tempo)
        const printed = printChart(chart)
        expect(sounds(readChart(printed)), printed).toEqual(sounds(chart))
      }),
      { numRuns: 1_000 },
    )
  })

  test('and all of the form that leads anywhere', () => {
    fc.assert(
      fc.property(...anything, (list, title, composer, style, tempo) => {
        const chart = settleAsTyped(chartOf(list, title, composer, style, tempo))
        const printed = printChart(chart)
        const again = readChart(printed)
        expect(withoutPlaces(again), printed).toEqual(withoutPlaces(chart))
        expect(again.problems.filter(({ severity, code }) => severity === 'error' && code !== 'no-chords')).toEqual([])
      }),
      { numRuns: 1_000 },
    )
  })
})
