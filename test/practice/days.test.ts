/** Days against the calendar of JavaScript itself, and days of rest. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  dayAfter,
  dayAt,
  isDay,
  mondayOf,
  numberOfDay,
  practiceDays,
  practisesOn,
  weekdayOf,
} from '../../lib/practice/days.ts'

const anyDay = fc.integer({ min: 10_957, max: 80_000 }).map((n) => new Date(n * 86_400_000).toISOString().slice(0, 10))

test.each([
  ['2024-02-29', true],
  ['2023-02-29', false],
  ['1900-01-01', false],
  ['2026-13-01', false],
  ['2026-1-1', false],
  ['today', false],
  [20261127, false],
  [null, false],
])('%s is a day: %s', (text, is) => {
  expect(isDay(text)).toBe(is)
})

test('days are counted and named as the calendar of JavaScript does', () => {
  fc.assert(
    fc.property(anyDay, fc.integer({ min: -400, max: 400 }), (day, more) => {
      const date = new Date(`${day}T12:00:00Z`)
      date.setUTCDate(date.getUTCDate() + more)
      expect(dayAfter(day, more)).toBe(date.toISOString().slice(0, 10))
      expect(weekdayOf(day)).toBe((new Date(`${day}T12:00:00Z`).getUTCDay() + 6) % 7)
      expect(weekdayOf(mondayOf(day))).toBe(0)
      expect(numberOfDay(day) - numberOfDay(mondayOf(day))).toBe(weekdayOf(day))
    }),
  )
})

test('a time is the day that it is where the program runs', () => {
  const here = new Date(2026, 10, 27, 0, 30)
  expect(dayAt(here.getTime())).toBe('2026-11-27')
  expect(dayAt(new Date(2026, 10, 27, 23, 59).getTime())).toBe('2026-11-27')
})

describe('days of rest', () => {
  test.each([1, 2, 3, 4, 5, 6, 7])('%s days a week', (days) => {
    fc.assert(
      fc.property(anyDay, (day) => {
        expect(practiceDays(day, 7, days)).toHaveLength(days)
        expect(practisesOn(day, days)).toBe(practisesOn(dayAfter(day, 7), days))
      }),
    )
    // Monday 30 November 2026: the week after, without a run of rests longer than it has to be.
    const week = Array.from({ length: 14 }, (_, i) => (practisesOn(dayAfter('2026-11-30', i), days) ? 'p' : '-')).join(
      '',
    )
    expect(week[0]).toBe('p')
    const longest = Math.max(...week.split('p').map((rest) => rest.length))
    expect(longest).toBeLessThanOrEqual(Math.ceil((7 - days) / days))
  })
})
