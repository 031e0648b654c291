/** What is wrong with a chord symbol, in a person's words, with what to write instead; every hint has been read itself. */
import type { Problem } from '../../problem.ts'
import type { Chord } from '../../theory/chord.ts'
import { nameOf } from '../../theory/pitch.ts'
import type { Remark } from './chordItems.ts'
import { nearestSymbol } from './nearestSymbol.ts'
import {
  longestSymbol,
  type ParsedSymbol,
  parseSymbol,
  type SymbolFaultCode,
  type SymbolHabits,
} from './parseSymbol.ts'

const capital = (text: string): string => (/^[a-h]/.test(text) ? text[0]!.toUpperCase() + text.slice(1) : text)

/** How far into a symbol its first wrong character may stand for the message to point at the whole symbol. */
const nearStart = 5

/** A symbol that does not read, and the means of explaining it; offsets count in its core. */
interface Faulty {
  readonly text: string
  readonly parsed: ParsedSymbol
  readonly habits: SymbolHabits
  readonly start: number
  readonly stop: number
  readonly rootText: string
}

/** What is wrong, and where a second chord starts when two stand joined. */
interface Explained {
  readonly problem: Problem
  readonly joint: number | null
}

const reads = (f: Faulty, candidate: string): boolean => parseSymbol(candidate, f.habits).symbol !== null

function make(f: Faulty, from: number, to: number, expected: string, hint: string, replacement?: string): Problem {
  const { text, parsed } = f
  const { at } = parsed
  return {
    severity: 'error',
    code: parsed.fault!.code,
    span: { start: at + from, end: at + to },
    found: text.slice(at + from, at + to) || 'nothing',
    expected,
    hint,
    ...(replacement === undefined ? {} : { replacement }),
  }
}

/** Points at the whole symbol, or, where the cause stands far into it, at what follows from there on. */
function whole(f: Faulty, expected: string, hint: string): Explained {
  const { start } = f
  const { core } = f.parsed
  const problem =
    start <= nearStart
      ? make(f, 0, core.length, expected, hint, hint)
      : hint.startsWith(core.slice(0, start))
        ? make(f, start, core.length, expected, hint, hint.slice(start))
        : make(f, start, core.length, expected, hint)
  return { problem, joint: null }
}

/** The first chord, then the rest apart from it. */
function joined(f: Faulty, second: number, before: string, rest: string): Explained {
  const { core, at } = f.parsed
  const parts = splitJoined(rest, f.habits)
  const apart = [capital(before), ...parts].join(' ')
  const expected = `a space after ${before}`
  const problem =
    second <= nearStart
      ? make(f, 0, core.length, expected, apart, apart)
      : make(f, second, core.length, expected, apart, ` ${parts.join(' ')}`)
  return { problem: { ...problem, code: 'joined-chords' }, joint: at + second }
}

/** The problem of a symbol that does not read, and where a second chord starts when two stand joined. */
export function explainFault(text: string, parsed: ParsedSymbol, habits: SymbolHabits): Explained {
  const fault = parsed.fault!
  const start = fault.at - parsed.at
  const stop = fault.end - parsed.at
  return explanations[fault.code]({
    text,
    parsed,
    habits,
    start,
    stop,
    rootText: capital(parsed.core.slice(0, parsed.suffixAt)),
  })
}

/** How each fault is explained. */
const explanations: Readonly<Record<SymbolFaultCode, (f: Faulty) => Explained>> = {
  'unknown-root': (f) => {
    const { core } = f.parsed
    if (core.length > longestSymbol)
      return { problem: make(f, 0, core.length, 'a chord symbol, with spaces between chords', 'C7'), joint: null }
    const guess = nearestSymbol(core, (candidate) => reads(f, candidate))
    const expected = 'a note A to G, N.C. or a bar sign'
    return { problem: make(f, 0, core.length, expected, guess ?? 'C7', guess ?? undefined), joint: null }
  },
  'mixed-accidentals': (f) => {
    const rest = f.parsed.core.slice(f.parsed.suffixAt)
    const altered = `${f.rootText}(${rest})`
    const plain = f.rootText + rest.replace(/^[#b]+/, '')
    const hint = /^[#b]\d/.test(rest) && reads(f, altered) ? altered : reads(f, plain) ? plain : f.rootText
    return whole(f, 'one of # b ## bb after the letter', hint)
  },
  'missing-bass': (f) => {
    const bare = f.parsed.core.slice(0, f.start).trimEnd()
    return whole(f, 'a bass note after the slash', reads(f, bare) ? capital(bare) : `${f.rootText}/C`)
  },
  'unknown-bass': explainBass,
  'unmatched-parenthesis': (f) => {
    if (f.start > 0 || f.parsed.suffixAt > 0)
      return whole(f, parenthesisWanted[f.parsed.fault!.why] ?? 'parentheses in pairs', parenthesisMended(f))
    const rest = f.parsed.core.slice(1).replace(/[()]/g, '')
    return whole(f, '")" after the chord', reads(f, rest) ? rest : 'C7')
  },
  contradiction: (f) => {
    const { core, fault } = f.parsed
    const without = (core.slice(0, f.start) + core.slice(f.stop))
      .replace(/\(\s*,?\s*\)/g, '')
      .replace(/\(\s*,/, '(')
      .replace(/,\s*\)/, ')')
    // What is left must not go to the root: Cb5 for C8b5.
    const rooted = f.start > f.parsed.suffixAt || !/^[#b]/.test(without.slice(f.parsed.suffixAt))
    const hint = rooted && reads(f, without) ? without : (nearestSymbol(core, (each) => reads(f, each)) ?? f.rootText)
    return whole(f, `a chord without contradiction: ${fault!.why}`, capital(hint))
  },
  'numeral-without-key': (f) => ({
    problem: make(f, 0, f.parsed.core.length, 'a key for the numerals, such as "Key: C"', 'Key: C'),
    joint: null,
  }),
  'unknown-quality': explainQuality,
}

function explainBass(f: Faulty): Explained {
  const { parsed, habits, start, rootText } = f
  const { core } = parsed
  const rest = core.slice(start).trim()
  const before = core.slice(0, start - 1)
  if (/^[A-H][#b]{0,2}\/[A-H][#b]{0,2}$/.test(rest) && reads(f, before))
    return whole(f, 'one bass note', `${capital(before)}/${rest.split('/')[0]}`)
  const another = !parsed.numeral && rest.length > 1 && /^[A-H]/.test(rest)
  if (another && reads(f, before) && splitJoined(rest, habits).length > 0) return joined(f, start, before, rest)
  if (parsed.numeral) return whole(f, 'a numeral or a note after the slash', before)
  const joinedUp = core.slice(0, start - 1) + core.slice(start)
  if (!/^[A-Ha-h]/.test(rest) && reads(f, joinedUp)) return whole(f, 'a bass note A to G', capital(joinedUp))
  const root = /^[A-H][#b]?/.exec(rootText)?.[0] ?? 'C'
  return whole(f, 'a bass note A to G', reads(f, before) ? `${capital(before)}/${root}` : rootText)
}

function explainQuality(f: Faulty): Explained {
  const { parsed, habits, start, rootText } = f
  const { core, suffixAt, numeral } = parsed
  const joint = numeral ? null : jointAt(core, suffixAt, start, habits)
  if (joint !== null) return joined(f, joint, core.slice(0, joint).replace(/[-,/ ]+$/, ''), core.slice(joint))
  const near = numeral ? null : nearestSymbol(core, (candidate) => reads(f, candidate))
  const hint = capital(near ?? beginning(f) ?? rootText)
  return whole(f, start > suffixAt ? `a quality or number after ${core.slice(0, start)}` : 'a quality or number', hint)
}

/** The longest beginning of the symbol that reads. */
function beginning(f: Faulty): string | null {
  for (let cut = f.start; cut >= Math.max(1, f.parsed.suffixAt); cut--) {
    const candidate = f.parsed.core.slice(0, cut).replace(/[(,/ ]+$/, '')
    if (candidate && reads(f, candidate)) return candidate
  }
  return null
}

/** The symbol with its parentheses put right. */
function parenthesisMended(f: Faulty): string {
  const { core, suffixAt, suffixEnd, fault } = f.parsed
  const inside = core.slice(0, suffixEnd).replace(/[(,\s]+$/, '')
  const candidates = [
    ...(fault!.why === 'not closed' ? [`${inside})${core.slice(suffixEnd)}`, inside + core.slice(suffixEnd)] : []),
    core.slice(0, f.start) + core.slice(f.stop),
    f.rootText + unnested(core.slice(suffixAt)),
    f.rootText + core.slice(suffixAt).replace(/[()]/g, ''),
  ]
  const near = nearestSymbol(core, (candidate) => reads(f, candidate))
  return candidates.find((candidate) => reads(f, candidate)) ?? near ?? beginning(f) ?? f.rootText
}

/** Groups within a group made one with it. */
function unnested(suffix: string): string {
  let depth = 0
  let out = ''
  for (const c of suffix) {
    if (c === '(') out += depth++ === 0 ? '(' : ','
    else if (c === ')') out += --depth === 0 ? ')' : ''
    else out += c
  }
  return out
}

const parenthesisWanted: Record<string, string> = {
  'not closed': '")" before the bar line',
  empty: 'something inside the parentheses',
  'not opened': '"(" before it',
  'groups do not nest': 'one pair of parentheses',
}

/** Where, near the first wrong character, a second chord starts; null where none does. */
function jointAt(core: string, suffixAt: number, from: number, habits: SymbolHabits): number | null {
  for (let i = Math.max(from, suffixAt); i < core.length && i <= from + 1; i++) {
    if (core[i]! < 'A' || core[i]! > 'H') continue
    const before = core.slice(0, i).replace(/[-,/ ]+$/, '')
    if (parseSymbol(before, habits).symbol && splitJoined(core.slice(i), habits).length > 0) return i
  }
  return null
}

const capitals = (habits: SymbolHabits): SymbolHabits => ({ ...habits, smallRoots: false })

/** Chords that stand joined, apart; none where the text is no run of chords. */
export function splitJoined(text: string, habits: SymbolHabits): readonly string[] {
  const parsed = parseSymbol(text, capitals(habits))
  if (parsed.symbol) return [text]
  const code = parsed.fault!.code
  if (code !== 'unknown-quality' && code !== 'unknown-bass') return []
  const from = parsed.fault!.at
  for (let i = Math.max(from, 1); i < text.length && i <= from + 1; i++) {
    if (text[i]! < 'A' || text[i]! > 'H') continue
    const before = text.slice(0, i).replace(/[-,/ ]+$/, '')
    if (!parseSymbol(before, capitals(habits)).symbol) continue
    const rest = splitJoined(text.slice(i), habits)
    if (rest.length > 0) return [before, ...rest]
  }
  return []
}

/** The warning that a remark on a symbol that reads comes to: it points at the whole symbol, and its hint takes the whole's place. */
export function explainRemark(text: string, parsed: ParsedSymbol, remark: Remark): Problem {
  const { core, at, suffixAt, suffixEnd, symbol } = parsed
  const warn = (code: string, expected: string, hint: string, mends = true, end = at + core.length): Problem => ({
    severity: 'warning',
    code,
    span: { start: at, end },
    found: text.slice(at, end),
    expected,
    hint,
    ...(mends ? { replacement: hint } : {}),
  })
  /** The core with a stretch of it replaced; the stretch counts in the text. */
  const put = (by: string): string => core.slice(0, remark.at - at) + by + core.slice(remark.end - at)
  switch (remark.code) {
    case 'dropped-mark':
      return warn(remark.code, 'a chord symbol alone', core, true, remark.end)
    case 'small-root':
      return warn(remark.code, 'a capital letter', put(text.slice(remark.at, remark.end).toUpperCase()))
    case 'caps-lock-flat':
      return warn(remark.code, 'a flat as b', put(`${text[remark.at]}b`))
    case 'zero-for-diminished':
      return warn(remark.code, 'dim or °', put('dim'))
    case 'root-and-fifth':
      return warn(
        'ambiguous-symbol',
        'the root apart from its fifth',
        put(`${text.slice(remark.at, remark.at + 2)}(${text.slice(remark.at + 2, remark.end)})`),
      )
  }
  const chord = symbol?.chord
  if (!symbol?.root || !chord) return warn('ambiguous-symbol', 'a spelling with one meaning', core, false)
  const suffix = core.slice(suffixAt, suffixEnd)
  const other = otherMeaning(suffix, nameOf(symbol.root), chord)
  if (other) return warn('ambiguous-symbol', `a spelling with one meaning; read ${other.as}`, other.hint, false)
  const same = nameOf(symbol.root) + chord.named
  const hint = parsed.numeral ? core.slice(0, suffixAt) + chord.named : symbol.symbol
  return warn('ambiguous-symbol', `a spelling with one meaning; read as ${same}`, hint, !parsed.numeral)
}

/** What a symbol that could be taken two ways was read as, and how the other way is written. */
function otherMeaning(suffix: string, root: string, chord: Chord): { as: string; hint: string } | null {
  if (chord.alt) return { as: 'with both ninths, a flat fifth and a flat thirteenth', hint: `${root}7(b5,b9,#9,b13)` }
  if (/^(?:dim|°|o|0)/i.test(suffix) && !/7/.test(suffix)) return { as: 'as the triad', hint: `${root}dim7` }
  if (chord.named === '11') return { as: 'with its third', hint: `${root}9sus4` }
  if (chord.named.startsWith('13') || chord.named.startsWith('maj13'))
    return { as: 'without the eleventh', hint: `${root}${chord.named.replace(/^((?:maj)?13).*/, '$1')}(add11)` }
  if (chord.named.startsWith('maj11')) return { as: 'with its third', hint: `${root}maj9sus4` }
  return null
}
