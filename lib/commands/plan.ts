/** `plan`: what to practise of a line or a drill, day by day, as text, JSON, a sheet of paper or calendar entries. */
import { whole } from '../choices/reader.ts'
import { type Lines, writeLines } from '../lines/write.ts'
import { type Day, dayAt } from '../practice/days.ts'
import { makePlan, type PlanChoices } from '../practice/makePlan.ts'
import { type PracticePlan, planLimits, usualPlan } from '../practice/plan.ts'
import { planDays } from '../practice/planDay.ts'
import { packPlan } from '../practice/planLink.ts'
import { planText } from '../practice/planText.ts'
import { readRecord } from '../practice/readRecord.ts'
import { emptyRecord, type PracticeRecord } from '../practice/record.ts'
import { describeProblem } from '../problem.ts'
import { type Asked, allChoices, type Command, type Outside } from './command.ts'
import { choicesOfDrill, drillName } from './drill.ts'
import { problemsJson, readAskedBrief, readBytes, reportChoices, reportErrors } from './input.ts'
import { day, named, type OwnOption, origin, readOption, timeOfDay } from './options.ts'
import { formatOf, json, outputOptions, put } from './output.ts'

const formats = ['json', 'text', 'pdf', 'ics']

const own = {
  days: {
    name: 'days',
    reader: whole(...planLimits.days),
    help: `days a week; ${usualPlan.days} where not said`,
  },
  minutes: {
    name: 'minutes',
    reader: whole(...planLimits.minutes),
    help: `minutes a day at the most, pauses among them; ${usualPlan.minutes} where not said`,
  },
  from: { name: 'from', reader: day, help: 'the day it begins, such as 2026-11-30; today where not said' },
  on: { name: 'on', reader: day, help: 'the first day to write; the day it begins where not said' },
  weeks: { name: 'weeks', reader: whole(1, 26), help: 'how many weeks to write; 1, and 4 as ics, where not said' },
  record: {
    name: 'record',
    reader: named('FILE', 'a record of practising', 'name a file that the page exported'),
    help: 'a record of practising, as the page exports it, for the plan to go by',
  },
  drill: {
    name: 'drill',
    reader: drillName,
    help: 'a drill to start from, as drill lists them; through the tune where a file is named',
  },
  at: {
    name: 'at',
    reader: timeOfDay,
    help: 'the time of day of calendar entries; the whole day where not said',
  },
  origin: {
    name: 'origin',
    reader: origin,
    help: 'where the page is served, for the link and its code on paper and in calendars',
  },
} satisfies Readonly<Record<string, OwnOption>>

export const plan: Command = {
  name: 'plan',
  help: 'Plans what to practise of a line or a drill, day by day: bars, keys, tempos, passes and pauses.',
  files: 'one',
  options: [...outputOptions(formats), ...Object.values(own)],
  choices: allChoices,
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, formats)
    const { options } = asked
    const drill = readOption(options, own.drill)
    const usual = drill === null ? {} : choicesOfDrill(drill, asked.file)
    const { brief, given, failed, problems } = readAskedBrief(asked, outside, usual)
    const none = (wrong: readonly unknown[]) => {
      if (format === 'json') put(outside, asked, json({ plan: null, link: null, days: [], problems: wrong }))
      return 1
    }
    if (failed) return none(problemsJson('', [], given, problems))
    const written = writeLines(brief)
    const wrong = [
      reportErrors(outside, asked, brief.changes, written.problems),
      reportChoices(outside, given, written.choiceProblems),
    ].includes(true)
    const said = problemsJson(brief.changes, written.problems, given, written.choiceProblems)
    const record = readRecordAsked(options.record, outside)
    const made = wrong || record === null ? null : planAsked(written, options, record)
    if (made === null || record === null) return none(said)
    const first = readOption(options, own.on) ?? made.from
    const days = planDays(made, record, first, 7 * (readOption(options, own.weeks) ?? (format === 'ics' ? 4 : 1)))
    const packed = packPlan(made)
    const served = readOption(options, own.origin)
    const link = served === null ? null : `${served}/practice#${packed}`
    if (format === 'json')
      put(outside, asked, json({ plan: made, link: link ?? `/practice#${packed}`, days, problems: said }))
    else if (format === 'text') put(outside, asked, planText(made, days))
    else if (format === 'ics') {
      const { writeCalendar } = await import('../practice/calendar.ts')
      put(outside, asked, writeCalendar(made, days, { at: readOption(options, own.at), link }))
    } else {
      const { writePracticePaper } = await import('../engrave/pdf/practicePaper.ts')
      const { paper, print } = brief
      put(outside, asked, await writePracticePaper({ plan: made, days, paper, large: print === 'large', link }))
    }
    return 0
  },
}

/** The record named, the empty one where none is; null where it cannot be read, which is then said. */
function readRecordAsked(file: string | undefined, outside: Outside): PracticeRecord | null {
  if (file === undefined) return emptyRecord
  const text = new TextDecoder().decode(readBytes(outside, file, 'a record of practising'))
  const { record, problems } = readRecord(text)
  for (const problem of problems) outside.err(`${describeProblem(file, text, problem)}\n`)
  return record
}

/** The plan asked for; one that a record has already, but for the day it began, goes on as it began. */
function planAsked(written: Lines, options: Asked['options'], record: PracticeRecord): PracticePlan | null {
  const { goal, tempo } = written.brief
  const asked = goal ?? written.lines[0]?.harmony.tempo ?? Math.max(usualPlan.goal, tempo ?? 0)
  const chosen = (begins: Day): PlanChoices => ({
    goal: asked,
    ...(tempo === null ? {} : { start: tempo }),
    days: readOption(options, own.days) ?? usualPlan.days,
    minutes: readOption(options, own.minutes) ?? usualPlan.minutes,
    from: begins,
  })
  const begun = record.plans
    .map(({ plan: each }) => each)
    .find((each) => makePlan(written, chosen(each.from))?.id === each.id)
  return makePlan(written, chosen(readOption(options, own.from) ?? begun?.from ?? dayAt(Date.now())))
}
