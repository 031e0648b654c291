/** The days of a plan as calendar entries: iCalendar (RFC 5545), at times that are the same wherever the player is. */
import { createEvents, type EventAttributes } from 'ics'
import { careWords } from './care.ts'
import type { Day } from './days.ts'
import type { PracticePlan } from './plan.ts'
import type { PlanDay } from './planDay.ts'
import { linesOfDay, titleOfPlan } from './planText.ts'

export interface CalendarChoices {
  /** Hour and minute at which practising begins; an entry for the whole day where none is said. */
  readonly at: readonly [number, number] | null
  /** Where the plan is opened; null where that is not known. */
  readonly link: string | null
}

const partsOf = (day: Day) => day.split('-').map(Number) as [number, number, number]

/**
 * Writes an entry for each day on which there is something to practise, days of rest left free. The same plan gives the same bytes,
 * and an entry has the same name whenever it is written, so that a calendar takes it for the one it has.
 */
export function writeCalendar(plan: PracticePlan, days: readonly PlanDay[], { at, link }: CalendarChoices): string {
  // Control characters have no place in a text (RFC 5545, 3.3.11).
  const title = titleOfPlan(plan).replace(/\p{Cc}/gu, ' ')
  const asked = days.filter(({ items }) => items.length > 0)
  // When it was written would be another time each time: the day on which the plan begins is as good, at midnight UTC wherever it is written.
  const stamp = Date.parse(`${plan.from}T00:00:00Z`)
  const events = asked.map((day): EventAttributes & { readonly timestamp: number } => ({
    uid: `${plan.id}-${day.day}@throughline`,
    timestamp: stamp,
    title: `Practise: ${title}`,
    description: [...linesOfDay(day), ...(link === null ? [] : [link]), careWords].join('\n'),
    start: at === null ? partsOf(day.day) : [...partsOf(day.day), ...at],
    startInputType: 'local',
    startOutputType: 'local',
    duration: at === null ? { days: 1 } : { minutes: Math.ceil(day.minutes) },
    busyStatus: at === null ? 'FREE' : 'BUSY',
    ...(link === null ? {} : { url: link }),
  }))
  const { value, error } = createEvents(events as EventAttributes[], {
    productId: '-//Throughline//Practice plan//EN',
    calName: title,
  })
  if (value === null) throw error ?? new Error('no calendar')
  return foldLines(value)
}

/** The same lines folded anew: the library counts characters, where 75 octets are the most that a line should have (RFC 5545, 3.1). */
function foldLines(text: string): string {
  const lines = text.replace(/\r\n[ \t]/g, '').split('\r\n')
  const octets = new TextEncoder()
  return lines
    .map((line) => {
      let folded = ''
      let long = 0
      for (const character of line) {
        const { length } = octets.encode(character)
        if (long + length > 75) {
          folded += '\r\n '
          long = 1
        }
        folded += character
        long += length
      }
      return folded
    })
    .join('\r\n')
}
