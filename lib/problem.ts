/**
 * What is wrong with something a person typed: where, what was found, what was expected, and what to try.
 * Every stage that reads text reports problems; none throws.
 */
import { lastStarted } from './inOrder.ts'

/** Character offsets into the text as typed: `start` included, `end` not. */
export interface Span {
  readonly start: number
  readonly end: number
}

export interface Problem {
  readonly severity: 'error' | 'warning'
  /** A stable name in kebab case, such as `unknown-quality`. */
  readonly code: string
  readonly span: Span
  readonly found: string
  readonly expected: string
  /** What to type instead, or what to try; a replacement for the span wherever one can be given. */
  readonly hint: string
  /** Exactly what to put in place of the span, where one click can mend it; empty to leave the span out. */
  readonly replacement?: string
}

/** A place in a text as an editor counts it: line and column from 1, columns in UTF-16 units as typed. */
export interface Place {
  readonly line: number
  readonly column: number
  readonly endColumn: number
}

const lineEnds = /\r\n|[\n\r\u0085\u2028\u2029]/g

/**
 * Finds the line and column of a span, so that a message can point at the very characters.
 * A span that runs over a line end is cut at the end of its first line.
 *
 * @example
 * placeOf('Dm7\nG7x', { start: 4, end: 7 }) // => { line: 2, column: 1, endColumn: 4 }
 */
export const placeOf = (text: string, span: Span): Place => placeFinder(text)(span)

/**
 * The same for many spans of one text, its lines counted once.
 *
 * @example
 * placeFinder('Dm7\nG7x')({ start: 0, end: 3 }) // => { line: 1, column: 1, endColumn: 4 }
 */
export function placeFinder(text: string): (span: Span) => Place {
  const lines = [{ start: 0 }]
  const ends: number[] = []
  for (const found of text.matchAll(lineEnds)) {
    ends.push(found.index)
    lines.push({ start: found.index + found[0].length })
  }
  ends.push(text.length)
  return (span) => {
    const start = Math.max(0, Math.min(span.start, text.length))
    const line = lastStarted(lines, start)
    const from = lines[line]!.start
    const end = Math.max(start, Math.min(span.end, ends[line]!))
    return { line: line + 1, column: start - from + 1, endColumn: end - from + 1 }
  }
}

/**
 * A text that a terminal shows and does not obey: control characters, line ends and tabs apart, as the signs that stand for
 * them (Unicode, Control Pictures).
 *
 * @example
 * withoutControls('Dm7\u001b[2J') // => 'Dm7␛[2J'
 */
export const withoutControls = (text: string): string =>
  // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
  text.replace(/[\0-\x08\x0b-\x1f\x7f-\x9f\u202a-\u202e\u2066-\u2069]/g, (sign) => {
    const code = sign.charCodeAt(0)
    return code < 0x20 ? String.fromCharCode(0x2400 + code) : code === 0x7f ? '␡' : '�'
  })

/**
 * Says a problem in the one line that the command line prints.
 *
 * @example
 * describeProblem('tune.txt', 'Cmja7', { severity: 'error', code: 'unknown-quality', span: { start: 1, end: 5 }, found: 'mja7', expected: 'a chord quality', hint: 'Cmaj7' })
 * // => 'tune.txt:1:2: found mja7; expected a chord quality; Cmaj7'
 */
export function describeProblem(name: string, text: string, problem: Problem): string {
  const { line, column } = placeOf(text, problem.span)
  const oneLine = (s: string) => withoutControls(s.replace(/\s+/g, ' '))
  const kind = problem.severity === 'warning' ? 'warning: ' : ''
  return `${withoutControls(name)}:${line}:${column}: ${kind}found ${oneLine(problem.found)}; expected ${oneLine(problem.expected)}; ${oneLine(problem.hint)}`
}
