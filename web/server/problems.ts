/** Problems in the changes, each shown under the very characters that it means, with a hint that applies on one click. */
import type { Chart } from '../../lib/changes/chart.ts'
import { barOfProblem } from '../../lib/changes/restBadBars.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import type { Problem } from '../../lib/problem.ts'
import { placeOf } from '../../lib/problem.ts'
import { webLimits } from './limits.ts'

export interface ShownProblem {
  readonly error: boolean
  /** The bar as played, from 1, as the staff and the choice of bars count; null where it stands in no bar that is played. */
  readonly bar: number | null
  readonly line: number
  readonly column: number
  /** The line as typed, cut into what stands before the characters meant, these, and what follows. */
  readonly before: string
  readonly meant: string
  readonly after: string
  readonly start: number
  readonly end: number
  readonly found: string
  readonly expected: string
  readonly hint: string
  /** The value of a button that puts the hint in place; empty where the hint is advice rather than text to type. */
  readonly fix: string
}

/** Characters shown on either side of a problem in a long line. */
const around = 48

/** The first problems as the page shows them, in the order of the text. */
export function showProblems(text: string, chart: Chart): readonly ShownProblem[] {
  const problems = toPutRight(chart.problems)
  return firstOf(problems).map((problem) => {
    const { line, column, endColumn } = placeOf(text, problem.span)
    const start = Math.min(problem.span.start, text.length)
    const end = start + endColumn - column
    const lineStart = start - (column - 1)
    const rest = text.slice(end).search(/[\n\r\u2028\u2029]/)
    const lineEnd = rest < 0 ? text.length : end + rest
    const from = Math.max(lineStart, start - around)
    const to = Math.min(lineEnd, end + around)
    return {
      error: problem.severity === 'error',
      bar: playedBarOf(chart, problem),
      line,
      column,
      before: (from > lineStart ? '…' : '') + text.slice(from, start),
      meant: text.slice(start, Math.min(end, start + 2 * around)),
      after: text.slice(end, to) + (to < lineEnd ? '…' : ''),
      start,
      end,
      found: problem.found,
      expected: problem.expected,
      hint: problem.hint,
      fix: fits(text, problem, chart.problems) ? `${problem.span.start}-${problem.span.end}:${mendOf(problem)}` : '',
    }
  })
}

const firstOf = (problems: readonly Problem[]): readonly Problem[] =>
  [...problems].sort((a, b) => a.span.start - b.span.start).slice(0, webLimits.problemsShown)

/** Symbols that every player reads: an altered dominant and a suspended chord stay as they are written. */
const plainSpeech = /(?:alt|sus|suspended)(?![\da-z])/i

/** The problems that the page marks. */
export const toPutRight = (problems: readonly Problem[]): readonly Problem[] =>
  problems.filter(({ code, found }) => code !== 'ambiguous-symbol' || !plainSpeech.test(found))

/** The first time that the bar of a problem is played, from 1. */
function playedBarOf(chart: Chart, problem: Problem): number | null {
  const bar = barOfProblem(chart, problem)
  const played = bar ? chart.playOrder.indexOf(bar.index) : -1
  return played < 0 ? null : played + 1
}

/** What a click puts in place of the span: exactly what the reader says, else its hint. */
const mendOf = (problem: Problem): string => problem.replacement ?? problem.hint

/**
 * Whether typing the hint in place of the span would leave fewer problems and no new error. What the reader says exactly may
 * also leave a note in place of an error.
 */
function fits(text: string, problem: Problem, problems: readonly Problem[]): boolean {
  const mend = mendOf(problem)
  if (text.length > webLimits.tryHints || mend.length > 200 || /[\n\r]/.test(mend)) return false
  const after = readChart(replace(text, problem.span, mend)).problems
  const errors = (list: readonly Problem[]) => list.filter((each) => each.severity === 'error').length
  if (after.length < problems.length) return errors(after) <= errors(problems)
  const exact = problem.replacement !== undefined
  return exact && after.length === problems.length && errors(after) < errors(problems)
}

const replace = (text: string, span: Problem['span'], by: string) =>
  text.slice(0, span.start) + by + text.slice(span.end)

/**
 * Puts every hint of the problems shown in its place, where typing it there mends something; the others stay as typed.
 *
 * @example
 * mendAll('| Cmja7 | F7x |') // => '| Cmaj7 | F7 |'
 */
export function mendAll(text: string): string {
  let mended = text
  let { problems } = readChart(text)
  let before = text.length
  // From the end, so that the places before still hold.
  for (const problem of [...firstOf(toPutRight(problems))].reverse()) {
    if (problem.span.end > before || !fits(mended, problem, problems)) continue
    mended = replace(mended, problem.span, mendOf(problem))
    problems = readChart(mended).problems
    before = problem.span.start
  }
  return mended
}

/**
 * Puts a hint in its place: `START-END:TEXT`, as the page's button sends it. Anything else leaves the text as it is.
 *
 * @example
 * applyFix('Dm7 | Cmja7', '7-11:maj7') // => 'Dm7 | Cmaj7'
 */
export function applyFix(text: string, fix: string): string {
  const match = /^(\d{1,6})-(\d{1,6}):([^\n\r]{0,200})$/.exec(fix)
  if (!match) return text
  const start = Number(match[1])
  const end = Number(match[2])
  return start <= end && end <= text.length ? replace(text, { start, end }, match[3]!) : text
}
