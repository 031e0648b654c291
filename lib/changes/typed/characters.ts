/** Characters as typed made plain for reading: one spelling of each sign, with a map back to the places in the typed text. */
import type { Span } from '../../problem.ts'
import { typedAs } from '../../theory/signs.ts'

/** A text made plain. `starts` and `ends` give each character's place as typed; both null where nothing moved. */
export interface PlainText {
  readonly text: string
  readonly starts: Uint32Array | null
  readonly ends: Uint32Array | null
}

const signs: Record<string, string> = {
  '\u2028': '\n',
  '\u2029': '\n',
  '\u0085': '\n',
  '\u000b': ' ',
  '\u000c': ' ',
  ...typedAs,
  '♮': 'n',
  '−': '-',
  '^': 'Δ',
  '∆': 'Δ',
  '△': 'Δ',
  '▵': 'Δ',
  Δ: 'Δ',
  ø: 'ø',
  Ø: 'ø',
  '∅': 'ø',
  '⌀': 'ø',
  φ: 'ø',
  ϕ: 'ø',
  Φ: 'ø',
  '°': '°',
  º: '°',
  '∘': '°',
  '˚': '°',
  '◦': '°',
  '○': '°',
  '⁄': '/',
  '∕': '/',
  '／': '/',
  '｜': '|',
  '│': '|',
  '┃': '|',
  '∣': '|',
  '¦': '|',
  '‖': '||',
  '║': '||',
  '“': '"',
  '”': '"',
  '„': '"',
  '″': '"',
  '‘': "'",
  '’': "'",
  '′': "'",
  '\u00ad': '',
  '\u2060': '',
  '\ufeff': '',
  '\ufe0e': '',
  '\ufe0f': '',
  // Repeat signs and bar lines of the musical symbols block.
  '𝄀': '|',
  '𝄁': '||',
  '𝄂': '|.',
  '𝄆': '|:',
  '𝄇': ':|',
  // Fermatas.
  '\u{1d110}': '',
  '\u{1d111}': '',
  '𝄎': '%',
  '𝄏': '%%',
}

/** What one character reads as; NFKC comes last, since it would turn º into a letter. */
function plainOf(character: string): string {
  const sign = signs[character]
  if (sign !== undefined) return sign
  const code = character.codePointAt(0)!
  if (code === 0xa0 || (code >= 0x2000 && code <= 0x200a) || code === 0x202f || code === 0x205f || code === 0x3000)
    return ' '
  // Joiners and the marks that only steer writing direction.
  if ((code >= 0x200b && code <= 0x200f) || (code >= 0x202a && code <= 0x202e) || (code >= 0x2066 && code <= 0x2069))
    return ''
  if (code >= 0x2010 && code <= 0x2015) return '-'
  // A letter in a circle or a box is a rehearsal mark.
  if (code >= 0x24b6 && code <= 0x24cf) return `[${String.fromCharCode(code - 0x24b6 + 65)}]`
  if (code >= 0x1f130 && code <= 0x1f149) return `[${String.fromCharCode(code - 0x1f130 + 65)}]`
  if (code >= 0xd800 && code <= 0xdfff) return '\ufffd'
  const folded = character.normalize('NFKC')
  if (folded === character) return character
  let out = ''
  for (const part of folded) out += signs[part] ?? part
  return out
}

const alreadyPlain = /^[\t\n -\]_-~Δø°]*$/

/**
 * Makes a text plain: bar lines, accidentals, dashes, triangles, spaces and quotes each in one spelling, the rest by NFKC.
 * Table of the signs: common practice of typed charts.
 *
 * @example
 * plainText('E♭∆7').text // => 'EbΔ7'
 * spanAsTyped(plainText('𝄫7'), 2, 3) // => { start: 2, end: 3 }
 */
export function plainText(typed: string): PlainText {
  if (alreadyPlain.test(typed)) return { text: typed, starts: null, ends: null }
  const parts: string[] = []
  const starts: number[] = []
  const ends: number[] = []
  let at = 0
  for (const character of typed) {
    let end = at + character.length
    let plain = character
    if (character === '\r') {
      plain = '\n'
      if (typed[end] === '\n') end += 1
    } else if (character === '\n' && typed[at - 1] === '\r') {
      at = end
      continue
    } else if (character > '~' || character === '^' || character < ' ') plain = plainOf(character)
    for (let i = 0; i < plain.length; i++) {
      starts.push(at)
      ends.push(end)
    }
    parts.push(plain)
    at += character.length
  }
  return { text: parts.join(''), starts: Uint32Array.from(starts), ends: Uint32Array.from(ends) }
}

/** The span, in the text as typed, of a stretch of the plain text; an empty stretch stays empty. */
export function spanAsTyped(plain: PlainText, start: number, end: number): Span {
  const { starts, ends } = plain
  if (!starts || !ends) return { start, end }
  const last = ends.length ? ends[ends.length - 1]! : 0
  const from = start < starts.length ? starts[start]! : last
  return { start: from, end: end > start ? Math.max(from, ends[Math.min(end, ends.length) - 1]!) : from }
}
