/** One line of music cut into its signs: bar lines, symbols, beats, repeats of bars, endings, meters, marks, counts, labels. */
import type { Meter } from '../../theory/meter.ts'
import type { Mark } from '../chart.ts'
import { readsAsSymbol } from '../symbol/readSymbol.ts'
import { readHeaderKey } from './chartHeader.ts'
import {
  arrows,
  barLine,
  countSign,
  endingBare,
  endingBracket,
  endingDotted,
  endingWords,
  inlineLabel,
  joins,
  keySign,
  markOf,
  markSign,
  meterSign,
  noChord,
  ordinals,
  passesOf,
  simileSign,
} from './chartSigns.ts'
import { namesSection } from './sectionLabel.ts'

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

/** How far a closing bracket may be from its opening one. */
const widest = 200

/** Cuts `text` from `from` to `to` into tokens. Everything that is no sign becomes a symbol, to be read or reported. */
export function chartTokens(text: string, from: number, to: number): readonly Token[] {
  const tokens: Token[] = []
  const line = text.slice(from, to)
  const size = line.length
  const lastBar = line.lastIndexOf('|')
  const lastClose = line.lastIndexOf(':|')
  /** The last sign that is no beat. */
  const lastOther = line.search(/[^\s/.][\s/.]*$/)
  let i = 0
  /** Nothing of this bar has been heard yet. */
  let barStart = true

  const put = (token: Token): void => {
    tokens.push(token)
    if (token.kind === 'bar') barStart = true
    else if (
      token.kind !== 'label' &&
      token.kind !== 'meter' &&
      token.kind !== 'key' &&
      token.kind !== 'comment' &&
      token.kind !== 'ending' &&
      token.kind !== 'mark' &&
      token.kind !== 'count'
    )
      barStart = false
    i = token.end - from
  }
  const match = (pattern: RegExp): RegExpExecArray | null => {
    pattern.lastIndex = i
    return pattern.exec(line)
  }
  const place = (found: RegExpExecArray) => ({ at: from + i, end: from + i + found[0].length })

  while (i < size) {
    const c = line[i]!
    if (c === ' ') {
      i++
      continue
    }
    // Emphasis and code marks of plain-text markup.
    if (c === '`' || ((c === '*' || c === '_') && /[*_`A-H(]/.test(line[i + 1] ?? ''))) {
      i++
      continue
    }
    if (c === '\t') {
      put({ kind: 'tab', at: from + i, end: from + i + 1 })
      continue
    }
    if (c === '|' || c === ':' || c === '[') {
      const bar = match(barLine)
      if (bar?.[0]) {
        const sign = bar[0]
        put({
          kind: 'bar',
          opens: /[|:]:{1,2}$/.test(sign),
          closes: sign[0] === ':',
          plain: sign === '|',
          ...place(bar),
        })
        const spaced = sign[0] === ':' ? /^ {0,3}[2-9] (?=\s*[A-H])/ : lastClose >= i ? /^ {0,3}1 (?=\s*[A-H])/ : null
        const digit = spaced?.exec(line.slice(i, i + 12))?.[0]
        if (digit) i += digit.length - digit.trimStart().length
        const next = match(endingBare)
        if (next) put({ kind: 'ending', passes: passesOf(next[1]!), bare: true, ...place(next) })
        continue
      }
      if (c === ':') {
        i++
        continue
      }
    }
    if (signAt()) continue
    if (c === '[' && bracketAt()) continue
    if (c === '(' && parenthesisAt()) continue
    if (c === '"') {
      const close = closing('"')
      if (close > i) {
        put({ kind: 'comment', at: from + i, end: from + close + 1 })
        continue
      }
      i++
      continue
    }
    if (c === '{') {
      const close = closing('}')
      if (close > i) {
        put({ kind: 'comment', at: from + i, end: from + close + 1 })
        continue
      }
    }
    if (c === '/' && commentAt()) break
    if (c === '#' && i > 0 && !readsAsSymbol(/^\S{0,24}/.exec(line.slice(i, i + 24))![0])) {
      put({ kind: 'comment', at: from + i, end: to })
      break
    }
    if (beatAt()) continue
    symbolAt()
  }
  return tokens

  /** Where a bracket closes, if it does before long; -1 where it does not. */
  function closing(sign: string): number {
    const found = line.slice(i + 1, i + 1 + widest).indexOf(sign)
    return found < 0 ? -1 : i + 1 + found
  }

  /** Signs of a fixed shape. */
  function signAt(): boolean {
    const before = i === 0 ? ' ' : line[i - 1]!
    const apart = /[\s|:\])}"]/.test(before)
    if (!apart) return false
    const c = line[i]!
    if (/[\d([]/.test(c) && barStart) {
      const meter = match(meterSign)
      if (meter) {
        const [beats = '', unit = ''] = meter.slice(1).filter((part) => part !== undefined)
        put({ kind: 'meter', meter: { beats: Number(beats), unit: Number(unit) }, ...place(meter) })
        return true
      }
    }
    const label = barStart ? match(inlineLabel) : null
    if (label && namesSection(label[1]!)) {
      put({ kind: 'label', name: label[1]!, ...place(label) })
      return true
    }
    const count = match(countSign)
    if (count) {
      const number = count[3] ? 2 : Number(count[1] ?? count[2])
      put({ kind: 'count', count: number, ...place(count) })
      return true
    }
    if (/[\d[(fFsStTeE]/.test(c) && barStart) {
      const words = match(endingWords)
      if (words) {
        const numbers = words
          .slice(1)
          .filter((part) => part !== undefined)
          .map((part) => Number(part) || ordinals.indexOf(part.toLowerCase()) + 1)
        put({ kind: 'ending', passes: numbers, bare: false, ...place(words) })
        return true
      }
      const dotted = match(endingDotted) ?? match(endingBracket)
      const closed = tokens[tokens.length - 1]
      const inRepeat = closed?.kind === 'bar' && (closed.closes || lastClose >= i)
      if (dotted && (inRepeat || !/^\(\d+\)$/.test(dotted[0]))) {
        put({ kind: 'ending', passes: passesOf(dotted[1]!), bare: /^\[\d+\]$/.test(dotted[0]), ...place(dotted) })
        return true
      }
    }
    if (/[[(dDtTaAcCsSfF\u{1d10b}\u{1d10c}⊕§\ud834]/u.test(c)) {
      const mark = match(markSign)
      if (mark && balanced(mark[0]) && /^$|[\s|:.,;)\]]/.test(line[i + mark[0].length] ?? '')) {
        put({ kind: 'mark', mark: markOf(mark), sure: !/^[[(]?\s?coda/i.test(mark[0]), ...place(mark) })
        return true
      }
    }
    const simile = match(simileSign)
    if (simile) {
      put({ kind: 'simile', bars: simile[0] === '%%' || simile[0] === './/.' ? 2 : 1, ...place(simile) })
      return true
    }
    if (c === '[' || c === '(') {
      const key = match(keySign)
      if (key && readHeaderKey(key[1]!)) {
        put({ kind: 'key', text: key[1]!, ...place(key) })
        return true
      }
    }
    const silent = match(noChord)
    if (silent) {
      put({ kind: 'symbol', text: silent[0], optional: false, ...place(silent) })
      return true
    }
    return false
  }

  function balanced(found: string): boolean {
    return /^[[(]/.test(found) === /[)\]]$/.test(found)
  }

  function bracketAt(): boolean {
    const close = closing(']')
    if (close < 0 || line.slice(i, close).includes('|')) return false
    const inner = line.slice(i + 1, close).trim()
    const at = from + i
    const end = from + close + 1
    if (inner === '') {
      i = close + 1
      return true
    }
    if (inner[0] === '*') put({ kind: 'comment', at, end })
    else if (readsAsSymbol(inner) && !/^[A-Z]\d?$/.test(inner)) {
      const lead = line.slice(i + 1, close).search(/\S/)
      put({ kind: 'symbol', text: inner, optional: false, at: at + 1 + lead, end: at + 1 + lead + inner.length })
      i = close + 1
    } else put({ kind: 'label', name: inner, at, end })
    return true
  }

  function parenthesisAt(): boolean {
    let depth = 0
    let close = -1
    for (let j = i; j < size && j - i <= widest; j++) {
      const c = line[j]
      if (c === '|') break
      if (c === '(') depth++
      else if (c === ')' && --depth === 0) {
        close = j
        break
      }
    }
    if (close < 0) return false
    const inner = line.slice(i + 1, close)
    const end = from + close + 1
    const last = tokens[tokens.length - 1]
    // Alterations after a space belong to the symbol before.
    if (last?.kind === 'symbol' && readsAsSymbol(last.text + line.slice(i, close + 1)) && last.end <= from + i) {
      tokens[tokens.length - 1] = { ...last, text: text.slice(last.at, end), end }
      i = close + 1
      return true
    }
    const parts = [...inner.matchAll(/[^\s,]+(?:\([^)]*\))?/g)]
    if (parts.length > 0 && parts.every(([part]) => readsAsSymbol(part) || part === '/' || part === '%')) {
      for (const part of parts) {
        const at = from + i + 1 + part.index
        if (part[0] === '/') tokens.push({ kind: 'beat', count: 1, attached: false, at, end: at + 1 })
        else if (part[0] === '%') tokens.push({ kind: 'simile', bars: 1, at, end: at + 1 })
        else tokens.push({ kind: 'symbol', text: part[0], optional: true, at, end: at + part[0].length })
      }
      barStart = false
      i = close + 1
      return true
    }
    // Words in parentheses are a remark; a symbol that was meant is reported as one.
    if (/[a-z]{3,}/i.test(inner) || /\s/.test(inner.trim())) {
      put({ kind: 'comment', at: from + i, end })
      return true
    }
    return false
  }

  /** `//` and words after the last bar line. */
  function commentAt(): boolean {
    if (!line.startsWith('//', i)) return false
    if (lastBar > i || lastOther < i + 2) return false
    const first = /^\/*\s*(\S*)/.exec(line.slice(i + 2, i + 2 + widest))?.[1] ?? ''
    if (readsAsSymbol(first)) return false
    put({ kind: 'comment', at: from + i, end: to })
    return true
  }

  function beatAt(): boolean {
    const run = /^(?:\/{1,8}|\.{1,8})(?=[\s|~]|$|:\|)/.exec(line.slice(i, i + 10))
    if (run) {
      put({ kind: 'beat', count: run[0].length, attached: false, at: from + i, end: from + i + run[0].length })
      return true
    }
    const bass = /^\/[A-H](?:#|b)?(?=[\s|,]|$|:\|)/.exec(line.slice(i, i + 6))
    if (bass) {
      put({ kind: 'bass', text: bass[0].slice(1), at: from + i, end: from + i + bass[0].length })
      return true
    }
    const c = line[i]!
    const next = line[i + 1] ?? ' '
    if (c === '~') {
      put({ kind: 'tie', at: from + i, end: from + i + 1 })
      return true
    }
    const arrow = match(arrows)
    if (arrow) {
      put({ kind: 'separator', ...place(arrow) })
      return true
    }
    if ((c === '-' || c === '_') && /[\s|_-]/.test(next)) {
      put({ kind: 'dash', at: from + i, end: from + i + 1 })
      return true
    }
    if (c === ',' || c === ';' || c === '+') {
      if (c === '+' && !/\s/.test(next)) return false
      put({ kind: 'separator', at: from + i, end: from + i + 1 })
      return true
    }
    return false
  }

  /** Whether a word after a space belongs to the symbol before it: the two read together, the word alone does not. */
  function joinsTo(last: Token, start: number, end: number): boolean {
    return (
      /^ {1,3}$/.test(text.slice(last.end, from + start)) &&
      !readsAsSymbol(line.slice(start, end)) &&
      readsAsSymbol(text.slice(last.at, last.end)) !== null &&
      readsAsSymbol(text.slice(last.at, from + end)) !== null
    )
  }

  /** A run of characters up to a space or a bar line; parentheses may hold spaces. */
  function symbolAt(): void {
    let j = i
    let depth = 0
    let open = -1
    for (; j < size; j++) {
      const c = line[j]!
      if (c === '|' || c === '"') break
      if (c === '(') {
        if (depth++ === 0) open = j
      } else if (c === ')') {
        if (depth > 0) depth--
      } else if (depth > 0 && j - open <= 40) continue
      else if (c === ' ' || c === '\t' || c === ']' || c === '`' || c === '~' || c === ';' || c === '→' || c === '⇒')
        break
      else if (c === ':' && /[|:\s]/.test(line[j + 1] ?? ' ')) break
      else if (c === ',' && (j + 1 >= size || /[\sA-H]/.test(line[j + 1]!))) break
      else if (c === '-' && line[j + 1] === '>') break
      else if (c === '/' && line[j + 1] === '/' && j > i) break
    }
    if (depth > 0) {
      // Not closed before the bar line: the symbol goes on as long as words that alter it follow.
      const space = line.slice(i, j).search(/\s(?!\s*(?:[#b+-]?\d|add|no ?[35]|omit|sus|alt|maj|$))/)
      j = space > 0 ? i + space : i + line.slice(i, j).trimEnd().length
    }
    if (j === i) {
      i++
      return
    }
    const emphasis = i > 0 && /[*_]/.test(line[i - 1]!) ? (/[*_]+$/.exec(line.slice(i, j))?.[0].length ?? 0) : 0
    if (emphasis > 0 && emphasis < j - i) {
      put({
        kind: 'symbol',
        text: line.slice(i, j - emphasis),
        optional: false,
        at: from + i,
        end: from + j - emphasis,
      })
      i += emphasis
      return
    }
    const last = tokens[tokens.length - 1]
    const word = line.slice(i, j)
    if (last?.kind === 'symbol' && joins.test(word) && joinsTo(last, i, j)) {
      tokens[tokens.length - 1] = { ...last, text: text.slice(last.at, from + j), end: from + j }
      i = j
    } else put({ kind: 'symbol', text: word, optional: false, at: from + i, end: from + j })
    const strokes = /^\/{2,8}(?=[\sA-H|]|$)/.exec(line.slice(j, j + 10))
    if (strokes)
      put({ kind: 'beat', count: strokes[0].length, attached: true, at: from + j, end: from + j + strokes[0].length })
    else if (line[j] === ',' && j + 1 < size) put({ kind: 'separator', at: from + j, end: from + j + 1 })
    else if (line[j] === '/') i = j + 1
  }
}
