/** What is wrong with a chord symbol, in a person's words, with what to write instead; every hint has been read itself. */
import type { Problem } from '../../problem.ts'
import type { Chord } from '../../theory/chord.ts'
import { nameOf } from '../../theory/pitch.ts'
import type { Remark } from './chordItems.ts'
import { nearestSymbol } from './nearestSymbol.ts'
import { longestSymbol, type ParsedSymbol, parseSymbol, type SymbolHabits } from './parseSymbol.ts'

const capital = (text: string): string => (/^[a-h]/.test(text) ? text[0]!.toUpperCase() + text.slice(1) : text)

/** How far into a symbol its first wrong character may stand for the message to point at the whole symbol. */
const nearStart = 5

/** The problem of a symbol that does not read, and where a second chord starts when two stand joined. */
export function explainFault(
  text: string,
  parsed: ParsedSymbol,
  habits: SymbolHabits,
): { problem: Problem; joint: number | null } {
  const { core, at, suffixAt, suffixEnd } = parsed
  const fault = parsed.fault!
  /** Offsets within the core. */
  const start = fault.at - at
  const stop = fault.end - at
  const reads = (candidate: string): boolean => parseSymbol(candidate, habits).symbol !== null
  const make = (from: number, to: number, expected: string, hint: string, replacement?: string): Problem => ({
    severity: 'error',
    code: fault.code,
    span: { start: at + from, end: at + to },
    found: text.slice(at + from, at + to) || 'nothing',
    expected,
    hint,
    ...(replacement === undefined ? {} : { replacement }),
  })
  const said = (problem: Problem): { problem: Problem; joint: null } => ({ problem, joint: null })
  const rootText = capital(core.slice(0, suffixAt))
  /** The longest beginning of the symbol that reads. */
  const beginning = (): string | null => {
    for (let cut = start; cut >= Math.max(1, suffixAt); cut--) {
      const candidate = core.slice(0, cut).replace(/[(,/ ]+$/, '')
      if (candidate && reads(candidate)) return candidate
    }
    return null
  }
  /** Points at the whole symbol, or, where the cause stands far into it, at what follows from there on. */
  const whole = (expected: string, hint: string): Problem => {
    if (start <= nearStart) return make(0, core.length, expected, hint, hint)
    return hint.startsWith(core.slice(0, start))
      ? make(start, core.length, expected, hint, hint.slice(start))
      : make(start, core.length, expected, hint)
  }

  switch (fault.code) {
    case 'unknown-root': {
      if (core.length > longestSymbol)
        return said(make(0, core.length, 'a chord symbol, with spaces between chords', 'C7'))
      const guess = nearestSymbol(core, reads)
      return said(make(0, core.length, 'a note A to G, N.C. or a bar sign', guess ?? 'C7', guess ?? undefined))
    }
    case 'mixed-accidentals': {
      const rest = core.slice(suffixAt)
      const altered = `${rootText}(${rest})`
      const plain = rootText + rest.replace(/^[#b]+/, '')
      const hint = /^[#b]\d/.test(rest) && reads(altered) ? altered : reads(plain) ? plain : rootText
      return said(whole('one of # b ## bb after the letter', hint))
    }
    case 'missing-bass': {
      const bare = core.slice(0, start).trimEnd()
      return said(whole('a bass note after the slash', reads(bare) ? capital(bare) : `${rootText}/C`))
    }
    case 'unknown-bass': {
      const rest = core.slice(start).trim()
      const before = core.slice(0, start - 1)
      if (/^[A-H][#b]{0,2}\/[A-H][#b]{0,2}$/.test(rest) && reads(before))
        return said(whole('one bass note', `${capital(before)}/${rest.split('/')[0]}`))
      if (
        !parsed.numeral &&
        rest.length > 1 &&
        /^[A-H]/.test(rest) &&
        reads(before) &&
        splitJoined(rest, habits).length > 0
      )
        return joined(start, before, rest)
      if (parsed.numeral) return said(whole('a numeral or a note after the slash', before))
      const root = /^[A-H][#b]?/.exec(rootText)?.[0] ?? 'C'
      return said(whole('a bass note A to G', reads(before) ? `${capital(before)}/${root}` : rootText))
    }
    case 'unmatched-parenthesis': {
      if (start === 0 && suffixAt === 0) {
        const rest = core.slice(1).replace(/[()]/g, '')
        return said(whole('")" after the chord', reads(rest) ? rest : 'C7'))
      }
      return said(whole(parenthesisWanted[fault.why] ?? 'parentheses in pairs', parenthesisMended()))
    }
    case 'contradiction': {
      const without = (core.slice(0, start) + core.slice(stop))
        .replace(/\(\s*,?\s*\)/g, '')
        .replace(/\(\s*,/, '(')
        .replace(/,\s*\)/, ')')
      const hint = reads(without) ? without : (nearestSymbol(core, reads) ?? rootText)
      return said(whole(`a chord without contradiction: ${fault.why}`, capital(hint)))
    }
    case 'numeral-without-key':
      return said(make(0, core.length, 'a key for the numerals, such as "Key: C"', 'Key: C'))
    default: {
      const joint = parsed.numeral ? null : jointAt(core, suffixAt, start, habits)
      if (joint !== null) {
        const before = core.slice(0, joint).replace(/[-,/ ]+$/, '')
        return joined(joint, before, core.slice(joint))
      }
      const near = parsed.numeral ? null : nearestSymbol(core, reads)
      const hint = capital(near ?? beginning() ?? rootText)
      return said(
        whole(start > suffixAt ? `a quality or number after ${core.slice(0, start)}` : 'a quality or number', hint),
      )
    }
  }

  /** The symbol with its parentheses put right. */
  function parenthesisMended(): string {
    const inside = core.slice(0, suffixEnd).replace(/[(,\s]+$/, '')
    const candidates = [
      ...(fault.why === 'not closed' ? [`${inside})${core.slice(suffixEnd)}`, inside + core.slice(suffixEnd)] : []),
      core.slice(0, start) + core.slice(stop),
      rootText + unnested(core.slice(suffixAt)),
      rootText + core.slice(suffixAt).replace(/[()]/g, ''),
    ]
    return candidates.find(reads) ?? rootText
  }

  /** The first chord, then the rest apart from it. */
  function joined(second: number, before: string, rest: string): { problem: Problem; joint: number } {
    const parts = splitJoined(rest, habits)
    const apart = [capital(before), ...parts].join(' ')
    const expected = `a space after ${before}`
    const problem =
      second <= nearStart
        ? make(0, core.length, expected, apart, apart)
        : make(second, core.length, expected, apart, ` ${parts.join(' ')}`)
    return { problem: { ...problem, code: 'joined-chords' }, joint: at + second }
  }
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
