/** What each line of a chart is: headers, a label, music, words that are sung over, or just words. */
import { type Meter, readMeter } from '../../theory/meter.ts'
import { meantAsSymbol } from '../symbol/meantAsSymbol.ts'
import { readsAsSymbol } from '../symbol/readSymbol.ts'
import { directiveLabel, type HeaderItem, readDirective, readHeaders, saysStyle } from './chartHeader.ts'
import { chartTokens, type Token } from './chartTokens.ts'
import { type LineLabel, labelAlone, labels, longestLabelLine, namesSectionAhead, openLine } from './lineOpening.ts'
import { countTokens, isMusic } from './looksLikeMusic.ts'
import type { PlainLine } from './plainLines.ts'
import { bareLabel, namesSection } from './sectionLabel.ts'

/** A meter alone on its line. */
const meterLine =
  /^[([]?\s*(?:\(?\d{1,4}(?:\s?\+\s?\d{1,4}){1,31}\)?|\d{1,4})\s?\/\s?\d{1,4}\s*[)\]]?(?:\s*[([]\d{1,4}(?:\s?\+\s?\d{1,4}){1,31}[)\]]{1,2})?(?: time| meter)?[:.]?$/i

export type ChartLine = { readonly line: PlainLine } & (
  | { readonly kind: 'blank' | 'text' | 'aside' | 'tablature' }
  | { readonly kind: 'headers'; readonly items: readonly HeaderItem[] }
  | { readonly kind: 'meter'; readonly meter: Meter }
  | { readonly kind: 'label'; readonly label: LineLabel; readonly grid?: true }
  | { readonly kind: 'grid'; readonly open: boolean }
  | { readonly kind: 'sung'; readonly tokens: readonly Token[] }
  | {
      readonly kind: 'music'
      readonly label: LineLabel | null
      /** A bare letter before the first bar line: a label in some charts, a chord in others. */
      readonly letter: { readonly name: string; readonly at: number; readonly end: number } | null
      /** A number before the music: of a bar, of a line, or of an ending. */
      readonly number: { readonly value: number; readonly at: number; readonly end: number } | null
      readonly tokens: readonly Token[]
      readonly barred: boolean
    }
)

/** Sorts the lines of a plain text. */
export function chartLines(text: string, lines: readonly PlainLine[]): readonly ChartLine[] {
  let inTab = false
  let open: string | null = null
  const kindOf = (line: PlainLine): ChartLine => {
    const words = line.text
    if (words === '') return { kind: 'blank', line }
    const directive = readDirective(words)
    if (directive) {
      if (/^(start_of_tab|sot)$/.test(directive.name)) inTab = true
      if (/^(end_of_tab|eot)$/.test(directive.name)) inTab = false
      return directiveLine(directive, line)
    }
    if (inTab || line.tablature) return { kind: 'tablature', line }
    // A rule, or a remark in parentheses, is neither music nor words that are sung.
    if (/^[-=*_~#.\s]{3,}$/.test(words) && !/^[.\s]+$/.test(words)) return { kind: 'aside', line }
    if (/^\/\/(?!\s*[|/.])/.test(words) && !words.includes('|')) return { kind: 'aside', line }
    const items = readHeaders(words)
    if (items) return { kind: 'headers', line, items }
    const meter = meterLine.test(words) ? readMeter(words) : null
    if (meter) return { kind: 'meter', line, meter }
    const keyOf = /^[([]?\s*(?:in the )?key of ([A-Ha-h][^\])|]{0,20}?)\s*[)\]]?$/i.exec(words)
    if (keyOf) {
      const at = words.indexOf(keyOf[1]!, keyOf[0].search(/of /i) + 3)
      return {
        kind: 'headers',
        line,
        items: [{ name: 'key', value: keyOf[1]!, at, end: at + keyOf[1]!.length, german: false }],
      }
    }
    if (/^#(?![A-Za-z]*[ivIV])/.test(words) || /^#{2,}/.test(words)) {
      const name = words.length > longestLabelLine ? '' : bareLabel(words)
      return namesSection(name) ? { kind: 'label', line, label: { name, times: null } } : { kind: 'aside', line }
    }
    const alone = labelAlone(text, line)
    if (alone) return { kind: 'label', line, label: alone }
    return musicLine(text, line, open)
  }
  return lines.map((line) => {
    const read = kindOf(line)
    open = read.kind === 'music' ? openSymbol(read.tokens) : null
    return read
  })
}

/** The symbol with which a line ends where no bar line closes its bar; null where one does. */
function openSymbol(tokens: readonly Token[]): string | null {
  const last = tokens.at(-1)
  return last?.kind === 'symbol' ? last.text : null
}

function directiveLine(directive: { name: string; value: string; at: number }, line: PlainLine): ChartLine {
  const { name, value, at } = directive
  const item = (as: HeaderItem['name']): ChartLine => ({
    kind: 'headers',
    line,
    items: [{ name: as, value, at, end: at + value.length, german: false }],
  })
  switch (name) {
    case 'title':
    case 't':
      return item('title')
    case 'composer':
    case 'key':
    case 'tempo':
      return item(name)
    case 'time':
      return item('meter')
    case 'start_of_grid':
    case 'sog': {
      const label = directiveLabel(value)
      return label
        ? { kind: 'label', line, label: { name: bareLabel(label), times: null }, grid: true }
        : { kind: 'grid', line, open: true }
    }
    case 'end_of_grid':
    case 'eog':
      return { kind: 'grid', line, open: false }
    case 'comment':
    case 'c':
    case 'ci':
    case 'cb':
    case 'comment_italic':
    case 'comment_box': {
      const label = bareLabel(value)
      return namesSection(label)
        ? { kind: 'label', line, label: { name: label, times: null } }
        : { kind: 'aside', line }
    }
  }
  const part = /^(?:start_of_|so)(chorus|verse|bridge|c|v|b)$/.exec(name)?.[1]
  if (!part) return { kind: 'aside', line }
  const named = { c: 'Chorus', v: 'Verse', b: 'Bridge' }[part[0]!]!
  return { kind: 'label', line, label: { name: bareLabel(directiveLabel(value) ?? named), times: null } }
}

function musicLine(text: string, line: PlainLine, open: string | null): ChartLine {
  const words = line.text
  const barred = words.includes('|')
  if (barred && line.beforeRule) {
    // A table's heading row holds no chords.
    const tokens = chartTokens(text, line.at, line.end)
    if (countTokens(tokens).chords === 0) return { kind: 'aside', line }
  }
  if (!barred) {
    const sung = sungLine(line)
    if (sung) return sung
  }
  // The rest of a symbol that was broken over two lines is told. A number alone is a bar's.
  const rest = open === null ? '' : (/^[^\s|:]{1,24}(?=\s*(?:\||$))/.exec(words)?.[0] ?? '')
  const broken = /\D/.test(rest) && !readsAsSymbol(rest) && readsAsSymbol(open + rest) !== null
  const { label, letter, number, at } = broken
    ? { label: null, letter: null, number: null, at: line.at }
    : openLine(text, line)
  let tokens = chartTokens(text, at, line.end)
  if (barred) {
    tokens = withoutMargins(tokens, broken)
    const heard = countTokens(tokens)
    if (!broken && heard.chords + heard.numerals + heard.meant === 0 && heard.words > 0 && !/^\[?:?\|/.test(words))
      return { kind: 'text', line }
    return { kind: 'music', line, label, letter, number, tokens: firstCellLabel(tokens, text), barred: true }
  }
  const others = tokens.filter(
    (token) => token.kind !== 'comment' && token.kind !== 'separator' && token.kind !== 'tab',
  )
  const onlySteering =
    others.length > 0 &&
    others.every((token) => token.kind === 'mark' || token.kind === 'count' || token.kind === 'key')
  if (onlySteering && !number) return { kind: 'music', line, label, letter: null, number: null, tokens, barred: false }
  if (others.length === 0 && tokens.length > 0 && !label) {
    const remark = tokens.every((token) => token.kind === 'comment') && words[0] === '('
    return { kind: saysStyle(words) || !remark ? 'text' : 'aside', line }
  }
  if (!broken && !isMusic(tokens))
    return label && others.length === 0 ? { kind: 'label', line, label } : { kind: 'text', line }
  return { kind: 'music', line, label, letter: null, number, tokens, barred: false }
}

/** Chords in brackets among words. */
function sungLine(line: PlainLine): ChartLine | null {
  if (!line.text.includes('[')) return null
  const found = [...line.text.matchAll(/\[([^\]\n]{1,40})\]/g)]
  const chords = found.filter(([, inner = '']) => readsAsSymbol(inner.trim()) || meantAsSymbol(inner.trim()))
  if (chords.length === 0) return null
  const outside = line.text.replace(/\[[^\]\n]{1,40}\]/g, ' ').trim()
  const tokens = chartTokens(outside, 0, outside.length)
  if (outside !== '' && isMusic(tokens) && !/[a-z]{3,}/.test(outside)) return null
  if (outside === '' && found.length === 1) return null
  return {
    kind: 'sung',
    line,
    tokens: chords.map((chord) => {
      const inner = chord[1]!
      const at = line.at + chord.index + 1 + inner.search(/\S/)
      return { kind: 'symbol', text: inner.trim(), optional: false, at, end: at + inner.trim().length }
    }),
  }
}

/** Words before the first and after the last bar line that are no bar: dropped, with steering signs kept; what is `broken` stays. */
function withoutMargins(tokens: readonly Token[], broken: boolean): readonly Token[] {
  const first = tokens.findIndex((token) => token.kind === 'bar')
  let last = tokens.length - 1
  while (last >= 0 && tokens[last]!.kind !== 'bar') last--
  const margin = (part: readonly Token[]): readonly Token[] => {
    const { chords, strong, numerals, meant, words, looks, signs } = countTokens(part)
    const some = chords + numerals + meant + looks + signs > 0
    if (some && (words === 0 || strong + numerals + meant > words)) return part
    return part.filter(
      (token) =>
        token.kind === 'mark' ||
        token.kind === 'count' ||
        token.kind === 'key' ||
        token.kind === 'ending' ||
        token.kind === 'meter',
    )
  }
  if (first < 0) return tokens
  return [
    ...(broken ? tokens.slice(0, first) : margin(tokens.slice(0, first))),
    ...tokens.slice(first, last + 1),
    ...margin(tokens.slice(last + 1)),
  ]
}

/** In a table, a first cell that only names a section is its label. */
function firstCellLabel(tokens: readonly Token[], text: string): readonly Token[] {
  if (tokens[0]?.kind !== 'bar') return tokens
  const next = tokens.findIndex((token, i) => i > 0 && token.kind === 'bar')
  if (next < 2) return tokens
  const whole = text.slice(tokens[0].end, tokens[next]!.at)
  const cell = whole.trim()
  const from = tokens[0].end + whole.indexOf(cell)
  const to = from + cell.length
  const bold = /^(\*\*|__).{1,30}\1:?$/.test(cell) || /^[A-Z]\d?:$/.test(cell)
  const name = bareLabel(cell)
  if (!(bold ? labels(name) : namesSectionAhead(name))) return tokens
  return [{ kind: 'label', name, at: from, end: to }, ...tokens.slice(next)]
}
