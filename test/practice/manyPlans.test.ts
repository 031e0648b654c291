/** A file with hundreds of plans keeps no page: how often its entries are looked at is counted, not timed. */
import { expect, test } from 'vitest'
import { withId } from '../../lib/practice/plan.ts'
import { addEntries, clearRecord, type Entry, emptyRecord, type PracticeRecord } from '../../lib/practice/record.ts'
import { summarise } from '../../lib/practice/summary.ts'
import { monday, planOf } from './plans.ts'

const plan = planOf()
const { id: _, ...said } = plan
const named = (i: number) => withId({ ...said, title: `Tune ${i}` })

/** How often a hundred entries are looked at while something is done with a record of so many plans. */
function looksAt(count: number, act: (record: PracticeRecord) => unknown): number {
  let looks = 0
  const plans = Array.from({ length: count }, (_each, i) => named(i))
  const entries = Array.from({ length: 100 }, (_each, i): Entry => {
    const played = plans[i % count]!.id
    const id = `entry-${i}-of-these`
    return {
      get id() {
        looks += 1
        return id
      },
      get plan() {
        looks += 1
        return played
      },
      ...({ key: 'C', bars: [1, 1], tempo: 60, minutes: 1, verdict: 'held', time: i, day: monday } as const),
    }
  })
  const record = { ...addEntries(emptyRecord, entries), plans: plans.map((each) => ({ plan: each, taken: 1 })) }
  looks = 0
  act(record)
  return looks
}

test.each<[string, (record: PracticeRecord) => unknown]>([
  ['set side by side', (record) => summarise([{ name: 'Ida', record }])],
  ['deleted', (record) => clearRecord(record, 5)],
])('entries of 200 plans are looked at less than twice as often as of 10 (it was 20 times): %s', (_name, act) => {
  expect(looksAt(200, act)).toBeLessThan(2 * looksAt(10, act))
})

test('a record that is deleted keeps that it was: plans put away, whatever the clock says, and entries gone', () => {
  const gone = clearRecord(
    {
      ...emptyRecord,
      player: 'Ida',
      plans: [
        { plan, taken: 90 },
        { plan: planOf({ keys: 'F' }), taken: 3 },
      ],
    },
    5,
  )
  expect([gone.player, gone.plans, Object.values(gone.away).sort()]).toEqual(['', [], [5, 90]])
})
