/** A plan as calendar entries, read back by an independent reader of iCalendar (RFC 5545): the package `ical.js`. */
import ICAL from 'ical.js'
import { expect, test } from 'vitest'
import { writeCalendar } from '../../lib/practice/calendar.ts'
import { practisesOn } from '../../lib/practice/days.ts'
import { planDays } from '../../lib/practice/planDay.ts'
import { emptyRecord } from '../../lib/practice/record.ts'
import { monday, planOf } from './plans.ts'

const plan = planOf({ title: 'Ferry; at six, or so\\ “late” ♭' })
const days = planDays(plan, emptyRecord, monday, 28)
const link = 'https://lines.example.org/practice#AbC-_1'
const eventsOf = (text: string) =>
  new ICAL.Component(ICAL.parse(text)).getAllSubcomponents('vevent').map((each) => new ICAL.Event(each))

test.each<[string, readonly [number, number] | null]>([
  ['at half past five', [17, 30]],
  ['for the whole day', null],
])('an entry for each day to practise on, and none for days of rest: %s', (_, at) => {
  const text = writeCalendar(plan, days, { at, link })
  const events = eventsOf(text)
  expect(events.map(({ startDate }) => startDate.toString().slice(0, 10))).toEqual(
    days.map(({ day }) => day).filter((day) => practisesOn(day, plan.days)),
  )
  for (const event of events) {
    const { startDate } = event
    expect(event.summary).toBe(`Practise: ${plan.title}`)
    expect(event.component.getFirstPropertyValue('url')).toBe(link)
    const day = days.find((each) => each.day === startDate.toString().slice(0, 10))!
    expect(event.description.split('\n').length).toBe(day.items.length + day.pauses.length + 2)
    expect([startDate.isDate, startDate.zone]).toEqual([at === null, ICAL.Timezone.localTimezone])
    if (at) expect([startDate.hour, startDate.minute]).toEqual(at)
    expect(event.duration.toSeconds()).toBe(at ? 60 * Math.ceil(day.minutes) : 86_400)
  }
  expect(new Set(events.map(({ uid }) => uid)).size).toBe(events.length)
})

test('is written as RFC 5545 asks: lines of 75 octets at the most, ended by CR and LF, and the same each time', () => {
  const text = writeCalendar(plan, days, { at: [17, 30], link })
  expect(text.replaceAll('\r\n', '')).not.toMatch(/[\r\n]/)
  const lines = text.split('\r\n')
  expect(Math.max(...lines.map((line) => new TextEncoder().encode(line).length))).toBeLessThanOrEqual(75)
  expect(lines.slice(0, 2)).toEqual(['BEGIN:VCALENDAR', 'VERSION:2.0'])
  for (const name of ['UID', 'DTSTAMP', 'DTSTART'])
    expect(lines.filter((line) => line.startsWith(name))).toHaveLength(eventsOf(text).length)
  expect(writeCalendar(plan, days, { at: [17, 30], link })).toBe(text)
})

test('a plan of no days is a calendar all the same', () => {
  expect(eventsOf(writeCalendar(plan, [], { at: null, link: null }))).toEqual([])
})

test('the same bytes in 5 places around the world, 26 hours apart, and no control character of a title (RFC 5545, 3.3.11)', () => {
  const here = process.env.TZ
  const odd = planOf({ title: 'Bell\u0007 and\r\nreturn\u0085' })
  const zones = ['UTC', 'Pacific/Kiritimati', 'Pacific/Niue', 'America/St_Johns', 'Australia/Lord_Howe']
  const texts = zones.map((zone) => {
    process.env.TZ = zone
    return writeCalendar(odd, planDays(odd, emptyRecord, monday, 7), { at: [17, 30], link })
  })
  if (here === undefined) delete process.env.TZ
  else process.env.TZ = here
  expect(new Set(texts).size).toBe(1)
  expect(texts[0]!.replaceAll('\r\n', '')).not.toMatch(/\p{Cc}/u)
  expect(eventsOf(texts[0]!)[0]!.summary).toBe('Practise: Bell  and  return ')
})
