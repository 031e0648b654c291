/** Bars that cannot be read, left as rests, so that the others can be played. */
import type { Problem } from '../problem.ts'
import { type Bar, type Chart, type ChartChord, noChord } from './chart.ts'

/** What is wrong with the beats of a bar may stand behind its chords. */
const ofBeats = ['bar-length']

/** What is wrong about the way through, the key or the signs, and leaves every chord known. */
const ofForm = [
  'look-alike-barline',
  'markup',
  'tablature',
  'unclosed-repeat',
  'unmatched-ending',
  'missing-mark',
  'repeat-count',
  'unknown-key',
  'unknown-meter',
]

/** The written bar that a problem stands in; null where it stands in none: in a header, at a repeat, before the first bar. */
export function barOfProblem({ bars }: Chart, { span, code }: Pick<Problem, 'span' | 'code'>): Bar | null {
  const end = Math.max(span.end, span.start + 1)
  const within = bars.find(({ chords }) =>
    chords.some((chord) => chord.span.start < end && span.start < chord.span.end),
  )
  if (within || !ofBeats.includes(code)) return within ?? null
  return bars.findLast(({ chords }) => chords[0] !== undefined && chords[0].span.start <= span.start) ?? null
}

const isUnread = ({ symbol, chord }: ChartChord): boolean => chord === null && symbol !== noChord.symbol

/** The bars, by their index, that hold a chord or a number of beats that cannot be read. */
function badBars(chart: Chart): ReadonlySet<number> {
  const errors = chart.problems.filter(({ severity, code }) => severity === 'error' && !ofForm.includes(code))
  const marked = errors.flatMap((problem) => barOfProblem(chart, problem)?.index ?? [])
  const unread = chart.bars.filter(({ chords }) => chords.some(isUnread)).map(({ index }) => index)
  return new Set([...marked, ...unread])
}

/** A bar as a rest, with what was typed in it and a question mark. */
function asRest(bar: Bar): Bar {
  const [first] = bar.chords
  const last = bar.chords.at(-1)
  if (!first || !last) return bar
  const symbol = `${bar.chords.map((chord) => chord.symbol).join(' ')} ?`
  const span = { start: first.span.start, end: last.span.end }
  const rest = { symbol, root: null, chord: null, bass: null, beats: bar.meter.beats, span, optional: false }
  return { ...bar, chords: [rest] }
}

/**
 * A chart whose bad bars are rests, and which of its bars these are; null where no bar is left to play. What else is wrong with it, a
 * repeat never closed, is left as it was read.
 */
export function restBadBars(chart: Chart): { readonly chart: Chart; readonly rests: ReadonlySet<number> } | null {
  const rests = badBars(chart)
  const sounds = (bar: Bar | undefined) =>
    bar && !rests.has(bar.index) && bar.chords.some(({ chord }) => chord !== null)
  if (!chart.playOrder.some((index) => sounds(chart.bars[index]))) return null
  return { chart: { ...chart, bars: chart.bars.map((bar) => (rests.has(bar.index) ? asRest(bar) : bar)) }, rests }
}
