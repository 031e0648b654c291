/** The item of a plan that was opened in this tab: which, when, and how a pass of it is said. */
import type { PlanItem } from '../../lib/practice/planDay.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'

/** How a pass went, as the buttons say it. */
export const verdictWords: Readonly<Record<Verdict, string>> = {
  'fell apart': 'Fell apart',
  held: 'Held with effort',
  easy: 'Easy',
}

export interface Opened {
  /** The name of its plan. */
  readonly plan: string
  readonly item: PlanItem
  /** Milliseconds since 1970. */
  readonly opened: number
  /** The address of its stand. */
  readonly at: string
}

const last = 'throughline.item'
const timeOf = (plan: string, { id }: Pick<PlanItem, 'id'>): string => `throughline.opened ${plan} ${id}`

/** Keeps which item is opened, and when; without storage the minutes are those of the plan. */
export function keepOpened(opened: Opened): void {
  try {
    sessionStorage.setItem(timeOf(opened.plan, opened.item), String(opened.opened))
    sessionStorage.setItem(last, JSON.stringify(opened))
  } catch {
    // Then nothing is known of it.
  }
}

/** The item whose stand this is; at any other address the item is over, so that no tap is noted to it. */
export function readOpened(): Opened | null {
  try {
    const opened = JSON.parse(sessionStorage.getItem(last) ?? 'null') as Opened | null
    if (opened?.at === location.href) return opened
    sessionStorage.removeItem(last)
    return null
  } catch {
    return null
  }
}

/** When an item was opened in this tab; 0 where it was not. */
export function timeOpened(plan: string, item: PlanItem): number {
  try {
    return Number(sessionStorage.getItem(timeOf(plan, item)))
  } catch {
    return 0
  }
}

/** The minutes that an item took, in halves: those since it was opened, unless it was left open, as over lunch. */
export function minutesSince(opened: number, { minutes }: Pick<PlanItem, 'minutes'>): number {
  const passed = Math.max(0.5, Math.round((Date.now() - opened) / 30_000) / 2)
  return opened > 0 && passed <= 3 * minutes ? passed : minutes
}
