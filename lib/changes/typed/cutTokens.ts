/** A line of music while it is cut: the signs found so far, where the cutting stands, and the means that every matcher uses. */
import type { Meter } from '../../theory/meter.ts'
import type { Mark } from '../chart.ts'

/** A sign of a music line; `at` and `end` are offsets into the plain text. */
export type Token = { readonly at: number; readonly end: number } & (
  | { readonly kind: 'bar'; readonly opens: boolean; readonly closes: boolean; readonly plain: boolean }
  | { readonly kind: 'symbol'; readonly text: string; readonly optional: boolean }
  | { readonly kind: 'beat'; readonly count: number; readonly attached: boolean }
  | { readonly kind: 'simile'; readonly bars: 1 | 2 }
  | { readonly kind: 'bass'; readonly text: string }
  | { readonly kind: 'dash' | 'separator' | 'tie' | 'tab' | 'comment' }
  | { readonly kind: 'meter'; readonly meter: Meter }
  | { readonly kind: 'ending'; readonly passes: readonly number[]; readonly bare: boolean }
  | { readonly kind: 'label'; readonly name: string }
  | { readonly kind: 'mark'; readonly mark: Mark; readonly sure: boolean }
  | { readonly kind: 'count'; readonly count: number }
  | { readonly kind: 'key'; readonly text: string }
)

export interface Cutting {
  readonly text: string
  readonly line: string
  /** The line's place in the text. */
  readonly from: number
  readonly tokens: Token[]
  readonly lastBar: number
  readonly lastClose: number
  /** The last sign that is no beat. */
  readonly lastOther: number
  /** Where in the line the cutting stands. */
  i: number
  /** Nothing of this bar has been heard yet. */
  barStart: boolean
}

/** Cuts what stands at a place, `c` being its first character; false where it is something else. */
export type Matcher = (cut: Cutting, c: string) => boolean

/** How far a closing bracket may be from its opening one. */
export const widest = 200

export function startCutting(text: string, from: number, to: number): Cutting {
  const line = text.slice(from, to)
  return {
    text,
    line,
    from,
    tokens: [],
    lastBar: line.lastIndexOf('|'),
    lastClose: line.lastIndexOf(':|'),
    lastOther: line.search(/[^\s/.][\s/.]*$/),
    i: 0,
    barStart: true,
  }
}

/** What leaves a bar as open as it was: it steers, or only says something. */
const silent = new Set<Token['kind']>(['label', 'meter', 'key', 'comment', 'ending', 'mark', 'count'])

export function put(cut: Cutting, token: Token): true {
  cut.tokens.push(token)
  if (token.kind === 'bar') cut.barStart = true
  else if (!silent.has(token.kind)) cut.barStart = false
  cut.i = token.end - cut.from
  return true
}

/** The place in the text where the cutting stands. Tokens take it written out: a spread took a third of the time. */
export const here = (cut: Cutting): number => cut.from + cut.i

export function match(cut: Cutting, pattern: RegExp): RegExpExecArray | null {
  pattern.lastIndex = cut.i
  return pattern.exec(cut.line)
}

export function skip(cut: Cutting, count = 1): true {
  cut.i += count
  return true
}

/** Where a bracket closes, if it does before long; -1 where it does not. */
export function closing({ line, i }: Cutting, sign: string): number {
  const found = line.slice(i + 1, i + 1 + widest).indexOf(sign)
  return found < 0 ? -1 : i + 1 + found
}
