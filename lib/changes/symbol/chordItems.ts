/** The lexing of a chord symbol's suffix: what follows the root, cut into qualities, figures, alterations and the like. */

export type Quality = 'major' | 'triangle' | 'minor' | 'diminished' | 'half-diminished' | 'augmented' | 'dominant'

/** One thing a suffix says. `at` and `end` are offsets into the suffix; `degree` is a degree name such as `b9`. */
export type Item = { readonly at: number; readonly end: number } & (
  | { readonly kind: 'quality'; readonly quality: Quality }
  | { readonly kind: 'figure'; readonly figure: number }
  | { readonly kind: 'altered' | 'added'; readonly degree: string }
  | { readonly kind: 'omitted'; readonly number: 3 | 5 }
  | { readonly kind: 'suspended'; readonly by: '2' | '4' | '24' }
  | { readonly kind: 'alt' | 'lydian' }
)

/** A note beside the reading: the symbol is read, but there was something to say. */
export interface Remark {
  readonly code: string
  readonly at: number
  readonly end: number
}

/** Why a suffix does not read, and where. */
export interface SuffixFault {
  readonly code: 'unknown-quality' | 'missing-bass' | 'unknown-bass' | 'unmatched-parenthesis' | 'contradiction'
  readonly at: number
  readonly end: number
  readonly why: string
}

export interface SuffixItems {
  readonly items: readonly Item[]
  readonly remarks: readonly Remark[]
  readonly fault: SuffixFault | null
}

const words: readonly (readonly [string, Quality | 'alt' | 'lydian'])[] = [
  ['half-diminished', 'half-diminished'],
  ['half diminished', 'half-diminished'],
  ['half-dim', 'half-diminished'],
  ['half dim', 'half-diminished'],
  ['halfdiminished', 'half-diminished'],
  ['halfdim', 'half-diminished'],
  ['hdim', 'half-diminished'],
  ['augmented', 'augmented'],
  ['aug', 'augmented'],
  ['diminished', 'diminished'],
  ['dim', 'diminished'],
  ['dominant', 'dominant'],
  ['dom', 'dominant'],
  ['altered', 'alt'],
  ['alt.', 'alt'],
  ['alt', 'alt'],
  ['lydian', 'lydian'],
  ['lyd', 'lydian'],
  ['major', 'major'],
  ['maj', 'major'],
  ['minor', 'minor'],
  ['min', 'minor'],
  ['mi', 'minor'],
]
const wordStarts = new Map<string, (typeof words)[number][]>()
for (const word of words) {
  const first = word[0][0]!
  wordStarts.set(first, [...(wordStarts.get(first) ?? []), word])
}

const figures = new Set([2, 4, 5, 6, 7, 9, 11, 13])
const wrongFigures = new Set([1, 3, 8, 10, 12, 14])
const alterable: Record<string, string> = { '#': ' 4 5 7 9 11 13 ', b: ' 5 6 7 9 11 13 ' }
const addable = new Set([2, 3, 4, 6, 9, 11, 13])

const isDigit = (c: number) => c >= 48 && c <= 57
const isLetter = (c: number) => (c >= 65 && c <= 90) || (c >= 97 && c <= 122)

/** The degree an alteration or an added number names: `#4` is the sharp eleventh, an added second the ninth. */
function degreeNamed(sign: string, number: number): string {
  if (number === 2) return `${sign}9`
  if (number === 4) return `${sign}11`
  return sign + number
}

/**
 * Cuts a suffix into its items. `dialect` also reads the habit of one beat-track data set: digits run together, the accidental after its
 * number, as in `79b13b`.
 */
export function chordItems(suffix: string, dialect = false): SuffixItems {
  const items: Item[] = []
  const remarks: Remark[] = []
  const lower = suffix.toLowerCase()
  const size = suffix.length
  let groupAt = -1
  let groupItems = 0
  let numbered = false
  let i = 0

  const stop = (code: SuffixFault['code'], at: number, end: number, why: string): SuffixItems => ({
    items,
    remarks,
    fault: { code, at, end, why },
  })
  const digitsFrom = (at: number): number => {
    let end = at
    while (end < size && isDigit(suffix.charCodeAt(end))) end++
    return end
  }
  const put = (item: Item): void => {
    items.push(item)
    if (groupAt >= 0) groupItems++
    if (item.kind === 'figure' || item.kind === 'altered') numbered = true
    if (item.kind === 'quality' && item.quality === 'triangle') numbered = true
    i = item.end
  }

  while (i < size) {
    const at = i
    const c = suffix[at]!
    if (c === ' ' || c === ',') {
      i++
      continue
    }
    if (c === '(') {
      if (groupAt >= 0) return stop('unmatched-parenthesis', at, at + 1, 'groups do not nest')
      groupAt = at
      groupItems = 0
      i++
      continue
    }
    if (c === ')') {
      if (groupAt < 0) return stop('unmatched-parenthesis', at, at + 1, 'not opened')
      if (groupItems === 0) return stop('unmatched-parenthesis', groupAt, at + 1, 'empty')
      groupAt = -1
      i++
      continue
    }
    if (c === '/') {
      const rest = lower.slice(at + 1).trimStart()
      if (rest === '') return stop('missing-bass', at, at + 1, '')
      if (
        /^(\d|[#b+-]\d|maj?\d?|Δ|add|sus|no[35]|omit)/.test(rest) ||
        /^[Mj]\d/.test(suffix.slice(at + 1).trimStart())
      ) {
        i++
        continue
      }
      return stop('unknown-bass', at + 1, size, '')
    }
    const code = suffix.charCodeAt(at)

    if (isDigit(code)) {
      if (c === '0') {
        put({ kind: 'quality', quality: 'diminished', at, end: at + 1 })
        numbered = false
        remarks.push({ code: 'zero-for-diminished', at, end: at + 1 })
        continue
      }
      const end = digitsFrom(at)
      const number = Number(suffix.slice(at, end))
      const after = suffix[end]
      // A sign after its number: before a slash or the end only, where another figure stands first.
      if ((after === 'b' || after === '#') && numbered && [5, 9, 11, 13].includes(number)) {
        const next = suffix[end + 1]
        if (next === undefined || next === '/' || next === ')' || next === ',') {
          put({ kind: 'altered', degree: after + number, at, end: end + 1 })
          continue
        }
      }
      if (number === 69) {
        put({ kind: 'figure', figure: 6, at, end: at + 1 })
        put({ kind: 'figure', figure: 9, at: at + 1, end })
        continue
      }
      if (figures.has(number)) {
        put({ kind: 'figure', figure: number, at, end })
        continue
      }
      if (wrongFigures.has(number))
        return stop('contradiction', at, end, 'no chord takes that number: 5 6 7 9 11 13 do')
      if (dialect && runTogether(at, end)) continue
      return stop('unknown-quality', at, end, 'number')
    }

    if (c === '+' || c === '-') {
      const end = digitsFrom(at + 1)
      const number = Number(suffix.slice(at + 1, end))
      if (end > at + 1 && [5, 9, 11, 13].includes(number) && (numbered || groupAt >= 0)) {
        const before = items[items.length - 1]
        if (c === '-' && number === 9 && groupAt < 0 && before?.kind === 'figure' && before.figure === 6) {
          remarks.push({ code: 'ambiguous-symbol', at, end })
          put({ kind: 'figure', figure: 9, at: at + 1, end })
          continue
        }
        put({ kind: 'altered', degree: (c === '+' ? '#' : 'b') + number, at, end })
        continue
      }
      put({ kind: 'quality', quality: c === '+' ? 'augmented' : 'minor', at, end: at + 1 })
      continue
    }

    if (c === '#' || c === 'b') {
      const end = digitsFrom(at + 1)
      const number = suffix.slice(at + 1, end)
      if (number === '3') return stop('contradiction', at, end, 'the third is major, minor or suspended')
      if (end > at + 1 && alterable[c]!.includes(` ${number} `)) {
        put({ kind: 'altered', degree: degreeNamed(c, Number(number)), at, end })
        continue
      }
      return stop('unknown-quality', at, Math.max(end, at + 1), 'alteration')
    }

    const after = wordAt(at)
    if (after) continue
    return stop('unknown-quality', at, size, '')
  }
  if (groupAt >= 0) return stop('unmatched-parenthesis', groupAt, groupAt + 1, 'not closed')
  return { items, remarks, fault: null }

  /** Run-together digits of the dialect: each number with the sign after it. */
  function runTogether(at: number, end: number): boolean {
    let from = at
    const found: Item[] = []
    while (from < end) {
      const number = /^(13|11|9|7|6|5)/.exec(suffix.slice(from, end))?.[0]
      if (!number) return false
      from += number.length
      const sign = from === end ? (suffix[end] ?? '') : ''
      if ((sign === 'b' || sign === '#') && number !== '7' && number !== '6')
        found.push({ kind: 'altered', degree: sign + number, at: from - number.length, end: from + 1 })
      else found.push({ kind: 'figure', figure: Number(number), at: from - number.length, end: from })
    }
    for (const item of found) put(item)
    return true
  }

  /** Reads a word or a letter sign; true where one was read. */
  function wordAt(at: number): boolean {
    const c = suffix[at]!
    const next = suffix.charCodeAt(at + 1)
    const l = lower[at]!
    if (l === 'a' && lower.startsWith('add', at)) return addedAt(at)
    if (l === 's' && lower.startsWith('sus', at)) return suspendedAt(at)
    if (l === 'n' || l === 'o') {
      const omitted = /^(?:no|omit) ?([35])(?:rd|th)?(?![0-9])/.exec(lower.slice(at, at + 9))
      if (omitted) {
        put({ kind: 'omitted', number: Number(omitted[1]) as 3 | 5, at, end: at + omitted[0].length })
        return true
      }
    }
    for (const [word, meaning] of wordStarts.get(l) ?? []) {
      if (!lower.startsWith(word, at)) continue
      const end = at + word.length
      if (meaning === 'alt' || meaning === 'lydian') put({ kind: meaning, at, end })
      else put({ kind: 'quality', quality: meaning, at, end })
      return true
    }
    if (l === 'm') {
      // "ma" is major, unless the a opens add, alt or aug.
      if (lower[at + 1] === 'a' && !/^(dd|lt|ug)/.test(lower.slice(at + 2, at + 4))) {
        put({ kind: 'quality', quality: 'major', at, end: at + 2 })
        return true
      }
      put({ kind: 'quality', quality: c === 'M' ? 'major' : 'minor', at, end: at + 1 })
      return true
    }
    if (c === 'Δ' || (c === 'j' && !isLetter(next))) {
      put({ kind: 'quality', quality: c === 'j' ? 'major' : 'triangle', at, end: at + 1 })
      return true
    }
    if (c === '°' || c === 'o') {
      put({ kind: 'quality', quality: 'diminished', at, end: at + 1 })
      return true
    }
    if (c === 'ø') {
      put({ kind: 'quality', quality: 'half-diminished', at, end: at + 1 })
      return true
    }
    return false
  }

  function addedAt(at: number): boolean {
    const found = /^add ?([#b+-]?)(\d+)/.exec(lower.slice(at, at + 9))
    if (!found || !addable.has(Number(found[2]))) return false
    const sign = found[1] === '+' ? '#' : found[1] === '-' ? 'b' : found[1]!
    put({ kind: 'added', degree: degreeNamed(sign, Number(found[2])), at, end: at + found[0].length })
    return true
  }

  function suspendedAt(at: number): boolean {
    const from = lower.startsWith('suspended', at) ? at + 9 : at + 3
    const found = /^ ?(24|42|13|2|4|9|7)(?!\d)/.exec(lower.slice(from, from + 4))
    const number = found?.[1] ?? ''
    const end = from + (found?.[0].length ?? 0)
    const by = number === '2' ? '2' : number === '24' || number === '42' ? '24' : '4'
    put({ kind: 'suspended', by, at, end })
    if (number === '9' || number === '13' || number === '7')
      put({ kind: 'figure', figure: Number(number), at: end - number.length, end })
    else if (number === '') remarks.push({ code: 'ambiguous-symbol', at, end })
    return true
  }
}
