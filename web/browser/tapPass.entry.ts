/** The tap after a pass, where the line itself is played; fetched with an item of a plan. */
import { dayAt } from '../../lib/practice/days.ts'
import { entryOf, type PlanItem } from '../../lib/practice/planDay.ts'
import { addEntries } from '../../lib/practice/record.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'
import { changeRecord } from './practiceRecord.ts'

/** Notes how an item of a plan went, at the tempo it was played at. */
export async function tapPass(plan: string, item: PlanItem, verdict: Verdict, tempo: number, minutes: number) {
  const time = Date.now()
  const id = globalThis.crypto?.randomUUID?.() ?? `${time.toString(36)}-${Math.random().toString(36).slice(2, 12)}`
  await changeRecord((record) => {
    const taken = record.plans.find((each) => each.plan.id === plan)
    if (!taken) throw new Error('That plan is no longer here: nothing was noted.')
    const played = { id, verdict, time, day: dayAt(time), tempo, minutes }
    return addEntries(record, [entryOf(taken.plan, item, played)])
  })
}
