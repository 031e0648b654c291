/** A plan and its days in words: for the command line, for paper and for calendars. */

import { withSigns } from '../theory/signs.ts'
import { careWords } from './care.ts'
import { type Day, numberOfDay, weekdayOf } from './days.ts'
import type { PracticePlan } from './plan.ts'
import type { PlanDay, PlanItem } from './planDay.ts'

const weekdays = ['Monday', 'Tuesday', 'Wednesday', 'Thursday', 'Friday', 'Saturday', 'Sunday'] as const
const months = 'January February March April May June July August September October November December'.split(
  ' ',
) as readonly string[]

/**
 * A day as people say it.
 *
 * @example
 * sayDay('2026-11-30') // => 'Monday 30 November 2026'
 */
export function sayDay(day: Day): string {
  const date = new Date(numberOfDay(day) * 86_400_000)
  return `${weekdays[weekdayOf(day)]} ${date.getUTCDate()} ${months[date.getUTCMonth()]} ${date.getUTCFullYear()}`
}

const plural = (count: number, one: string): string => `${count} ${one}${count === 1 ? '' : 's'}`

/** What a plan is called: its title, or what it is where it has none. */
export const titleOfPlan = ({ title }: Pick<PracticePlan, 'title'>): string => title || 'Practice plan'

/** What a plan asks for, in a sentence. */
export const sayPlan = ({ keys, start, goal, days, minutes }: PracticePlan): string =>
  `${plural(keys.length, 'key')}, from ${start} to ${goal} quarter notes a minute, ${plural(days, 'day')} a week, ${minutes} minutes a day at the most.`

/**
 * An item in words.
 *
 * @example
 * sayItem({ key: 'Eb', bars: [5, 8], tempo: 72, passes: 4, minutes: 1.5, size: 'phrase' }) // => 'E♭, bars 5 to 8 at 72, 4 times, 1.5 minutes'
 */
export function sayItem({
  key,
  bars: [from, to],
  tempo,
  passes,
  minutes,
}: Pick<PlanItem, 'key' | 'bars' | 'tempo' | 'passes' | 'minutes'>): string {
  const bars = from === to ? `bar ${from}` : `bars ${from} to ${to}`
  return `${withSigns(key)}, ${bars} at ${tempo}, ${passes === 1 ? 'once' : plural(passes, 'time')}, ${plural(minutes, 'minute')}`
}

/** What a day asks for, line by line: items in their order with the pauses between them. */
export function linesOfDay({ items, pauses }: PlanDay): readonly string[] {
  return items.flatMap((item, i) => {
    const pause = pauses.find(({ after }) => after === i)
    const said = `${sayItem(item)} (${item.why})`
    return pause ? [said, `pause, ${plural(pause.minutes, 'minute')}`] : [said]
  })
}

/** A plan and some of its days as text. */
export function planText(plan: PracticePlan, days: readonly PlanDay[]): string {
  const said = days.map((day) => {
    if (day.rest) return `${sayDay(day.day)}: rest\n`
    if (day.items.length === 0) return `${sayDay(day.day)}: nothing is due\n`
    return `${sayDay(day.day)}, ${plural(day.minutes, 'minute')}\n${linesOfDay(day)
      .map((line) => `  ${line}\n`)
      .join('')}`
  })
  return `${titleOfPlan(plan)}\n${sayPlan(plan)}\n\n${said.join('\n')}\n${careWords}\n`
}
