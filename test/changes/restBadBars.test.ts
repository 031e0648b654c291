/** Good bars are written, bad ones are rests: which are which, and that lines over them say and play nothing there. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { restBadBars } from '../../lib/changes/restBadBars.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { writeGoodBars, writeLines } from '../../lib/lines/write.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'

const restsOf = (text: string) => restBadBars(readChart(text))?.rests

test.each([
  // What is typed, and the bars as written, from 0, that cannot be read.
  ['| Dm7 | Xyz | G7 | Cmja7 |', [1, 3]],
  ['| Dm7 | Cmaj7 Xyz | G7 |', [1]],
  ['| C / / | F |', [0]],
  ['| C / / / / | F |', [0]],
  ['| C | F / / |', [1]],
  ['| Dm7/ | G7 |', [0]],
  ['| C7(b9 F7 | F |', [0]],
  ['| % | C |', [0]],
  // What is wrong about the way through leaves every bar as it was read.
  ['|: C | F |\n| G | C |', []],
  ['| C | F | D.S.', []],
  ['|: C | F :| x0', []],
  ['Key: G# major\n| C | F |', []],
  ['Time: 4/5\n| C | F |', []],
  ['Dm7 l G7 l C l', []],
  // Doubts are no errors.
  ['| Fsus | G7alt |', []],
])('%j: %j', (text, rests) => {
  expect([...restsOf(text)!]).toEqual(rests)
})

test.each(['', '| Xyz |', '| ii7 | V7 |', 'hello there', '| N.C. | Xyz |'])('%j has no bar to play', (text) => {
  expect(restsOf(text)).toBeUndefined()
})

test.each([
  // A label before chords is a label, however it is set off (common practice of lead sheets).
  ['A: Dm7 | G7 | Cmaj7', 'A'],
  ['[A] | Dm7 | G7 |', 'A'],
  ['[B] Dm7 | G7 |', 'B'],
  ['A) Dm7 | G7', 'A'],
  ['Intro | Dm7 | G7 |', 'Intro'],
  ['Intro: | Dm7 | G7 |', 'Intro'],
  ['Bridge Dm7 | G7 |', 'Bridge'],
  ['Verse 1: Dm7 | G7', 'Verse 1'],
])('%j opens a section and has no problem', (text, section) => {
  const { bars, problems } = readChart(text)
  expect(bars.map((bar) => [bar.section, bar.chords[0]!.symbol]).slice(0, 2)).toEqual([
    [section, 'Dm7'],
    [section, 'G7'],
  ])
  expect(problems).toEqual([])
})

describe('lines over good bars', () => {
  const cells = fc.array(fc.constantFrom('Dm7', 'G7', 'Cmaj7', 'Xyz', 'Cmja7', 'F6 J7', 'A7', 'Bb7(b9'), {
    minLength: 2,
    maxLength: 8,
  })
  test('rest where nothing can be read and nowhere else more; bars stay where they are; problems stay', () => {
    fc.assert(
      fc.property(cells, (bars) => {
        const changes = `| ${bars.join(' | ')} |`
        const brief = { ...defaultBrief, changes }
        const { lines, rests, problems } = writeGoodBars(brief)
        const bad = bars.flatMap((cell, i) => (['Dm7', 'G7', 'Cmaj7', 'A7'].includes(cell) ? [] : [i + 1]))
        expect(problems).toEqual(writeLines(brief).problems)
        if (bad.length === bars.length) {
          expect(lines).toEqual([])
          return
        }
        expect(rests).toEqual(bad)
        const [line] = lines
        expect(line!.harmony.bars.map(({ bar }) => bar)).toEqual(bars.map((_, i) => i + 1))
        for (const [i, { start, meter }] of line!.harmony.bars.entries()) {
          const end = start + ticksPerBar(meter)
          const sounds = line!.notes.filter((note) => note.pitch && note.start < end && note.start + note.ticks > start)
          expect(sounds.length === 0, `bar ${i + 1} of ${changes}`).toBe(bad.includes(i + 1))
        }
        for (const { symbol, bar } of line!.harmony.chords) expect(symbol.endsWith('?')).toBe(bad.includes(bar))
      }),
      { numRuns: 60, seed: 7 },
    )
  })

  test('are the lines themselves where nothing is wrong', () => {
    const brief = { ...defaultBrief, changes: '| Dm7 | G7alt | Cmaj7 | Fsus |' }
    expect(writeGoodBars(brief)).toEqual({ ...writeLines(brief), rests: [] })
  })

  test('count bars as they are played', () => {
    expect(writeGoodBars({ ...defaultBrief, changes: '|: Dm7 | Xyz :|', choruses: 2 }).rests).toEqual([2, 4, 6, 8])
  })
})
