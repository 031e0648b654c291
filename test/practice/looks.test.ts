/** What came of practising: counted by hand on small records, and held against its own sums on large ones. */
import { describe, expect, test } from 'vitest'
import { readXml } from '../../lib/changes/xml/xmlTree.ts'
import { dayAfter, numberOfDay } from '../../lib/practice/days.ts'
import { dueOf, gridOf, weeksOf } from '../../lib/practice/looks.ts'
import { gridSaid, gridSvg, weeksSvg } from '../../lib/practice/looksSvg.ts'
import { entryOf } from '../../lib/practice/planDay.ts'
import { addEntries, type Entry, emptyRecord, takePlan } from '../../lib/practice/record.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'
import { summarise } from '../../lib/practice/summary.ts'
import { practise } from './learners.ts'
import { monday, planOf } from './plans.ts'

const plan = planOf({ keys: 'C,F', bars: '1-4' }, { start: 60, goal: 120 })

/** Key, bars, tempo, how it went, days after the first Monday. */
type Tap = readonly [string, readonly [number, number], number, Verdict, number]
const recordOf = (...taps: readonly Tap[]) =>
  addEntries(
    emptyRecord,
    taps.map(
      ([key, bars, tempo, verdict, days], n): Entry =>
        entryOf(
          plan,
          { key, bars, tempo, minutes: 2 },
          { id: `tap-number-${n}`, verdict, time: n, day: dayAfter(monday, days) },
        ),
    ),
  )
const boxes = (...taps: readonly Tap[]) =>
  gridOf(plan, recordOf(...taps)).rows.map(({ cells }) =>
    cells.map(({ bars, state }) => (state === 'tried' ? '-' : bars)).join(' '),
  )

describe('keys against tempos, 60 66 76 84 92 104 112 120 or so', () => {
  const none = '0 0 0 0 0 0 0 0'
  test.each<[string, readonly Tap[], readonly [string, string]]>([
    ['nothing played', [], [none, none]],
    ['what held is held at all slower tempos', [['C', [1, 2], 66, 'held', 0]], ['2 2 0 0 0 0 0 0', none]],
    ['a tempo between two counts as the slower', [['F', [1, 1], 70, 'easy', 0]], [none, '1 1 0 0 0 0 0 0']],
    [
      'bars of several stretches add up',
      [
        ['C', [1, 2], 60, 'easy', 0],
        ['C', [2, 4], 60, 'held', 0],
      ],
      ['4 0 0 0 0 0 0 0', none],
    ],
    ['what fell apart is tried', [['C', [1, 4], 66, 'fell apart', 0]], ['0 - 0 0 0 0 0 0', none]],
    [
      'what fell apart later no longer holds there',
      [
        ['C', [1, 4], 66, 'easy', 0],
        ['C', [3, 4], 66, 'fell apart', 1],
      ],
      ['4 2 0 0 0 0 0 0', none],
    ],
    ['slower than the first tempo is no tempo of the plan', [['C', [1, 4], 50, 'easy', 0]], [none, none]],
    ['quicker than the goal counts as the goal', [['C', [1, 4], 200, 'easy', 0]], ['4 4 4 4 4 4 4 4', none]],
  ])('%s', (_, taps, rows) => {
    expect(boxes(...taps)).toEqual(rows)
  })

  test('are said in words, and drawn with the numbers and without colour', () => {
    const grid = gridOf(plan, recordOf(['C', [1, 2], 66, 'held', 0], ['F', [1, 4], 60, 'easy', 0]))
    expect(gridSaid(grid)).toBe('C: 2 of 4 bars at 66; F: 4 of 4 bars at 60.')
    for (const svg of [gridSvg(grid), weeksSvg([]), weeksSvg([{ monday, minutes: 33.4, days: 2 }])]) {
      expect(readXml(svg).root!.name).toBe('svg')
      expect(svg).not.toMatch(/style|script|#[0-9a-f]{3}|rgb/i)
      expect(svg).toContain('role="img"')
    }
    expect(gridSvg(grid)).toContain('>✓</text>')
  })
})

describe('minutes by week', () => {
  test('weeks of rest stand among the others', () => {
    const weeks = weeksOf(
      recordOf(['C', [1, 1], 60, 'held', 0], ['C', [1, 1], 60, 'held', 6], ['C', [1, 1], 60, 'held', 15]),
    )
    expect(weeks).toEqual([
      { monday, minutes: 4, days: 2 },
      { monday: dayAfter(monday, 7), minutes: 0, days: 0 },
      { monday: dayAfter(monday, 14), minutes: 2, days: 1 },
    ])
    expect(weeksOf(emptyRecord)).toEqual([])
  })

  test('add up to all minutes', () => {
    const { record } = practise(plan, 5, 60)
    const all = record.entries.reduce((sum, { minutes }) => sum + minutes, 0)
    expect(weeksOf(record).reduce((sum, { minutes }) => sum + minutes, 0)).toBeCloseTo(all, 6)
    expect(weeksOf(record, 'another plan')).toEqual([])
  })
})

test('what is due stands first, the longest due before the others', () => {
  const due = dueOf(
    plan,
    recordOf(['C', [1, 1], 60, 'easy', 0], ['F', [1, 1], 60, 'fell apart', 0], ['F', [2, 2], 66, 'held', 2]),
    dayAfter(monday, 2),
  )
  expect(due.map(({ id, since, day }) => [id, since, numberOfDay(day) - numberOfDay(monday)])).toEqual([
    ['F 1-1', 1, 1],
    ['C 1-1', 0, 2],
    ['F 2-2', -1, 3],
  ])
})

test('students side by side: who has played what, in which keys, how fast', () => {
  const ida = takePlan(recordOf(['C', [1, 4], 66, 'easy', 0], ['F', [1, 2], 60, 'held', 3]), plan, 1)
  const jo = takePlan(emptyRecord, plan, 2)
  const kim = recordOf(['F', [1, 1], 60, 'fell apart', 1])
  const other = takePlan(emptyRecord, planOf({ keys: 'Bb' }), 1)
  const summaries = summarise([
    { name: 'Kim', record: kim },
    { name: 'Jo', record: jo },
    { name: 'Ida', record: ida },
    { name: 'Lou', record: other },
  ])
  expect(summaries).toHaveLength(2)
  const own = summaries.find((each) => each.plan.id === plan.id)!
  const none = { times: 0, quickest: null, whole: null }
  expect(own.students).toEqual([
    {
      name: 'Ida',
      minutes: 4,
      days: 2,
      last: dayAfter(monday, 3),
      keys: [
        { key: 'C', times: 1, quickest: 66, whole: 66 },
        { key: 'F', times: 1, quickest: 60, whole: null },
      ],
    },
    {
      name: 'Jo',
      minutes: 0,
      days: 0,
      last: null,
      keys: [
        { key: 'C', ...none },
        { key: 'F', ...none },
      ],
    },
    {
      name: 'Kim',
      minutes: 2,
      days: 1,
      last: dayAfter(monday, 1),
      keys: [
        { key: 'C', ...none },
        { key: 'F', ...none, times: 1 },
      ],
    },
  ])
})
