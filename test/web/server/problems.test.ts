import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { applyFix, mendAll, showProblems } from '../../../web/server/problems.ts'

const shown = (text: string) => showProblems(text, readChart(text))

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

describe('the bar of a problem, counted as it is played', () => {
  test.each([
    ['| Dm7 | Cmja7 |', [2]],
    ['| Dm7 |\n| G7 | C6 F7x |', [3]],
    ['|: Dm7 | G7 :|\n| Cmja7 |', [5]],
    ['|: Dm7 | Gmja7 :|', [2]],
    ['| Dm7 | C / / / / | G7 |', [2]],
    ['Key: H\n| Dm7 | Cmja7 |', [null, 2]],
  ])('%j: %j', (text, bars) => {
    expect(shown(text).map(({ bar }) => bar)).toEqual(bars)
  })
})

test('all hints at once leave no hint, no more problems, and what is right as it was', () => {
  const cell = fc.constantFrom('Dm7', 'G7', 'Cmja7', 'F7x', 'J7', 'what ever', '%', 'C6 )', 'Bb7(b9')
  fc.assert(
    fc.property(fc.array(cell, { minLength: 1, maxLength: 8 }), (cells) => {
      const text = `| ${cells.join(' | ')} |`
      const mended = mendAll(text)
      expect(readChart(mended).problems.length).toBeLessThanOrEqual(readChart(text).problems.length)
      expect(shown(mended).filter(({ fix }) => fix !== '')).toEqual([])
      if (shown(text).length === 0) expect(mended).toBe(text)
    }),
    { numRuns: 100, seed: 5 },
  )
})

test('what every player reads stays as it is written, when all hints are put in too', () => {
  expect(mendAll('| Fsus | G7alt | Cmja7 | F7x |')).toBe('| Fsus | G7alt | Cmaj7 | F7 |')
  expect(shown('| Fsus | G7alt |')).toEqual([])
  // A symbol that could be taken two ways is still asked about.
  expect(shown('| Cdim |').map(({ error }) => error)).toEqual([false])
})

test('any text at all is shown cut within its line', () => {
  fc.assert(
    fc.property(fc.string({ unit: 'binary', maxLength: 300 }), (text) => {
      for (const each of shown(text)) {
        expect(each.before + each.meant + each.after).not.toMatch(/[\n\r\u0085\u2028\u2029]/)
        expect(text.slice(each.start, each.end).startsWith(each.meant)).toBe(true)
      }
    }),
    { numRuns: 200 },
  )
})
