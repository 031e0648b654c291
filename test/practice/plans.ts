/** Plans to test with, of invented tunes. */
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { makePlan, type PlanChoices } from '../../lib/practice/makePlan.ts'
import type { PracticePlan } from '../../lib/practice/plan.ts'

export const tune = `Title: Ferry at Six
Key: C
[A] | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | C6 |
[B] | Fm7 | Bb7 | Cmaj7 | Cmaj7 | D7 | D7 | Dm7 | G7 |`

/** A Monday. */
export const monday = '2026-11-30'

export function planOf(fields: Readonly<Record<string, string>> = {}, chosen: Partial<PlanChoices> = {}): PracticePlan {
  const { brief, problems } = readBrief({ changes: tune, keys: 'fourths', ...fields })
  if (problems.length > 0) throw new Error(problems[0]!.found)
  return makePlan(writeLines(brief), { goal: 160, days: 5, minutes: 20, from: monday, ...chosen })!
}
