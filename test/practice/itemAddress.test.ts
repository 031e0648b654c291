/** The address of an item, read as the server reads it. */
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import type { Line } from '../../lib/line/line.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { addressOfItem } from '../../lib/practice/itemAddress.ts'
import { planDay } from '../../lib/practice/planDay.ts'
import { emptyRecord } from '../../lib/practice/record.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { readFields } from '../../web/server/address.ts'
import { monday, planOf, tune } from './plans.ts'

test.each([
  ['a line', {}],
  ['a drill', { exact: 'yes', notes: '2', join: 'yes' }],
  ['a line with a long chart', { changes: `${tune}\n${'| Dm7 | G7 | Cmaj7 | A7 '.repeat(60)}|` }],
  ['a phrased line for another instrument', { rhythm: 'phrased', instrument: 'trombone', seed: '31' }],
])('the same notes stand there in the item’s key, with its bars and tempo: %s', (_, fields) => {
  const asked = { changes: tune, keys: 'fourths', ...fields }
  const all = writeLines(readBrief(asked).brief).lines
  const plan = planOf(fields)
  const { items } = planDay(plan, emptyRecord, monday)
  expect(items.length).toBeGreaterThan(2)
  for (const item of items) {
    const address = addressOfItem(plan, item)
    expect(address.length).toBeLessThan(1_600)
    const { given, problems } = readFields(new URLSearchParams(address.slice(2)))
    const { brief, problems: wrong } = readBrief(given)
    expect([problems, wrong]).toEqual([[], []])
    expect([brief.loop, brief.tempo, brief.passes, brief.rest]).toEqual([item.bars, item.tempo, item.passes, item.rest])
    // A joined drill leads into the next key from its last bar, and where it stands alone back to its own top.
    const own = (line: Line) =>
      line.notes.filter(({ bar }) => !brief.join || bar < 16).map(({ start, pitch }) => [start, pitch])
    const meant = all.find(({ key }) => nameOfKey(key) === item.key)!
    expect(writeLines(brief).lines.map(own)).toEqual([own(meant)])
  }
})
