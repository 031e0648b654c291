/** One chord symbol read, in any usual spelling, with what there is to say about it. */
import { fixed } from '../../fixed.ts'
import type { Problem } from '../../problem.ts'
import type { ChordSymbol } from '../chart.ts'
import { type PlainText, plainText, spanAsTyped } from '../typed/characters.ts'
import { explainFault, explainRemark, splitJoined } from './explainSymbol.ts'
import { parseSymbol, plainHabits, type SymbolHabits } from './parseSymbol.ts'

export { plainHabits, type SymbolHabits } from './parseSymbol.ts'

/** A symbol read: what it is, whether it may be left out, and what there is to say about it. */
export interface SymbolReading {
  /** Null where it does not read; the problems say why. */
  readonly symbol: ChordSymbol | null
  readonly optional: boolean
  /** Where two chords stand joined, the second and those after it. */
  readonly joined: readonly ChordSymbol[]
  readonly numeral: boolean
  readonly problems: readonly Problem[]
}

/** Symbols kept after reading, by their text; beyond this many the memory starts again. */
const remembered = 4_096
/** A longer text is not kept. */
const longestRemembered = 32
const memory = new Map<string, SymbolReading>()
const readable = new Map<string, 'chord' | 'numeral' | null>()

/**
 * Reads one chord symbol in any usual spelling; offsets in its problems count in the text given.
 *
 * @example
 * readSymbol('C-7b5/Gb').symbol.symbol // => 'Cm7b5/Gb'
 * readSymbol('E♭∆7(♯11)').symbol.symbol // => 'Ebmaj7(#11)'
 * readSymbol('Cmja7').problems[0].hint // => 'Cmaj7'
 */
export function readSymbol(text: string, habits: SymbolHabits = plainHabits): SymbolReading {
  if (habits === plainHabits) {
    const known = memory.get(text)
    if (known) return known
  }
  const plain = plainText(text)
  const reading = readPlainSymbol(plain.text, habits)
  if (plain.starts === null) return reading
  const placed = reading.problems.length === 0 ? reading : asTyped(reading, text, plain)
  if (habits === plainHabits) remember(text, placed)
  return placed
}

function asTyped(reading: SymbolReading, text: string, plain: PlainText): SymbolReading {
  const problems = reading.problems.map((problem) => {
    const span = spanAsTyped(plain, problem.span.start, problem.span.end)
    return { ...problem, span, found: text.slice(span.start, span.end) || problem.found }
  })
  return { ...reading, problems }
}

function remember(text: string, reading: SymbolReading): void {
  if (text.length > longestRemembered) return
  if (memory.size >= remembered) memory.clear()
  memory.set(text, fixed(reading))
}

/** The same for a text already made plain. */
export function readPlainSymbol(text: string, habits: SymbolHabits = plainHabits): SymbolReading {
  const usual = habits === plainHabits
  if (usual) {
    const known = memory.get(text)
    if (known) return known
  }
  const reading = readAnew(text, habits)
  if (usual) remember(text, reading)
  return reading
}

const nothing: readonly never[] = []

/** Reads without the memory of whole symbols; for measuring, too. */
export function readAnew(text: string, habits: SymbolHabits = plainHabits): SymbolReading {
  const parsed = parseSymbol(text, habits)
  const { symbol, optional, numeral, fault, remarks } = parsed
  if (!fault) {
    const problems = remarks.length === 0 ? nothing : remarks.map((remark) => explainRemark(text, parsed, remark))
    return { symbol, optional, joined: nothing, numeral, problems }
  }
  const { problem, joint } = explainFault(text, parsed, habits)
  if (joint === null) return { symbol: null, optional, joined: nothing, numeral, problems: [problem] }
  const before = text.slice(parsed.at, joint).replace(/[-,/ ]+$/, '')
  const rest = text.slice(joint, parsed.at + parsed.core.length)
  const capitals = { ...habits, smallRoots: false }
  const joined = splitJoined(rest, habits).flatMap((part) => parseSymbol(part, capitals).symbol ?? [])
  return { symbol: parseSymbol(before, habits).symbol, optional, joined, numeral: false, problems: [problem] }
}

/** Whether a text is a chord symbol as it stands, by letter or by numeral, joined chords not counted; null where it is none. */
export function readsAsSymbol(text: string): 'chord' | 'numeral' | null {
  const known = readable.get(text)
  if (known !== undefined) return known
  const { symbol, numeral, fault } = parseSymbol(text, plainHabits)
  const answer = symbol ? 'chord' : numeral && fault?.code === 'numeral-without-key' ? 'numeral' : null
  if (text.length <= longestRemembered) {
    if (readable.size >= remembered) readable.clear()
    readable.set(text, answer)
  }
  return answer
}
