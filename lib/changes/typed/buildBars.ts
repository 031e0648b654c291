/** The lines of a chart to drafts of its bars: which signs belong to which bar, and what each bar holds. */

import type { Bar, ChartChord, Mark } from '../chart.ts'
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

type BarToken = Extract<Token, { kind: 'bar' }>

/** Whether a sign sounds, and so makes a bar. */
const isHeard = (token: Token): boolean =>
  token.kind === 'symbol' ||
  token.kind === 'beat' ||
  token.kind === 'simile' ||
  token.kind === 'bass' ||
  token.kind === 'dash'

/** Drafts the bars of a chart, line by line; answers what the words around them say. */
export function buildBars(lines: readonly ChartLine[], traits: ChartTraits, d: Drafting): ChartWords {
  const { problems, plain, drafts } = d
  const words: ChartWords = { title: null, composer: null, style: null, tempo: null }
  const firstLine = lines.findIndex((line) => line.kind !== 'blank')
  let grid = false
  /** The first bar of the line before. */
  let lastLine = 0
  /** The second bar of a two-bar repeat sign, if it is still to come. */
  let secondHalf: readonly ChartChord[] | null = null
  let inferred = false
  const keyless = { said: false }
  let smallRoots = { said: false }
  let habits: SymbolHabits = plainHabits

  for (let n = 0; n < lines.length; n++) {
    const line = lines[n]!
    switch (line.kind) {
      case 'headers':
        for (const item of line.items) hearHeader(words, d, item, line.line.at)
        break
      case 'meter':
        setMeter(d, line.meter, line.line.at, line.line.end)
        break
      case 'label':
        openSection(d, line.label)
        grid ||= line.grid === true
        break
      case 'grid':
        grid = line.open
        break
      case 'text':
        hearWords(words, d, line, n === firstLine)
        break
      case 'aside':
        if (n === firstLine) hearHeading(words, lines, n)
        break
      case 'sung':
        smallRoots = { said: false }
        inferBars(line.tokens, line.line.at, line.line.end)
        closeEnding(d, 'other')
        lastLine = drafts.length
        for (const token of line.tokens) addBar([token])
        break
      case 'music':
        smallRoots = { said: false }
        readLine(line)
    }
  }
  closeEnding(d, 'other')
  const lastCount = d.sectionCounts[d.sectionCounts.length - 1]
  if (lastCount && !lastCount.to) lastCount.to = drafts.length
  return words

  function readLine(line: MusicLine): void {
    if (traits.letterLines && isBareLetter(line)) {
      openSection(d, { name: line.line.text[0]!, times: null })
      return
    }
    const first = drafts.length
    if (line.label) openSection(d, line.label)
    let { tokens } = line
    if (line.letter) {
      const { name, at, end } = line.letter
      if (traits.letterLabels || grid) openSection(d, { name, times: null })
      else tokens = [{ kind: 'symbol', text: name, optional: false, at, end }, ...tokens]
    }
    if (line.number) numberAhead(line.number, tokens)
    const inRepeat = d.inRepeat
    const looks = lookAlikes(tokens)
    if (looks.length > 0) {
      const [{ at }] = looks as [Token]
      const end = line.line.end
      let mended = ''
      let from = at
      for (const look of looks) {
        mended += `${plain.text.slice(from, look.at)}|`
        from = look.end
      }
      mended += plain.text.slice(from, end)
      problems.say('error', 'look-alike-barline', at, end, '"|" between bars', mended, mended)
      const seen = new Set(looks)
      tokens = tokens.map((token) =>
        seen.has(token)
          ? { kind: 'bar', opens: false, closes: false, plain: true, at: token.at, end: token.end }
          : token,
      )
    }
    const barred = line.barred || looks.length > 0 || (traits.barred && !traits.overWords.has(line))
    const counts = barred ? readBarred(tokens) : readUnbarred(tokens, line)
    if (d.ending && d.ending.bar >= first && d.ending.lineEnd < 0) d.ending.lineEnd = drafts.length
    for (const count of counts) applyCount(d, count, drafts.length === first ? lastLine : first, inRepeat)
    if (drafts.length > first) lastLine = first
  }

  /** Look-alikes of bar lines on a line of chords. */
  function lookAlikes(tokens: readonly Token[]): readonly Token[] {
    const looks = tokens.filter(looksLikeBar)
    if (looks.length === 0) return looks
    const { chords, numerals } = countTokens(tokens)
    return chords < 2 || numerals > 0 ? [] : looks
  }

  /** A number before the music: an ending where one can follow here, else the number of a bar or a line. */
  function numberAhead(number: NonNullable<MusicLine['number']>, tokens: readonly Token[]): void {
    const { value, at, end } = number
    const last = d.endings[d.endings.length - 1]
    const follows = last && (d.ending === last || last.to === drafts.length) && Math.max(...last.value) + 1 === value
    const closes = tokens.some((token) => token.kind === 'bar' && token.closes)
    const dotted = /[.)]$/.test(plain.text.slice(at, end))
    const opens = value === 1 && dotted && drafts.length > 0 && (closes || d.inRepeat)
    if (follows || opens) startEnding(d, [value], at, end)
  }

  /** A line with bar lines; answers the counts that go for all of it. */
  function readBarred(tokens: readonly Token[]): readonly CountToken[] {
    const counts: CountToken[] = []
    let segment: Token[] = []
    let lastBar: BarToken | null = null
    const lastHeard = tokens.findLastIndex(isHeard)
    /** Counts within a bar that more music follows: the bar is played so many times. */
    let barCounts: CountToken[] = []
    const flush = (closing: BarToken | null): void => {
      const plainBar = closing?.plain && lastBar?.plain
      if (segment.some(isHeard)) {
        if (!fillsSecondHalf(segment)) addBar(segment)
        for (const count of barCounts) {
          const times = goodCount(d, count)
          if (times) repeatBars(d, drafts.length - 1, times, true)
        }
        barCounts = []
      } else if (plainBar && !segment.some(steers)) emptyBar(lastBar!.end, closing.at)
      else for (const token of segment) steer(d, token, false)
      segment = []
    }
    for (let i = 0; i < tokens.length; i++) {
      const token = tokens[i]!
      if (token.kind === 'count') {
        const heard = segment.some(isHeard)
        if (!heard && drafts[drafts.length - 1]?.repeatEnd) applyCount(d, token, drafts.length, false)
        else if (heard && i < lastHeard) barCounts.push(token)
        else counts.push(token)
      } else if (token.kind === 'bar') {
        flush(token)
        if (token.closes) closeRepeat(d, token.at, token.end)
        else if (!token.plain && !token.opens) closeEnding(d, 'other')
        if (token.opens) openRepeat(d, token.at, token.end)
        lastBar = token
      } else if (token.kind !== 'tab') segment.push(token)
    }
    flush(null)
    // A two-bar sign that ends its line stands for both its bars.
    if (secondHalf) {
      pushDraft(d, secondHalf)
      secondHalf = null
    }
    return counts
  }

  /** A line without bar lines in a chart without; answers the counts that go for all of it. */
  function readUnbarred(tokens: readonly Token[], line: MusicLine): readonly CountToken[] {
    const counts: CountToken[] = []
    if (tokens.some(isHeard)) inferBars(tokens, line.line.at, line.line.end)
    // Over words each chord is a bar, however long.
    const over = traits.overWords.has(line)
    const byBeats = !over && tokens.some((token) => token.kind === 'beat' || token.kind === 'tie')
    let segment: Token[] = []
    let filled = 0
    const flush = (): void => {
      if (segment.some(isHeard)) addBar(segment)
      else for (const token of segment) steer(d, token, false)
      segment = []
      filled = 0
    }
    for (let i = 0; i < tokens.length; i++) {
      const token = tokens[i]!
      if (token.kind === 'count') counts.push(token)
      else if (token.kind === 'tab') flush()
      else if (token.kind === 'separator' || token.kind === 'comment' || token.kind === 'dash') continue
      else if (token.kind === 'beat' && over) continue
      else if (token.kind === 'tie') segment.push(token)
      else if (!isHeard(token)) {
        // A mark after a chord closes its bar; one before opens it.
        if (segment.some(isHeard) && !traits.tabbed && !byBeats) flush()
        if (token.kind === 'mark' && drafts.length > 0 && segment.length === 0) steer(d, token, true)
        else segment.push(token)
      } else if (byBeats) {
        if (filled >= d.meterNow.beats && token.kind !== 'beat') flush()
        segment.push(token)
        const tied = tokens[i - 1]?.kind === 'tie'
        filled += tied ? 0 : token.kind === 'beat' ? token.count : 1
        const next = tokens[i + 1]
        if (filled === d.meterNow.beats && next?.kind !== 'tie' && next?.kind !== 'mark') flush()
      } else {
        if (!traits.tabbed && segment.some(isHeard)) flush()
        segment.push(token)
      }
    }
    flush()
    return counts
  }

  function inferBars(tokens: readonly Token[], at: number, end: number): void {
    if (inferred) return
    inferred = true
    const symbols = tokens.flatMap((token) =>
      token.kind === 'symbol' && readsAsSymbol(token.text) ? [token.text] : [],
    )
    const hint = symbols.length > 0 && symbols.length <= 16 ? `| ${symbols.join(' | ')} |` : '| Dm7 | G7 |'
    problems.say('warning', 'bars-inferred', at, end, 'bar lines; each chord taken for a bar', hint)
  }

  function emptyBar(at: number, end: number): void {
    if (secondHalf) {
      const half = secondHalf
      secondHalf = null
      pushDraft(d, half)
      return
    }
    problems.say('warning', 'empty-bar', at, end, 'a chord, or % for the bar before', ' % ', ' % ')
    holdChord(d, at, end)
  }

  /** The bar that a two-bar repeat sign fills besides its own; true where the segment is that bar. */
  function fillsSecondHalf(segment: readonly Token[]): boolean {
    if (!secondHalf) return false
    const half = secondHalf
    secondHalf = null
    pushDraft(d, half)
    return segment.every((token) => token.kind === 'beat' || token.kind === 'comment')
  }

  function addBar(segment: readonly Token[]): void {
    const heard = segment.findIndex(isHeard)
    for (const token of segment.slice(0, heard)) steer(d, token, false, true)
    // A repeat-bar sign alone, or with the beats of its bar behind it.
    const simile = segment[heard]!
    const alone = segment.every((token) => token === simile || !isHeard(token) || token.kind === 'beat')
    if (simile.kind === 'simile' && alone) repeatBar(simile)
    else {
      const { chords } = fillBar(segment, {
        plain,
        problems,
        habits: habitsNow(),
        meter: d.meterNow,
        before: d.sounding,
        grid,
        keyless,
        smallRoots,
      })
      if (chords.length > 0) pushDraft(d, chords)
      else holdChord(d, segment[heard]!.at, segment[heard]!.end)
    }
    for (const token of segment.slice(heard + 1)) if (steers(token)) steer(d, token, true, true)
  }

  function habitsNow(): SymbolHabits {
    if (!traits.german && d.keyNow === null) return plainHabits
    if (habits.key !== d.keyNow || habits.german !== traits.german)
      habits = { ...plainHabits, key: d.keyNow, german: traits.german }
    return habits
  }

  /** The chords that a repeat-bar sign stands for, under its own place and meter. */
  function repeatBar(sign: Extract<Token, { kind: 'simile' }>): void {
    const { at, end, bars } = sign
    const back = drafts[drafts.length - bars]
    if (!back) {
      const wanted = bars === 2 ? 'two bars before the sign' : 'a chord in a bar before the sign'
      problems.say('error', 'nothing-to-repeat', at, end, wanted, 'C')
      holdChord(d, at, end)
      return
    }
    const span = spanAsTyped(plain, at, end)
    const { beats } = d.meterNow
    const again = (draft: Draft): readonly ChartChord[] =>
      draft.chords.map((chord) => ({ ...chord, span, beats: (chord.beats * beats) / draft.meter.beats }))
    const half = bars === 2 ? again(drafts[drafts.length - 1]!) : null
    pushDraft(d, again(back))
    secondHalf = half
  }
}

const markOrder: readonly Mark[] = [
  'Segno',
  'Coda',
  'To Coda',
  'Fine',
  'D.C.',
  'D.C. al Fine',
  'D.C. al Coda',
  'D.S.',
  'D.S. al Fine',
  'D.S. al Coda',
]

/** Drafts as finished bars, their marks each once and in order. */
export const finishBars = (drafts: readonly Draft[]): readonly Bar[] =>
  drafts.map(({ section, meter, key, ending, repeatStart, repeatEnd, times, marks, chords }, index) => {
    const bar: Bar = { index, section, meter, key, ending, repeatStart, repeatEnd, chords }
    if (times === null && marks.length === 0) return bar
    const inOrder = markOrder.filter((mark) => marks.includes(mark))
    return { ...bar, ...(times === null ? {} : { times }), ...(inOrder.length > 0 ? { marks: inOrder } : {}) }
  })
