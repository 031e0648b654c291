/** The lines of a chart to drafts of its bars: which signs belong to which bar, and what each bar holds. */

import { type Bar, type ChartChord, markOrder } from '../chart.ts'
import { plainHabits, readsAsSymbol, type SymbolHabits } from '../symbol/readSymbol.ts'
import { spanAsTyped } from './characters.ts'
import type { ChartLine } from './chartLines.ts'
import type { Token } from './chartTokens.ts'
import { type ChartTraits, isBareLetter, type MusicLine } from './chartTraits.ts'
import { type ChartWords, hearHeader, hearHeading, hearWords } from './chartWords.ts'
import {
  applyCount,
  type CountToken,
  closeEnding,
  closeRepeat,
  type Draft,
  type Drafting,
  goodCount,
  holdChord,
  openRepeat,
  openSection,
  pushDraft,
  repeatBars,
  setMeter,
  startEnding,
  steer,
  steers,
} from './drafting.ts'
import { fillBar } from './fillBar.ts'
import { countTokens, looksLikeBar } from './looksLikeMusic.ts'

/** Whether a sign sounds, and so makes a bar. */
const isHeard = (token: Token): boolean =>
  token.kind === 'symbol' ||
  token.kind === 'beat' ||
  token.kind === 'simile' ||
  token.kind === 'bass' ||
  token.kind === 'dash'

type BarToken = Extract<Token, { kind: 'bar' }>

/** The building of a chart's bars: the drafting, and what goes on from line to line. */
interface Building {
  readonly d: Drafting
  readonly traits: ChartTraits
  /** In a ChordPro grid, whose cells share the bar evenly. */
  grid: boolean
  /** The first bar of the line before. */
  lastLine: number
  /** The second bar of a two-bar repeat sign, if it is still to come. */
  secondHalf: readonly ChartChord[] | null
  /** Whether bars were said to be inferred. */
  inferred: boolean
  readonly keyless: { said: boolean }
  smallRoots: { said: boolean }
  habits: SymbolHabits
}

/** Drafts the bars of a chart, line by line; answers what the words around them say. */
export function buildBars(lines: readonly ChartLine[], traits: ChartTraits, d: Drafting): ChartWords {
  const words: ChartWords = { title: null, composer: null, style: null, tempo: null }
  const firstLine = lines.findIndex((line) => line.kind !== 'blank')
  const b: Building = {
    d,
    traits,
    grid: false,
    lastLine: 0,
    secondHalf: null,
    inferred: false,
    keyless: { said: false },
    smallRoots: { said: false },
    habits: plainHabits,
  }
  for (let n = 0; n < lines.length; n++) {
    const line = lines[n]!
    if (line.kind === 'text') hearWords(words, d, line, n === firstLine)
    else if (line.kind === 'headers') for (const item of line.items) hearHeader(words, d, item, line.line.at)
    else if (line.kind === 'aside') {
      if (n === firstLine) hearHeading(words, lines, n)
    } else buildLine(b, line)
  }
  closeEnding(d, 'other')
  const lastCount = d.sectionCounts[d.sectionCounts.length - 1]
  if (lastCount && !lastCount.to) lastCount.to = d.drafts.length
  return words
}

function buildLine(b: Building, line: ChartLine): void {
  const { d } = b
  switch (line.kind) {
    case 'meter':
      setMeter(d, line.meter, line.line.at, line.line.end)
      break
    case 'label':
      openSection(d, line.label)
      b.grid ||= line.grid === true
      break
    case 'grid':
      b.grid = line.open
      break
    case 'sung':
      b.smallRoots = { said: false }
      inferBars(b, line.tokens, line.line.at, line.line.end)
      closeEnding(d, 'other')
      b.lastLine = d.drafts.length
      for (const token of line.tokens) addBar(b, [token])
      break
    case 'music':
      b.smallRoots = { said: false }
      if (b.traits.letterLines && isBareLetter(line)) openSection(d, { name: line.line.text[0]!, times: null })
      else buildMusic(b, line)
  }
}

function buildMusic(b: Building, line: MusicLine): void {
  const { d, traits } = b
  const first = d.drafts.length
  if (line.label) openSection(d, line.label)
  const lettered = letterAhead(b, line)
  if (line.number) numberAhead(d, line.number, lettered)
  const inRepeat = d.inRepeat
  const looks = lookAlikes(lettered)
  const tokens = looks.length > 0 ? withBarLines(d, lettered, looks, line.line.end) : lettered
  const barred = line.barred || looks.length > 0 || (traits.barred && !traits.overWords.has(line))
  const counts = barred ? buildBarred(b, tokens) : buildUnbarred(b, tokens, line)
  if (d.ending && d.ending.bar >= first && d.ending.lineEnd < 0) d.ending.lineEnd = d.drafts.length
  for (const count of counts) applyCount(d, count, d.drafts.length === first ? b.lastLine : first, inRepeat)
  if (d.drafts.length > first) b.lastLine = first
}

/** A line's signs, its bare letter among them where that is a chord and no label. */
function letterAhead({ d, traits, grid }: Building, { letter, tokens }: MusicLine): readonly Token[] {
  if (!letter) return tokens
  const { name, at, end } = letter
  if (!traits.letterLabels && !grid) return [{ kind: 'symbol', text: name, optional: false, at, end }, ...tokens]
  openSection(d, { name, times: null })
  return tokens
}

/** Look-alikes of bar lines on a line of chords. */
function lookAlikes(tokens: readonly Token[]): readonly Token[] {
  const looks = tokens.filter(looksLikeBar)
  if (looks.length === 0) return looks
  const { chords, numerals } = countTokens(tokens)
  return chords < 2 || numerals > 0 ? [] : looks
}

/** The signs with bar lines for their look-alikes, which are said. */
function withBarLines(
  { plain, problems }: Drafting,
  tokens: readonly Token[],
  looks: readonly Token[],
  end: number,
): readonly Token[] {
  const { at } = looks[0]!
  let mended = ''
  let from = at
  for (const look of looks) {
    mended += `${plain.text.slice(from, look.at)}|`
    from = look.end
  }
  mended += plain.text.slice(from, end)
  problems.say('error', 'look-alike-barline', at, end, '"|" between bars', mended, mended)
  const seen = new Set(looks)
  return tokens.map((token) =>
    seen.has(token) ? { kind: 'bar', opens: false, closes: false, plain: true, at: token.at, end: token.end } : token,
  )
}

/** A number before the music: an ending where one can follow here, else the number of a bar or a line. */
function numberAhead(d: Drafting, number: NonNullable<MusicLine['number']>, tokens: readonly Token[]): void {
  const { value, at, end } = number
  const { drafts, endings } = d
  const last = endings[endings.length - 1]
  const follows = last && (d.ending === last || last.to === drafts.length) && Math.max(...last.value) + 1 === value
  const closes = tokens.some((token) => token.kind === 'bar' && token.closes)
  const dotted = /[.)]$/.test(d.plain.text.slice(at, end))
  const opens = value === 1 && dotted && drafts.length > 0 && (closes || d.inRepeat)
  if (follows || opens) startEnding(d, [value], at, end)
}

/** A line with bar lines; answers the counts that go for all of it. */
function buildBarred(b: Building, tokens: readonly Token[]): readonly CountToken[] {
  const { d } = b
  const counts: CountToken[] = []
  let segment: Token[] = []
  let heard = false
  let lastBar: BarToken | null = null
  const lastHeard = tokens.findLastIndex(isHeard)
  /** Counts within a bar that more music follows: the bar is played so many times. */
  let barCounts: CountToken[] = []
  /** Whether a count behind the music stands between bar lines of its own. */
  let counted = false
  const flush = (closing: BarToken | null): void => {
    if (heard) {
      if (!fillsSecondHalf(b, segment)) addBar(b, segment)
      for (const count of barCounts) {
        const times = goodCount(d, count)
        if (times) repeatBars(d, d.drafts.length - 1, times, true)
      }
      barCounts = []
    } else if (closing?.plain && lastBar?.plain && !counted && !segment.some(steers))
      emptyBar(b, lastBar.end, closing.at)
    else for (const token of segment) steer(d, token, false)
    segment = []
    heard = false
    counted = false
  }
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i]!
    if (token.kind === 'count') {
      counted ||= !heard && lastHeard >= 0 && i > lastHeard
      if (!heard && d.drafts[d.drafts.length - 1]?.repeatEnd) applyCount(d, token, d.drafts.length, false)
      else if (heard && i < lastHeard) barCounts.push(token)
      else counts.push(token)
    } else if (token.kind === 'bar') {
      flush(token)
      if (token.closes) closeRepeat(d, token.at, token.end)
      else if (!token.plain && !token.opens) closeEnding(d, 'other')
      if (token.opens) openRepeat(d, token.at, token.end)
      lastBar = token
    } else if (token.kind !== 'tab') {
      heard ||= isHeard(token)
      segment.push(token)
    }
  }
  flush(null)
  // A two-bar sign that ends its line stands for both its bars.
  pushSecondHalf(b)
  return counts
}

/** A line without bar lines in a chart without; answers the counts that go for all of it. */
function buildUnbarred(b: Building, tokens: readonly Token[], line: MusicLine): readonly CountToken[] {
  const { d, traits } = b
  if (tokens.some(isHeard)) inferBars(b, tokens, line.line.at, line.line.end)
  // Over words each chord is a bar, however long.
  const over = traits.overWords.has(line)
  const byBeats = !over && tokens.some((token) => token.kind === 'beat' || token.kind === 'tie')
  let segment: Token[] = []
  let heard = false
  let filled = 0
  const flush = (): void => {
    if (heard) addBar(b, segment)
    else for (const token of segment) steer(d, token, false)
    segment = []
    heard = false
    filled = 0
  }
  const sounds = (token: Token): void => {
    segment.push(token)
    heard = true
  }
  for (let i = 0; i < tokens.length; i++) {
    const token = tokens[i]!
    if (token.kind === 'tab') flush()
    else if (passedOver.has(token.kind) || (token.kind === 'beat' && over)) continue
    else if (token.kind === 'tie') segment.push(token)
    else if (!isHeard(token)) {
      // A mark after a chord closes its bar; one before opens it.
      if (heard && !traits.tabbed && !byBeats) flush()
      if (token.kind === 'mark' && d.drafts.length > 0 && segment.length === 0) steer(d, token, true)
      else segment.push(token)
    } else if (byBeats) {
      if (filled >= d.meterNow.beats && token.kind !== 'beat') flush()
      sounds(token)
      const tied = tokens[i - 1]?.kind === 'tie'
      filled += tied ? 0 : token.kind === 'beat' ? token.count : 1
      const next = tokens[i + 1]
      if (filled === d.meterNow.beats && next?.kind !== 'tie' && next?.kind !== 'mark') flush()
    } else {
      if (!traits.tabbed && heard) flush()
      sounds(token)
    }
  }
  flush()
  return tokens.filter((token): token is CountToken => token.kind === 'count')
}

/** What a line without bar lines goes on over. */
const passedOver = new Set<Token['kind']>(['count', 'separator', 'comment', 'dash'])

function inferBars(b: Building, tokens: readonly Token[], at: number, end: number): void {
  if (b.inferred) return
  b.inferred = true
  const symbols = tokens.flatMap((token) => (token.kind === 'symbol' && readsAsSymbol(token.text) ? [token.text] : []))
  const hint = symbols.length > 0 && symbols.length <= 16 ? `| ${symbols.join(' | ')} |` : '| Dm7 | G7 |'
  b.d.problems.say('warning', 'bars-inferred', at, end, 'bar lines; each chord taken for a bar', hint)
}

/** Puts the second bar of a two-bar repeat sign; whether there was one to come. */
function pushSecondHalf(b: Building): boolean {
  const half = b.secondHalf
  if (!half) return false
  b.secondHalf = null
  pushDraft(b.d, half)
  return true
}

function emptyBar(b: Building, at: number, end: number): void {
  if (pushSecondHalf(b)) return
  b.d.problems.say('warning', 'empty-bar', at, end, 'a chord, or % for the bar before', ' % ', ' % ')
  holdChord(b.d, at, end)
}

/** The bar that a two-bar repeat sign fills besides its own; true where the segment is that bar. */
const fillsSecondHalf = (b: Building, segment: readonly Token[]): boolean =>
  pushSecondHalf(b) &&
  (segment.every((token) => token.kind === 'beat' || token.kind === 'comment') ||
    (segment.length === 1 && segment[0]!.kind === 'simile' && segment[0]!.bars === 1))

function addBar(b: Building, segment: readonly Token[]): void {
  const { d, grid, keyless, smallRoots } = b
  const heard = segment.findIndex(isHeard)
  for (const token of segment.slice(0, heard)) steer(d, token, false, true)
  // A repeat-bar sign alone, or with the beats of its bar behind it.
  const simile = segment[heard]!
  const alone = segment.every((token) => token === simile || !isHeard(token) || token.kind === 'beat')
  if (simile.kind === 'simile' && alone) repeatBar(b, simile)
  else {
    const { plain, problems, meterNow: meter, sounding: before } = d
    const setting = { plain, problems, habits: habitsNow(b), meter, before, grid, keyless, smallRoots }
    const { chords } = fillBar(segment, setting)
    if (chords.length > 0) pushDraft(d, chords)
    else holdChord(d, segment[heard]!.at, segment[heard]!.end)
  }
  for (const token of segment.slice(heard + 1)) if (steers(token)) steer(d, token, true, true)
}

function habitsNow(b: Building): SymbolHabits {
  const { keyNow: key } = b.d
  const { german } = b.traits
  if (!german && key === null) return plainHabits
  if (b.habits.key !== key || b.habits.german !== german) b.habits = { ...plainHabits, key, german }
  return b.habits
}

/** The chords that a repeat-bar sign stands for, under its own place and meter. */
function repeatBar(b: Building, sign: Extract<Token, { kind: 'simile' }>): void {
  const { d } = b
  const { at, end, bars } = sign
  const back = d.drafts[d.drafts.length - bars]
  if (!back) {
    const wanted = bars === 2 ? 'two bars before the sign' : 'a chord in a bar before the sign'
    d.problems.say('error', 'nothing-to-repeat', at, end, wanted, 'C')
    holdChord(d, at, end)
    return
  }
  const span = spanAsTyped(d.plain, at, end)
  const { beats } = d.meterNow
  const again = (draft: Draft): readonly ChartChord[] =>
    draft.chords.map((chord) => ({ ...chord, span, beats: (chord.beats * beats) / draft.meter.beats }))
  const half = bars === 2 ? again(d.drafts[d.drafts.length - 1]!) : null
  pushDraft(d, again(back))
  b.secondHalf = half
}

/** Drafts as finished bars, their marks each once and in order. */
export const finishBars = (drafts: readonly Draft[]): readonly Bar[] =>
  drafts.map(({ section, meter, key, ending, repeatStart, repeatEnd, times, marks, chords }, index) => {
    const bar: Bar = { index, section, meter, key, ending, repeatStart, repeatEnd, chords }
    if (times === null && marks.length === 0) return bar
    const inOrder = markOrder.filter((mark) => marks.includes(mark))
    return { ...bar, ...(times === null ? {} : { times }), ...(inOrder.length > 0 ? { marks: inOrder } : {}) }
  })
