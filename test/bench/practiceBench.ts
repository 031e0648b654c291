/** How long a record of ten thousand entries takes to be read, looked at and planned from. */
import { dayAfter } from '../../lib/practice/days.ts'
import { dueOf, gridOf, weeksOf } from '../../lib/practice/looks.ts'
import { gridSvg, weeksSvg } from '../../lib/practice/looksSvg.ts'
import { planDay } from '../../lib/practice/planDay.ts'
import { readRecord } from '../../lib/practice/readRecord.ts'
import { addEntries, type Entry, emptyRecord, mergeRecords, takePlan, writeRecord } from '../../lib/practice/record.ts'
import { practise } from '../practice/learners.ts'
import { monday, planOf } from '../practice/plans.ts'

const most = 10_000

/** Milliseconds, in the middle of nine: from the text of a file to all that the page shows of it; and two such records put together. */
export function benchPractice(): { readonly open: number; readonly merge: number } {
  const plan = planOf()
  const entries: Entry[] = []
  for (let seed = 1; entries.length < most; seed++)
    for (const entry of practise(plan, seed, 365).record.entries) {
      const day = dayAfter(entry.day, 2 * seed)
      if (entries.length < most) entries.push({ ...entry, day })
    }
  const record = takePlan(addEntries(emptyRecord, entries), plan, 1)
  const text = writeRecord(record)
  const day = dayAfter(monday, 400)
  const middle = (run: () => unknown): number => {
    const taken = Array.from({ length: 9 }, () => {
      const start = performance.now()
      run()
      return performance.now() - start
    })
    return taken.sort((a, b) => a - b)[4]!
  }
  const open = middle(() => {
    const read = readRecord(text).record!
    if (read.entries.length !== most) throw new Error('entries were lost')
    return [gridSvg(gridOf(plan, read)), weeksSvg(weeksOf(read)), dueOf(plan, read, day), planDay(plan, read, day)]
  })
  return { open, merge: middle(() => mergeRecords(record, record)) }
}
