/** What each line of a chart is: headers, a label, music, words that are sung over, or just words. */
import type { Meter } from '../theory/meter.ts'
import { directiveLabel, type HeaderItem, readDirective, readHeaders, saysStyle } from './chartHeader.ts'
import { chartTokens, type Token } from './chartTokens.ts'
import { meantAsSymbol } from './meantAsSymbol.ts'
import type { PlainLine } from './plainLines.ts'
import { readsAsSymbol } from './readSymbol.ts'
import { bareLabel, dressedAsHeading, namesSection, namesSectionSurely } from './sectionLabel.ts'

/** A label in front of a line, and how often its section is played, where it says so. */
export interface LineLabel {
  readonly name: string
  readonly times: Extract<Token, { kind: 'count' }> | null
}

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

const lookAlike = new Set(['l', 'I', '1', '!'])

/** Whether a token is a look-alike of a bar line. */
export const looksLikeBar = (token: Token): boolean => token.kind === 'symbol' && lookAlike.has(token.text)

interface Count {
  chords: number
  /** Chords longer than a letter. */
  strong: number
  numerals: number
  meant: number
  words: number
  looks: number
  signs: number
}

export function countTokens(tokens: readonly Token[]): Count {
  const count: Count = { chords: 0, strong: 0, numerals: 0, meant: 0, words: 0, looks: 0, signs: 0 }
  for (const token of tokens) {
    if (token.kind === 'simile' || token.kind === 'bass') count.chords++
    else if (token.kind === 'beat') count.signs++
    if (token.kind !== 'symbol') continue
    const reads = readsAsSymbol(token.text)
    if (token.text === 'I' || (!reads && looksLikeBar(token))) count.looks++
    if (reads === 'chord') {
      count.chords++
      if (token.text.length > 1 && !/^[a-z]/.test(token.text)) count.strong++
    } else if (reads === 'numeral') {
      if (token.text !== 'I') count.numerals++
    } else if (!looksLikeBar(token)) {
      if (meantAsSymbol(token.text) || (/^\(?[A-H].*\/?[A-H]/.test(token.text) === true && joinedChords(token.text)))
        count.meant++
      else count.words++
    }
  }
  return count
}

const joinedChords = (text: string): boolean => {
  for (let i = 2; i < text.length && i < 16; i++)
    if (/[A-H]/.test(text[i]!) && readsAsSymbol(text.slice(0, i).replace(/[-/,]$/, '')) && readsAsSymbol(text.slice(i)))
      return true
  return false
}

/** Whether a line without bar lines is music all the same. */
function isMusic(tokens: readonly Token[]): boolean {
  const { chords, strong, numerals, meant, words, looks, signs } = countTokens(tokens)
  if (chords + numerals + meant + looks === 0) return false
  if (words === 0 && meant === 0) {
    if (numerals > 0) return chords === 0 || signs > 0 || numerals + looks >= chords
    if (looks > 0) return chords >= 2 || chords + looks === tokens.length
    // One small letter alone is a word.
    const symbols = tokens.filter((token) => token.kind === 'symbol')
    if (symbols.length > 0 && symbols.every((token) => /^[a-h]$/.test(token.text))) return symbols.length > 2
    return true
  }
  if (words === 0) return true
  if (meant > 0) return chords + meant > words && (chords > 0 || meant > 1)
  return strong >= 2 && strong > words
}

/** Sorts the lines of a plain text. */
export function chartLines(text: string, lines: readonly PlainLine[]): readonly ChartLine[] {
  let inTab = false
  return lines.map((line): ChartLine => {
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
    const meter = /^[([]?\s*(\d{1,4})\s?\/\s?(\d{1,4})\s*[)\]]?(?: time| meter)?[:.]?$/i.exec(words)
    if (meter) return { kind: 'meter', line, meter: { beats: Number(meter[1]), unit: Number(meter[2]) } }
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
    return musicLine(text, line)
  })
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

/** The longest count that may stand behind a label's words. */
const longestCount = 24

/** A count such as `(2x)` at the end of a label's words, cut off. */
function withoutCount(text: string, at: number, end: number): { end: number; times: LineLabel['times'] } {
  const from = Math.max(at, end - longestCount)
  const found = countAtEnd.exec(text.slice(from, end))
  if (!found || from + found.index === at) return { end, times: null }
  const count = chartTokens(text, from + found.index, end).find((token) => token.kind === 'count')
  return count ? { end: from + found.index, times: count } : { end, times: null }
}

const countAtEnd =
  /[\s,]*[([]?\s?(?:x\s?\d{1,4}|×\s?\d{1,4}|\d{1,4}\s?[x×]|(?:play |repeat )?\d{1,4} times|bis)\s?[)\]]?\s?:?$/i

/** A longer line is no label. */
const longestLabelLine = 60

/** A label that has its line to itself. */
function labelAlone(text: string, line: PlainLine): LineLabel | null {
  const { end, times } = withoutCount(text, line.at, line.end)
  const words = text.slice(line.at, end).trim()
  if (words.includes('|') || words.length > longestLabelLine) return null
  const bracket = /^\[([^\]]{1,40})\]:?$/.exec(words)
  if (bracket) {
    const inner = bracket[1]!.trim()
    const [first] = chartTokens(words, 0, words.length)
    if (!first || (first.kind !== 'label' && first.kind !== 'symbol' && !/^coda$/i.test(inner))) return null
    return inner[0] === '*' ? null : { name: bareLabel(inner), times }
  }
  const quoted = /^"([^"]{1,40})":?$/.exec(words)
  if (quoted) return { name: bareLabel(quoted[1]!), times }
  const name = bareLabel(words)
  if (name === '') return null
  if (namesSectionSurely(name) && !/^fine$/i.test(name)) return { name, times }
  const colon = /^[^:]{1,40}:$/.test(words)
  if ((colon || dressedAsHeading(words)) && namesSection(name)) return { name, times }
  if (colon && name.split(' ').length <= 3 && !/^\d/.test(name) && !/\bending\b/i.test(name) && !readsAsSymbol(name))
    return { name, times }
  return null
}

interface Opening {
  label: LineLabel | null
  letter: { name: string; at: number; end: number } | null
  number: { value: number; at: number; end: number } | null
  at: number
}

/** What stands before the music of a line: a number, a label, in either order. */
function openLine(text: string, line: PlainLine): Opening {
  const opening: Opening = { label: null, letter: null, number: null, at: line.at }
  const barred = line.text.includes('|')
  for (let turn = 0; turn < 3; turn++) {
    const rest = text.slice(opening.at, line.end)
    const space = rest.length - rest.trimStart().length
    if (space > 0) {
      opening.at += space
      continue
    }
    const number = opening.number
      ? null
      : /^(\d{1,4})(?:\s?[).:\]](?!\S*\/)|(?=\s+\[?[|A-H]))\s*(?=\[?:?\||[A-H(%["]|[./]\s)/.exec(rest)
    if (number) {
      const end = opening.at + number[0].trimEnd().length
      opening.number = { value: Number(number[1]), at: opening.at, end }
      opening.at += number[0].length
      continue
    }
    const bars = /^(?:bars?|measures?|mm?\.?)\s?\d{1,4}(?:\s?(?:-|to)\s?\d{1,4})?\s?[:.)]?\s*(?=\[?:?\||[A-H])/i.exec(
      rest,
    )
    if (bars) {
      opening.at += bars[0].length
      continue
    }
    if (opening.label || opening.letter) break
    const label = labelAhead(text, opening.at, line.end, barred)
    if (!label) break
    if ('letter' in label) opening.letter = { name: label.letter, at: opening.at, end: label.end }
    else opening.label = label.label
    opening.at = label.end
  }
  return opening
}

function labelAhead(
  text: string,
  at: number,
  end: number,
  barred: boolean,
): { label: LineLabel; end: number } | { letter: string; end: number } | null {
  const rest = text.slice(at, Math.min(end, at + 80))
  const named = (name: string, length: number): { label: LineLabel; end: number } => {
    let stop = at + length
    // A count right behind the label.
    const after = /^\s*(?:\(\s?(?:x\s?\d{1,4}|\d{1,4}\s?[x×])\s?\)|x\d{1,4}(?=\s*[:|]))\s*:?/i.exec(
      text.slice(stop, end),
    )
    let times: LineLabel['times'] = null
    if (after) {
      times =
        chartTokens(text, stop, stop + after[0].replace(/:$/, '').length).find((token) => token.kind === 'count') ??
        null
      stop += after[0].length
    }
    const inner = withoutCount(name, 0, name.length)
    if (!times && inner.times) times = { ...inner.times, at: inner.times.at + at, end: inner.times.end + at }
    return { label: { name: bareLabel(name.slice(0, inner.end)), times }, end: stop }
  }
  const bracket = /^\[([^\]|]{1,40})\]\s?:?/.exec(rest)
  if (bracket) {
    const inner = bracket[1]!.trim()
    const [token] = chartTokens(rest, 0, bracket[0].replace(/:$/, '').length)
    const beforeBar = /^\s*\[?:?\|/.test(rest.slice(bracket[0].length))
    if (token?.kind === 'label' || (token?.kind === 'symbol' && beforeBar)) return named(inner, bracket[0].length)
    if (token?.kind === 'mark' && /^coda$/i.test(inner)) return named(inner, bracket[0].length)
    return null
  }
  const bold = /^(\*\*|__)([^*_|]{1,40})\1\s?:?/.exec(rest)
  if (bold && labels(bareLabel(bold[2]!))) return named(bold[2]!, bold[0].length)
  const quoted = /^"([^"|]{1,40})"\s?:?/.exec(rest)
  if (quoted) return named(quoted[1]!, quoted[0].length)
  const colon = /^([^|:[\]{}"]{1,40}?)(\s?):(?=[\s|]|$|[A-H(%\d[])/.exec(rest)
  if (colon) {
    const name = colon[1]!
    const bare = bareLabel(name)
    const repeat = rest[colon[0].length] === '|' && (colon[2] !== '' || !namesSection(bare))
    const chords = name.split(/\s+/).every((word) => readsAsSymbol(word)) && !namesSection(bare)
    const short = namesSection(bare) || (bare.split(' ').length <= 3 && bare.length <= 24)
    if (
      !repeat &&
      !chords &&
      short &&
      /[A-Za-z]/.test(name) &&
      !/\b(?:endings?|times?)\b|\d(?:st|nd|rd|th)\b/i.test(name)
    )
      return named(name, colon[0].length)
  }
  const parts = [...rest.matchAll(/\S+/g)]
  for (const count of [3, 2, 1]) {
    const last = parts[count - 1]
    if (!last) continue
    const length = last.index + last[0].length
    const name = rest.slice(0, length)
    if (name.includes('|') || !namesSectionAhead(bareLabel(name))) continue
    return named(name, length)
  }
  const punctuated = /^([A-Z]\d?'{0,2})\s?[).](?=\s*\[?[|]|\s+[A-H])/.exec(rest)
  if (punctuated && barred) return named(punctuated[1]!, punctuated[0].length)
  const parenthesis = /^\(([A-Z][1-4]?'{0,2})\)\s*(?=\[?\|)/.exec(rest)
  if (parenthesis) return named(parenthesis[1]!, parenthesis[0].trimEnd().length)
  const letter = /^([A-Z])(\d?'{0,2})\s*(?=\[?\|)/.exec(rest)
  if (letter) {
    const whole = letter[1]! + letter[2]!
    const length = whole.length
    if (letter[1]! > 'H' || /^[1-4]?'+$|^[1-4]$/.test(letter[2]!)) return named(whole, length)
    if (letter[2] === '') return { letter: whole, end: at + length }
  }
  return null
}

function musicLine(text: string, line: PlainLine): ChartLine {
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
  const { label, letter, number, at } = openLine(text, line)
  let tokens = chartTokens(text, at, line.end)
  if (barred) {
    tokens = withoutMargins(tokens)
    const heard = countTokens(tokens)
    if (heard.chords + heard.numerals + heard.meant === 0 && heard.words > 0 && !/^\[?:?\|/.test(words))
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
  if (!isMusic(tokens)) return label && others.length === 0 ? { kind: 'label', line, label } : { kind: 'text', line }
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

/** Words before the first and after the last bar line that are no bar: dropped, with steering signs kept. */
function withoutMargins(tokens: readonly Token[]): readonly Token[] {
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
  return [...margin(tokens.slice(0, first)), ...tokens.slice(first, last + 1), ...margin(tokens.slice(last + 1))]
}

/** Whether words that are set off can be a label: a letter or words, but no longer chord symbol. */
const labels = (name: string): boolean => name !== '' && (namesSection(name) || !readsAsSymbol(name))

/** Whether words before the music name a section: a last word that could be the first chord does not belong to them. */
function namesSectionAhead(name: string): boolean {
  if (!namesSectionSurely(name)) return false
  const last = name.slice(name.lastIndexOf(' ') + 1)
  return last === name || !readsAsSymbol(last) || /^(?:section|part|letter|teil|last|final) /i.test(name)
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
