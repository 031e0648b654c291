/** The lines of a chart to its written bars: sections, meters, keys, repeats, endings, counts and marks set on each. */
import { type Key, nameOfKey } from '../theory/key.ts'
import { commonTime, type Meter } from '../theory/meter.ts'
import type { PlainText } from './characters.ts'
import { spanAsTyped } from './characters.ts'
import type { Bar, ChartChord, Mark } from './chart.ts'
import { goodMeter, readHeaderKey, readHeaderMeter, readTempo } from './chartHeader.ts'
import { type ChartLine, countTokens, type LineLabel, looksLikeBar } from './chartLines.ts'
import type { ChartProblems } from './chartProblems.ts'
import type { Token } from './chartTokens.ts'
import { fillBar } from './fillBar.ts'
import { plainHabits, readsAsSymbol, type SymbolHabits } from './readSymbol.ts'

export interface Draft {
  section: string | null
  meter: Meter
  key: Key | null
  ending: readonly number[] | null
  repeatStart: boolean
  repeatEnd: boolean
  times: number | null
  marks: Mark[]
  chords: readonly ChartChord[]
}

/** A sign that steers, and where it stands in the plain text. */
export interface Placed<T> {
  readonly value: T
  readonly at: number
  readonly end: number
  /** The bar it opens or closes. */
  readonly bar: number
}

/** An ending as met: from its first bar, and how it came to its end. */
export interface OpenEnding extends Placed<readonly number[]> {
  /** The bar after its last. */
  to: number
  /** The bar after the line on which it began. */
  lineEnd: number
  closedBy: 'repeat' | 'ending' | 'other' | null
}

export interface SectionCount {
  readonly times: number
  readonly from: number
  to: number
}

/** Everything met while bars were built, for the form to be worked out from. */
export interface BuiltChart {
  readonly drafts: Draft[]
  readonly endings: readonly OpenEnding[]
  readonly opens: readonly Placed<null>[]
  readonly jumps: readonly Placed<Mark>[]
  readonly codas: readonly (Placed<'start' | 'end'> & { readonly mark: number })[]
  readonly sectionCounts: readonly SectionCount[]
  readonly title: string | null
  readonly composer: string | null
  readonly style: string | null
  readonly tempo: number | null
  readonly key: Key | null
  readonly meter: Meter
  readonly barsKnown: boolean
}

/** The most that a count may ask for. */
const mostTimes = 64

export function buildBars(lines: readonly ChartLine[], plain: PlainText, problems: ChartProblems): BuiltChart {
  const drafts: Draft[] = []
  const endings: OpenEnding[] = []
  const opens: Placed<null>[] = []
  const jumps: Placed<Mark>[] = []
  const codas: (Placed<'start' | 'end'> & { mark: number })[] = []
  const sectionCounts: SectionCount[] = []
  let title: string | null = null
  let composer: string | null = null
  let style: string | null = null
  let tempo: number | null = null
  let key: Key | null = null
  let meter: Meter = commonTime
  let chartMeter: Meter | null = null
  let section: string | null = null
  let sounding: ChartChord | null = null
  /** What waits for the next bar. */
  let nextKey: Key | null = null
  let currentKey: Key | null = null
  let nextOpens: { at: number; end: number } | null = null
  let nextMarks: Mark[] = []
  let nextCodas: { at: number; end: number }[] = []
  let openEnding: OpenEnding | null = null
  let grid = false
  let openRepeat = false
  /** The second bar of a two-bar repeat sign, if it is still to come. */
  let secondHalf: readonly ChartChord[] | null = null
  const keyless = { said: false }

  const music = lines.filter((line) => line.kind === 'music')
  const barredChart = music.some((line) => line.barred)
  const german = isGerman()
  let habits: SymbolHabits = { ...plainHabits, german }
  const usual = !german
  const letters = barredChart && lettersAreLabels()
  const tabbed = !barredChart && music.some((line) => line.tokens.some((token) => token.kind === 'tab'))
  const letterLines = lettersHeadLines()
  const lyrics = sungOver()
  let inferred = false
  /** The first bar of the line before. */
  let lastLine = 0

  for (let n = 0; n < lines.length; n++) {
    const line = lines[n]!
    switch (line.kind) {
      case 'headers':
        for (const item of line.items) header(item, line.line.at)
        break
      case 'meter':
        setMeter(line.meter, line.line.at, line.line.end)
        break
      case 'label':
        openSection(line.label)
        break
      case 'grid':
        grid = line.open
        break
      case 'text':
        aboutChart(n)
        break
      case 'aside':
        headingTitle(n)
        break
      case 'sung':
        inferBars(line.tokens, line.line.at, line.line.end)
        for (const token of line.tokens) addBar([token])
        break
      case 'music':
        readLine(line)
        break
    }
    if (line.kind === 'label' && /^\{/.test(line.line.text))
      grid = /^\{\s*(?:start_of_grid|sog)/.test(line.line.text) || grid
  }
  closeEnding('other')
  if (sectionCounts.length > 0) sectionCounts[sectionCounts.length - 1]!.to ||= drafts.length
  return {
    drafts,
    endings,
    opens,
    jumps,
    codas,
    sectionCounts,
    title,
    composer,
    style,
    tempo,
    key,
    meter: chartMeter ?? drafts[0]?.meter ?? commonTime,
    barsKnown: !lyrics.any,
  }

  // --- what the words around the music say

  function header(item: Extract<ChartLine, { kind: 'headers' }>['items'][number], lineAt: number): void {
    const at = lineAt + item.at
    const end = lineAt + item.end
    switch (item.name) {
      case 'title':
        title ??= item.value || null
        break
      case 'composer':
        composer ??= item.value || null
        break
      case 'style':
        style ??= item.value || null
        break
      case 'tempo': {
        const read = readTempo(item.value)
        tempo ??= read
        if (read === null) style ??= item.value || null
        break
      }
      case 'key':
        setKey(item.value, item.german, at, end)
        break
      case 'meter': {
        const read = readHeaderMeter(item.value)
        if (read) {
          const offset = item.value.search(/\d/)
          setMeter(read, offset < 0 ? at : at + offset, end)
        } else if (item.value) problems.say('error', 'unknown-meter', at, end, 'a meter such as 4/4', '4/4', '4/4')
      }
    }
  }

  function setKey(value: string, said: boolean, at: number, end: number): void {
    const read = readHeaderKey(value, said)
    if (!read) {
      if (/^[A-Ha-h]/.test(value) || value.length <= 12)
        if (value !== '' && !/^(?:\?|-|none|n\/a|any|atonal|various)$/i.test(value))
          problems.say('error', 'unknown-key', at, end, 'a key such as Eb, F# minor or Am', 'C', 'C')
      return
    }
    currentKey = read
    habits = { ...habits, key: read }
    if (drafts.length === 0 && !key) key = read
    else nextKey = read
  }

  function setMeter(wanted: Meter, at: number, end: number): void {
    if (!goodMeter(wanted)) {
      const slash = plain.text.slice(at, end).indexOf('/')
      const wrongBeats = wanted.beats < 1 || wanted.beats > 32
      const from = wrongBeats || slash < 0 ? at : at + slash + 1
      const digits = /^\s*\d+/.exec(plain.text.slice(from, end))?.[0] ?? ''
      const stop = digits ? from + digits.length : end
      const start = stop - digits.trimStart().length
      const unit = wrongBeats ? wanted.unit : 4
      if (wrongBeats)
        problems.say(
          'error',
          'unknown-meter',
          start,
          stop,
          '1 to 32 beats',
          `4/${goodMeter({ beats: 4, unit }) ? unit : 4}`,
          '4',
        )
      else problems.say('error', 'unknown-meter', start, stop, '1, 2, 4, 8, 16 or 32', `${wanted.beats}/4`, '4')
      return
    }
    meter = wanted
    if (drafts.length === 0) chartMeter = wanted
  }

  /** Words before the music: a title, a tempo, a style. */
  function aboutChart(n: number): void {
    const { line } = lines[n]!
    if (drafts.length > 0 || line.quoted) return
    const said = /^(.*?)[\s,(]*(?:(?:♩|𝅘𝅥|q|quarter)\s*=\s*(\d{2,3})|(\d{2,3})\s*bpm)\)?\.?$/i.exec(line.text)
    if (said) {
      tempo ??= Number(said[2] ?? said[3])
      if (said[1]!.trim())
        style ??= said[1]!
          .trim()
          .replace(/[,:(-]+$/, '')
          .trim()
      return
    }
    const bare = /^\((.*)\)$/.exec(line.text)?.[1] ?? line.text
    if (
      bare.length <= 40 &&
      /\b(?:swing|bossa|ballad|waltz|latin|samba|funk|rock|shuffle|straight|bebop|even (?:8|eighth)|medium|up ?tempo|afro)/i.test(
        bare,
      ) &&
      (title !== null || bare !== line.text)
    ) {
      style ??= bare
      return
    }
    if (bare !== line.text) return
    const before = lines.slice(0, n).every((other) => other.kind === 'blank')
    const titled =
      before &&
      line.text.length <= 60 &&
      !/[:,.;?!]$|https?:|@|^(?:hi|hello|hey|dear|from|to|subject)\b/i.test(line.text) &&
      /^[^a-z]/.test(line.text)
    if (titled && title === null) title = line.text.replace(/^["'*_\s]+|["'*_\s]+$/g, '') || null
  }

  /** The first line as a heading of the first rank, where others of the second rank follow. */
  function headingTitle(n: number): void {
    const { text } = lines[n]!.line
    if (title !== null || !/^# \S.{0,60}$/.test(text) || drafts.length > 0) return
    if (
      lines.slice(0, n).some((line) => line.kind !== 'blank') ||
      !lines.some((line) => line.line.text.startsWith('## '))
    )
      return
    title = text.slice(2).trim()
  }

  function openSection(label: LineLabel): void {
    closeEnding('other')
    const last = sectionCounts[sectionCounts.length - 1]
    if (last && !last.to) last.to = drafts.length
    section = label.name || section
    if (/^coda$/i.test(label.name)) nextCodas.push({ at: 0, end: 0 })
    if (label.times) {
      const times = goodCount(label.times)
      if (times) sectionCounts.push({ times, from: drafts.length, to: 0 })
    }
  }

  function goodCount(token: Extract<Token, { kind: 'count' }>): number | null {
    if (token.count >= 1 && token.count <= mostTimes) return token.count
    const text = plain.text.slice(token.at, token.end)
    const number = /-?\d+/.exec(text)
    const at = token.at + (number?.index ?? 0)
    problems.say(
      'error',
      'repeat-count',
      at,
      at + (number?.[0].length ?? text.length),
      `1 to ${mostTimes} times`,
      '2',
      '2',
    )
    return null
  }

  // --- what holds for the whole chart

  function isGerman(): boolean {
    let h = false
    let b: Token | null = null
    let tonart = false
    for (const line of lines) {
      if (line.kind === 'headers') tonart ||= line.items.some((item) => item.german && item.name === 'key')
      if (line.kind !== 'music' && line.kind !== 'sung') continue
      for (const token of line.tokens) {
        if (token.kind !== 'symbol') continue
        if (/^\(?H/.test(token.text) && readsAsSymbol(token.text)) h = true
        if (/^\(?B(?![b#])/.test(token.text)) b ??= token
      }
    }
    if (h && b)
      problems.say(
        'warning',
        'german-letters',
        b.at,
        b.end,
        'H for B natural, B for B flat; B read as B flat',
        `Bb${b.kind === 'symbol' ? b.text.replace(/^\(?B/, '') : ''}`,
      )
    return h || tonart
  }

  /** Whether bare letters before the first bar line are labels: other lines open with a bar line, or the letters run A, B, C. */
  function lettersAreLabels(): boolean {
    const barred = music.filter((line) => line.barred)
    const lettered = barred.filter((line) => line.letter)
    if (lettered.length === 0) return false
    const others = barred.filter((line) => !line.letter && !line.label)
    if (others.length > 0) return others.every((line) => line.tokens[0]?.kind === 'bar')
    const names = lettered.map((line) => line.letter!.name)
    const distinct = [...new Set(names)]
    const inOrder = distinct.every((name, i) => name === String.fromCharCode(65 + i))
    const closed = lettered.every((line) => line.tokens[line.tokens.length - 1]?.kind === 'bar')
    return closed && (inOrder ? distinct.length > 1 || barred.some((line) => line.label !== null) : false)
  }

  /** The music lines with words under them. */
  function sungOver(): { any: boolean; lines: ReadonlySet<ChartLine> } {
    const over = new Set<ChartLine>()
    let any = false
    for (let n = 0; n < lines.length; n++) {
      const line = lines[n]!
      if (line.kind === 'sung') any = true
      if (line.kind !== 'music' || line.barred || lines[n + 1]?.kind !== 'text') continue
      if (countTokens(line.tokens).chords === 0) continue
      any = true
      over.add(line)
    }
    return { any, lines: over }
  }

  /** A line that is one bare letter: a label in a chart with bar lines, and where such letters run A, B, C above lines of chords. */
  function letterAlone(line: Extract<ChartLine, { kind: 'music' }>): boolean {
    return /^[A-H]$/.test(line.line.text) && (barredChart || letterLines)
  }

  function lettersHeadLines(): boolean {
    if (barredChart) return false
    const names: string[] = []
    for (let n = 0; n < lines.length; n++) {
      const line = lines[n]!
      if (line.kind !== 'music' || !/^[A-H]$/.test(line.line.text)) continue
      names.push(line.line.text)
      const next = lines.slice(n + 1, n + 6).find((other) => other.kind !== 'blank')
      if (next?.kind !== 'music' || countTokens(next.tokens).chords < 2) return false
    }
    return names.length > 1 && [...new Set(names)].every((name, i) => name === String.fromCharCode(65 + i))
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

  // --- music

  function readLine(line: Extract<ChartLine, { kind: 'music' }>): void {
    if (letterAlone(line)) {
      openSection({ name: line.line.text, times: null })
      return
    }
    const first = drafts.length
    const smallRoots = { said: false }
    if (line.label) openSection(line.label)
    let { tokens } = line
    if (line.letter) {
      if (letters || grid) openSection({ name: line.letter.name, times: null })
      else
        tokens = [
          { kind: 'symbol', text: line.letter.name, optional: false, at: line.letter.at, end: line.letter.end },
          ...tokens,
        ]
    }
    if (line.number) numberAhead(line.number, line)
    const inside = openRepeat
    const counts: Extract<Token, { kind: 'count' }>[] = []
    const looks = lookAlikes(tokens)
    if (looks.length > 0) {
      const [look] = looks as [Token, ...Token[]]
      problems.say('error', 'look-alike-barline', look.at, look.end, '"|" between bars', '|', '|')
      tokens = tokens.map((token) =>
        looks.includes(token)
          ? { kind: 'bar', opens: false, closes: false, plain: true, at: token.at, end: token.end }
          : token,
      )
    }
    const barred = line.barred || looks.length > 0
    if (barred) readBarred(tokens, counts, smallRoots)
    else if (barredChart && !lyrics.lines.has(line)) readBarred(tokens, counts, smallRoots)
    else readUnbarred(tokens, counts, line, smallRoots)
    if (openEnding && openEnding.bar >= first && openEnding.lineEnd < 0) openEnding.lineEnd = drafts.length
    for (const count of counts) applyCount(count, first, inside)
    if (drafts.length > first) lastLine = first
  }

  /** Look-alikes of bar lines on a line of chords. */
  function lookAlikes(tokens: readonly Token[]): readonly Token[] {
    const looks = tokens.filter(looksLikeBar)
    if (looks.length === 0) return []
    const { chords, numerals } = countTokens(tokens)
    if (chords < 2 || numerals > 0) return []
    return looks
  }

  function numberAhead(
    number: { value: number; at: number; end: number },
    line: Extract<ChartLine, { kind: 'music' }>,
  ): void {
    const last = endings[endings.length - 1]
    const follows =
      last !== undefined &&
      (openEnding === last || last.to === drafts.length) &&
      Math.max(...last.value) + 1 === number.value
    const closes = line.tokens.some((token) => token.kind === 'bar' && token.closes)
    const dotted = /[.)]$/.test(plain.text.slice(number.at, number.end))
    const first = number.value === 1 && dotted && drafts.length > 0 && (closes || openRepeat)
    if (follows || first) startEnding([number.value], number.at, number.end)
  }

  function readBarred(
    tokens: readonly Token[],
    counts: Extract<Token, { kind: 'count' }>[],
    smallRoots: { said: boolean },
  ): void {
    let segment: Token[] = []
    let lastBar: Extract<Token, { kind: 'bar' }> | null = null
    const lastHeard = tokens.findLastIndex((token) => isHeard(token))
    /** Counts within a bar that more music follows: the bar played so many times. */
    let inside: Extract<Token, { kind: 'count' }>[] = []
    const flush = (closing: Extract<Token, { kind: 'bar' }> | null): void => {
      const heard = segment.some((token) => isHeard(token))
      if (heard) {
        if (!secondBar(segment)) addBar(segment, smallRoots)
        for (const count of inside) {
          const times = goodCount(count)
          if (times) repeatStretch(drafts.length - 1, drafts.length, times, true)
        }
        inside = []
      } else if (closing?.plain && lastBar?.plain && !segment.some((token) => steers(token)))
        emptyBar(lastBar.end, closing.at)
      else if (closing && lastBar && closing.plain && lastBar.opens && segment.length === 0) {
        // An opening repeat that is followed by a bar line at once holds no bar of its own.
      } else for (const token of segment) steer(token, false)
      segment = []
    }
    for (const token of tokens) {
      if (token.kind === 'count') {
        const heard = segment.some((other) => isHeard(other))
        const closed = drafts[drafts.length - 1]?.repeatEnd
        if (!heard && closed && drafts.length > 0) applyCount(token, drafts.length, false)
        else if (heard && tokens.indexOf(token) < lastHeard) inside.push(token)
        else counts.push(token)
        continue
      }
      if (token.kind === 'tab') continue
      if (token.kind !== 'bar') {
        segment.push(token)
        continue
      }
      flush(token)
      if (token.closes) closeRepeat(token)
      if (!token.plain && !token.closes && !token.opens) closeEnding('other')
      if (token.opens) {
        closeEnding('other')
        nextOpens = { at: token.at, end: token.end }
        openRepeat = true
      }
      lastBar = token
    }
    flush(null)
  }

  /** The bar that a two-bar repeat sign fills besides its own. */
  function secondBar(segment: readonly Token[]): boolean {
    if (!secondHalf) return false
    const half = secondHalf
    secondHalf = null
    const onlyBeats = segment.every((token) => token.kind === 'beat' || token.kind === 'comment')
    if (onlyBeats) pushDraft(half)
    else {
      pushDraft(half)
      return false
    }
    return true
  }

  function emptyBar(at: number, end: number): void {
    if (secondHalf) {
      pushDraft(secondHalf)
      secondHalf = null
      return
    }
    problems.say('warning', 'empty-bar', at, end, 'a chord, or % for the bar before', ' % ', ' % ')
    holdChord(at, end)
  }

  function holdChord(at: number, end: number): void {
    const span = spanAsTyped(plain, at, end)
    const held = sounding ?? { symbol: 'N.C.', root: null, chord: null, bass: null }
    const { symbol, root, chord, bass } = held
    pushDraft([{ symbol, root, chord, bass, beats: meter.beats, span, optional: false }])
  }

  function readUnbarred(
    tokens: readonly Token[],
    counts: Extract<Token, { kind: 'count' }>[],
    line: Extract<ChartLine, { kind: 'music' }>,
    smallRoots: { said: boolean },
  ): void {
    const heard = tokens.filter((token) => isHeard(token))
    if (heard.length > 0) inferBars(tokens, line.line.at, line.line.end)
    const beats = heard.some((token) => token.kind === 'beat' || token.kind === 'tie') && !lyrics.lines.has(line)
    let segment: Token[] = []
    let filled = 0
    const flush = (): void => {
      if (segment.some((token) => isHeard(token))) addBar(segment, smallRoots)
      else for (const token of segment) steer(token, false)
      segment = []
      filled = 0
    }
    for (let i = 0; i < tokens.length; i++) {
      const token = tokens[i]!
      if (token.kind === 'count') counts.push(token)
      else if (token.kind === 'tab') flush()
      else if (token.kind === 'separator' || token.kind === 'comment' || token.kind === 'dash') continue
      else if (!isHeard(token)) {
        // A mark after a chord closes its bar; one before opens it.
        if (segment.length > 0 && !tabbed && !beats) flush()
        if (token.kind === 'mark' && drafts.length > 0 && segment.length === 0) steer(token, true)
        else segment.push(token)
      } else if (tabbed) segment.push(token)
      else if (beats) {
        const weight = token.kind === 'beat' ? token.count : 1
        if (filled >= meter.beats && token.kind !== 'beat') flush()
        segment.push(token)
        filled += weight
        const next = tokens[i + 1]
        if (filled === meter.beats && next?.kind !== 'tie') flush()
      } else {
        if (segment.some((other) => isHeard(other))) flush()
        segment.push(token)
      }
    }
    flush()
  }

  /** Whether a sign makes a bar. */
  function isHeard(token: Token): boolean {
    switch (token.kind) {
      case 'symbol':
      case 'beat':
      case 'simile':
      case 'bass':
      case 'dash':
        return true
      case 'comment':
        return false
      default:
        return false
    }
  }

  function steers(token: Token): boolean {
    return (
      token.kind === 'meter' ||
      token.kind === 'ending' ||
      token.kind === 'label' ||
      token.kind === 'mark' ||
      token.kind === 'key'
    )
  }

  /** A sign that steers. `after` where chords are behind it already, `inside` where they are of its own bar. */
  function steer(token: Token, after: boolean, inside = false): void {
    switch (token.kind) {
      case 'meter':
        setMeter(token.meter, token.at, token.end)
        break
      case 'ending':
        startEnding(token.passes, token.at, token.end)
        break
      case 'label':
        openSection({ name: token.name, times: null })
        break
      case 'key':
        setKey(token.text, false, token.at, token.end)
        break
      case 'mark':
        mark(token, after, inside)
    }
  }

  function mark(token: Extract<Token, { kind: 'mark' }>, after: boolean, inside: boolean): void {
    const { at, end } = token
    const last = drafts[drafts.length - 1]
    if (token.mark === 'Segno') {
      if (after && inside && last) last.marks.push('Segno')
      else nextMarks.push('Segno')
      return
    }
    if (token.mark === 'Coda') {
      if (after && last) {
        last.marks.push('Coda')
        codas.push({ value: 'end', at, end, bar: drafts.length - 1, mark: last.marks.length - 1 })
      } else nextCodas.push({ at, end })
      return
    }
    if (!last) {
      problems.say('error', 'missing-mark', at, end, 'a bar before the mark', 'put the mark after a bar')
      return
    }
    last.marks.push(token.mark)
    jumps.push({ value: token.mark, at, end, bar: drafts.length - 1 })
  }

  function startEnding(passes: readonly number[], at: number, end: number): void {
    closeEnding('ending')
    openEnding = { value: passes, at, end, bar: drafts.length, to: -1, lineEnd: -1, closedBy: null }
    endings.push(openEnding)
  }

  function closeEnding(by: NonNullable<OpenEnding['closedBy']>): void {
    if (!openEnding) return
    openEnding.to = drafts.length
    openEnding.closedBy = by
    if (openEnding.lineEnd < 0) openEnding.lineEnd = drafts.length
    openEnding = null
  }

  function closeRepeat(token: Token): void {
    const last = drafts[drafts.length - 1]
    if (!last || nextOpens) {
      problems.say('error', 'empty-repeat', token.at, token.end, 'a bar to repeat before the sign', '|', '|')
      nextOpens = null
      return
    }
    last.repeatEnd = true
    openRepeat = false
    closeEnding('repeat')
  }

  function applyCount(token: Extract<Token, { kind: 'count' }>, first: number, inside: boolean): void {
    const times = goodCount(token)
    if (times === null || drafts.length === 0) return
    const last = drafts[drafts.length - 1]!
    if (last.repeatEnd) {
      last.times = times
      return
    }
    const from = drafts.length === first ? lastLine : first
    if (drafts.length > from) repeatStretch(from, drafts.length, times, inside)
  }

  /** A stretch played so many times: as a repeat, or written out where it stands inside another. */
  function repeatStretch(from: number, to: number, times: number, inside: boolean): void {
    if (times < 2) return
    const stretch = drafts.slice(from, to)
    const plainStretch = stretch.every((draft) => !draft.repeatStart && !draft.repeatEnd && !draft.ending)
    if (plainStretch && !inside && !openEnding) {
      stretch[0]!.repeatStart = true
      const end = stretch[stretch.length - 1]!
      end.repeatEnd = true
      end.times = times
      return
    }
    if (!plainStretch) return
    for (let n = 1; n < times; n++)
      for (const draft of stretch) drafts.push({ ...draft, marks: [], repeatStart: false, key: null })
  }

  function addBar(segment: readonly Token[], smallRoots = { said: false }): void {
    const heard = segment.findIndex((token) => isHeard(token))
    for (const token of segment.slice(0, heard)) steer(token, false)
    const simile = segment.find((token) => token.kind === 'simile')
    const alone = simile && segment.filter((token) => isHeard(token)).length === 1
    let chords: readonly ChartChord[]
    if (alone) {
      const again = repeated(simile)
      if (again === null) {
        problems.say(
          'error',
          'nothing-to-repeat',
          simile.at,
          simile.end,
          simile.kind === 'simile' && simile.bars === 2
            ? 'two bars before the sign'
            : 'a chord in a bar before the sign',
          'C',
        )
        holdChord(simile.at, simile.end)
      } else pushDraft(again)
    } else {
      const usualHabits = usual && habits.key === null
      const filled = fillBar(segment, {
        plain,
        problems,
        habits: usualHabits ? plainHabits : habits,
        meter,
        before: sounding,
        grid,
        keyless,
        smallRoots,
      })
      chords = filled.chords
      if (chords.length > 0) pushDraft(chords)
      else holdChord(segment[heard]!.at, segment[heard]!.end)
    }
    for (const token of segment.slice(heard + 1)) if (steers(token)) steer(token, true, true)
  }

  /** The chords that a repeat-bar sign stands for, under its own place and meter; null where there is nothing to repeat. */
  function repeated(token: Token): readonly ChartChord[] | null {
    if (token.kind !== 'simile') return null
    const back = drafts[drafts.length - token.bars]
    if (!back) return null
    const span = spanAsTyped(plain, token.at, token.end)
    const again = (draft: Draft): readonly ChartChord[] =>
      draft.chords.map((chord) => ({ ...chord, span, beats: (chord.beats * meter.beats) / draft.meter.beats }))
    if (token.bars === 2) secondHalf = again(drafts[drafts.length - 1]!)
    return again(back)
  }

  function pushDraft(chords: readonly ChartChord[]): void {
    const index = drafts.length
    if (nextOpens) opens.push({ value: null, ...nextOpens, bar: index })
    const marks = [...nextMarks]
    for (const coda of nextCodas) {
      marks.push('Coda')
      codas.push({ value: 'start', ...coda, bar: index, mark: marks.length - 1 })
    }
    drafts.push({
      section,
      meter,
      key: nextKey && (!currentKey || nameOfKey(nextKey) !== '') ? nextKey : null,
      ending: null,
      repeatStart: nextOpens !== null,
      repeatEnd: false,
      times: null,
      marks,
      chords,
    })
    nextKey = null
    nextOpens = null
    nextMarks = []
    nextCodas = []
    sounding = chords[chords.length - 1] ?? sounding
  }
}

/** Drafts as finished bars. */
export const finishBars = (drafts: readonly Draft[]): readonly Bar[] =>
  drafts.map(({ times, marks, ...bar }, index) => ({
    index,
    ...bar,
    ...(times === null ? {} : { times }),
    ...(marks.length ? { marks } : {}),
  }))
