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

/** A suffix as it is cut: where the cutting stands, what has been found, and the group in parentheses that is open. */
interface Cutting {
  readonly suffix: string
  readonly lower: string
  readonly dialect: boolean
  readonly items: Item[]
  readonly remarks: Remark[]
  /** Where the open group starts, -1 where none is open, and how many items it holds so far. */
  groupAt: number
  groupItems: number
  /** Whether a number has been read, after which + and - are sharp and flat. */
  numbered: boolean
  at: number
}

/** Reads what stands at a place: true where it has, false where it is something else, or why it cannot be read. */
type Matcher = (cut: Cutting) => boolean | SuffixFault

/**
 * Cuts a suffix into its items. `dialect` also reads the habit of one beat-track data set: digits run together, the accidental after its
 * number, as in `79b13b`.
 */
export function chordItems(suffix: string, dialect = false): SuffixItems {
  const cut: Cutting = {
    suffix,
    lower: suffix.toLowerCase(),
    dialect,
    items: [],
    remarks: [],
    groupAt: -1,
    groupItems: 0,
    numbered: false,
    at: 0,
  }
  const { items, remarks } = cut
  while (cut.at < suffix.length) {
    const fault = itemAt(cut)
    if (fault) return { items, remarks, fault }
  }
  const { groupAt } = cut
  const fault = groupAt < 0 ? null : faultAt('unmatched-parenthesis', groupAt, groupAt + 1, 'not closed')
  return { items, remarks, fault }
}

/** Reads the next item by the first matcher that can. */
function itemAt(cut: Cutting): SuffixFault | null {
  for (const matcher of matchersOf(cut.suffix[cut.at]!)) {
    const read = matcher(cut)
    if (read === true) return null
    if (read !== false) return read
  }
  return faultAt('unknown-quality', cut.at, cut.suffix.length, '')
}

const faultAt = (code: SuffixFault['code'], at: number, end: number, why: string): SuffixFault => ({
  code,
  at,
  end,
  why,
})

function digitsFrom({ suffix }: Cutting, at: number): number {
  let end = at
  while (end < suffix.length && isDigit(suffix.charCodeAt(end))) end++
  return end
}

function put(cut: Cutting, item: Item): true {
  cut.items.push(item)
  if (cut.groupAt >= 0) cut.groupItems++
  if (item.kind === 'figure' || item.kind === 'altered') cut.numbered = true
  if (item.kind === 'quality' && item.quality === 'triangle') cut.numbered = true
  cut.at = item.end
  return true
}

const putQuality = (cut: Cutting, quality: Quality, length: number): true =>
  put(cut, { kind: 'quality', quality, at: cut.at, end: cut.at + length })

/** A space or comma between items. */
const separator: Matcher = (cut) => {
  cut.at++
  return true
}

const groupOpening: Matcher = (cut) => {
  const { at, groupAt } = cut
  if (groupAt >= 0) return faultAt('unmatched-parenthesis', at, at + 1, 'groups do not nest')
  cut.groupAt = at
  cut.groupItems = 0
  cut.at++
  return true
}

const groupClosing: Matcher = (cut) => {
  const { at, groupAt } = cut
  if (groupAt < 0) return faultAt('unmatched-parenthesis', at, at + 1, 'not opened')
  if (cut.groupItems === 0) return faultAt('unmatched-parenthesis', groupAt, at + 1, 'empty')
  cut.groupAt = -1
  cut.at++
  return true
}

/** A slash between items; one before anything else is a bass that is missing or none. */
const slash: Matcher = (cut) => {
  const { suffix, lower, at } = cut
  const rest = lower.slice(at + 1).trimStart()
  if (rest === '') return faultAt('missing-bass', at, at + 1, '')
  const parts =
    /^(\d|[#b+-]\d|maj?\d?|Δ|add|sus|no[35]|omit)/.test(rest) || /^[Mj]\d/.test(suffix.slice(at + 1).trimStart())
  if (!parts) return faultAt('unknown-bass', at + 1, suffix.length, '')
  cut.at++
  return true
}

const zero: Matcher = (cut) => {
  const { at } = cut
  putQuality(cut, 'diminished', 1)
  cut.numbered = false
  cut.remarks.push({ code: 'zero-for-diminished', at, end: at + 1 })
  return true
}

/** A number: a figure, two in one, or with the sign of its alteration behind it. */
const figure: Matcher = (cut) => {
  const { suffix, at } = cut
  const end = digitsFrom(cut, at)
  const number = Number(suffix.slice(at, end))
  const after = suffix[end]
  // A sign after its number: before a slash or the end only, where another figure stands first.
  if ((after === 'b' || after === '#') && cut.numbered && [5, 9, 11, 13].includes(number)) {
    const next = suffix[end + 1]
    if (next === undefined || next === '/' || next === ')' || next === ',')
      return put(cut, { kind: 'altered', degree: after + number, at, end: end + 1 })
  }
  if (number === 69) {
    put(cut, { kind: 'figure', figure: 6, at, end: at + 1 })
    return put(cut, { kind: 'figure', figure: 9, at: at + 1, end })
  }
  if (figures.has(number)) return put(cut, { kind: 'figure', figure: number, at, end })
  if (wrongFigures.has(number)) return faultAt('contradiction', at, end, 'no chord takes that number: 5 6 7 9 11 13 do')
  if (cut.dialect && runTogether(cut, end)) return true
  return faultAt('unknown-quality', at, end, 'number')
}

/** Run-together digits of the dialect: each number with the sign after it. */
function runTogether(cut: Cutting, end: number): boolean {
  const { suffix } = cut
  let from = cut.at
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
  for (const item of found) put(cut, item)
  return true
}

/** A plus or minus: before a number that follows another, or in parentheses, it alters; else it is augmented or minor. */
const plusOrMinus: Matcher = (cut) => {
  const { suffix, items, at, groupAt } = cut
  const c = suffix[at]!
  const end = digitsFrom(cut, at + 1)
  const number = Number(suffix.slice(at + 1, end))
  const alters = end > at + 1 && [5, 9, 11, 13].includes(number) && (cut.numbered || groupAt >= 0)
  if (!alters) return putQuality(cut, c === '+' ? 'augmented' : 'minor', 1)
  const before = items[items.length - 1]
  if (c === '-' && number === 9 && groupAt < 0 && before?.kind === 'figure' && before.figure === 6) {
    cut.remarks.push({ code: 'ambiguous-symbol', at, end })
    return put(cut, { kind: 'figure', figure: 9, at: at + 1, end })
  }
  return put(cut, { kind: 'altered', degree: (c === '+' ? '#' : 'b') + number, at, end })
}

const sharpOrFlat: Matcher = (cut) => {
  const { suffix, at } = cut
  const c = suffix[at]!
  const end = digitsFrom(cut, at + 1)
  const number = suffix.slice(at + 1, end)
  if (number === '3') return faultAt('contradiction', at, end, 'the third is major, minor or suspended')
  if (end > at + 1 && alterable[c]!.includes(` ${number} `))
    return put(cut, { kind: 'altered', degree: degreeNamed(c, Number(number)), at, end })
  return faultAt('unknown-quality', at, Math.max(end, at + 1), 'alteration')
}

const added: Matcher = (cut) => {
  const { lower, at } = cut
  if (!lower.startsWith('add', at)) return false
  const found =
    /^add ?([#b+-]?)(\d+)/.exec(lower.slice(at, at + 9)) ?? /^add ?\(([#b+-]?)(\d+)\)/.exec(lower.slice(at, at + 11))
  if (!found || !addable.has(Number(found[2]))) return faultAt('unknown-quality', at, lower.length, '')
  const sign = found[1] === '+' ? '#' : found[1] === '-' ? 'b' : found[1]!
  return put(cut, { kind: 'added', degree: degreeNamed(sign, Number(found[2])), at, end: at + found[0].length })
}

const suspended: Matcher = (cut) => {
  const { lower, at } = cut
  if (!lower.startsWith('sus', at)) return false
  const from = lower.startsWith('suspended', at) ? at + 9 : at + 3
  const found = /^ ?(24|42|13|2|4|9|7)(?!\d)/.exec(lower.slice(from, from + 4))
  const number = found?.[1] ?? ''
  const end = from + (found?.[0].length ?? 0)
  const by = number === '2' ? '2' : number === '24' || number === '42' ? '24' : '4'
  put(cut, { kind: 'suspended', by, at, end })
  if (number === '9' || number === '13' || number === '7')
    put(cut, { kind: 'figure', figure: Number(number), at: end - number.length, end })
  else if (number === '') cut.remarks.push({ code: 'ambiguous-symbol', at, end })
  return true
}

const omitted: Matcher = (cut) => {
  const { lower, at } = cut
  const found = /^(?:no|omit) ?([35])(?:rd|th)?(?![0-9])/.exec(lower.slice(at, at + 9))
  if (!found) return false
  return put(cut, { kind: 'omitted', number: Number(found[1]) as 3 | 5, at, end: at + found[0].length })
}

/** A number that is said to be natural: the seventh is major, the fifth is the fifth, others are there as they are. */
const natural: Matcher = (cut) => {
  const { lower, at } = cut
  const found = /^n(5|6|7|9|11|13)(?!\d)/.exec(lower.slice(at, at + 4))
  if (!found) return false
  const number = Number(found[1])
  const end = at + found[0].length
  if (number === 7) {
    putQuality(cut, 'major', 1)
    return put(cut, { kind: 'figure', figure: 7, at: at + 1, end })
  }
  if (number !== 5) return put(cut, { kind: 'added', degree: String(number), at, end })
  if (cut.groupAt >= 0) cut.groupItems++
  cut.at = end
  return true
}

/** A word for a quality, the longest first. */
const word: Matcher = (cut) => {
  const { lower, at } = cut
  for (const [name, meaning] of wordStarts.get(lower[at]!) ?? []) {
    if (!lower.startsWith(name, at)) continue
    if (meaning === 'alt' || meaning === 'lydian') return put(cut, { kind: meaning, at, end: at + name.length })
    return putQuality(cut, meaning, name.length)
  }
  return false
}

/** `ma` is major, unless the a opens add, alt or aug; else M is major and m minor. */
const emm: Matcher = (cut) => {
  const { suffix, lower, at } = cut
  if (lower[at + 1] === 'a' && !/^(dd|lt|ug)/.test(lower.slice(at + 2, at + 4))) return putQuality(cut, 'major', 2)
  return putQuality(cut, suffix[at] === 'M' ? 'major' : 'minor', 1)
}

const jay: Matcher = (cut) => (isLetter(cut.suffix.charCodeAt(cut.at + 1)) ? false : putQuality(cut, 'major', 1))

/** A sign that is a quality by itself. */
const sign =
  (quality: Quality): Matcher =>
  (cut) =>
    putQuality(cut, quality, 1)

/** What may stand at each character, tried in order; at any other letter only a word. */
const matchers = new Map<string, readonly Matcher[]>([
  [' ', [separator]],
  [',', [separator]],
  ['(', [groupOpening]],
  [')', [groupClosing]],
  ['/', [slash]],
  ['0', [zero]],
  ...[...'123456789'].map((digit) => [digit, [figure]] as const),
  ['+', [plusOrMinus]],
  ['-', [plusOrMinus]],
  ['#', [sharpOrFlat]],
  ['b', [sharpOrFlat]],
  ...[...'aA'].map((letter) => [letter, [added, word]] as const),
  ...[...'sS'].map((letter) => [letter, [suspended]] as const),
  ...[...'nN'].map((letter) => [letter, [omitted, natural]] as const),
  ['O', [omitted]],
  ['o', [omitted, sign('diminished')]],
  ...[...'mM'].map((letter) => [letter, [word, emm]] as const),
  ['j', [jay]],
  ['Δ', [sign('triangle')]],
  ['°', [sign('diminished')]],
  ['ø', [sign('half-diminished')]],
])
const onlyWord: readonly Matcher[] = [word]
const matchersOf = (character: string): readonly Matcher[] => matchers.get(character) ?? onlyWord
