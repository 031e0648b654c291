/** One bar's signs to its chords with their beats. */
import type { Problem } from '../../problem.ts'
import type { Meter } from '../../theory/meter.ts'
import { meterName, shareBar } from '../../theory/meter.ts'
import { type ChartChord, type ChordSymbol, noChord } from '../chart.ts'
import { meantAsSymbol } from '../symbol/meantAsSymbol.ts'
import { readPlainSymbol, type SymbolHabits } from '../symbol/readSymbol.ts'
import type { PlainText } from './characters.ts'
import { spanAsTyped } from './characters.ts'
import type { ChartProblems } from './chartProblems.ts'
import type { Token } from './chartTokens.ts'

/** What filling a bar leans on: the text, the habits, and what sounded before. */
export interface BarSetting {
  readonly plain: PlainText
  readonly problems: ChartProblems
  readonly habits: SymbolHabits
  readonly meter: Meter
  /** The chord that sounds as the bar begins; null at the start. */
  readonly before: ChordSymbol | null
  /** A ChordPro grid, whose cells share the bar evenly. */
  readonly grid: boolean
  /** Reads numerals without a key only once. */
  readonly keyless: { said: boolean }
  readonly smallRoots: { said: boolean }
}

interface Slot {
  readonly symbol: ChordSymbol
  weight: number
  readonly at: number
  readonly end: number
  readonly optional: boolean
}

type SymbolToken = Extract<Token, { kind: 'symbol' }>

/** Whether what does not read is a word rather than a symbol gone wrong. */
const isWord = (code: string, text: string): boolean =>
  code === 'unknown-root'
    ? !/\d/.test(text)
    : code === 'unknown-quality' && /^[A-Za-z'.]{3,}$/.test(text) && !meantAsSymbol(text)

const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6

/** A bar while it is filled. */
interface Filling {
  readonly tokens: readonly Token[]
  readonly setting: BarSetting
  readonly slots: Slot[]
  /** Whether a symbol did not read. */
  failed: boolean
  /** Whether beats are written, and whether only strokes joined to symbols. */
  beats: boolean
  attachedOnly: boolean
  /** Words in a row that are no symbols, one cause together. */
  words: { at: number; end: number } | null
  /** Whether dashes with chords fill the meter, so that each is a beat. */
  readonly dashesCount: boolean
}

/** The chords of one bar, filling its meter. `failed` where a symbol did not read. */
export function fillBar(
  written: readonly Token[],
  setting: BarSetting,
): { chords: readonly ChartChord[]; failed: boolean } {
  const tokens = withBasses(written, setting)
  const dashes = tokens.filter((token) => token.kind === 'dash').length
  const chords = tokens.filter((token) => token.kind === 'symbol' || token.kind === 'simile').length
  const f: Filling = {
    tokens,
    setting,
    slots: [],
    failed: false,
    beats: false,
    attachedOnly: true,
    words: null,
    dashesCount: dashes > 0 && chords > 0 && dashes + chords === setting.meter.beats,
  }
  for (let t = 0; t < tokens.length; t++) hear(f, t)
  sayWords(f)
  shareTied(f)
  return { chords: f.slots.length === 0 ? [] : timed(f), failed: f.failed }
}

/**
 * A bar's signs, where strokes between a chord and a bare letter are no beats but stand before its bass: `C / E` in four. That they are
 * not beats shows in that they do not fill the bar, and that none are left.
 */
function withBasses(tokens: readonly Token[], { meter, habits }: BarSetting): readonly Token[] {
  // Ties are written only where beats are.
  if (!tokens.some((token) => token.kind === 'beat') || tokens.some((token) => token.kind === 'tie')) return tokens
  const heard = tokens.filter((token) => heardInBar.has(token.kind))
  const beats = heard.reduce((sum, token) => sum + (token.kind === 'beat' ? token.count : 1), 0)
  if (beats === meter.beats || (meter.unit === 2 && beats === meter.beats * 2)) return tokens
  const joined: Token[] = []
  for (let i = 0; i < tokens.length; i++) {
    const [token, stroke, letter] = [tokens[i]!, tokens[i + 1], tokens[i + 2]]
    const single = stroke?.kind === 'beat' && stroke.count === 1 && !stroke.attached
    const whole = token.kind === 'symbol' && single && letter?.kind === 'symbol' && /^[A-H][#b]?$/.test(letter.text)
    const text = whole ? `${token.text}/${letter.text}` : ''
    if (whole && readPlainSymbol(text, habits).symbol) {
      joined.push({ ...token, text, end: letter.end })
      i += 2
    } else if (token.kind === 'beat') return tokens
    else joined.push(token)
  }
  return joined
}

function hear(f: Filling, t: number): void {
  const token = f.tokens[t]!
  switch (token.kind) {
    case 'symbol':
      hearSymbol(f, token)
      break
    case 'bass':
      hearBass(f, token)
      break
    case 'simile':
      hearSimile(f, token)
      break
    case 'beat':
    case 'dash':
      hearBeat(f, token, t)
  }
}

const sounding = (f: Filling): ChordSymbol | null => f.slots[f.slots.length - 1]?.symbol ?? f.setting.before

function place(f: Filling, symbol: ChordSymbol, token: Token, optional = false): void {
  f.slots.push({ symbol, weight: 1, at: token.at, end: token.end, optional })
}

function sayWords(f: Filling): void {
  if (!f.words) return
  const { at, end } = f.words
  f.setting.problems.say('error', 'unknown-root', at, end, 'a note A to G, N.C. or a bar sign', 'N.C.', 'N.C.')
  f.words = null
}

/** A new bass under the chord that sounds. */
function hearBass(f: Filling, token: Extract<Token, { kind: 'bass' }>): void {
  const { habits, problems } = f.setting
  const under = sounding(f)
  const reading = under?.root
    ? readPlainSymbol(`${under.symbol.replace(/\/[A-G][#b]*$/, '')}/${token.text}`, habits)
    : null
  if (reading?.symbol) place(f, reading.symbol, token)
  else {
    const hint = `C/${token.text}`
    problems.say('error', 'nothing-to-repeat', token.at, token.end, 'a chord before the bass note', hint)
    f.failed = true
  }
}

function hearSimile(f: Filling, token: Token): void {
  const again = sounding(f)
  if (again) {
    place(f, again, token)
    return
  }
  f.setting.problems.say('error', 'nothing-to-repeat', token.at, token.end, 'a chord to repeat', 'C')
  f.failed = true
  place(f, noChord, token)
}

function hearBeat(f: Filling, token: Token, t: number): void {
  if (token.kind !== 'beat' && !f.dashesCount) return
  if (token.kind !== 'beat' || !token.attached) f.attachedOnly = false
  f.beats = true
  const tied = f.tokens[t - 1]?.kind === 'tie' || f.tokens[t + 1]?.kind === 'tie'
  // A tied beat gets its share of the beat below.
  const weight = tied ? 0 : token.kind === 'beat' ? token.count : 1
  const last = f.slots[f.slots.length - 1]
  if (last) last.weight += weight
  else f.slots.push({ symbol: f.setting.before ?? noChord, weight, at: token.at, end: token.end, optional: false })
}

function hearSymbol(f: Filling, token: SymbolToken): void {
  const { setting } = f
  const reading = readPlainSymbol(token.text, setting.habits)
  if (reading.symbol) {
    sayWords(f)
    for (const problem of reading.problems) adopt(setting, problem, token)
    saySplit(setting, token)
    if (reading.joined.length > 0) f.failed = true
    place(f, reading.symbol, token, token.optional || reading.optional)
    for (const joined of reading.joined) place(f, joined, token, token.optional)
    return
  }
  f.failed = true
  const problem = reading.problems.find((each) => each.severity === 'error')
  if (problem) saySymbol(f, token, problem)
  else sayWords(f)
  place(f, { symbol: token.text, root: null, chord: null, bass: null }, token, token.optional)
}

/** Says that a flat stands apart from its letter. */
function saySplit({ plain, problems }: BarSetting, { text, at, end }: SymbolToken): void {
  if (plain.text[at + 1] !== ' ' || text[1] !== 'b' || plain.text.slice(at, end).replace(' ', '') !== text) return
  problems.say('warning', 'split-symbol', at, end, 'the flat joined to its letter', text, text)
}

/** Says why a symbol does not read; words in a row are one cause, and a key is missed only once. */
function saySymbol(f: Filling, token: SymbolToken, problem: Problem): void {
  const { setting } = f
  if (problem.code === 'numeral-without-key') {
    if (!setting.keyless.said) setting.problems.adopt(problem, token.at)
    setting.keyless.said = true
  } else if (afterSign(f, token)) sayWords(f)
  else if (isWord(problem.code, token.text)) f.words = { at: f.words?.at ?? token.at, end: token.end }
  else {
    sayWords(f)
    setting.problems.adopt(problem, token.at)
  }
}

/** An alteration that stands apart from its chord: parentheses would join them. */
function afterSign({ slots, setting }: Filling, token: SymbolToken): boolean {
  const { plain, habits, problems } = setting
  const last = slots[slots.length - 1]
  if (!last?.symbol.root || !/^[b#]\d{1,2}$/.test(token.text)) return false
  const whole = `${plain.text.slice(last.at, last.end)}(${token.text})`
  if (!readPlainSymbol(whole, habits).symbol) return false
  const expected = 'a note A to G, or the alteration joined to its chord'
  problems.say('error', 'unknown-root', token.at, token.end, expected, whole, `(${token.text})`)
  return true
}

function adopt({ smallRoots, problems }: BarSetting, problem: Problem, token: Token): void {
  if (problem.code === 'small-root') {
    if (smallRoots.said) return
    smallRoots.said = true
  }
  problems.adopt(problem, token.at)
}

/** Chords tied by `~` share one beat. */
function shareTied(f: Filling): void {
  const { tokens, slots } = f
  if (!tokens.some((token) => token.kind === 'tie')) return
  f.beats = true
  f.attachedOnly = false
  let group: { slot: Slot; token: Token; tied: boolean }[] = []
  let index = 0
  const share = (): void => {
    const part = 1 / group.length
    for (const { slot, token, tied } of group) {
      if (token.kind === 'beat') slot.weight += tied ? part : 0
      else slot.weight += part - 1
    }
    group = []
  }
  let last: Slot | undefined
  for (let t = 0; t < tokens.length; t++) {
    const token = tokens[t]!
    if (token.kind === 'symbol' || token.kind === 'simile' || token.kind === 'bass') last = slots[index++] ?? last
    else if (token.kind === 'beat') last ??= slots[index++]
    else continue
    const follows = tokens[t - 1]?.kind === 'tie'
    if (!follows) share()
    if (last) group.push({ slot: last, token, tied: follows || tokens[t + 1]?.kind === 'tie' })
  }
  share()
}

/** The slots as chords with their beats; what does not fill the meter is said, and scaled to it. */
function timed(f: Filling): readonly ChartChord[] {
  const { slots, setting } = f
  const { plain } = setting
  const scale = scaleOf(f)
  // Written out: a spread here was a third of the time that reading took.
  return slots.map(({ symbol: { symbol, root, chord, bass }, weight, at, end, optional }) => ({
    symbol,
    root,
    chord,
    bass,
    beats: weight * scale,
    span: spanAsTyped(plain, at, end),
    optional,
  }))
}

function scaleOf(f: Filling): number {
  const { slots, setting, failed } = f
  const size = setting.meter.beats
  const total = slots.reduce((sum, slot) => sum + slot.weight, 0)
  if (!f.beats && setting.grid) return size / total
  if (!f.beats) {
    const stated = slots.length === setting.meter.groups?.length
    if (!failed && !stated && slots.length > 1 && size % slots.length !== 0) sayUneven(f)
    shareBar(setting.meter, slots.length).forEach((share, i) => {
      slots[i]!.weight = share
    })
    return 1
  }
  if (fills(f, total)) return size / total
  const strokes = total - slots.length
  if (f.attachedOnly && near(strokes, size) && slots.every((slot) => slot.weight > 1)) {
    for (const slot of slots) slot.weight -= 1
    return 1
  }
  if (!failed) sayWrongLength(f, total)
  return size / total
}

/** Whether so many beats fill the bar, by one of the habits of writing them. */
function fills({ slots, setting, tokens }: Filling, total: number): boolean {
  const { meter, grid, plain } = setting
  const size = meter.beats
  if (near(total, size)) return true
  const compound = meter.unit >= 8 && size > 3 && size % 3 === 0 && near(total * 3, size)
  const cut = meter.unit === 2 && near(total, size * 2)
  const cells = grid && (near(size % total, 0) || near(total % size, 0))
  const trailing =
    slots.length === 1 &&
    tokens.every((token) => token.kind !== 'symbol' && token.kind !== 'simile') &&
    (total >= 3 || (total === 1 && tokens.filter((token) => token.kind === 'beat').length === 1)) &&
    /^(?:\.+|\/)$/.test(plain.text.slice(slots[0]!.at, slots[0]!.end))
  return compound || cut || cells || trailing
}

const heardInBar = new Set<Token['kind']>(['symbol', 'beat', 'simile', 'bass', 'dash'])

function sayWrongLength({ tokens, setting }: Filling, total: number): void {
  const { meter, plain, problems } = setting
  const size = meter.beats
  const heard = tokens.filter((token) => heardInBar.has(token.kind))
  const first = heard[0]!
  const last = heard[heard.length - 1]!
  const count = Number.isInteger(total) ? String(total) : total.toFixed(2)
  const expected = `${size} beats in ${meterName(meter)}, not ${count}`
  const bar = plain.text.slice(first.at, last.end)
  if (total < size) {
    const more = Number.isInteger(total) ? `${bar}${' /'.repeat(Math.min(size - total, 64))}` : bar
    problems.say('error', 'bar-length', first.at, last.end, expected, more, more)
    return
  }
  // The first sign over the bar's end.
  let beats = 0
  const index = heard.findIndex((token) => {
    beats += token.kind === 'beat' ? token.count : 1
    return beats > size
  })
  if (index < 0) {
    problems.say('error', 'bar-length', first.at, last.end, expected, 'as many beats as the meter')
    return
  }
  const over = heard[index]!
  const onlyBeats = heard.slice(index).every((each) => each.kind === 'beat' && each.count === 1)
  const before = onlyBeats ? heard[index - 1] : undefined
  const hint = before ? plain.text.slice(before.at, before.end) : `| ${plain.text.slice(over.at, last.end)}`
  problems.say('error', 'bar-length', (before ?? over).at, last.end, expected, hint, hint)
}

function sayUneven({ slots, setting }: Filling): void {
  const { meter, plain, problems } = setting
  const first = slots[0]!
  const last = slots[slots.length - 1]!
  const written = slots.map((slot) => plain.text.slice(slot.at, slot.end))
  const shares = shareBar(meter, slots.length)
  const few = slots.length <= 16
  const fits = few && shares.every(Number.isInteger)
  const spread = written.map((text, i) => text + ' /'.repeat(Math.max(0, Math.ceil(shares[i]!) - 1)))
  const half = Math.ceil(written.length / 2)
  const hint = fits
    ? spread.join(' ')
    : few
      ? `${written.slice(0, half).join(' ')} | ${written.slice(half).join(' ')}`
      : '| C | F |'
  const mends = fits && slots.every((slot) => !slot.optional)
  const expected = `beats that add up to ${meterName(meter)}; taken as ${fits ? shares.join(' + ') : 'even'}`
  problems.say('warning', 'uneven-split', first.at, last.end, expected, hint, mends ? hint : undefined)
}
