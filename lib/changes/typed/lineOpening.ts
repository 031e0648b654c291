/** What stands before the music of a line, or has a line to itself: section labels, counts, numbers of bars and lines. */

import { readHarte } from '../symbol/otherNotations.ts'
import { readsAsSymbol } from '../symbol/readSymbol.ts'
import { chartTokens, type Token } from './chartTokens.ts'
import type { PlainLine } from './plainLines.ts'
import { bareLabel, dressedAsHeading, namesSection, namesSectionSurely } from './sectionLabel.ts'

/** A label in front of a line, and how often its section is played, where it says so. */
export interface LineLabel {
  readonly name: string
  readonly times: Extract<Token, { kind: 'count' }> | null
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
export const longestLabelLine = 60

/** A label that has its line to itself. */
export function labelAlone(text: string, line: PlainLine): LineLabel | null {
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

export interface Opening {
  label: LineLabel | null
  letter: { name: string; at: number; end: number } | null
  number: { value: number; at: number; end: number } | null
  at: number
}

/** What stands before the music of a line: a number, a label, in either order. */
export function openLine(text: string, line: PlainLine): Opening {
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
    // A:7 beside D:min7 is a chord.
    const [first = '', ...others] = /^[A-G][#b]{0,2}$/.test(name) ? rest.split(/[\s|]+/) : []
    const harte = readHarte(first) !== null && others.some((word) => word.includes(':') && readHarte(word) !== null)
    const short = namesSection(bare) || (bare.split(' ').length <= 3 && bare.length <= 24)
    if (
      !repeat &&
      !harte &&
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

/** Whether words that are set off can be a label: a letter or words, but no longer chord symbol. */
export const labels = (name: string): boolean => name !== '' && (namesSection(name) || !readsAsSymbol(name))

/** Whether words before the music name a section: a last word that could be the first chord does not belong to them. */
export function namesSectionAhead(name: string): boolean {
  if (!namesSectionSurely(name)) return false
  const last = name.slice(name.lastIndexOf(' ') + 1)
  return last === name || !readsAsSymbol(last) || /^(?:section|part|letter|teil|last|final) /i.test(name)
}
