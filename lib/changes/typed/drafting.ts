/** Bars in the making: the drafts so far, what waits for the next, and the signs that steer. */
import type { Key } from '../../theory/key.ts'
import { commonTime, goodMeter, type Meter, meterName } from '../../theory/meter.ts'
import { type ChartChord, type Mark, noChord } from '../chart.ts'
import { type PlainText, spanAsTyped } from './characters.ts'
import { readHeaderKey } from './chartHeader.ts'
import type { ChartProblems } from './chartProblems.ts'
import type { Token } from './chartTokens.ts'
import type { LineLabel } from './lineOpening.ts'

export type CountToken = Extract<Token, { kind: 'count' }>

export interface Draft {
  readonly section: string | null
  readonly meter: Meter
  readonly key: Key | null
  ending: readonly number[] | null
  repeatStart: boolean
  repeatEnd: boolean
  times: number | null
  readonly marks: Mark[]
  readonly chords: readonly ChartChord[]
}

/** A sign that steers, where it stands in the plain text, and the bar it opens or closes. */
export interface Placed<T> {
  readonly value: T
  readonly at: number
  readonly end: number
  readonly bar: number
}

/** An ending as met. `to` is the bar after its last, `lineEnd` the bar after the line on which it began. */
export interface OpenEnding extends Placed<readonly number[]> {
  to: number
  lineEnd: number
  closedBy: 'repeat' | 'ending' | 'other' | null
}

export type CodaPlace = 'before' | 'after' | 'between' | 'label'

export interface SectionCount {
  readonly times: number
  readonly from: number
  to: number
}

/** The state of drafting; one for each chart, and changed in place. */
export interface Drafting {
  readonly plain: PlainText
  readonly problems: ChartProblems
  readonly drafts: Draft[]
  readonly endings: OpenEnding[]
  /** Opened repeats. */
  readonly opens: Placed<null>[]
  readonly jumps: Placed<Mark>[]
  /** Coda signs without a word of leaving: before the chords of their bar, after them, between bars, or a section's name. */
  readonly codas: Placed<CodaPlace>[]
  readonly sectionCounts: SectionCount[]
  /** The chart's own key, and the key in force. */
  key: Key | null
  keyNow: Key | null
  /** The chart's own meter, where it says one before the first bar, and the meter in force. */
  meter: Meter | null
  meterNow: Meter
  section: string | null
  /** The chord that sounds last. */
  sounding: ChartChord | null
  nextKey: Key | null
  nextOpens: { readonly at: number; readonly end: number } | null
  nextMarks: Mark[]
  nextCodas: { readonly at: number; readonly end: number; readonly value: CodaPlace }[]
  ending: OpenEnding | null
  inRepeat: boolean
}

export const startDrafting = (plain: PlainText, problems: ChartProblems): Drafting => ({
  plain,
  problems,
  drafts: [],
  endings: [],
  opens: [],
  jumps: [],
  codas: [],
  sectionCounts: [],
  key: null,
  keyNow: null,
  meter: null,
  meterNow: commonTime,
  section: null,
  sounding: null,
  nextKey: null,
  nextOpens: null,
  nextMarks: [],
  nextCodas: [],
  ending: null,
  inRepeat: false,
})

/** The most bars that counts may write out. */
const mostWrittenOut = 4_096
/** The most times that a count may ask for. */
const mostTimes = 64

/** Puts a bar of these chords at the end. */
export function pushDraft(d: Drafting, chords: readonly ChartChord[]): void {
  const bar = d.drafts.length
  if (d.nextOpens) d.opens.push({ value: null, ...d.nextOpens, bar })
  const marks = [...d.nextMarks]
  for (const coda of d.nextCodas) {
    if (!marks.includes('Coda')) marks.push('Coda')
    d.codas.push({ ...coda, bar })
  }
  d.drafts.push({
    section: d.section,
    meter: d.meterNow,
    key: d.nextKey,
    ending: null,
    repeatStart: d.nextOpens !== null,
    repeatEnd: false,
    times: null,
    marks,
    chords,
  })
  d.nextKey = null
  d.nextOpens = null
  d.nextMarks = []
  d.nextCodas = []
  d.sounding = chords[chords.length - 1] ?? d.sounding
}

/** A bar in which the chord before goes on. */
export function holdChord(d: Drafting, at: number, end: number): void {
  const { symbol, root, chord, bass } = d.sounding ?? noChord
  const span = spanAsTyped(d.plain, at, end)
  pushDraft(d, [{ symbol, root, chord, bass, beats: d.meterNow.beats, span, optional: false }])
}

export function openSection(d: Drafting, label: LineLabel): void {
  closeEnding(d, 'other')
  const last = d.sectionCounts[d.sectionCounts.length - 1]
  if (last && !last.to) last.to = d.drafts.length
  d.section = label.name || d.section
  if (/^coda$/i.test(label.name)) d.nextCodas.push({ at: 0, end: 0, value: 'label' })
  const times = label.times && goodCount(d, label.times)
  if (times) d.sectionCounts.push({ times, from: d.drafts.length, to: 0 })
}

/** A count's number; null, with a word about it, where it is out of bounds. */
export function goodCount(d: Drafting, token: CountToken): number | null {
  if (token.count >= 1 && token.count <= mostTimes) return token.count
  const text = d.plain.text.slice(token.at, token.end)
  const number = /-?\d+/.exec(text)
  const hint = number ? text.replace(number[0], '2') : 'x2'
  const expected = `1 to ${mostTimes} times`
  // Points at the whole count, or at its number where that stands far into it.
  if (number && number.index > 5) {
    const at = token.at + number.index
    d.problems.say('error', 'repeat-count', at, at + number[0].length, expected, hint, '2')
  } else d.problems.say('error', 'repeat-count', token.at, token.end, expected, hint, hint)
  return null
}

export function setKey(d: Drafting, value: string, german: boolean, at: number, end: number): void {
  const read = readHeaderKey(value, german)
  if (!read) {
    if (value !== '' && !/^(?:\?|-|none|n\/a|any|atonal|various)$/i.test(value))
      d.problems.say('error', 'unknown-key', at, end, 'a key such as Eb, F# minor or Am', 'C', 'C')
    return
  }
  d.keyNow = read
  if (d.drafts.length === 0 && !d.key) d.key = read
  else d.nextKey = read
}

export function setMeter(d: Drafting, wanted: Meter, at: number, end: number): void {
  if (goodMeter(wanted)) {
    d.meterNow = wanted
    if (d.drafts.length === 0) d.meter = wanted
    return
  }
  const ungrouped = { beats: wanted.beats, unit: wanted.unit }
  if (goodMeter(ungrouped)) {
    const hint = meterName(wanted)
    d.problems.say('error', 'unknown-meter', at, end, `groups that add up to ${wanted.beats} beats`, hint, hint)
    setMeter(d, ungrouped, at, end)
    return
  }
  const upper = wanted.beats < 1 || wanted.beats > 32
  const unit = goodMeter({ beats: 4, unit: wanted.unit }) ? wanted.unit : 4
  const hint = `${upper ? 4 : wanted.beats}/${unit}`
  const found = /\d+\s*\/\s*\d+/.exec(d.plain.text.slice(at, end))
  const start = at + (found?.index ?? 0)
  const stop = found ? start + found[0].length : end
  const expected = upper ? '1 to 32 beats' : 'a lower number of 1, 2, 4, 8, 16 or 32'
  d.problems.say('error', 'unknown-meter', start, stop, expected, hint, hint)
}

export function startEnding(d: Drafting, passes: readonly number[], at: number, end: number): void {
  closeEnding(d, 'ending')
  d.ending = { value: passes, at, end, bar: d.drafts.length, to: -1, lineEnd: -1, closedBy: null }
  d.endings.push(d.ending)
}

export function closeEnding(d: Drafting, by: NonNullable<OpenEnding['closedBy']>): void {
  if (!d.ending) return
  d.ending.to = d.drafts.length
  d.ending.closedBy = by
  if (d.ending.lineEnd < 0) d.ending.lineEnd = d.drafts.length
  d.ending = null
}

export function openRepeat(d: Drafting, at: number, end: number): void {
  closeEnding(d, 'other')
  d.nextOpens = { at, end }
  d.inRepeat = true
}

export function closeRepeat(d: Drafting, at: number, end: number): void {
  const last = d.drafts[d.drafts.length - 1]
  if (!last || d.nextOpens) {
    d.problems.say('error', 'empty-repeat', at, end, 'a bar to repeat before the sign', '|', '|')
    d.nextOpens = null
    return
  }
  last.repeatEnd = true
  d.inRepeat = false
  closeEnding(d, 'repeat')
}

/** A count for what stands before it: the repeat just closed, else the bars from `from` on. */
export function applyCount(d: Drafting, token: CountToken, from: number, inRepeat: boolean): void {
  const times = goodCount(d, token)
  const last = d.drafts[d.drafts.length - 1]
  if (times === null || !last) return
  if (last.repeatEnd) last.times = times
  else if (d.drafts.length > from) repeatBars(d, from, times, inRepeat)
}

/** The last bars, from one on, played so many times: as a repeat, or written out where they stand inside another. */
export function repeatBars(d: Drafting, from: number, times: number, inRepeat: boolean): void {
  const bars = d.drafts.slice(from)
  const [first] = bars
  const last = bars[bars.length - 1]
  if (times < 2 || !first || !last || bars.some((bar) => bar.repeatStart || bar.repeatEnd)) return
  if (!inRepeat && !d.ending && (d.endings[d.endings.length - 1]?.bar ?? -1) < from) {
    first.repeatStart = true
    last.repeatEnd = true
    last.times = times
    return
  }
  for (let n = 1; n < times && d.drafts.length + bars.length <= mostWrittenOut; n++)
    for (const bar of bars) d.drafts.push({ ...bar, marks: [], key: null })
}

/** Whether a sign steers rather than sounds. */
export const steers = (token: Token): boolean =>
  token.kind === 'meter' ||
  token.kind === 'ending' ||
  token.kind === 'label' ||
  token.kind === 'mark' ||
  token.kind === 'key'

/** A sign that steers. `after` where chords are behind it already, `inside` where they are of its own bar. */
export function steer(d: Drafting, token: Token, after: boolean, inside = false): void {
  switch (token.kind) {
    case 'meter':
      setMeter(d, token.meter, token.at, token.end)
      break
    case 'ending':
      startEnding(d, token.passes, token.at, token.end)
      break
    case 'label':
      openSection(d, { name: token.name, times: null })
      break
    case 'key':
      setKey(d, token.text, false, token.at, token.end)
      break
    case 'mark':
      setMark(d, token, after, inside)
  }
}

function setMark(d: Drafting, token: Extract<Token, { kind: 'mark' }>, after: boolean, inside: boolean): void {
  const { at, end, mark } = token
  const last = d.drafts[d.drafts.length - 1]
  if (mark === 'Segno') {
    if (after && inside && last) last.marks.push('Segno')
    else d.nextMarks.push('Segno')
  } else if (mark === 'Coda') {
    if (after && inside && last) {
      last.marks.push('Coda')
      d.codas.push({ value: 'after', at, end, bar: d.drafts.length - 1 })
    } else d.nextCodas.push({ at, end, value: inside ? 'before' : 'between' })
  } else if (!last) {
    d.problems.say('error', 'missing-mark', at, end, 'a bar before the mark', '| C | D.C.')
  } else {
    last.marks.push(mark)
    d.jumps.push({ value: mark, at, end, bar: d.drafts.length - 1 })
  }
}
