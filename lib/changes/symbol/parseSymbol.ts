/** The parse of one chord symbol: root or Roman numeral, suffix, bass; or where it fails and why, in bare facts. */
import { fixed } from '../../fixed.ts'
import type { Chord } from '../../theory/chord.ts'
import { degreeNote } from '../../theory/degree.ts'
import type { Key } from '../../theory/key.ts'
import { type Letter, type PitchClass, withoutDouble } from '../../theory/pitch.ts'
import { type ChordSymbol, noChord } from '../chart.ts'
import { chordItems, type Remark } from './chordItems.ts'
import { chordMeaning } from './chordMeaning.ts'
import { canonicalSuffix, symbolName } from './chordName.ts'
import { germanInLetters, readHarte } from './otherNotations.ts'

/** How the chart around a symbol is to be read. */
export interface SymbolHabits {
  /** Roman numerals count from this key's tonic; null where the chart has none. */
  readonly key: Key | null
  /** A German chart: H is B natural, B is B flat. */
  readonly german: boolean
  /** Digits run together with the accidental after them, the habit of one beat-track data set. */
  readonly dialect: boolean
  /** Whether a small letter may be a root. */
  readonly smallRoots: boolean
}

export const plainHabits: SymbolHabits = { key: null, german: false, dialect: false, smallRoots: true }

export type SymbolFaultCode =
  | 'unknown-root'
  | 'unknown-quality'
  | 'mixed-accidentals'
  | 'missing-bass'
  | 'unknown-bass'
  | 'unmatched-parenthesis'
  | 'contradiction'
  | 'numeral-without-key'

/** Where a symbol fails; offsets count in the text given. */
export interface SymbolFault {
  readonly code: SymbolFaultCode
  readonly at: number
  readonly end: number
  readonly why: string
}

export interface ParsedSymbol {
  readonly symbol: ChordSymbol | null
  readonly optional: boolean
  readonly numeral: boolean
  readonly fault: SymbolFault | null
  /** What there is to say beside the reading; offsets count in the text given. */
  readonly remarks: readonly Remark[]
  /** The symbol without spaces, parentheses and footnotes around it, and where it stands in the text given. */
  readonly core: string
  readonly at: number
  /** Where, in the core, the suffix starts and ends. */
  readonly suffixAt: number
  readonly suffixEnd: number
}

interface SuffixReading {
  readonly chord: Chord | null
  readonly remarks: readonly Remark[]
  readonly fault: {
    readonly code: SymbolFaultCode
    readonly at: number
    readonly end: number
    readonly why: string
  } | null
}

/** Suffixes kept after reading; beyond this many the memory starts again. */
const remembered = 4_096
/** A longer run of characters is no chord symbol. */
export const longestSymbol = 64
const suffixes = new Map<string, SuffixReading>()

const noChordWords = /^(?:n\.? ?c\.?|no[ -]?chord)$/i
const bassAtEnd = /^\/ ?([A-Ha-h])(##|#|bb|b|x|n|B)?$/
const footnote = /(?:[*†‡,;]|(?<!alt)\.)+$/i
const numeralStart = /^([b#]?)(VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)(?![IVXivx])/
const fifthRoot = /^(?:##|bb)5(?!\d)/
const nothing: readonly Remark[] = []

/** Reads a suffix, the part between root and bass; `minor` where a small numeral makes it so. */
function readSuffix(suffix: string, dialect: boolean, minor: boolean): SuffixReading {
  const name = minor || dialect ? `${minor ? 'm' : ''}${dialect ? 'd' : ''}>${suffix}` : suffix
  const known = suffixes.get(name)
  if (known) return known
  const { items, remarks, fault } = chordItems(suffix, dialect)
  let reading: SuffixReading
  if (fault) reading = { chord: null, remarks, fault }
  else {
    const { degrees, alt, remarks: more, contradiction } = chordMeaning(items, minor)
    reading = contradiction
      ? { chord: null, remarks, fault: { code: 'contradiction', ...contradiction } }
      : {
          chord: fixed({ degrees, alt, named: canonicalSuffix({ degrees, alt }) }),
          remarks: remarks.length + more.length === 0 ? nothing : [...remarks, ...more],
          fault: null,
        }
  }
  if (suffix.length <= 32) {
    if (suffixes.size >= remembered) suffixes.clear()
    suffixes.set(name, reading)
  }
  return reading
}

/** Empties the memory of suffixes, so that the reader can be measured cold. */
export const forgetSuffixes = (): void => suffixes.clear()

/** A symbol while it is parsed: what stands in parentheses or before a footnote, and what was remarked on the way. */
interface Parsing {
  readonly habits: SymbolHabits
  core: string
  at: number
  optional: boolean
  remarks: Remark[] | null
}

function remark(p: Parsing, code: string, start: number, end: number): void {
  p.remarks ??= []
  p.remarks.push({ code, at: p.at + start, end: p.at + end })
}

function keepRemarks(p: Parsing, found: readonly Remark[], offset: number): void {
  for (const each of found) remark(p, each.code, offset + each.at, offset + each.end)
}

const finish = (
  { core, at, optional, remarks }: Parsing,
  symbol: ChordSymbol | null,
  fault: SymbolFault | null,
  suffixAt: number,
  suffixEnd: number,
  numeral = false,
): ParsedSymbol => ({ symbol, optional, numeral, fault, remarks: remarks ?? nothing, core, at, suffixAt, suffixEnd })

/** A fault from and to places in the core. */
const failed = (
  p: Parsing,
  fault: SymbolFault,
  suffixAt = 0,
  suffixEnd = p.core.length,
  numeral = false,
): ParsedSymbol =>
  finish(p, null, { ...fault, at: p.at + fault.at, end: p.at + fault.end }, suffixAt, suffixEnd, numeral)

/** Parses a symbol already made plain. */
export function parseSymbol(text: string, habits: SymbolHabits = plainHabits): ParsedSymbol {
  const p: Parsing = { habits, core: text, at: 0, optional: false, remarks: null }
  const tooLong = bare(p, text)
  const { core } = p
  if ((core[0] === 'N' || core[0] === 'n') && noChordWords.test(core))
    return finish(p, noChord, null, core.length, core.length)
  if (tooLong || core === '') return failed(p, { code: 'unknown-root', at: 0, end: core.length, why: '' })
  if (core[0] === '(') return failed(p, { code: 'unmatched-parenthesis', at: 0, end: 1, why: 'not closed' })
  if (core === 'N' && !p.remarks) return finish(p, noChord, null, core.length, core.length)
  const harte = core.includes(':') ? readHarte(core) : null
  if (harte) return finish(p, harte, null, core.length, core.length)
  const numeral = 'bIViv#'.includes(core[0]!) ? numeralStart.exec(core) : null
  if (numeral) return parseNumeral(p, numeral)
  const parsed = parseLettered(p)
  return parsed.fault?.code === 'unknown-quality' || parsed.fault?.code === 'unknown-bass'
    ? parseGerman(p, parsed)
    : parsed
}

/** Takes spaces, footnote marks and parentheses off a symbol; whether it is too long to be one. */
function bare(p: Parsing, text: string): boolean {
  if (text[0] === ' ' || text[text.length - 1] === ' ') {
    p.core = text.trim()
    p.at = text.length - text.trimStart().length
  }
  const first = p.core.charCodeAt(0)
  const last = p.core.charCodeAt(p.core.length - 1)
  if (p.core.length > longestSymbol) return true
  // Footnote marks and commas; * and , stand low in ASCII, the daggers high.
  if ((last < 48 || last > 122 || last === 59) && !isNoChord(p.core) && footnote.test(p.core)) {
    const cut = p.core.replace(footnote, '')
    remark(p, 'dropped-mark', cut.length, p.core.length)
    p.core = cut.trimEnd()
  }
  if (p.core.includes('\\')) p.core = p.core.replace(/\\(?=[A-H](?:##?|bb?)?$)/, '/')
  if (p.core.includes('%7')) {
    // Some typefaces have the half-diminished sign where the percent sign is.
    p.core = p.core.replace(/^([A-Ha-h][#b]?)%7/, '$1ø7')
    if (p.core.includes('ø7')) remark(p, 'ambiguous-symbol', 0, p.core.length)
  }
  if (first === 40 && p.core.length > 2 && closesAtEnd(p.core)) {
    p.optional = true
    const inner = p.core.slice(1, -1)
    p.at += 1 + inner.length - inner.trimStart().length
    p.core = inner.trim()
  }
  return false
}

/** A symbol whose root is a letter: root, bass at the very end, and the suffix between. */
function parseLettered(p: Parsing): ParsedSymbol {
  const { core, habits } = p
  const opening = rootOf(p)
  if ('code' in opening) return failed(p, opening, opening.code === 'unknown-root' ? 0 : opening.at)
  const { root, suffixAt } = opening
  let suffixEnd = core.length
  let bass: PitchClass | null = null
  const slash = core.lastIndexOf('/')
  const match = slash >= suffixAt ? bassAtEnd.exec(core.slice(slash)) : null
  if (match) {
    bass = bassOf(p, match[1]!, match[2] ?? '', slash)
    suffixEnd = slash
  }
  const reading = readSuffix(core.slice(suffixAt, suffixEnd), habits.dialect, false)
  keepRemarks(p, reading.remarks, suffixAt)
  if (reading.fault) return failed(p, within(reading.fault, suffixAt), suffixAt, suffixEnd)
  const chord = reading.chord!
  return finish(p, { symbol: symbolName(root, chord.named, bass), root, chord, bass }, null, suffixAt, suffixEnd)
}

/** A symbol that reads no other way, by German names of its notes. */
function parseGerman(p: Parsing, parsed: ParsedSymbol): ParsedSymbol {
  const letters = germanInLetters(p.core)
  if (letters === null) return parsed
  const read = parseSymbol(letters, p.habits)
  if (!read.symbol) return parsed
  const remarks = read.remarks.map(({ code }) => ({ code, at: p.at, end: p.at + p.core.length }))
  return { ...read, optional: p.optional, core: p.core, at: p.at, remarks, suffixEnd: p.core.length }
}

const within = ({ code, at, end, why }: SymbolFault, offset: number): SymbolFault => ({
  code,
  at: at + offset,
  end: end + offset,
  why,
})

/** The root of a symbol and where its suffix starts, or why there is none. */
function rootOf(p: Parsing): { readonly root: PitchClass; readonly suffixAt: number } | SymbolFault {
  const { core, habits } = p
  const letter = core[0]!
  const code = core.charCodeAt(0)
  const small = code >= 97 && code <= 104
  const none = { code: 'unknown-root', at: 0, end: core.length, why: '' } as const
  if (!small && !(code >= 65 && code <= 72)) return none
  if (small && (!habits.smallRoots || /^b ?(?:5|9|11|13)/.test(core))) return none
  const mixed = (at: number) => ({ code: 'mixed-accidentals', at, end: at + 1, why: '' }) as const
  let suffixAt = 1
  let alter = 0
  const sign = core[1]
  if (sign === '#' || sign === 'b') {
    const fifth = core[2] === sign && fifthRoot.test(core.slice(1, 5))
    if (fifth) remark(p, 'root-and-fifth', 0, 4)
    const twice = core[2] === sign && !fifth
    alter = (sign === '#' ? 1 : -1) * (twice ? 2 : 1)
    suffixAt = twice ? 3 : 2
    const extra = core[suffixAt]
    if (!fifth && (extra === '#' || extra === 'b')) return mixed(suffixAt)
  } else if (sign === 'x' || (sign === 'n' && core[2] !== 'o')) {
    alter = sign === 'x' ? 2 : 0
    suffixAt = 2
    const extra = core[2]
    if ((extra === '#' || extra === 'b') && !/\d/.test(core[3] ?? '')) return mixed(2)
  } else if (sign === 'B' && code <= 71 && core === core.toUpperCase()) {
    alter = -1
    suffixAt = 2
    remark(p, 'caps-lock-flat', 0, 2)
  }
  if (small) remark(p, 'small-root', 0, 1)
  return { root: noteOf(small ? letter.toUpperCase() : letter, alter, habits.german), suffixAt }
}

function bassOf(p: Parsing, letter: string, signs: string, from: number): PitchClass {
  const capital = letter.toUpperCase()
  if (capital !== letter) remark(p, 'small-root', from + 1, from + 2)
  if (signs === 'B') remark(p, 'caps-lock-flat', from + 1, p.core.length)
  return noteOf(capital, alterations[signs] ?? 0, p.habits.german)
}

/** What stands after the last slash of a numeral: the chord it is applied to, its bass, or neither. */
interface NumeralSlash {
  readonly stop: number
  readonly applied: PitchClass | null
  readonly under: PitchClass | null
}

function parseNumeral(p: Parsing, match: RegExpExecArray): ParsedSymbol {
  const { core, habits } = p
  const [all, accidental = '', figure = ''] = match
  const { key } = habits
  const from = all.length
  const after = numeralSlash(p, from, figure)
  if ('code' in after) return failed(p, after, from, core.length, true)
  const { stop, applied, under } = after
  const reading = readSuffix(core.slice(from, stop), habits.dialect, figure === figure.toLowerCase())
  keepRemarks(p, reading.remarks, from)
  if (reading.fault) return failed(p, within(reading.fault, from), from, stop, true)
  if (!key) return failed(p, { code: 'numeral-without-key', at: 0, end: core.length, why: '' }, from, stop, true)
  const chord = reading.chord!
  const root = withoutDouble(degreeNote(applied ?? key.tonic, accidental + numberOf(figure)))
  const bass = under && withoutDouble(under)
  return finish(p, { symbol: symbolName(root, chord.named, bass), root, chord, bass }, null, from, stop, true)
}

function numeralSlash({ core, habits }: Parsing, from: number, figure: string): NumeralSlash | SymbolFault {
  const { key } = habits
  const slashAt = core.lastIndexOf('/')
  const none = { stop: core.length, applied: null, under: null }
  if (slashAt < from) return none
  const rest = core.slice(slashAt + 1).trim()
  const over = numeralStart.exec(rest)
  const note = /^([A-H])(##|#|bb|b)?$/.exec(rest)
  if (over && over[0].length === rest.length) {
    // V, VII and II of a chord are applied to it; any other numeral has it for its bass.
    const target = key && degreeNote(key.tonic, over[1]! + numberOf(over[2]!))
    const applies = [2, 5, 7].includes(numberOf(figure))
    return { stop: slashAt, applied: applies ? target : null, under: applies ? null : target }
  }
  if (note) return { ...none, stop: slashAt, under: noteOf(note[1]!, alterations[note[2] ?? ''] ?? 0, habits.german) }
  if (/^\d$/.test(rest) && rest !== '9' && rest !== '6')
    return { code: 'unknown-bass', at: slashAt + 1, end: core.length, why: '' }
  return none
}

const alterations: Record<string, number> = { '##': 2, x: 2, '#': 1, b: -1, B: -1, bb: -2 }

const isNoChord = (text: string): boolean => (text[0] === 'N' || text[0] === 'n') && noChordWords.test(text)

function closesAtEnd(text: string): boolean {
  let depth = 0
  for (let i = 0; i < text.length; i++) {
    if (text[i] === '(') depth++
    else if (text[i] === ')' && --depth === 0) return i === text.length - 1
  }
  return false
}

function noteOf(letter: string, alter: number, german: boolean): PitchClass {
  if (letter === 'H') return { letter: 'B', alter }
  if (german && letter === 'B' && alter === 0) return { letter: 'B', alter: -1 }
  return { letter: letter as Letter, alter }
}

/** The steps of a key as Roman numerals. */
export const numerals = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII']
const numberOf = (figure: string): number => numerals.indexOf(figure.toUpperCase()) + 1
