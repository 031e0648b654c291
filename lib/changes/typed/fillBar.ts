/** One bar's signs to its chords with their beats. */
import type { Meter } from '../../theory/meter.ts'
import { meterName, shareBar } from '../../theory/meter.ts'
import type { ChartChord, ChordSymbol } from '../chart.ts'
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

const silence: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }
/** Whether what does not read is a word rather than a symbol gone wrong. */
const isWord = (code: string, text: string): boolean =>
  code === 'unknown-root'
    ? !/\d/.test(text)
    : code === 'unknown-quality' && /^[A-Za-z'.]{3,}$/.test(text) && !meantAsSymbol(text)

const near = (a: number, b: number): boolean => Math.abs(a - b) < 1e-6

/** The chords of one bar, filling its meter. `failed` where a symbol did not read. */
export function fillBar(
  tokens: readonly Token[],
  setting: BarSetting,
): { chords: readonly ChartChord[]; failed: boolean } {
  const { problems, meter, plain } = setting
  const slots: Slot[] = []
  let failed = false
  let beats = false
  let attachedOnly = true
  let words: { at: number; end: number } | null = null
  const sounding = (): ChordSymbol | null => slots[slots.length - 1]?.symbol ?? setting.before

  const flushWords = (): void => {
    if (!words) return
    problems.say('error', 'unknown-root', words.at, words.end, 'a note A to G, N.C. or a bar sign', 'N.C.', 'N.C.')
    words = null
  }
  const place = (symbol: ChordSymbol, token: Token, optional = false): void => {
    slots.push({ symbol, weight: 1, at: token.at, end: token.end, optional })
  }

  const signs = tokens.filter((token) => token.kind === 'dash').length
  const chordsWritten = tokens.filter((token) => token.kind === 'symbol' || token.kind === 'simile').length
  const dashesCount = signs > 0 && chordsWritten > 0 && signs + chordsWritten === meter.beats

  for (let t = 0; t < tokens.length; t++) {
    const token = tokens[t]!
    const tied = tokens[t - 1]?.kind === 'tie' || tokens[t + 1]?.kind === 'tie'
    switch (token.kind) {
      case 'symbol':
        symbolAt(token)
        break
      case 'bass': {
        const under = sounding()
        const reading = under?.root
          ? readPlainSymbol(`${under.symbol.replace(/\/[A-G][#b]*$/, '')}/${token.text}`, setting.habits)
          : null
        if (reading?.symbol) place(reading.symbol, token)
        else {
          problems.say(
            'error',
            'nothing-to-repeat',
            token.at,
            token.end,
            'a chord before the bass note',
            `C/${token.text}`,
          )
          failed = true
        }
        break
      }
      case 'simile': {
        const again = sounding()
        if (again) place(again, token)
        else {
          problems.say('error', 'nothing-to-repeat', token.at, token.end, 'a chord to repeat', 'C')
          failed = true
          place(silence, token)
        }
        break
      }
      case 'beat':
      case 'dash': {
        if (token.kind === 'dash' && !dashesCount) break
        if (token.kind === 'beat' && !token.attached) attachedOnly = false
        if (token.kind === 'dash') attachedOnly = false
        beats = true
        const count = token.kind === 'beat' ? token.count : 1
        const last = slots[slots.length - 1]
        // A tied beat gets its share of the beat below.
        const weight = tied ? 0 : count
        if (last) last.weight += weight
        else slots.push({ symbol: setting.before ?? silence, weight, at: token.at, end: token.end, optional: false })
        break
      }
    }
  }
  flushWords()
  shareTied()

  if (slots.length === 0) return { chords: [], failed }
  return { chords: timed(), failed }

  function symbolAt(token: Extract<Token, { kind: 'symbol' }>): void {
    const reading = readPlainSymbol(token.text, setting.habits)
    if (reading.symbol) {
      flushWords()
      for (const problem of reading.problems) adopt(problem, token)
      if (reading.joined.length > 0) failed = true
      place(reading.symbol, token, token.optional || reading.optional)
      for (const joined of reading.joined) place(joined, token, token.optional)
      return
    }
    failed = true
    const [problem] = reading.problems.filter((each) => each.severity === 'error')
    if (problem?.code === 'numeral-without-key') {
      if (!setting.keyless.said) problems.adopt(problem, token.at)
      setting.keyless.said = true
    } else if (problem && afterSign(token)) {
      flushWords()
    } else if (problem && isWord(problem.code, token.text)) {
      // Words in a row are one cause.
      words = words ? { at: words.at, end: token.end } : { at: token.at, end: token.end }
    } else {
      flushWords()
      if (problem) problems.adopt(problem, token.at)
    }
    slots.push({
      symbol: { symbol: token.text, root: null, chord: null, bass: null },
      weight: 1,
      at: token.at,
      end: token.end,
      optional: token.optional,
    })
  }

  /** An alteration that stands apart from its chord: parentheses would join them. */
  function afterSign(token: Extract<Token, { kind: 'symbol' }>): boolean {
    const last = slots[slots.length - 1]
    if (!last?.symbol.root || !/^[b#]\d{1,2}$/.test(token.text)) return false
    const whole = `${plain.text.slice(last.at, last.end)}(${token.text})`
    if (!readPlainSymbol(whole, setting.habits).symbol) return false
    problems.say(
      'error',
      'unknown-root',
      token.at,
      token.end,
      'a note A to G, or the alteration joined to its chord',
      whole,
      `(${token.text})`,
    )
    return true
  }

  function adopt(problem: Parameters<ChartProblems['adopt']>[0], token: Token): void {
    if (problem.code === 'small-root') {
      if (setting.smallRoots.said) return
      setting.smallRoots.said = true
    }
    problems.adopt(problem, token.at)
  }

  /** Chords tied by `~` share one beat. */
  function shareTied(): void {
    if (!tokens.some((token) => token.kind === 'tie')) return
    beats = true
    attachedOnly = false
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

  function timed(): readonly ChartChord[] {
    const size = meter.beats
    const total = slots.reduce((sum, slot) => sum + slot.weight, 0)
    let scale = size / total
    if (beats) {
      const strokes = slots.reduce((sum, slot) => sum + slot.weight - 1, 0)
      const compound = meter.unit >= 8 && size > 3 && size % 3 === 0 && near(total * 3, size)
      const cut = meter.unit === 2 && near(total, size * 2)
      const trailing =
        slots.length === 1 &&
        tokens.every((token) => token.kind !== 'symbol' && token.kind !== 'simile') &&
        (total >= 3 || (total === 1 && tokens.filter((token) => token.kind === 'beat').length === 1)) &&
        /^(?:\.+|\/)$/.test(plain.text.slice(slots[0]!.at, slots[0]!.end))
      const cells = setting.grid && (near(size % total, 0) || near(total % size, 0))
      if (near(total, size) || compound || cut || cells || trailing) scale = size / total
      else if (attachedOnly && near(strokes, size) && slots.every((slot) => slot.weight > 1)) {
        for (const slot of slots) slot.weight -= 1
        scale = 1
      } else if (!failed) wrongLength(total)
    } else if (!setting.grid) {
      if (!failed && slots.length > 1 && size % slots.length !== 0) uneven()
      shareBar(meter, slots.length).forEach((share, i) => {
        slots[i]!.weight = share
      })
      scale = 1
    }
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

  function wrongLength(total: number): void {
    const name = meterName(meter)
    const size = meter.beats
    const heard = tokens.filter(
      (token) =>
        token.kind === 'symbol' ||
        token.kind === 'beat' ||
        token.kind === 'simile' ||
        token.kind === 'bass' ||
        token.kind === 'dash',
    )
    const first = heard[0]!
    const last = heard[heard.length - 1]!
    const count = Number.isInteger(total) ? String(total) : total.toFixed(2)
    const expected = `${size} beats in ${name}, not ${count}`
    const bar = plain.text.slice(first.at, last.end)
    if (total < size) {
      const more = Number.isInteger(total) ? `${bar}${' /'.repeat(Math.min(size - total, 64))}` : bar
      problems.say('error', 'bar-length', first.at, last.end, expected, more, more)
      return
    }
    // The first sign over the bar's end.
    let heardBeats = 0
    for (const token of heard) {
      heardBeats += token.kind === 'beat' ? token.count : 1
      if (heardBeats <= size) continue
      const index = heard.indexOf(token)
      const onlyBeats = heard.slice(index).every((each) => each.kind === 'beat' && each.count === 1)
      const before = heard[index - 1]
      if (onlyBeats && before) {
        const kept = plain.text.slice(before.at, before.end)
        problems.say('error', 'bar-length', before.at, last.end, expected, kept, kept)
      } else {
        const rest = `| ${plain.text.slice(token.at, last.end)}`
        problems.say('error', 'bar-length', token.at, last.end, expected, rest, rest)
      }
      return
    }
    problems.say('error', 'bar-length', first.at, last.end, expected, 'as many beats as the meter')
  }

  function uneven(): void {
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
    problems.say(
      'warning',
      'uneven-split',
      first.at,
      last.end,
      `beats that add up to ${meterName(meter)}; taken as ${fits ? shares.join(' + ') : 'even'}`,
      hint,
      mends ? hint : undefined,
    )
  }
}
