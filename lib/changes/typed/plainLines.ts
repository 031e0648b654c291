/** A plain text to the lines worth reading: e-mail quotes, code fences, table rules, markup and tablature seen to first. */

import { typedSigns } from '../../theory/signs.ts'
import type { PlainText } from './characters.ts'

/** A line of a plain text: its offsets there, without quote marks and outer spaces, and the words themselves. */
export interface PlainLine {
  readonly at: number
  readonly end: number
  readonly text: string
  /** Quoted in an e-mail, however deep. */
  readonly quoted: boolean
  /** A row of guitar tablature. */
  readonly tablature: boolean
  /** The next line is a table's rule, so this row may be its heading. */
  readonly beforeRule: boolean
}

const tag =
  /<(?:\/?(?:html|head|body|div|span|p|br|b|i|u|sup|sub|pre|code|table|tbody|thead|tr|td|th|font|em|strong|h[1-6]|ul|ol|li|img|hr|tt|small|center|blockquote)(?:\s[^<>\n]{0,300})?\/?|a\s[^<>\n]{0,300}|\/a|!--[^<>\n]{0,300}--)>|&(?:#\d{1,7}|#x[0-9a-f]{1,6}|amp|lt|gt|nbsp|quot|apos|flat|sharp|natural|deg|middot|bull|ndash|mdash|times|rarr|Delta|oslash);/gi

const entities: Record<string, string> = {
  amp: '&',
  lt: '<',
  gt: '>',
  nbsp: ' ',
  quot: '"',
  apos: "'",
  flat: 'b',
  sharp: '#',
  natural: 'n',
  deg: '°',
  middot: '.',
  bull: ' ',
  ndash: '-',
  mdash: '-',
  times: 'x',
  rarr: '→',
  delta: 'Δ',
  oslash: 'ø',
}

const decode = (found: string): string => {
  if (found[0] === '<')
    return /^<(?:br|\/p|\/div|\/tr|\/li|\/h\d)\b/i.test(found) ? '\n' : /^<\/t[dh]\b/i.test(found) ? ' | ' : ''
  const name = found.slice(1, -1)
  if (name[0] !== '#') return entities[name.toLowerCase()] ?? ' '
  const code = Number(/^#x/i.test(name) ? `0x${name.slice(2)}` : name.slice(1))
  if (code === 0xa0 || !(code > 31 && code < 0x110000) || (code >= 0xd800 && code < 0xe000)) return ' '
  return typedSigns(String.fromCodePoint(code))
}

/** A plain text with markup decoded and dropped, and where the first piece of it stood; null where there was none. */
export function withoutMarkup(plain: PlainText): { plain: PlainText; first: { at: number; end: number } | null } {
  const { text } = plain
  let first: { at: number; end: number } | null = null
  let out = ''
  let last = 0
  const starts: number[] = []
  const ends: number[] = []
  const put = (words: string, from: number, to: number | null): void => {
    for (let i = 0; i < words.length; i++) {
      const start = to === null ? from + i : from
      const end = to === null ? from + i + 1 : to
      starts.push(plain.starts ? plain.starts[start]! : start)
      ends.push(plain.ends ? plain.ends[end - 1]! : end)
    }
    out += words
  }
  for (const found of text.matchAll(tag)) {
    first ??= { at: found.index, end: found.index + found[0].length }
    put(text.slice(last, found.index), last, null)
    last = found.index + found[0].length
    put(decode(found[0]), found.index, last)
  }
  if (!first) return { plain, first }
  put(text.slice(last), last, null)
  return { plain: { text: out, starts: Uint32Array.from(starts), ends: Uint32Array.from(ends) }, first }
}

const fence = /^\s*(?:```|~~~)/
const rule = /^\|?\s*:?-{2,}:?\s*(?:\|\s*:?-{2,}:?\s*)*\|?$/
const quote = /^(?:\s?>)+/
/** A bullet before an item of a list. */
const bullet = /^\s*[-*•‣·]\s+(?=[^\s\-*=_~])/
const strings = /^\s*[A-Ga-g]?[#b]?\s?[|:]?[-\d|hpbrsxtvXΔ/\\~()<>*.:= ]{6,}$/

/** Whether a line is a string of guitar tablature: mostly dashes, with frets and the player's signs between. */
function isTablature(text: string): boolean {
  if (!strings.test(text) || !text.includes('--')) return false
  const dashes = text.split('-').length - 1
  return (
    dashes >= 5 &&
    dashes * 3 >= text.replace(/\s/g, '').length &&
    (/\d/.test(text) || /^\s*[A-Ga-g][#b]?\s?[|:]-/.test(text))
  )
}

/** The lines of a plain text that are worth reading; blank ones are kept, being boundaries. */
export function plainLines(text: string): readonly PlainLine[] {
  const lines: PlainLine[] = []
  let at = 0
  for (const whole of text.split('\n')) {
    const lineAt = at
    at += whole.length + 1
    const quoted = quote.exec(whole)?.[0].length ?? 0
    const listed = bullet.exec(whole.slice(quoted, quoted + 40))?.[0].length ?? 0
    const rest = whole.slice(quoted + listed)
    const words = rest.trim()
    if (fence.test(rest)) continue
    if (words.includes('|') && rule.test(words)) {
      const above = lines[lines.length - 1]
      if (above) lines[lines.length - 1] = { ...above, beforeRule: true }
      continue
    }
    const start = lineAt + quoted + listed + (rest.length - rest.trimStart().length)
    lines.push({
      at: start,
      end: start + words.length,
      text: words,
      quoted: quoted > 0,
      tablature: isTablature(words),
      beforeRule: false,
    })
  }
  return lines
}
