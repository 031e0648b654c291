/** Charts with something wrong: each cause named once, at its place, with what to type instead, and the rest still read. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { placeOf } from '../../lib/problem.ts'
import { barsText } from './chartText.ts'

interface Malformed {
  readonly name: string
  readonly text: string
  /** Code, line, and the column of the cause; a message may start up to six columns away from it. */
  readonly errors: readonly (readonly [string, number, number])[]
  /** The bars that are still read, where they are not in doubt. */
  readonly bars?: string
}

const malformed: readonly Malformed[] = [
  { name: 'a letter that is no note', text: '| Dm7 | J7 | C |', errors: [['unknown-root', 1, 9]] },
  { name: 'words in a bar are one cause', text: '| Dm7 | drum fill here | C |', errors: [['unknown-root', 1, 9]] },
  { name: 'an alteration without its chord', text: '| C7 b9 | F |', errors: [['unknown-root', 1, 6]] },
  { name: 'letters swapped', text: '| Dm7 | Cmja7 | G7 |', errors: [['unknown-quality', 1, 11]] },
  {
    name: 'the same on a later line',
    text: 'Title: X\n\n| Dm7 | G7 |\n| C | Fmja7 |',
    errors: [['unknown-quality', 4, 9]],
  },
  { name: 'the same without bar lines', text: 'Dm7 G7 Cmja7', errors: [['unknown-quality', 1, 10]] },
  { name: 'a symbol alone', text: 'Cmja7', errors: [['unknown-quality', 1, 3]] },
  { name: 'three accidentals', text: '| Cbbb7 | F |', errors: [['mixed-accidentals', 1, 5]] },
  { name: 'mixed accidentals', text: '| C#b7 | F |', errors: [['mixed-accidentals', 1, 5]] },
  { name: 'a slash without a note', text: '| Dm7/ | G7 |', errors: [['missing-bass', 1, 6]] },
  { name: 'a bass that is no note', text: '| Dm7/K | G7 |', errors: [['unknown-bass', 1, 7]] },
  { name: 'a parenthesis not closed', text: '| C7(b9 | F |', errors: [['unmatched-parenthesis', 1, 5]] },
  {
    name: 'a parenthesis not closed, with a space inside',
    text: '| C7(b9, 13 | F |',
    errors: [['unmatched-parenthesis', 1, 5]],
  },
  {
    name: 'a parenthesis not closed before the next chord',
    text: '| C7(b9 F7 | F |',
    errors: [['unmatched-parenthesis', 1, 5]],
    bars: 'C7(b9:2 F7:2 | F:4',
  },
  { name: 'a parenthesis not opened', text: '| C7b9) | F |', errors: [['unmatched-parenthesis', 1, 7]] },
  { name: 'empty parentheses', text: '| C7() | F |', errors: [['unmatched-parenthesis', 1, 5]] },
  { name: 'two sevenths', text: '| Cmaj7b7 | F |', errors: [['contradiction', 1, 8]] },
  { name: 'a figure that no chord takes', text: '| C8 | F |', errors: [['contradiction', 1, 4]] },
  { name: 'a beat too many', text: '| C / / / / | F |', errors: [['bar-length', 1, 11]] },
  { name: 'a beat too few', text: '| C / / | F |', errors: [['bar-length', 1, 3]] },
  { name: 'a whole bar too many', text: '| C / / / G / / / | F |', errors: [['bar-length', 1, 11]] },
  { name: 'a repeat-bar sign with nothing before it', text: '| % | C |', errors: [['nothing-to-repeat', 1, 3]] },
  { name: 'a two-bar sign with one bar before it', text: '| C | %% |', errors: [['nothing-to-repeat', 1, 7]] },
  {
    name: 'a repeat never closed',
    text: '|: C | F |\n| G | C |',
    errors: [['unclosed-repeat', 1, 1]],
    bars: 'C:4 | F:4 | G:4 | C:4',
  },
  { name: 'a repeat opened twice', text: '|: C | F |: G | C :|', errors: [['unclosed-repeat', 1, 1]] },
  { name: 'a repeat opened at the end', text: '|: C | F :|: G | C |', errors: [['unclosed-repeat', 1, 10]] },
  { name: 'a second ending alone', text: '|: C | F |2. G :|', errors: [['unmatched-ending', 1, 11]] },
  { name: 'a gap in the endings', text: '|: C | F |1. G :|3. C |', errors: [['unmatched-ending', 1, 18]] },
  { name: 'an ending outside a repeat', text: '| C | F |1. G | C |', errors: [['unmatched-ending', 1, 10]] },
  { name: 'D.S. without a segno', text: '| C | F | D.S.', errors: [['missing-mark', 1, 11]] },
  { name: 'al Coda without a coda', text: '| C | Segno F | G | D.S. al Coda', errors: [['missing-mark', 1, 21]] },
  { name: 'al Fine without a Fine', text: '| C | F | D.C. al Fine', errors: [['missing-mark', 1, 11]] },
  { name: 'a count of none', text: '|: C | F :| x0', errors: [['repeat-count', 1, 14]] },
  { name: 'a count of none in words', text: '|: C | F :| repeat 0 times', errors: [['repeat-count', 1, 20]] },
  { name: 'a negative count', text: '|: C | F :| x-2', errors: [['repeat-count', 1, 14]] },
  { name: 'a count beyond bounds', text: '|: C | F :| 65x', errors: [['repeat-count', 1, 13]] },
  { name: 'a lower number that is no power of two', text: 'Time: 4/5\n| C |', errors: [['unknown-meter', 1, 9]] },
  { name: 'no beats', text: '| 0/4 C | F |', errors: [['unknown-meter', 1, 3]] },
  { name: 'a key that does not exist', text: 'Key: G# major\n| C |', errors: [['unknown-key', 1, 6]] },
  { name: 'numerals without a key, said once', text: '| ii7 | V7 | Imaj7 |', errors: [['numeral-without-key', 1, 3]] },
  { name: 'a numeral over a digit', text: 'Key: C\n| V/2 | I |', errors: [['unknown-bass', 2, 5]] },
  { name: 'two chords joined', text: '| Dm7G7 | C |', errors: [['joined-chords', 1, 6]], bars: 'Dm7:2 G7:2 | C:4' },
  {
    name: 'look-alike bar lines, said once a line',
    text: 'Dm7 l G7 l C l\nAm7 I D7 I G I',
    errors: [
      ['look-alike-barline', 1, 5],
      ['look-alike-barline', 2, 5],
    ],
    bars: 'Dm7:4 | G7:4 | C:4 | Am7:4 | D7:4 | G:4',
  },
  {
    name: 'look-alikes of other shapes',
    text: 'Dm7 ! G7 ! C\nAm7 1 D7 1 G',
    errors: [
      ['look-alike-barline', 1, 5],
      ['look-alike-barline', 2, 5],
    ],
  },
  {
    name: 'markup, said once',
    text: '<p>| C | F |</p>\n<p>| G | C |</p>',
    errors: [['markup', 1, 1]],
    bars: 'C:4 | F:4 | G:4 | C:4',
  },
  { name: 'entities', text: '| C | B&#9837;7 |', errors: [['markup', 1, 8]], bars: 'C:4 | Bb7:4' },
  {
    name: 'tablature, said once a block',
    text: '| C | G |\n\ne|---0---2---3--|\nB|---1---3---0--|',
    errors: [['tablature', 3, 1]],
    bars: 'C:4 | G:4',
  },
  { name: 'a symbol broken over two lines', text: '| D\nm7 | G7 |', errors: [['unknown-root', 2, 1]] },
  { name: 'the rest of one alone on its line', text: '| D\nm7\n| G7 |', errors: [['unknown-root', 2, 1]] },
  { name: 'the rest of one as the last', text: '| C | F\nmaj7 |', errors: [['unknown-root', 2, 1]] },
  { name: 'nothing at all', text: '', errors: [['no-chords', 1, 1]] },
  { name: 'only words', text: 'hello there\nthis is text.', errors: [['no-chords', 1, 1]] },
  {
    name: 'several causes, each at its place',
    text: '| C7( | Dm7/ | G7 |\n| Xm | C / / |',
    errors: [
      ['unmatched-parenthesis', 1, 5],
      ['missing-bass', 1, 12],
      ['unknown-root', 2, 3],
      ['bar-length', 2, 8],
    ],
  },
  { name: 'places count typed characters', text: '| B♭∆7 | 𝄎 | Cmja7 |', errors: [['unknown-quality', 1, 16]] },
  { name: 'places behind quote marks', text: '> | Dm7 |\n>> | Cmja7 |', errors: [['unknown-quality', 2, 8]] },
  { name: 'places after carriage returns', text: '| C |\r\n| Cmja7 |', errors: [['unknown-quality', 2, 5]] },
  {
    name: 'places after the line ends of mainframes',
    text: '| C |\u0085| Cmja7 |',
    errors: [['unknown-quality', 2, 5]],
  },
]

const errorsOf = (text: string) => readChart(text).problems.filter((problem) => problem.severity === 'error')

describe.each(malformed)('$name', ({ text, errors, bars }) => {
  test('each cause once, within six columns', () => {
    const found = errorsOf(text)
    expect(found.map((problem) => problem.code)).toEqual(errors.map(([code]) => code))
    for (const [i, [, line, column]] of errors.entries()) {
      const place = placeOf(text, found[i]!.span)
      expect(place.line).toBe(line)
      expect(Math.abs(place.column - column)).toBeLessThanOrEqual(6)
    }
    if (bars !== undefined) expect(barsText(readChart(text))).toBe(bars)
  })

  test('a replacement mends its cause, and a hint says something', () => {
    for (const problem of errorsOf(text)) {
      expect(problem.found).not.toBe('')
      expect(problem.expected).not.toBe('')
      expect(problem.hint).not.toBe('')
      if (problem.replacement === undefined) continue
      const mended = text.slice(0, problem.span.start) + problem.replacement + text.slice(problem.span.end)
      const left = errorsOf(mended)
      // Markup is mended line by line: what is left stands on a later one.
      if (problem.code === 'markup' && left.length > 0) expect(placeOf(mended, left[0]!.span).line).toBeGreaterThan(1)
      else expect(left.length, mended).toBeLessThan(errorsOf(text).length)
    }
  })
})

describe('warned about, and read', () => {
  test.each([
    ['Dm7 G7 Cmaj7', 'bars-inferred'],
    ['| dm7 | g7 |', 'small-root'],
    ['| C07 | F |', 'zero-for-diminished'],
    ['| Csus | Fsus |', 'ambiguous-symbol'],
    ['| H7 | B7 |', 'german-letters'],
    ['| C | | F |', 'empty-bar'],
    ['| C F G |', 'uneven-split'],
    ['| Dm7* | G7 |', 'dropped-mark'],
    ['| EB7 | AB7 |', 'caps-lock-flat'],
  ])('%j: %s, once', (text, code) => {
    expect(readChart(text).problems.map((problem) => [problem.severity, problem.code])).toEqual([['warning', code]])
  })
})

test('the example of the interface', () => {
  const text = '| Cmja7 |'
  const [problem] = readChart(text).problems
  expect(problem).toMatchObject({ severity: 'error', code: 'unknown-quality', found: 'Cmja7', hint: 'Cmaj7' })
  expect(placeOf(text, problem!.span)).toEqual({ line: 1, column: 3, endColumn: 8 })
})

test('a text with thousands of faults says the first thousand, and how many more', () => {
  const { problems } = readChart('| Cmja7 '.repeat(3000))
  expect(problems).toHaveLength(1001)
  expect(problems[1000]).toMatchObject({ severity: 'error', code: 'more-problems', found: '2000 more problems' })
})
