/** What holds for any text and any chart: no throw, places inside the text, bars filled, work that grows with the text, a print that reads back. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import type { Chart } from '../../lib/changes/chart.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { placeOf } from '../../lib/problem.ts'
import { pitchClassesOf } from '../../lib/theory/chord.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'
import { realChartTexts } from '../realCharts.ts'
import { withoutPlaces } from './chartText.ts'

const errorsOf = (chart: Chart) => chart.problems.filter((problem) => problem.severity === 'error')

// --- texts shaped like charts

const symbols = fc.constantFrom(
  'C',
  'Dm7',
  'G7',
  'Cmaj7',
  'F#m7b5',
  'Bb7(b9)',
  'E♭∆7',
  'Am/G',
  'Csus',
  'G7alt',
  'N.C.',
  '(G7)',
  '%',
  'A-7',
  'D13(#11)',
  'Fm(maj7)',
)
const beats = fc.constantFrom('', '', '', ' /', ' / /', ' . .', '~G7')
const bar = fc.oneof(
  {
    weight: 8,
    arbitrary: fc
      .array(
        fc.tuple(symbols, beats).map(([symbol, sign]) => symbol + sign),
        { minLength: 1, maxLength: 4 },
      )
      .map((each) => each.join(' ')),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      '',
      '3/4 C',
      '6/8 Dm7 G7',
      '[Key: Eb] Bb7',
      'Segno C',
      'C Fine',
      'F To Coda',
      '%%',
      'C (light)',
      'Cmja7',
      'Dm7G7',
      '4/5 C',
    ),
  },
)
const barLines = fc.constantFrom('|', '|', '|', '|', '|:', ':|', '||', ':|:', '|1. ', '|2. ', ':|2. ', '|3. ')
const musicLine = fc
  .array(fc.tuple(barLines, bar), { minLength: 1, maxLength: 6 })
  .chain((parts) =>
    fc
      .tuple(
        fc.constantFrom('', 'A: ', '[B] ', '"Out" ', 'Intro ', '5 ', '2. ', 'A '),
        fc.constantFrom('|', ':|', '', '| x3', ':| (2x)', '| D.C. al Fine', '| D.S. al Coda', '| // words'),
      )
      .map(([head, tail]) => `${head}${parts.map(([line, chords]) => `${line} ${chords} `).join('')}${tail}`),
  )
const otherLine = fc.constantFrom(
  '',
  '[A]',
  '[Coda]',
  'Bridge',
  'Key: F',
  'Key: Am',
  'Time: 3/4',
  '4/4',
  'Title: Study',
  'Tempo: 120',
  '# comment',
  'la la la',
  'Dm7 G7 C',
  '[C]la [G]la',
  'x2',
  'D.C.',
  'Coda',
  '{key: G}',
  '> | C | F |',
  '|---|---|',
  'A',
  'Verse (2x)',
  '1st ending: C | G :|',
  'am dm',
  'My Study',
)
const chartText = fc
  .array(fc.oneof({ weight: 3, arbitrary: musicLine }, { weight: 2, arbitrary: otherLine }), {
    minLength: 1,
    maxLength: 8,
  })
  .map((lines) => lines.join('\n'))

/** Lines that hold together: bars, repeats with and without endings, counts, jumps. */
const cleanBar = fc.oneof(
  {
    weight: 8,
    arbitrary: fc.oneof(
      fc.array(symbols, { minLength: 1, maxLength: 4 }).map((each) => each.join(' ')),
      fc.constantFrom(
        'C / / G7',
        'Dm7 . G7 .',
        'F~Bb7 / / /',
        'C /~Fm7 / /',
        '/ / G7 /',
        'C D E',
        'A B C D E',
        'N.C. / / F',
        'C /E',
      ),
    ),
  },
  {
    weight: 1,
    arbitrary: fc.constantFrom(
      '',
      '3/4 C',
      '6/8 Dm7 G7',
      '4/4 F',
      '[Key: Eb] Bb7',
      'Segno C',
      'C Fine',
      'F To Coda',
      '%%',
      'C (light)',
      'Coda G',
    ),
  },
)
const cleanBars = fc.array(cleanBar, { minLength: 1, maxLength: 5 }).map((bars) => bars.join(' | '))
const cleanLine = fc.oneof(
  { weight: 3, arbitrary: cleanBars.map((bars) => `| ${bars} |`) },
  cleanBars,
  fc.tuple(cleanBars, fc.constantFrom('', ' x3', ' (2x)', ' x1')).map(([bars, count]) => `|: ${bars} :|${count}`),
  fc.tuple(cleanBars, fc.constantFrom(' x3', ' (2x)')).map(([bars, count]) => `| ${bars} |${count}`),
  fc.tuple(cleanBars, cleanBars, cleanBars).map(([body, first, second]) => `|: ${body} |1. ${first} :|2. ${second} |`),
  fc
    .tuple(cleanBars, cleanBars, cleanBars)
    .map(([body, first, second]) => `|: ${body} |1,2. ${first} :|\n3. ${second}`),
  fc.tuple(cleanBars, cleanBars).map(([first, second]) => `${first} :|: ${second} :|`),
  fc
    .tuple(cleanBars, fc.constantFrom('D.C.', 'D.S.', 'D.C. al Fine', 'D.S. al Coda'))
    .map(([bars, jump]) => `| ${bars} | ${jump}`),
  fc
    .tuple(fc.constantFrom('A: ', '[B] ', '"Out" ', 'Intro ', '5 ', 'A (2x): '), cleanBars)
    .map(([head, bars]) => `${head}| ${bars} |`),
)
const cleanText = fc
  .array(fc.oneof({ weight: 3, arbitrary: cleanLine }, { weight: 1, arbitrary: otherLine }), {
    minLength: 1,
    maxLength: 7,
  })
  .map((lines) => lines.join('\n'))

/** Signs of the grammar in any order. */
const shuffled = fc
  .array(
    fc.constantFrom(
      '|',
      ':|',
      '|:',
      '||',
      ' ',
      '\n',
      '\t',
      'C',
      'Dm7',
      'b9',
      '(',
      ')',
      '[',
      ']',
      '{',
      '}',
      '"',
      '/',
      '.',
      '%',
      '1.',
      '2x',
      'x0',
      '4/4',
      'D.S.',
      'al Coda',
      'Fine',
      'Key:',
      ':',
      ',',
      '-',
      '~',
      '#',
      '//',
      '>',
      '<b>',
      '&amp;',
      'H',
      'V7',
      'word',
      'e|--0--2--3--',
      '♭',
      '\r',
      '\u2028',
      '\u0085',
      '𝄋',
      '**',
    ),
    { maxLength: 40 },
  )
  .map((parts) => parts.join(''))

const anyText = fc.oneof(
  chartText,
  shuffled,
  fc.string({ unit: 'binary', maxLength: 200 }),
  fc.string({ unit: 'grapheme', maxLength: 200 }),
)

test('any text gives a chart whose parts agree with each other', () => {
  fc.assert(
    fc.property(anyText, (text) => {
      const chart = readChart(text)
      const lines = text.split(/\r\n|[\n\r\u0085\u2028\u2029]/).length
      for (const problem of chart.problems) {
        const { start, end } = problem.span
        expect(start).toBeGreaterThanOrEqual(0)
        expect(end).toBeGreaterThanOrEqual(start)
        expect(end).toBeLessThanOrEqual(text.length)
        const place = placeOf(text, problem.span)
        expect(place.line).toBeLessThanOrEqual(lines)
        expect(place.endColumn).toBeGreaterThanOrEqual(place.column)
        expect([problem.found, problem.expected, problem.hint]).not.toContain('')
      }
      for (const [index, { chords, meter, ...bar }] of chart.bars.entries()) {
        expect(bar.index).toBe(index)
        expect(chords.length).toBeGreaterThan(0)
        expect(chords.reduce((sum, chord) => sum + chord.beats, 0)).toBeCloseTo(meter.beats, 6)
        for (const { span, chord, root } of chords) {
          expect(span.start).toBeGreaterThanOrEqual(0)
          expect(span.end).toBeLessThanOrEqual(text.length)
          expect(chord === null).toBe(root === null)
        }
      }
      for (const index of chart.playOrder) expect(chart.bars[index]).toBeDefined()
      if (chart.bars.length > 0) expect(chart.playOrder[0]).toBe(0)
      else expect(errorsOf(chart).length).toBeGreaterThan(0)
    }),
    { numRuns: 800 },
  )
})

test('a chart that is played through has no gap and fills every bar', () => {
  fc.assert(
    fc.property(cleanText, fc.integer({ min: 1, max: 3 }), (text, choruses) => {
      const chart = readChart(text)
      const { bars, chords } = unrollChart(chart, choruses)
      expect(bars.length).toBe(chart.playOrder.length * choruses)
      let at = 0
      for (const bar of bars) {
        expect(bar.start).toBe(at)
        expect(bar.ticks).toBe(ticksPerBar(bar.meter))
        const own = chords.filter((chord) => chord.bar === bar.bar)
        let inBar = bar.start
        for (const chord of own) {
          expect(chord.start).toBe(inBar)
          expect(Number.isInteger(chord.ticks)).toBe(true)
          inBar += chord.ticks
        }
        expect(inBar).toBe(bar.start + bar.ticks)
        at += bar.ticks
      }
    }),
    { numRuns: 100 },
  )
})

describe('what is printed reads back', () => {
  test.each(realChartTexts())('real chart %#', (text) => {
    const chart = readChart(text)
    expect(withoutPlaces(readChart(printChart(chart)))).toEqual(withoutPlaces(chart))
  })

  test('any chart without errors', () => {
    let seen = 0
    fc.assert(
      fc.property(cleanText, (text) => {
        const chart = readChart(text)
        fc.pre(errorsOf(chart).length === 0)
        seen++
        const printed = printChart(chart)
        expect(withoutPlaces(readChart(printed)), printed).toEqual(withoutPlaces(chart))
      }),
      { numRuns: 400, maxSkipsPerRun: 100 },
    )
    expect(seen).toBeGreaterThan(200)
  })

  test('in any style the chords are the same', () => {
    const style = {
      major: 'Δ',
      minor: '-',
      diminished: '°',
      halfDiminished: 'ø',
      augmented: '+',
      accidentals: 'signs',
    } as const
    for (const text of realChartTexts()) {
      const chart = readChart(text)
      expect(withoutPlaces(readChart(printChart(chart, style)))).toEqual(withoutPlaces(chart))
    }
  })
})

test('a message that offers a replacement leaves fewer errors, or moves on', () => {
  fc.assert(
    fc.property(chartText, (text) => {
      const before = errorsOf(readChart(text))
      const [problem] = before.filter((each) => each.replacement !== undefined)
      fc.pre(problem !== undefined)
      const mended = text.slice(0, problem!.span.start) + problem!.replacement + text.slice(problem!.span.end)
      const same = errorsOf(readChart(mended)).filter(
        (each) =>
          each.code === problem!.code && each.span.start === problem!.span.start && each.found === problem!.found,
      )
      expect(same, mended).toEqual([])
    }),
    { numRuns: 600, maxSkipsPerRun: 100 },
  )
})

// --- work, counted instead of timed

/** Counts what reading does to strings: patterns tried, and characters cut out. */
function workOf(run: () => unknown): number {
  let work = 0
  const { exec, test: tests } = RegExp.prototype
  const { slice } = String.prototype
  RegExp.prototype.exec = function (text) {
    work += 1
    return exec.call(this, text)
  }
  RegExp.prototype.test = function (text) {
    work += 1
    return tests.call(this, text)
  }
  // biome-ignore lint/suspicious/noExplicitAny: stands in for the built-in with its own arguments
  String.prototype.slice = function (this: string, ...bounds: any[]) {
    const cut = slice.apply(this, bounds as [number, number])
    work += 1 + cut.length
    return cut
  }
  try {
    run()
  } finally {
    RegExp.prototype.exec = exec
    RegExp.prototype.test = tests
    String.prototype.slice = slice
  }
  return work
}

describe('work grows with the text', () => {
  test.each([
    ['bars', '| Dm7 G7 | Cmaj7 |\n'],
    ['one long line', '| Dm7 G7 '],
    ['errors', '| Cmja7 '],
    ['words', 'word '],
    ['words in bars', '| drums '],
    ['marks', '| C Segno D.S. al Coda '],
    ['endings', '|1. C :|2. F '],
    ['counts', '|: C :| x3 '],
    ['labels', '[A]\n| C |\n'],
    ['brackets', '['],
    ['parentheses', '('],
    ['optional chords', '(C D) '],
    ['joined chords', 'Am7D7'],
    ['spaces', 'C          '],
    ['slashes', '// '],
    ['commas', 'C,'],
    ['tabs', 'C\t'],
    ['ties', 'C~'],
    ['sung chords', '[C]la '],
    ['directives', '{key: C}\n'],
    ['headers', 'Key: C '],
    ['quote marks', '"A" '],
    ['markup', '<b>C</b> '],
    ['tablature', 'e|---0---2---3--|\n'],
    ['accidentals', '♭'],
    ['hashes', '#'],
    ['rules', '|--'],
  ])('%s', (_, piece) => {
    const times = Math.ceil(8_000 / piece.length)
    readChart(piece.repeat(times))
    const once = workOf(() => readChart(piece.repeat(times)))
    const twice = workOf(() => readChart(piece.repeat(times * 2)))
    expect(twice).toBeLessThan(once * 2.5 + 2_000)
  })

  test.each([
    '|',
    '| ',
    '[',
    '(',
    '"',
    '{',
    '<',
    '&',
    '/',
    '.',
    '%',
    '- ',
    '*',
    '=',
    '_',
    '~',
    ' ',
    '\t',
    '>',
    ':',
    '1',
    '1 ',
    'C',
    'x',
    '#',
    '♭',
    '\n',
    'C7(b9 ',
    '|: C x64 ',
  ])('64 KB of %j comes to an end', (piece) => {
    const chart = readChart(piece.repeat(Math.floor(65_536 / piece.length)))
    expect(chart.problems.length).toBeGreaterThan(0)
  })
})

test('the pitch classes of every chord are its own, ascending', () => {
  for (const text of realChartTexts()) {
    for (const { chords } of readChart(text).bars) {
      for (const { chord } of chords) {
        if (!chord) continue
        const pitches = pitchClassesOf(chord)
        expect([...pitches].sort((a, b) => a - b)).toEqual(pitches)
        expect(pitches[0]).toBe(0)
      }
    }
  }
})
