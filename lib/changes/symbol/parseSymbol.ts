/** The parse of one chord symbol: root or Roman numeral, suffix, bass; or where it fails and why, in bare facts. */
import type { Chord } from '../../theory/chord.ts'
import { degreeNote } from '../../theory/degree.ts'
import type { Key } from '../../theory/key.ts'
import { fifthsOf, type Letter, noteAtFifths, type PitchClass } from '../../theory/pitch.ts'
import type { ChordSymbol } from '../chart.ts'
import { chordItems, type Remark } from './chordItems.ts'
import { chordMeaning } from './chordMeaning.ts'
import { canonicalSuffix, symbolName } from './chordName.ts'

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

const noChord: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }
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
          chord: { degrees, alt, named: canonicalSuffix({ degrees, alt }) },
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

/** Parses a symbol already made plain. */
export function parseSymbol(text: string, habits: SymbolHabits = plainHabits): ParsedSymbol {
  let core = text
  let at = 0
  if (core[0] === ' ' || core[core.length - 1] === ' ') {
    core = text.trim()
    at = text.length - text.trimStart().length
  }
  let remarks: Remark[] | null = null
  const remark = (code: string, start: number, end: number): void => {
    remarks ??= []
    remarks.push({ code, at: start, end })
  }
  let optional = false
  const first = core.charCodeAt(0)
  const last = core.charCodeAt(core.length - 1)
  // Footnote marks and commas; * and , stand low in ASCII, the daggers high.
  const tooLong = core.length > longestSymbol
  if (!tooLong && (last < 48 || last > 122 || last === 59) && !isNoChord(core) && footnote.test(core)) {
    const cut = core.replace(footnote, '')
    remark('dropped-mark', at + cut.length, at + core.length)
    core = cut.trimEnd()
  }
  if (first === 40 && core.length > 2 && !tooLong && closesAtEnd(core)) {
    optional = true
    const inner = core.slice(1, -1)
    at += 1 + inner.length - inner.trimStart().length
    core = inner.trim()
  }
  const end = (
    symbol: ChordSymbol | null,
    fault: SymbolFault | null,
    suffixAt: number,
    suffixEnd: number,
    numeral = false,
  ): ParsedSymbol => ({ symbol, optional, numeral, fault, remarks: remarks ?? nothing, core, at, suffixAt, suffixEnd })
  const fail = (code: SymbolFaultCode, from: number, to: number, why = '', suffixAt = 0): ParsedSymbol =>
    end(null, { code, at: at + from, end: at + to, why }, suffixAt, core.length)

  if ((core[0] === 'N' || core[0] === 'n') && noChordWords.test(core))
    return end(noChord, null, core.length, core.length)
  if (tooLong || core === '') return fail('unknown-root', 0, core.length)
  if (core[0] === '(') return fail('unmatched-parenthesis', 0, 1, 'not closed')
  const numeral = 'bIViv#'.includes(core[0]!) ? numeralStart.exec(core) : null
  if (numeral) return readNumeral(numeral)

  // Root.
  const letter = core[0]!
  const code = core.charCodeAt(0)
  const small = code >= 97 && code <= 104
  if (!small && !(code >= 65 && code <= 72)) return fail('unknown-root', 0, core.length)
  if (small && (!habits.smallRoots || /^b ?(?:5|9|11|13)/.test(core))) return fail('unknown-root', 0, core.length)
  let suffixAt = 1
  let alter = 0
  const sign = core[1]
  if (sign === '#' || sign === 'b') {
    const fifth = core[2] === sign && fifthRoot.test(core.slice(1, 5))
    if (fifth) remark('root-and-fifth', at, at + 4)
    const twice = core[2] === sign && !fifth
    alter = (sign === '#' ? 1 : -1) * (twice ? 2 : 1)
    suffixAt = twice ? 3 : 2
    const extra = core[suffixAt]
    if (!fifth && (extra === '#' || extra === 'b'))
      return fail('mixed-accidentals', suffixAt, suffixAt + 1, '', suffixAt)
  } else if (sign === 'x' || (sign === 'n' && core[2] !== 'o')) {
    alter = sign === 'x' ? 2 : 0
    suffixAt = 2
    const extra = core[2]
    if ((extra === '#' || extra === 'b') && !/\d/.test(core[3] ?? '')) return fail('mixed-accidentals', 2, 3, '', 2)
  } else if (sign === 'B' && code <= 71 && core === core.toUpperCase()) {
    alter = -1
    suffixAt = 2
    remark('caps-lock-flat', at, at + 2)
  }
  if (small) remark('small-root', at, at + 1)
  const root = noteOf(small ? letter.toUpperCase() : letter, alter, habits.german)

  // Bass, then the suffix between.
  let suffixEnd = core.length
  let bass: PitchClass | null = null
  const slash = core.lastIndexOf('/')
  if (slash >= suffixAt) {
    const match = bassAtEnd.exec(core.slice(slash))
    if (match) {
      bass = bassOf(match[1]!, match[2] ?? '', slash)
      suffixEnd = slash
    }
  }
  const suffix = core.slice(suffixAt, suffixEnd)
  const reading = readSuffix(suffix, habits.dialect, false)
  keepRemarks(reading.remarks, suffixAt)
  if (reading.fault) {
    const { code: cause, at: from, end: to, why } = reading.fault
    return end(null, { code: cause, at: at + suffixAt + from, end: at + suffixAt + to, why }, suffixAt, suffixEnd)
  }
  const chord = reading.chord!
  return end({ symbol: symbolName(root, chord.named, bass), root, chord, bass }, null, suffixAt, suffixEnd)

  function keepRemarks(found: readonly Remark[], offset: number): void {
    for (const each of found) remark(each.code, at + offset + each.at, at + offset + each.end)
  }

  function bassOf(bassLetter: string, signs: string, from: number): PitchClass {
    const capital = bassLetter.toUpperCase()
    if (capital !== bassLetter) remark('small-root', at + from + 1, at + from + 2)
    if (signs === 'B') remark('caps-lock-flat', at + from + 1, at + core.length)
    return noteOf(capital, alterations[signs] ?? 0, habits.german)
  }

  function readNumeral(match: RegExpExecArray): ParsedSymbol {
    const [all, accidental = '', figure = ''] = match
    const { key } = habits
    const from = all.length
    let stop = core.length
    let applied: PitchClass | null = null
    let under: PitchClass | null = null
    const slashAt = core.lastIndexOf('/')
    if (slashAt >= from) {
      const rest = core.slice(slashAt + 1).trim()
      const over = numeralStart.exec(rest)
      const note = /^([A-H])(##|#|bb|b)?$/.exec(rest)
      if (over && over[0].length === rest.length) {
        stop = slashAt
        // V, VII and II of a chord are applied to it; any other numeral has it for its bass.
        const target = key && degreeNote(key.tonic, over[1]! + numberOf(over[2]!))
        if ([2, 5, 7].includes(numberOf(figure))) applied = target
        else under = target
      } else if (note) {
        stop = slashAt
        under = noteOf(note[1]!, alterations[note[2] ?? ''] ?? 0, habits.german)
      } else if (/^\d$/.test(rest) && rest !== '9' && rest !== '6')
        return end(
          null,
          { code: 'unknown-bass', at: at + slashAt + 1, end: at + core.length, why: '' },
          from,
          core.length,
          true,
        )
    }
    const reading = readSuffix(core.slice(from, stop), habits.dialect, figure === figure.toLowerCase())
    keepRemarks(reading.remarks, from)
    if (reading.fault) {
      const { code: cause, at: start, end: to, why } = reading.fault
      return end(null, { code: cause, at: at + from + start, end: at + from + to, why }, from, stop, true)
    }
    if (!key) return end(null, { code: 'numeral-without-key', at, end: at + core.length, why: '' }, from, stop, true)
    const chord = reading.chord!
    const root = plainNote(degreeNote(applied ?? key.tonic, accidental + numberOf(figure)))
    const bassNote = under && plainNote(under)
    const symbol = { symbol: symbolName(root, chord.named, bassNote), root, chord, bass: bassNote }
    return end(symbol, null, from, stop, true)
  }
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

const numerals = ['I', 'II', 'III', 'IV', 'V', 'VI', 'VII']
const numberOf = (figure: string): number => numerals.indexOf(figure.toUpperCase()) + 1

/** A root with two signs under its plainer name. */
function plainNote(note: PitchClass): PitchClass {
  if (Math.abs(note.alter) < 2) return note
  return noteAtFifths(fifthsOf(note) + (note.alter < 0 ? 12 : -12))
}
