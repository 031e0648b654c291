/** What is to be practised: properties of any day, learners followed for ninety days, and what a verdict does. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { limits } from '../../lib/brief.ts'
import { dayAfter, numberOfDay } from '../../lib/practice/days.ts'
import { knowledgeOf } from '../../lib/practice/knowledge.ts'
import { misfitOfPlan, planLimits, stretchesBySize, temposOf } from '../../lib/practice/plan.ts'
import { entryOf, planDay, planDays } from '../../lib/practice/planDay.ts'
import { addEntries, emptyRecord } from '../../lib/practice/record.ts'
import { verdicts } from '../../lib/practice/spacing.ts'
import { practise } from './learners.ts'
import { monday, planOf, tune } from './plans.ts'

describe('a plan', () => {
  test('names its line, its keys in their order, its bars and phrases', () => {
    const plan = planOf({ tempo: '200', loop: '3-4', instrument: 'trumpet' })
    expect(plan.title).toBe('Ferry at Six')
    expect(plan.keys).toEqual(['C', 'F', 'Bb', 'Eb', 'Ab', 'Db', 'Gb', 'B', 'E', 'A', 'D', 'G'])
    expect(plan.bars).toEqual([1, 16])
    expect(plan.phrases).toEqual([1, 5, 9, 13])
    expect(plan.quarters).toBe(4)
    // How it is played is the plan's own.
    expect(Object.keys(plan.fields).sort()).toEqual(['changes', 'edition', 'instrument', 'kept'])
    expect(misfitOfPlan(plan)).toBeNull()
  })

  test('is one plan under one name wherever it is made, and another once anything differs', () => {
    expect(planOf().id).toBe(planOf().id)
    const others = [
      planOf({ seed: '2' }),
      planOf({ keys: 'C,F' }),
      planOf({}, { goal: 152 }),
      planOf({}, { days: 4 }),
      planOf({}, { minutes: 25 }),
      planOf({}, { from: '2026-12-01' }),
    ]
    expect(new Set([planOf(), ...others].map(({ id }) => id)).size).toBe(7)
  })

  test('of some bars keeps to them', () => {
    const plan = planOf({ bars: '9-14' })
    expect([plan.bars, plan.phrases]).toEqual([
      [9, 14],
      [9, 13],
    ])
    const { bar, pair, phrase, whole } = stretchesBySize(plan)
    expect([bar, pair, phrase, whole].map((some) => some.length)).toEqual([6, 3, 1, 1])
  })

  test('goes through marks of the metronome, rising, from its first tempo to its goal', () => {
    const tempos = fc.integer({ min: limits.tempo[0], max: limits.tempo[1] })
    fc.assert(
      fc.property(tempos, tempos, (a, b) => {
        const [start, goal] = [Math.min(a, b), Math.max(a, b)]
        const all = temposOf({ start, goal })
        expect([all[0], all.at(-1)]).toEqual([start, goal])
        expect(all.every((tempo, i) => i === 0 || tempo > all[i - 1]!)).toBe(true)
        expect(all.length).toBeLessThanOrEqual(8)
      }),
    )
  })

  test('has stretches that lie in it and go through all of it at every size there is', () => {
    fc.assert(
      fc.property(fc.integer({ min: 1, max: 40 }), fc.integer({ min: 0, max: 70 }), (first, more) => {
        const bars = [first, first + more] as const
        const phrases = Array.from({ length: Math.floor(more / 4) + 1 }, (_, i) => first + 4 * i)
        const bySize = stretchesBySize({ bars, phrases })
        for (const stretch of Object.values(bySize).flat()) {
          expect(stretch.bars[0]).toBeGreaterThanOrEqual(first)
          expect(stretch.bars[1]).toBeLessThanOrEqual(first + more)
        }
        expect(bySize.bar.map(({ bars: [bar] }) => bar)).toEqual(Array.from({ length: more + 1 }, (_, i) => first + i))
        const names = Object.values(bySize).flatMap((some) => some.map((each) => each.bars.join('-')))
        expect(new Set(names).size).toBe(names.length)
      }),
    )
  })
})

/** A plan of any shape, and what was played of it at random. */
const anyPlan = fc
  .record({
    keys: fc.constantFrom('C', 'C,F', 'fourths', 'C,Eb,Gb,A'),
    bars: fc.constantFrom('1-1', '1-2', '3-7', '1-16'),
    goal: fc.integer({ min: 40, max: 320 }),
    days: fc.integer({ min: planLimits.days[0], max: planLimits.days[1] }),
    minutes: fc.integer({ min: planLimits.minutes[0], max: planLimits.minutes[1] }),
  })
  .map(({ keys, bars, ...chosen }) => planOf({ keys, bars }, chosen))
const anyTaps = fc.array(fc.record({ item: fc.nat(20), verdict: fc.constantFrom(...verdicts), after: fc.nat(12) }), {
  maxLength: 30,
})

describe('any day of any plan', () => {
  test('keeps to its minutes, holds what lies in the plan, rests on days of rest, and is the same again', () => {
    fc.assert(
      fc.property(anyPlan, anyTaps, (plan, taps) => {
        let record = emptyRecord
        let day = plan.from
        for (const [n, { item, verdict, after }] of taps.entries()) {
          const { items } = planDay(plan, record, day, { anyway: true })
          const played = items[item % Math.max(1, items.length)]
          if (played) {
            const time = numberOfDay(day) * 86_400_000 + n
            record = addEntries(record, [entryOf(plan, played, { id: `property-${n}`, verdict, time, day })])
          }
          day = dayAfter(day, after)
        }
        const today = planDay(plan, record, day)
        const { items, pauses, minutes, rest } = today
        expect(planDay(plan, record, day)).toEqual(today)
        expect(minutes).toBeLessThanOrEqual(plan.minutes)
        expect(minutes).toBe([...items, ...pauses].reduce((sum, each) => sum + each.minutes, 0))
        if (rest) expect(items).toEqual([])
        const all = Object.values(stretchesBySize(plan)).flat()
        for (const item of items) {
          expect(plan.keys).toContain(item.key)
          expect(temposOf(plan)).toContain(item.tempo)
          expect(item.passes).toBeGreaterThan(0)
          expect(all).toContainEqual({ size: item.size, bars: item.bars })
        }
        expect(new Set(items.map(({ id }) => id)).size).toBe(items.length)
        // Nobody plays much longer than ten minutes without a pause.
        let since = 0
        items.forEach((item, i) => {
          since += item.minutes
          if (pauses.some(({ after }) => after === i)) since = 0
          expect(since).toBeLessThan(14)
        })
      }),
      { numRuns: 60 },
    )
  })
})

test('keys change from item to item, but where one key has more than half of them', () => {
  for (let seed = 1; seed <= 10; seed++)
    for (const { items } of practise(planOf(), seed, 30).days) {
      const counts = new Map<string, number>()
      for (const { key } of items) counts.set(key, (counts.get(key) ?? 0) + 1)
      const most = Math.max(0, ...counts.values())
      const beside = items.filter(({ key }, i) => i > 0 && key === items[i - 1]!.key).length
      expect(beside).toBe(Math.max(0, most - (items.length - most) - 1))
    }
})

describe('two hundred learners over ninety days, a quarter of the keys hard for each', () => {
  const plan = planOf()
  const learners = Array.from({ length: 200 }, (_, seed) => practise(plan, seed + 1, 90))

  test('meet every key within two weeks', () => {
    for (const { record } of learners) {
      const early = record.entries.filter(({ day }) => day < dayAfter(monday, 14))
      expect(new Set(early.map(({ key }) => key)).size).toBe(12)
    }
  })

  test('have no day over its minutes, and days that use most of them', () => {
    const days = learners.flatMap((learner) => learner.days.filter(({ rest }) => !rest))
    expect(Math.max(...days.map(({ minutes }) => minutes))).toBeLessThanOrEqual(plan.minutes)
    expect(days.reduce((sum, { minutes }) => sum + minutes, 0) / days.length).toBeGreaterThan(0.9 * plan.minutes)
  })

  test('play hard items three times as often as easy ones, and every one of them hard keys three times as often', () => {
    const items = { hard: new Map<string, number>(), easy: new Map<string, number>() }
    learners.forEach(({ hard, record }, n) => {
      const keys = { hard: 0, easy: 0 }
      for (const { key, bars } of record.entries) {
        const kind = hard.includes(key) ? 'hard' : 'easy'
        const name = `${n} ${key} ${bars}`
        keys[kind] += 1
        items[kind].set(name, (items[kind].get(name) ?? 0) + 1)
      }
      expect(keys.hard / hard.length).toBeGreaterThan((3 * keys.easy) / (plan.keys.length - hard.length))
    })
    const often = (counts: ReadonlyMap<string, number>) => [...counts.values()].reduce((a, b) => a + b, 0) / counts.size
    expect(often(items.hard)).toBeGreaterThan(3 * often(items.easy))
  })

  test('come to the whole tune, and to the goal, in keys that are easy for them', () => {
    const reached = learners.filter(({ hard, record }) =>
      record.entries.some(({ key, bars }) => !hard.includes(key) && bars[0] === 1 && bars[1] === 16),
    )
    expect(reached.length).toBeGreaterThan(190)
    const quickest = learners.map(({ record }) => Math.max(...record.entries.map(({ tempo }) => tempo)))
    expect(quickest.filter((tempo) => tempo === plan.goal).length).toBeGreaterThan(100)
  })
})

describe('what a verdict does', () => {
  const plan = planOf()
  const tempos = temposOf(plan)
  const item = { key: 'C', bars: [1, 1] as const, tempo: tempos[2]!, minutes: 1 }
  const after = (...days: readonly (readonly [number, (typeof verdicts)[number]])[]) => {
    const entries = days.map(([at, verdict], n) =>
      entryOf(plan, item, { id: `verdict-${n}`, verdict, time: n, day: dayAfter(monday, at) }),
    )
    const { stretches } = knowledgeOf(plan, addEntries(emptyRecord, entries), dayAfter(monday, 60))
    const { rung, due } = stretches.get('C 1-1')!
    return { tempo: tempos[rung], in: due - numberOfDay(dayAfter(monday, days.at(-1)![0])) }
  }

  test.each([
    ['what fell apart comes the next day, a step slower', [[0, 'fell apart']], tempos[1], 1],
    ['what held comes soon, at the same tempo', [[0, 'held']], tempos[2], 1],
    [
      'what held twice comes a step quicker',
      [
        [0, 'held'],
        [1, 'held'],
      ],
      tempos[3],
      3,
    ],
    ['what was easy comes later, a step quicker', [[0, 'easy']], tempos[3], 2],
    [
      'the last pass of a day is the one that counts',
      [
        [0, 'fell apart'],
        [0, 'easy'],
      ],
      tempos[3],
      2,
    ],
    [
      'what fell apart after it was easy comes the next day',
      [
        [0, 'easy'],
        [2, 'fell apart'],
      ],
      tempos[1],
      1,
    ],
  ] as const)('%s', (_, days, tempo, wait) => {
    expect(after(...days)).toEqual({ tempo, in: wait })
  })
})

test('what falls apart at the slowest tempo is taken apart: its bars come in its place until they hold', () => {
  const plan = planOf({ keys: 'C' })
  const day = (n: number) => dayAfter(monday, n)
  const pair = { key: 'C', bars: [1, 2] as const, tempo: plan.start, minutes: 1 }
  let record = addEntries(emptyRecord, [
    entryOf(plan, pair, { id: 'fell-apart', verdict: 'fell apart', time: 0, day: day(0) }),
  ])
  const first = planDay(plan, record, day(1)).items.map(({ id }) => id)
  expect(first).toEqual(expect.arrayContaining(['C 1-1', 'C 2-2']))
  expect(first).not.toContain('C 1-2')
  const bars = [1, 2].map((bar) =>
    entryOf(plan, { ...pair, bars: [bar, bar] }, { id: `bar-number-${bar}`, verdict: 'easy', time: bar, day: day(1) }),
  )
  record = addEntries(record, bars)
  expect(planDay(plan, record, day(2)).items.map(({ id }) => id)).toContain('C 1-2')
})

test('after three weeks of rest a day is no longer, and no more keys come at once than in two days of the plan', () => {
  const { record } = practise(planOf(), 4, 3)
  const met = new Set(record.entries.map(({ key }) => key))
  const { items, minutes } = planDay(planOf(), record, dayAfter(monday, 28))
  const fresh = new Set(items.map(({ key }) => key).filter((key) => !met.has(key)))
  expect(minutes).toBeLessThanOrEqual(20)
  expect([...fresh].length).toBeLessThanOrEqual(4)
})

test('the coming days are those of someone for whom all held; the first is today as it is', () => {
  const plan = planOf({}, { days: 4 })
  const { record } = practise(plan, 9, 10)
  const from = dayAfter(monday, 10)
  const days = planDays(plan, record, from, 14)
  expect(days[0]).toEqual(planDay(plan, record, from))
  expect(days.filter(({ rest }) => rest)).toHaveLength(6)
  expect(days.map(({ day }) => day)).toEqual(Array.from({ length: 14 }, (_, i) => dayAfter(from, i)))
})

test('a day before the plan begins asks for nothing', () => {
  expect(planDay(planOf(), emptyRecord, dayAfter(monday, -2)).items).toEqual([])
  expect(planDay(planOf({ changes: tune, keys: 'C' }), emptyRecord, monday).items.length).toBeGreaterThan(0)
})
