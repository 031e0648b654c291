/** Days as a calendar has them, counted and named, and on which of them a week's practising falls. */

/** A day of the calendar where the player is, such as `2026-11-27` (ISO 8601). */
export type Day = string

const dayLength = 86_400_000

/** Whether a text is a day that the calendar has, between 2000 and 2199. */
export function isDay(text: unknown): text is Day {
  if (typeof text !== 'string' || !/^2[01]\d\d-\d\d-\d\d$/.test(text)) return false
  const time = Date.parse(`${text}T00:00:00Z`)
  return !Number.isNaN(time) && new Date(time).toISOString().startsWith(text)
}

/** Days since 1 January 1970. */
export const numberOfDay = (day: Day): number => Math.round(Date.parse(`${day}T00:00:00Z`) / dayLength)

export const dayOfNumber = (number: number): Day => new Date(number * dayLength).toISOString().slice(0, 10)

/**
 * The day so many days later.
 *
 * @example
 * dayAfter('2028-02-28', 2) // => '2028-03-01'
 */
export const dayAfter = (day: Day, days: number): Day => dayOfNumber(numberOfDay(day) + days)

/** The day that it is where the player is, at a time in milliseconds since 1970. */
export function dayAt(time: number): Day {
  const here = new Date(time)
  return new Date(time - here.getTimezoneOffset() * 60_000).toISOString().slice(0, 10)
}

/** Which day of the week, Monday being 0 (ISO 8601). */
export const weekdayOf = (day: Day): number => (((numberOfDay(day) + 3) % 7) + 7) % 7

/** The Monday of a day's week. */
export const mondayOf = (day: Day): Day => dayAfter(day, -weekdayOf(day))

/**
 * Whether a day is one to practise on, of so many a week: the days of rest are spread over the week, and Sunday is one.
 *
 * @example
 * [0, 1, 2, 3, 4, 5, 6].map((d) => practisesOn(dayAfter('2026-11-30', d), 5)) // => [true, true, true, false, true, true, false]
 */
export function practisesOn(day: Day, daysAWeek: number): boolean {
  const rests = 7 - daysAWeek
  const at = weekdayOf(day)
  return Math.floor(((at + 1) * rests) / 7) === Math.floor((at * rests) / 7)
}

/** The days to practise on among so many from a day on. */
export const practiceDays = (from: Day, days: number, daysAWeek: number): readonly Day[] =>
  Array.from({ length: days }, (_, i) => dayAfter(from, i)).filter((day) => practisesOn(day, daysAWeek))
