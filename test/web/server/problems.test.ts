import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { applyFix, showProblems } from '../../../web/server/problems.ts'

const shown = (text: string) => showProblems(text, readChart(text).problems)

test('a problem stands under the very characters', () => {
  const text = 'Key: C\n| Dm7 | Cmja7 |'
  const [problem] = shown(text)
  expect(problem).toMatchObject({ error: true, line: 2, before: '| Dm7 | ', meant: 'Cmja7', after: ' |' })
  expect(text.slice(problem!.start, problem!.end)).toBe('Cmja7')
})

test.each(['| Dm7 | Cmja7 |', '| Cm7 | F7x |', '| J7 | C6 |'])(
  'the hint for %j applies on one click and is then gone',
  (text) => {
    const [problem] = shown(text)
    expect(problem!.fix).not.toBe('')
    expect(readChart(applyFix(text, problem!.fix)).problems.length).toBeLessThan(readChart(text).problems.length)
  },
)

describe('what is no hint changes nothing', () => {
  test.each(['', 'x', '5-2:C', '0-99:C', '-1-2:C', '0-1:a\nb', '1.5-2:C'])('%j', (fix) => {
    expect(applyFix('| C7 |', fix)).toBe('| C7 |')
  })
})

test('any text at all is shown cut within its line', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
      for (const each of shown(text)) {
        expect(each.before + each.meant + each.after).not.toMatch(/[\n\r\u2028\u2029]/)
        expect(text.slice(each.start, each.end).startsWith(each.meant)).toBe(true)
      }
    }),
    { numRuns: 200 },
  )
})
