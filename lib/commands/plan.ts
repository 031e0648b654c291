/** `plan`: what to practise of a line or a drill, day by day, as text, JSON, a sheet of paper or calendar entries. */
import { problemJson } from '../changes/chartJson.ts'
import { nearest } from '../choices/reader.ts'
import { drillNamed, namedDrills } from '../drill/drills.ts'
import { type Lines, writeLines } from '../lines/write.ts'
import { dayAt, isDay } from '../practice/days.ts'
import { makePlan, type PlanChoices } from '../practice/makePlan.ts'
import { type PracticePlan, planLimits, usualPlan } from '../practice/plan.ts'
import { planDays } from '../practice/planDay.ts'
import { packPlan } from '../practice/planLink.ts'
import { planText } from '../practice/planText.ts'
import { readRecord } from '../practice/readRecord.ts'
import { emptyRecord, type PracticeRecord } from '../practice/record.ts'
import { describeProblem } from '../problem.ts'
import { type Asked, allChoices, type Command, type Outside, Usage } from './command.ts'
import { readAskedBrief, readBytes, reportChoices, reportErrors } from './input.ts'
import { readOrigin } from './origin.ts'
import { formatOf, json, outputOptions, put } from './output.ts'

const formats = ['json', 'text', 'pdf', 'ics']

export const plan: Command = {
  name: 'plan',
  help: 'Plans what to practise of a line or a drill, day by day: bars, keys, tempos, passes and pauses.',
  files: 'one',
  options: [
    ...outputOptions(formats),
    { name: 'days', takes: planLimits.days.join('..'), help: `days a week; ${usualPlan.days} where not said` },
    {
      name: 'minutes',
      takes: planLimits.minutes.join('..'),
      help: `minutes a day at the most, pauses among them; ${usualPlan.minutes} where not said`,
    },
    { name: 'from', takes: 'DAY', help: 'the day it begins, such as 2026-11-30; today where not said' },
    { name: 'on', takes: 'DAY', help: 'the first day to write; the day it begins where not said' },
    { name: 'weeks', takes: '1..26', help: 'how many weeks to write; 1, and 4 as ics, where not said' },
    { name: 'record', takes: 'FILE', help: 'a record of practising, as the page exports it, for the plan to go by' },
    {
      name: 'drill',
      takes: 'NAME',
      help: 'a drill to start from, as drill lists them; through the tune where a file is named',
    },
    { name: 'at', takes: 'HH:MM', help: 'the time of day of calendar entries; the whole day where not said' },
    {
      name: 'origin',
      takes: 'URL',
      help: 'where the page is served, for the link and its code on paper and in calendars',
    },
  ],
  choices: allChoices,
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, formats)
    const own = readOwn(asked)
    const { brief, given, failed, problems } = readAskedBrief(asked, outside, drillAsked(asked))
    const none = (wrong: readonly unknown[]) => {
      if (format === 'json') put(outside, asked, json({ plan: null, link: null, days: [], problems: wrong }))
      return 1
    }
    if (failed) return none(problems.map((problem) => problemJson(given[problem.choice] ?? '', problem)))
    const written = writeLines(brief)
    const wrong = [
      reportErrors(outside, asked, brief.changes, written.problems),
      reportChoices(outside, given, written.choiceProblems),
    ].includes(true)
    const said = [
      ...written.problems.map((problem) => problemJson(brief.changes, problem)),
      ...written.choiceProblems.map((problem) => problemJson(given[problem.choice] ?? '', problem)),
    ]
    const record = readRecordAsked(asked, outside)
    const made = wrong || record === null ? null : planAsked(written, own, record)
    if (made === null || record === null) return none(said)
    const first = own.on ?? made.from
    const days = planDays(made, record, first, 7 * (own.weeks ?? (format === 'ics' ? 4 : 1)))
    const packed = packPlan(made)
    const link = own.origin === null ? null : `${own.origin}/practice#${packed}`
    if (format === 'json')
      put(outside, asked, json({ plan: made, link: link ?? `/practice#${packed}`, days, problems: said }))
    else if (format === 'text') put(outside, asked, planText(made, days))
    else if (format === 'ics') {
      const { writeCalendar } = await import('../practice/calendar.ts')
      put(outside, asked, writeCalendar(made, days, { at: own.at, link }))
    } else {
      const { writePracticePaper } = await import('../engrave/pdf/practicePaper.ts')
      const { paper, print } = brief
      put(outside, asked, await writePracticePaper({ plan: made, days, paper, large: print === 'large', link }))
    }
    return 0
  },
}

interface Own {
  readonly days: number
  readonly minutes: number
  readonly from: string | null
  readonly on: string | null
  readonly weeks: number | null
  readonly at: readonly [number, number] | null
  readonly origin: string | null
}

const odd = (name: string, found: string, expected: string, hint: string) =>
  new Usage(`found --${name} ${found}; expected ${expected}; ${hint}`)

/** The command's own options. Throws `Usage` where one is not what it takes. */
function readOwn({ options }: Asked): Own {
  const whole = (name: string, [low, high]: readonly [number, number]): number | null => {
    const text = options[name]
    if (text === undefined) return null
    const value = /^\d{1,4}$/.test(text) ? Number(text) : Number.NaN
    if (!(value >= low && value <= high)) throw odd(name, text, `a whole number from ${low} to ${high}`, `try ${low}`)
    return value
  }
  const day = (name: string): string | null => {
    const text = options[name]
    if (text === undefined || isDay(text)) return text ?? null
    throw odd(name, text, 'a day of the calendar', 'try 2026-11-30')
  }
  const { at, origin } = options
  const time = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(at ?? '')
  if (at !== undefined && !time) throw odd('at', at, 'a time of day', 'try 17:30')
  const seen = origin === undefined ? null : readOrigin(origin)
  if (origin !== undefined && seen === null)
    throw odd('origin', origin, 'where the page is, such as https://lines.example.org', 'write it out with https://')
  return {
    days: whole('days', planLimits.days) ?? usualPlan.days,
    minutes: whole('minutes', planLimits.minutes) ?? usualPlan.minutes,
    from: day('from'),
    on: day('on'),
    weeks: whole('weeks', [1, 26]),
    at: time ? [Number(time[1]), Number(time[2])] : null,
    origin: seen,
  }
}

/** The choices of the drill asked for; none where no drill is. */
function drillAsked({ options: { drill }, file }: Asked): Asked['given'] {
  if (drill === undefined) return {}
  const found = drillNamed(drill)
  const names = namedDrills.map(({ name }) => name)
  if (!found) throw odd('drill', drill, `one of ${names.join(', ')}`, `try ${nearest(drill, names)}`)
  const { changes = '', ...choices } = found.choices
  const usual = { title: found.title, ...choices }
  return file === '-' ? { ...usual, changes } : usual
}

/** The record named, the empty one where none is; null where it cannot be read, which is then said. */
function readRecordAsked({ options: { record: file } }: Asked, outside: Outside): PracticeRecord | null {
  if (file === undefined) return emptyRecord
  const text = new TextDecoder().decode(readBytes(outside, file, 'a record of practising'))
  const { record, problems } = readRecord(text)
  for (const problem of problems) outside.err(`${describeProblem(file, text, problem)}\n`)
  return record
}

/** The plan asked for; one that a record has already, but for the day it began, goes on as it began. */
function planAsked(written: Lines, { from, days, minutes }: Own, record: PracticeRecord): PracticePlan | null {
  const { goal, tempo } = written.brief
  const asked = goal ?? written.lines[0]?.harmony.tempo ?? Math.max(usualPlan.goal, tempo ?? 0)
  const chosen = (begins: string): PlanChoices => ({
    goal: asked,
    ...(tempo === null ? {} : { start: tempo }),
    days,
    minutes,
    from: begins,
  })
  const begun = record.plans
    .map(({ plan: each }) => each)
    .find((each) => makePlan(written, chosen(each.from))?.id === each.id)
  return makePlan(written, chosen(from ?? begun?.from ?? dayAt(Date.now())))
}
