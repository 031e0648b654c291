/** The problems of a chart, gathered while it is read: offsets in the plain text turned to places as typed, each cause once. */
import type { Problem } from '../../problem.ts'
import { type PlainText, spanAsTyped } from './characters.ts'

export interface ChartProblems {
  readonly all: Problem[]
  /** Says one thing about a stretch of the plain text. */
  say(
    severity: Problem['severity'],
    code: string,
    at: number,
    end: number,
    expected: string,
    hint: string,
    replacement?: string,
  ): void
  /** Takes over a problem found in a symbol that starts at `at` in the plain text. */
  adopt(problem: Problem, at: number): void
}

/** The most of the typed text that a message repeats. */
const longestFound = 60

export function gatherProblems(typed: string, plain: PlainText): ChartProblems {
  const all: Problem[] = []
  const said = new Set<string>()
  const add = (problem: Problem): void => {
    if (problem.severity === 'warning') {
      // The same thing said of the same spelling is one cause.
      const once =
        problem.code === 'caps-lock-flat'
          ? problem.code
          : `${problem.code} ${problem.found.replace(/^\(?[A-Ha-h][#b♯♭]*/, '').replace(/\/[A-Ha-h][#b♯♭]*$/, '')}`
      if (said.has(once)) return
      said.add(once)
    }
    all.push(problem)
  }
  const shorten = (words: string): string =>
    words.length <= longestFound ? words : `${words.slice(0, longestFound - 1).trimEnd()}…`
  return {
    all,
    say(severity, code, at, end, expected, hint, replacement) {
      const span = spanAsTyped(plain, at, end)
      const found = shorten(typed.slice(span.start, span.end)) || 'nothing'
      add({ severity, code, span, found, expected, hint, ...(replacement === undefined ? {} : { replacement }) })
    },
    adopt(problem, at) {
      const span = spanAsTyped(plain, at + problem.span.start, at + problem.span.end)
      add({ ...problem, span, found: shorten(typed.slice(span.start, span.end)) || problem.found })
    },
  }
}
