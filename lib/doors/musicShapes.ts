/** What a program hands over of music, described field by field: notes and keys, charts, harmony. */
import { type Bar, type Chart, type ChartChord, type ChordSymbol, markOrder } from '../changes/chart.ts'
import type { Changes, PlayedBar, PlayedChord } from '../changes/unrollChart.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import type { Problem, Span } from '../problem.ts'
import type { Chord } from '../theory/chord.ts'
import { type Instrument, type InstrumentFamily, instruments, partGroups } from '../theory/instrument.ts'
import { fullSignatureOf, type Key } from '../theory/key.ts'
import { goodMeter, type Meter } from '../theory/meter.ts'
import { type Interval, letters, type Pitch, type PitchClass } from '../theory/pitch.ts'
import { type ChordScale, type ScaleName, scaleDegrees } from '../theory/scale.ts'
import {
  astray,
  holding,
  listOf,
  type Misfit,
  maybe,
  number,
  oneOf,
  orNull,
  pairOf,
  plainly,
  record,
  type Shape,
  text,
  whole,
  yesOrNo,
} from './shapes.ts'

/** Ticks from the start, and lengths: more than any tune has. */
export const ticks = whole(-100_000, 10_000_000)
export const length = whole(0, 1_000_000)
/** Bars, chords, notes by their numbers. */
export const count = whole(0, 1_000_000)
export const tempo = number(1, 1_000)
export const midi = whole(0, 127)
export const program = whole(0, 127)

const letter = oneOf(...letters)
/** More signs than three are on no paper, and on the way to another key there may be a few more. */
const alter = whole(-7, 7)
export const noteName: Shape<PitchClass> = record('a note, { letter, alter }', { letter, alter })
export const pitch: Shape<Pitch> = record('a pitch, { letter, alter, octave }', {
  letter,
  alter,
  octave: whole(-9, 19),
})
/** A note with an octave or without one. */
export const noteOrPitch: Shape<PitchClass | Pitch> = {
  ...noteName,
  check: (value) => (isPitch(value) ? pitch : noteName).check(value),
}
const isPitch = (value: unknown): value is Pitch => typeof value === 'object' && value !== null && 'octave' in value
export const interval: Shape<Interval> = record('an interval, { steps, semitones }', {
  steps: whole(-70, 70),
  semitones: whole(-120, 120),
})
export const meter: Shape<Meter> = holding(
  record<Meter>('a meter, { beats, unit }', {
    beats: whole(1, 32),
    unit: oneOf(1, 2, 4, 8, 16, 32),
    groups: maybe(listOf(whole(1, 32), 32)),
  }),
  (value) =>
    goodMeter(value) ? null : { at: '.groups', found: value.groups, expected: 'all beats', hint: 'leave them out' },
)
export const key: Shape<Key> = holding(
  record<Key>('a key, { tonic, mode }', {
    tonic: noteName,
    mode: oneOf('major', 'minor'),
    open: maybe(oneOf(true)),
  }),
  (value) => {
    const signs = Math.abs(fullSignatureOf(value))
    const expected = 'a key of at most fourteen signs'
    return signs <= 14 ? null : { at: '', found: signs, expected, hint: 'take the tonic by its other name' }
  },
)
export const degree: Shape<string> = plainly(
  "a degree such as '3', 'b7' or '#11'",
  "try '3'",
  (v) => typeof v === 'string' && /^(b{0,3}|#{0,3})(1[0-3]|[1-9])$/.test(v),
)
const chord: Shape<Chord> = holding(
  record<Chord>('a chord, { degrees, alt, named }', { degrees: listOf(degree, 13), alt: yesOrNo, named: text }),
  ({ degrees }) =>
    degrees.length > 0
      ? null
      : { at: '.degrees', found: degrees, expected: 'a degree or more', hint: "try ['1', '3', '5']" },
)
const scaleNames = Object.keys(scaleDegrees) as ScaleName[]
const scale: Shape<ChordScale> = holding(
  record<ChordScale>('a chord scale, { name, degrees, notes }', {
    name: oneOf(...scaleNames),
    degrees: listOf(degree, 13),
    notes: listOf(noteName, 13),
  }),
  ({ degrees, notes }) =>
    notes.length > 0 && degrees.length === notes.length
      ? null
      : { at: '.notes', found: notes, expected: 'a note for each degree', hint: 'take the scale as it was read' },
)

const families: readonly InstrumentFamily[] = [...new Set(instruments.map(({ family }) => family))]
export const instrument: Shape<Instrument> = record("an instrument, as instrumentOf('alto-sax') gives it", {
  id: text,
  name: text,
  family: oneOf(...families),
  group: oneOf(...partGroups),
  clef: oneOf('treble', 'bass', 'tenor', 'alto', 'treble-8'),
  transposition: interval,
  range: pairOf(pitch),
  comfortable: pairOf(pitch),
  program,
})

export const span: Shape<Span> = record('a span, { start, end }', { start: count, end: count })
export const problem: Shape<Problem> = record('a problem', {
  severity: oneOf('error', 'warning'),
  code: text,
  span,
  found: text,
  expected: text,
  hint: text,
  replacement: maybe(text),
})

/** A root has a chord over it, and no-chord has neither. */
const wholeChord = ({ root, chord: quality }: ChordSymbol): Misfit | null =>
  (root === null) === (quality === null)
    ? null
    : { at: '.chord', found: quality, expected: 'root and chord, or neither', hint: 'give both, or null for both' }

export const symbolFields = { symbol: text, root: orNull(noteName), chord: orNull(chord), bass: orNull(noteName) }
const chartChord = holding(
  record<ChartChord>('a chord of a chart', { ...symbolFields, beats: number(0, 128), span, optional: yesOrNo }),
  wholeChord,
)
const bar: Shape<Bar> = record('a bar of a chart', {
  index: count,
  section: orNull(text),
  meter,
  key: orNull(key),
  ending: orNull(listOf(whole(1, 1_000))),
  repeatStart: yesOrNo,
  repeatEnd: yesOrNo,
  times: maybe(whole(0, 1_000)),
  marks: maybe(listOf(oneOf(...markOrder))),
  chords: listOf(chartChord),
})
const head = { title: orNull(text), composer: orNull(text), style: orNull(text), tempo: orNull(tempo) }
export const chart: Shape<Chart> = holding(
  record<Chart>('a chart, as readChart gives it', {
    ...head,
    key: orNull(key),
    meter,
    barsKnown: yesOrNo,
    bars: listOf(bar, 100_000),
    playOrder: listOf(count, 100_000),
    problems: listOf(problem),
  }),
  ({ bars, playOrder }) =>
    astray(
      playOrder,
      (i) => `.playOrder[${i}]`,
      (each) => each,
      bars.length,
      'bar',
    ),
)

const playedBar: Shape<PlayedBar> = record('a bar as played', {
  bar: count,
  written: count,
  chorus: count,
  start: ticks,
  ticks: length,
  meter,
  section: orNull(text),
  key: orNull(key),
})
const playedFields = { ...symbolFields, bar: count, start: ticks, ticks: length, span }
const playedChord: Shape<PlayedChord> = holding(
  record<PlayedChord>('a chord as played', playedFields),
  wholeChord as (value: PlayedChord) => Misfit | null,
)
/** Bars are numbered from 1 and follow each other without a gap, and their chords fill them. */
function inBars({ bars, chords }: Pick<Changes, 'bars' | 'chords'>): Misfit | null {
  let start = 0
  for (const [i, each] of bars.entries()) {
    if (each.bar !== i + 1)
      return { at: `.bars[${i}].bar`, found: each.bar, expected: `${i + 1}`, hint: 'number the bars from 1' }
    if (each.start !== start)
      return { at: `.bars[${i}].start`, found: each.start, expected: `${start}`, hint: 'let bars follow each other' }
    if (each.ticks !== (96 * each.meter.beats) / each.meter.unit)
      return { at: `.bars[${i}].ticks`, found: each.ticks, expected: 'as many as its meter has', hint: '24 a quarter' }
    start += each.ticks
  }
  for (const [i, each] of chords.entries()) {
    const there = bars[each.bar - 1]
    const before = chords[i - 1]
    const start = before?.bar === each.bar ? before.start + before.ticks : there?.start
    const end = chords[i + 1]?.bar === each.bar || !there ? null : there.start + there.ticks
    if (start !== each.start || (end !== null && end !== start + each.ticks))
      return {
        at: `.chords[${i}]`,
        found: each.ticks,
        expected: 'chords that fill their bar',
        hint: 'see start, ticks',
      }
  }
  return null
}
export const changes: Shape<Changes> = holding(
  record<Changes>('changes, as unrollChart gives them', {
    ...head,
    key: orNull(key),
    bars: listOf(playedBar, 100_000),
    chords: listOf(playedChord),
  }),
  inBars,
)

/** A chord with a root is heard in a key, has a function there and takes a scale. */
const wholeHarmony = (value: HarmonyChord): Misfit | null =>
  wholeChord(value) ??
  ([value.localKey, value.function, value.scale].every((each) => (each === null) === (value.root === null))
    ? null
    : { at: '', found: value.symbol, expected: 'a key, a function and a scale with a root', hint: 'see readHarmony' })
export const harmonyChord: Shape<HarmonyChord> = holding(
  record<HarmonyChord>('a chord as heard', {
    ...playedFields,
    localKey: orNull(key),
    function: orNull(text),
    scale: orNull(scale),
    reason: text,
  }),
  wholeHarmony,
)
export const harmony: Shape<Harmony> = holding(
  record<Harmony>('harmony, as readHarmony gives it', {
    ...head,
    key,
    bars: listOf(playedBar, 100_000),
    chords: listOf(harmonyChord),
  }),
  inBars,
)
export const chordsAlone: Shape<Pick<Harmony, 'chords'>> = record('harmony, as readHarmony gives it', {
  chords: listOf(harmonyChord),
})
