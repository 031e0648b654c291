/** The tap after a pass, where the line itself is played; fetched with an item of a plan. */
import { dayAt } from '../../lib/practice/days.ts'
import { entryOf, type PlanItem } from '../../lib/practice/planDay.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'
import { noteEntry } from './practiceRecord.ts'

/** Notes how an item of a plan went, at the tempo it was played at. */
export async function tapPass(plan: string, item: PlanItem, verdict: Verdict, tempo: number, minutes: number) {
  const time = Date.now()
  const id = globalThis.crypto?.randomUUID?.() ?? `${time.toString(36)}-${Math.random().toString(36).slice(2, 12)}`
  const noted = await noteEntry(plan, (taken) =>
    entryOf(taken, item, { id, verdict, time, day: dayAt(time), tempo, minutes }),
  )
  if (!noted) throw new Error('That plan is no longer here: nothing was noted.')
}
