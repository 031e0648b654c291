/** Several students' records side by side: who has played what, in which keys, how fast. */
import type { Day } from './days.ts'
import { gridOf } from './looks.ts'
import type { PracticePlan } from './plan.ts'
import type { PracticeRecord } from './record.ts'

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
  const sorted = [...students].sort((a, b) => (a.name < b.name ? -1 : a.name > b.name ? 1 : 0))
  return [...plans.values()]
    .sort((a, b) => (a.from < b.from ? -1 : a.from > b.from ? 1 : a.id < b.id ? -1 : 1))
    .map((plan) => ({
      plan,
      students: sorted
        .filter(({ record }) =>
          [...record.plans.map((each) => each.plan.id), ...record.entries.map((each) => each.plan)].includes(plan.id),
        )
        .map(({ name, record }) => progressOf(plan, name, record)),
    }))
}

function progressOf(plan: PracticePlan, name: string, record: PracticeRecord): StudentProgress {
  const entries = record.entries.filter((entry) => entry.plan === plan.id)
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
