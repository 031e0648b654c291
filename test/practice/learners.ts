/** Learners who follow a plan, each with keys that are hard for them: seeded, so that the same learner always does the same. */
import { randomFrom } from '../../lib/lattice/lattice.ts'
import { type Day, dayAfter } from '../../lib/practice/days.ts'
import type { PracticePlan } from '../../lib/practice/plan.ts'
import { entryOf, type PlanDay, planDay } from '../../lib/practice/planDay.ts'
import { type Entry, emptyRecord, type PracticeRecord } from '../../lib/practice/record.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'

export interface Practised {
  readonly hard: readonly string[]
  readonly days: readonly PlanDay[]
  readonly record: PracticeRecord
}

/** How often a pass falls apart, and how often it is easy, in keys that are hard for a learner and in the others. */
const chances = { hard: { falls: 0.6, easy: 0.1 }, easy: { falls: 0.05, easy: 0.8 } } as const

/** A learner with a quarter of the keys hard, who practises whatever a plan asks for so many days. */
export function practise(plan: PracticePlan, seed: number, days: number): Practised {
  const random = randomFrom(seed)
  const shuffled = [...plan.keys].map((key) => ({ key, at: random() })).sort((a, b) => a.at - b.at)
  const hard = shuffled.slice(0, Math.max(1, plan.keys.length >> 2)).map(({ key }) => key)
  const verdictIn = (key: string): Verdict => {
    const { falls, easy } = chances[hard.includes(key) ? 'hard' : 'easy']
    const chance = random()
    return chance < falls ? 'fell apart' : chance > 1 - easy ? 'easy' : 'held'
  }
  const planned: PlanDay[] = []
  let record = emptyRecord
  for (let i = 0; i < days; i++) {
    const day: Day = dayAfter(plan.from, i)
    const today = planDay(plan, record, day)
    planned.push(today)
    const entries = today.items.map(
      (item, n): Entry =>
        entryOf(plan, item, {
          id: `learner-${seed}-${i}-${n}`,
          verdict: verdictIn(item.key),
          time: i * 86_400_000 + n,
          day,
        }),
    )
    // Made in order, under ids of their own: nothing is to be put together.
    record = { ...record, entries: [...record.entries, ...entries] }
  }
  return { hard, days: planned, record }
}
