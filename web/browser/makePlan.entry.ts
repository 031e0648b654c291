/** Makes a plan of the line in the page; fetched when one is first asked for, since it brings the line-writing with it. */
import { limits, readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { dayAt } from '../../lib/practice/days.ts'
import { makePlan } from '../../lib/practice/makePlan.ts'
import { planLimits, usualPlan } from '../../lib/practice/plan.ts'
import { packPlan } from '../../lib/practice/planLink.ts'

const within = (wanted: number, [least, most]: readonly [number, number], usual: number): number =>
  Number.isFinite(wanted) && wanted > 0 ? Math.min(most, Math.max(least, Math.round(wanted))) : usual

/** The fragment of a link that holds the plan; null where there is no line to practise. */
export function planOf(
  fields: Readonly<Record<string, string>>,
  { goal, days, minutes }: { readonly goal: number; readonly days: number; readonly minutes: number },
): string | null {
  const plan = makePlan(writeLines(readBrief(fields).brief), {
    goal: within(goal, limits.tempo, usualPlan.goal),
    days: within(days, planLimits.days, usualPlan.days),
    minutes: within(minutes, planLimits.minutes, usualPlan.minutes),
    from: dayAt(Date.now()),
  })
  return plan && packPlan(plan)
}
