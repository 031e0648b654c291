import { expect, test } from 'vitest'
import { defaultBrief } from '../../../lib/brief.ts'
import { writeLines } from '../../../lib/lines/write.ts'
import { examples } from '../../../web/views/examples.ts'

test.each(examples.map(({ id, changes }) => [id, changes]))(
  '%s reads without a word of complaint and gives a line',
  (_, changes) => {
    const written = writeLines({ ...defaultBrief, changes })
    expect(written.problems).toEqual([])
    expect(written.lines).toHaveLength(1)
    expect(written.lines[0]!.targets.length).toBeGreaterThanOrEqual(written.lines[0]!.harmony.bars.length / 2)
  },
)

test('the shelf holds what it says', () => {
  const bars = (id: string) =>
    writeLines({ ...defaultBrief, changes: examples.find((e) => e.id === id)!.changes }).lines[0]!.harmony.bars
  expect(bars('thirty-two')).toHaveLength(32)
  expect(bars('blues')).toHaveLength(12)
  expect(bars('minor-blues')).toHaveLength(12)
  expect(bars('waltz').every(({ meter }) => meter.beats === 3)).toBe(true)
})
