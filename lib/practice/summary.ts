/** Several students' records side by side: who has played what, in which keys, how fast. */
import type { Day } from './days.ts'
import { gridOf } from './looks.ts'
import type { PracticePlan } from './plan.ts'
import type { Entry, PracticeRecord } from './record.ts'

/** A student's record, under the name that the student gave or the file has. */
export interface StudentRecord {
  readonly name: string
  readonly record: PracticeRecord
}

/** How a student gets on in a key. */
export interface KeyProgress {
  readonly key: string
  /** How often something was played in it. */
  readonly times: number
  /** The quickest tempo at which any bars held; null for none. */
  readonly quickest: number | null
  /** The quickest at which all bars held; null for none. */
  readonly whole: number | null
}

/** What a student made of a plan. */
export interface StudentProgress {
  readonly name: string
  readonly minutes: number
  /** Days on which something was played, and the last of them. */
  readonly days: number
  readonly last: Day | null
  /** In the order of the plan's keys. */
  readonly keys: readonly KeyProgress[]
}

export interface PlanSummary {
  readonly plan: PracticePlan
  /** By name. */
  readonly students: readonly StudentProgress[]
}

/** Who has played what: for each plan that any of them has taken up, every student who has it or has played it. */
export function summarise(students: readonly StudentRecord[]): readonly PlanSummary[] {
  const plans = new Map(students.flatMap(({ record }) => record.plans.map(({ plan }) => [plan.id, plan] as const)))
  const sorted = [...students].sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0)).map(sortedOut)
  return [...plans.values()]
    .sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : a.id < b.id ? -1 : 1))
    .map((plan) => ({
      plan,
      students: sorted.flatMap(({ name, record, taken, played }) => {
        const entries = played.get(plan.id) ?? []
        return entries.length > 0 || taken.has(plan.id) ? [progressOf(plan, name, { ...record, entries })] : []
      }),
    }))
}

/** A student's record with its plans and its entries by their plan, so that each is looked at once however many plans there are. */
function sortedOut({ name, record }: StudentRecord) {
  const played = new Map<string, Entry[]>()
  for (const entry of record.entries) {
    const known = played.get(entry.plan)
    if (known) known.push(entry)
    else played.set(entry.plan, [entry])
  }
  return { name, record, taken: new Set(record.plans.map(({ plan }) => plan.id)), played }
}

/** @param record - with the entries of the plan alone */
function progressOf(plan: PracticePlan, name: string, record: PracticeRecord): StudentProgress {
  const { entries } = record
  const days = [...new Set(entries.map(({ day }) => day))].sort()
  return {
    name,
    minutes: Math.round(10 * entries.reduce((sum, { minutes }) => sum + minutes, 0)) / 10,
    days: days.length,
    last: days.at(-1) ?? null,
    keys: gridOf(plan, record).rows.map(({ key, cells }) => ({
      key,
      times: cells.reduce((sum, { times }) => sum + times, 0),
      quickest: cells.findLast(({ bars }) => bars > 0)?.tempo ?? null,
      whole: cells.findLast(({ state }) => state === 'all')?.tempo ?? null,
    })),
  }
}
