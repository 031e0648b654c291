/** Two seeds over every real chart keep the measures that `npm run realism` prints for five. */
import { expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { type Draft, draftLine, soundingRange } from '../../lib/line/draftLine.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { realCharts } from '../realCharts.ts'
import { divergence, drillShares, realismOf } from './measure.ts'

const harmonies = realCharts().map((chart) => readHarmony(unrollChart(chart), defaultBrief))
const draw = (brief: typeof defaultBrief): readonly Draft[] =>
  harmonies.flatMap((harmony) =>
    [11, 12].map((seed) => {
      const draft = draftLine(harmony, brief, soundingRange(instrumentOf(brief.instrument)!, brief), seed)
      expect('problems' in draft).toBe(false)
      return draft as Draft
    }),
  )

test('all four kinds of approach come near real solos (counts: see lib/line/soloCounts.ts)', () => {
  const solo = realismOf(draw({ ...defaultBrief, approach: ['enclosure', 'chromatic', 'scale', 'arpeggio'] }))
  expect(solo.notes).toBeGreaterThan(8_000)
  expect(solo.intervals).toBeLessThan(0.02)
  expect(solo.bigrams).toBeLessThan(0.06)
  expect(Math.abs(solo.turns - 0.374)).toBeLessThan(0.04)
})

test('the default is a drill: enclosures first, varied, nothing that nobody plays', () => {
  const drill = drillShares(draw(defaultBrief))
  expect(drill.twoNotesOrMore).toBeGreaterThanOrEqual(0.9)
  expect(drill.enclosures).toBeGreaterThanOrEqual(0.45)
  expect(drill.enclosuresAndChromatic).toBeGreaterThanOrEqual(0.7)
  expect(drill.dead).toBe(0)
  expect(drill.sameAgain).toBeLessThan(0.1)
  expect(drill.threeRunning).toBe(0)
  expect(drill.different).toBeGreaterThanOrEqual(25)
  expect(drill.hovering).toBeLessThan(0.03)
  expect(drill.range16).toBeGreaterThanOrEqual(11)
})

test('the divergence is nought for like tables and one bit for tables that share nothing', () => {
  expect(divergence(new Map([['a', 2]]), new Map([['a', 7]]))).toBe(0)
  expect(divergence(new Map([['a', 2]]), new Map([['b', 7]]))).toBeCloseTo(1, 12)
})
