/** One line of music cut into its signs: bar lines, symbols, beats, repeats of bars, endings, meters, marks, counts, labels. */
import { readsAsSymbol } from '../symbol/readSymbol.ts'
import { arrows, joins } from './chartSigns.ts'
import {
  type Cutting,
  closing,
  here,
  type Matcher,
  match,
  put,
  skip,
  startCutting,
  type Token,
  widest,
} from './cutTokens.ts'
import { barLineAt, signAt } from './signTokens.ts'

export type { Token } from './cutTokens.ts'

/** Cuts `text` from `from` to `to` into tokens. Everything that is no sign becomes a symbol, to be read or reported. */
export function chartTokens(text: string, from: number, to: number): readonly Token[] {
  const cut = startCutting(text, from, to)
  while (cut.i < cut.line.length) {
    const c = cut.line[cut.i]!
    for (const matcher of matchers) if (matcher(cut, c)) break
  }
  return cut.tokens
}

const space: Matcher = (cut, c) => c === ' ' && skip(cut)

/** Emphasis and code marks of plain-text markup. */
const emphasis: Matcher = (cut, c) =>
  (c === '`' || ((c === '*' || c === '_') && /[*_`A-H(]/.test(cut.line[cut.i + 1] ?? ''))) && skip(cut)

const tab: Matcher = (cut, c) => c === '\t' && put(cut, { kind: 'tab', at: here(cut), end: here(cut) + 1 })

/** A label, a remark or a chord in brackets. */
const bracket: Matcher = (cut, c) => {
  if (c !== '[') return false
  const { line, i, from } = cut
  const close = closing(cut, ']')
  if (close < 0 || line.slice(i, close).includes('|')) return false
  const inner = line.slice(i + 1, close).trim()
  if (inner === '') return skip(cut, close + 1 - i)
  if (inner[0] === '*') return put(cut, { kind: 'comment', at: here(cut), end: here(cut) + close + 1 - i })
  if (!readsAsSymbol(inner) || /^[A-Z]\d?$/.test(inner))
    return put(cut, { kind: 'label', name: inner, at: here(cut), end: here(cut) + close + 1 - i })
  const at = from + i + 1 + line.slice(i + 1, close).search(/\S/)
  put(cut, { kind: 'symbol', text: inner, optional: false, at, end: at + inner.length })
  cut.i = close + 1
  return true
}

/** Where the parenthesis that opens here closes in its bar; -1 where it does not. */
function closingParenthesis({ line, i }: Cutting): number {
  let depth = 0
  for (let j = i; j < line.length && j - i <= widest; j++) {
    const c = line[j]
    if (c === '|') return -1
    if (c === '(') depth++
    else if (c === ')' && --depth === 0) return j
  }
  return -1
}

/** Alterations after a space, optional chords, or a remark. */
const parenthesis: Matcher = (cut, c) => {
  if (c !== '(') return false
  const { text, line, i, from, tokens } = cut
  const close = closingParenthesis(cut)
  if (close < 0) return false
  const inner = line.slice(i + 1, close)
  const end = from + close + 1
  const last = tokens[tokens.length - 1]
  // Alterations after a space belong to the symbol before.
  if (last?.kind === 'symbol' && readsAsSymbol(last.text + line.slice(i, close + 1)) && last.end <= from + i) {
    tokens[tokens.length - 1] = { ...last, text: text.slice(last.at, end), end }
    return skip(cut, close + 1 - i)
  }
  const parts = [...inner.matchAll(/[^\s,]+(?:\([^)]*\))?/g)]
  if (parts.length > 0 && parts.every(([part]) => readsAsSymbol(part) || part === '/' || part === '%')) {
    for (const [part, at] of parts.map((found) => [found[0], from + i + 1 + found.index] as const)) {
      if (part === '/') tokens.push({ kind: 'beat', count: 1, attached: false, at, end: at + 1 })
      else if (part === '%') tokens.push({ kind: 'simile', bars: 1, at, end: at + 1 })
      else tokens.push({ kind: 'symbol', text: part, optional: true, at, end: at + part.length })
    }
    cut.barStart = false
    return skip(cut, close + 1 - i)
  }
  // Words in parentheses are a remark; a symbol that was meant is reported as one.
  const remark = /[a-z]{3,}/i.test(inner) || /\s/.test(inner.trim())
  return remark && put(cut, { kind: 'comment', at: here(cut), end: here(cut) + close + 1 - i })
}

const quotes: Matcher = (cut, c) => {
  if (c !== '"') return false
  const close = closing(cut, '"')
  return close > cut.i ? put(cut, { kind: 'comment', at: here(cut), end: here(cut) + close + 1 - cut.i }) : skip(cut)
}

const braces: Matcher = (cut, c) => {
  const close = c === '{' ? closing(cut, '}') : -1
  return close > cut.i && put(cut, { kind: 'comment', at: here(cut), end: here(cut) + close + 1 - cut.i })
}

const comment = (cut: Cutting): true =>
  put(cut, { kind: 'comment', at: here(cut), end: here(cut) + cut.line.length - cut.i })

/** `//` and words after the last bar line, to the end of the line. */
const slashComment: Matcher = (cut, c) => {
  const { line, i } = cut
  if (c !== '/' || !line.startsWith('//', i)) return false
  if (cut.lastBar > i || cut.lastOther < i + 2) return false
  const first = /^\/*\s*(\S*)/.exec(line.slice(i + 2, i + 2 + widest))?.[1] ?? ''
  return !readsAsSymbol(first) && comment(cut)
}

const hashComment: Matcher = (cut, c) =>
  c === '#' && cut.i > 0 && !readsAsSymbol(/^\S{0,24}/.exec(cut.line.slice(cut.i, cut.i + 24))![0]) && comment(cut)

/** Beats by strokes or dots, and a new bass under the same chord. */
const strokes: Matcher = (cut, c) => {
  if (c !== '/' && c !== '.') return false
  const { line, i } = cut
  const run = /^(?:\/{1,8}|\.{1,8})(?=[\s|~]|$|:\|)/.exec(line.slice(i, i + 10))
  if (run)
    return put(cut, {
      kind: 'beat',
      count: run[0].length,
      attached: false,
      at: here(cut),
      end: here(cut) + run[0].length,
    })
  const bass = /^\/[A-H](?:#|b)?(?=[\s|,]|$|:\|)/.exec(line.slice(i, i + 6))
  return (
    bass !== null && put(cut, { kind: 'bass', text: bass[0].slice(1), at: here(cut), end: here(cut) + bass[0].length })
  )
}

/** Ties, arrows, dashes and what else parts chords. */
const between: Matcher = (cut, c) => {
  if (c === '~') return put(cut, { kind: 'tie', at: here(cut), end: here(cut) + 1 })
  const arrow = match(cut, arrows)
  if (arrow) return put(cut, { kind: 'separator', at: here(cut), end: here(cut) + arrow[0].length })
  const next = cut.line[cut.i + 1] ?? ' '
  if ((c === '-' || c === '_') && /[\s|_-]/.test(next))
    return put(cut, { kind: 'dash', at: here(cut), end: here(cut) + 1 })
  const parts = c === ',' || c === ';' || (c === '+' && /\s/.test(next))
  return parts && put(cut, { kind: 'separator', at: here(cut), end: here(cut) + 1 })
}

/** A bass after `on` or `over`: C on E. */
const onBass: Matcher = (cut, c) => {
  if (c !== 'o') return false
  const { line, i, from, tokens, text } = cut
  const found = /^(?:on|over) {1,2}([A-H](?:#|b)?)(?=[\s|,;)]|$)/.exec(line.slice(i, i + 10))
  const last = tokens[tokens.length - 1]
  if (!found || last?.kind !== 'symbol' || !/^ {1,3}$/.test(text.slice(last.end, from + i))) return false
  if (!readsAsSymbol(`${last.text}/${found[1]}`)) return false
  tokens[tokens.length - 1] = { ...last, text: `${last.text}/${found[1]}`, end: from + i + found[0].length }
  return skip(cut, found[0].length)
}

/** A letter apart from the flat that belongs to it: B b7. */
const splitFlat: Matcher = (cut, c) => {
  if (c !== 'b') return false
  const { line, i, from, tokens, text } = cut
  const found = /^b(?=[67]|m|M|-|°|ø|Δ|dim|sus|alt|add)[^\s|,;"\]]{1,16}/.exec(line.slice(i, i + 18))
  const last = tokens[tokens.length - 1]
  if (!found || last?.kind !== 'symbol' || !/^[ABDEG]$/.test(last.text)) return false
  if (text.slice(last.end, from + i) !== ' ' || !readsAsSymbol(last.text + found[0])) return false
  tokens[tokens.length - 1] = { ...last, text: last.text + found[0], end: from + i + found[0].length }
  return skip(cut, found[0].length)
}

/** A word that is no symbol until what follows is read with it: Cadd 9. */
const unfinished = /^[A-H].{0,12}(?:add|omit|no|sus)$/

/** Whether a word after a space belongs to the symbol before it: the two read together, the word alone does not. */
function joinsTo({ text, line, from }: Cutting, last: Token, start: number, end: number): boolean {
  return (
    /^ {1,3}$/.test(text.slice(last.end, from + start)) &&
    !readsAsSymbol(line.slice(start, end)) &&
    (readsAsSymbol(text.slice(last.at, last.end)) !== null || unfinished.test(text.slice(last.at, last.end))) &&
    readsAsSymbol(text.slice(last.at, from + end)) !== null
  )
}

/** Whether a symbol ends before the character at `j`, outside parentheses. */
function endsSymbol(line: string, j: number, start: number): boolean {
  const c = line[j]!
  if (c === ' ' || c === '\t' || c === ']' || c === '`' || c === '~' || c === ';' || c === '→' || c === '⇒') return true
  if (c === ':') return /[|:\s]/.test(line[j + 1] ?? ' ')
  if (c === ',') return j + 1 >= line.length || /[\sA-H]/.test(line[j + 1]!)
  if (c === '-') return line[j + 1] === '>'
  return c === '/' && line[j + 1] === '/' && j > start
}

/** Where the symbol that starts here ends: at a space or a bar line; parentheses may hold spaces. */
function endOfSymbol({ line, i }: Cutting): number {
  let j = i
  let depth = 0
  let open = -1
  for (; j < line.length; j++) {
    const c = line[j]!
    if (c === '|' || c === '"') break
    if (c === '(') {
      if (depth++ === 0) open = j
    } else if (c === ')') {
      if (depth > 0) depth--
    } else if (depth > 0 && j - open <= 40) continue
    else if (endsSymbol(line, j, i)) break
  }
  if (depth === 0) return j
  // Not closed before the bar line: the symbol goes on as long as words that alter it follow.
  const space = line.slice(i, j).search(/\s(?!\s*(?:[#b+-]?\d|add|no ?[35]|omit|sus|alt|maj|$))/)
  return space > 0 ? i + space : i + line.slice(i, j).trimEnd().length
}

/** A run of characters that should be a chord symbol, with the strokes behind it. */
const symbol: Matcher = (cut) => {
  const { text, line, i, from, tokens } = cut
  const j = endOfSymbol(cut)
  if (j === i) return skip(cut)
  const marks = i > 0 && /[*_]/.test(line[i - 1]!) ? (/[*_]+$/.exec(line.slice(i, j))?.[0].length ?? 0) : 0
  if (marks > 0 && marks < j - i) {
    put(cut, {
      kind: 'symbol',
      text: line.slice(i, j - marks),
      optional: false,
      at: here(cut),
      end: here(cut) + j - marks - i,
    })
    return skip(cut, marks)
  }
  const last = tokens[tokens.length - 1]
  const word = line.slice(i, j)
  if (last?.kind === 'symbol' && joins.test(word) && joinsTo(cut, last, i, j)) {
    tokens[tokens.length - 1] = { ...last, text: text.slice(last.at, from + j), end: from + j }
    cut.i = j
  } else put(cut, { kind: 'symbol', text: word, optional: false, at: here(cut), end: here(cut) + j - i })
  const beats = /^\/{2,8}(?=[\sA-H|]|$)/.exec(line.slice(j, j + 10))
  if (beats)
    return put(cut, {
      kind: 'beat',
      count: beats[0].length,
      attached: true,
      at: here(cut),
      end: here(cut) + beats[0].length,
    })
  if (line[j] === ',' && j + 1 < line.length) return put(cut, { kind: 'separator', at: here(cut), end: here(cut) + 1 })
  return line[j] === '/' ? skip(cut) : true
}

/** What may stand on a line, in the order in which it is tried; the last takes whatever is left. */
const matchers: readonly Matcher[] = [
  space,
  emphasis,
  tab,
  barLineAt,
  signAt,
  bracket,
  parenthesis,
  quotes,
  braces,
  slashComment,
  hashComment,
  strokes,
  between,
  onBass,
  splitFlat,
  symbol,
]
