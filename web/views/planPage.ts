/** The page of homework: a plan made of a line, as a link and a code to give out, as paper and calendar entries; and what came of it. */
import { renderSVG } from 'uqr'
import { readBrief } from '../../lib/brief.ts'
import { writePracticePaper } from '../../lib/engrave/pdf/practicePaper.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { writeCalendar } from '../../lib/practice/calendar.ts'
import { careWords } from '../../lib/practice/care.ts'
import { makePlan } from '../../lib/practice/makePlan.ts'
import { type PracticePlan, planLimits, usualPlan } from '../../lib/practice/plan.ts'
import { planDays } from '../../lib/practice/planDay.ts'
import { packPlan } from '../../lib/practice/planLink.ts'
import { linesOfDay, sayDay, sayPlan } from '../../lib/practice/planText.ts'
import { emptyRecord } from '../../lib/practice/record.ts'
import { type Given, linkerOf, wholeOf } from '../server/address.ts'
import { type Answer, bytesAnswer, pageAnswer, textAnswer } from '../server/answer.ts'
import { placed } from '../server/assets.ts'
import type { PlanQuestion } from '../server/workerRequest.ts'
import { readView } from './display.ts'
import { fill } from './templates.ts'

/** The most characters of a link that a code on the screen holds (ISO/IEC 18004, version 40, the least correction). */
const longestCode = 2_900

/** A number as a field of the form has it, within its limits; the usual one where it is none. */
const numberIn = (text: string, [low, high]: readonly [number, number], usual: number): number =>
  /^\d{1,3}$/.test(text) ? Math.max(low, Math.min(high, Number(text))) : usual

/** A plan asked for, and whether there is a line to make it of. */
function planAsked({ given, days, minutes, from }: PlanQuestion): PracticePlan | null {
  if (given.changes === undefined && given.plan === undefined) return null
  const { brief, problems } = readBrief(given)
  if (problems.length > 0) return null
  const lines = writeLines(brief)
  return makePlan(lines, {
    goal: brief.goal ?? lines.lines[0]?.harmony.tempo ?? Math.max(usualPlan.goal, brief.tempo ?? 0),
    ...(brief.tempo === null ? {} : { start: brief.tempo }),
    days: numberIn(days, planLimits.days, usualPlan.days),
    minutes: numberIn(minutes, planLimits.minutes, usualPlan.minutes),
    from,
  })
}

/** Answers with the page, or with the plan as paper or calendar entries. */
export async function answerPlan(question: PlanQuestion): Promise<Answer> {
  const { given, as, origin } = question
  const plan = planAsked(question)
  const link = plan && `./practice#${packPlan(plan)}`
  const whole = link !== null && origin !== '' ? wholeOf(origin, link) : null
  if (plan && as === 'pdf') {
    const { paper, print } = readBrief(given).brief
    const days = planDays(plan, emptyRecord, plan.from, 7)
    const bytes = await writePracticePaper({ plan, days, paper, large: print === 'large', link: whole })
    return bytesAnswer(200, 'application/pdf', bytes, true, 'plan.pdf')
  }
  if (plan && as === 'ics') {
    const text = writeCalendar(plan, planDays(plan, emptyRecord, plan.from, 28), { at: null, link: whole })
    return textAnswer(200, 'text/calendar; charset=utf-8', text, 'plan.ics')
  }
  const html = fill('plan', {
    title: 'Practice plan – Throughline',
    ...placed(),
    view: readView(given),
    care: careWords,
    fields: Object.entries(given).flatMap(([name, value]) =>
      value === undefined || name === 'goal' ? [] : [{ name, value }],
    ),
    hasLine: given.changes !== undefined || given.plan !== undefined,
    plan: plan && { ...shownPlan(question, plan, given), link, whole, code: codeOf(whole) },
  })
  return pageAnswer(plan || as === 'page' ? 200 : 404, html)
}

/** A plan as the template shows it, with its first week. */
function shownPlan({ from }: PlanQuestion, plan: PracticePlan, given: Given) {
  const more = { days: String(plan.days), minutes: String(plan.minutes), from }
  const link = linkerOf({ ...given, goal: String(plan.goal) })
  return {
    title: plan.title,
    says: sayPlan(plan),
    goal: plan.goal,
    days: plan.days,
    minutes: plan.minutes,
    from,
    pdf: link('./plan.pdf', more),
    ics: link('./plan.ics', more),
    line: link('./'),
    week: planDays(plan, emptyRecord, plan.from, 7).map((day) => ({
      name: sayDay(day.day),
      rest: day.rest,
      minutes: day.minutes,
      lines: linesOfDay(day),
    })),
  }
}

/** The code of a link as a picture; empty where there is none or it would not fit. */
const codeOf = (link: string | null): string =>
  link === null || link.length > longestCode ? '' : renderSVG(link, { ecc: 'L', border: 4, maskPattern: 0 })
