/** Measures of a score file to a chart: chords placed in ticks become bars with beats, the form's signs are set and followed. */
import type { Problem, Span } from '../../problem.ts'
import type { Chord } from '../../theory/chord.ts'
import type { Key } from '../../theory/key.ts'
import { nameOfKey } from '../../theory/key.ts'
import { type Meter, ticksPerBar, ticksPerBeat } from '../../theory/meter.ts'
import type { PitchClass } from '../../theory/pitch.ts'
import type { Bar, Chart, ChartChord, ChordSymbol, Mark } from '../chart.ts'
import { playOrder } from '../playOrder.ts'
import { canonicalSuffix, symbolName } from '../symbol/chordName.ts'

/** A measure as a score file has it. `at` counts ticks from its start. */
export interface ScoreMeasure {
  readonly meter: Meter
  /** The key from here on, where the file says one. */
  readonly key: Key | null
  readonly section: string | null
  readonly ending: readonly number[] | null
  readonly repeatStart: boolean
  readonly repeatEnd: boolean
  readonly times: number | null
  readonly marks: readonly Mark[]
  readonly chords: readonly { readonly at: number; readonly symbol: ChordSymbol; readonly span: Span }[]
  /** The bars before that this one repeats, where it holds a repeat sign for bars; 0 for none. */
  readonly repeats: number
  readonly span: Span
}

export interface ScoreWords {
  readonly title: string | null
  readonly composer: string | null
  readonly style: string | null
  readonly tempo: number | null
}

/** A symbol from its parts, under its canonical name. */
export function symbolOf(
  root: PitchClass,
  degrees: readonly string[],
  alt: boolean,
  bass: PitchClass | null,
): ChordSymbol {
  const named = canonicalSuffix({ degrees, alt })
  const chord: Chord = { degrees, alt, named }
  return { symbol: symbolName(root, named, bass), root, chord, bass }
}

const silence: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }

/** The chart of a score file's measures. */
export function chartOfMeasures(
  measures: readonly ScoreMeasure[],
  words: ScoreWords,
  problems: readonly Problem[],
): Chart {
  const bars: Bar[] = []
  let section: string | null = null
  let key: Key | null = null
  let sounding: ChordSymbol | null = null
  const open = openRepeats(measures)
  for (const [index, measure] of measures.entries()) {
    section = measure.section ?? section
    const changes = measure.key && (!key || nameOfKey(key) !== nameOfKey(measure.key))
    if (measure.key) key = measure.key
    const chords = fill(measure, sounding, bars[index - measure.repeats])
    sounding = chords[chords.length - 1]!
    bars.push({
      index,
      section,
      meter: measure.meter,
      key: changes && index > 0 ? measure.key : null,
      ending: measure.ending,
      repeatStart: measure.repeatStart && !open.has(index),
      repeatEnd: measure.repeatEnd,
      ...(measure.times !== null && measure.repeatEnd ? { times: measure.times } : {}),
      ...(measure.marks.length > 0 ? { marks: measure.marks } : {}),
      chords,
    })
  }
  const none = bars.every((bar) => bar.chords.every((chord) => chord.root === null))
  const silent: Problem[] = none
    ? [
        {
          severity: 'error',
          code: 'no-chords',
          span: { start: 0, end: 0 },
          found: 'no chord symbols',
          expected: 'at least one chord symbol',
          hint: '| Dm7 | G7 | Cmaj7 |',
        },
      ]
    : []
  return {
    ...words,
    key: measures[0]?.key ?? null,
    meter: measures[0]?.meter ?? { beats: 4, unit: 4 },
    barsKnown: true,
    bars,
    playOrder: playOrder(bars),
    problems: [...problems, ...silent],
  }
}

/** Opened repeats that nothing closes before the next opens. */
function openRepeats(measures: readonly ScoreMeasure[]): ReadonlySet<number> {
  const open = new Set<number>()
  let last = -1
  for (const [i, measure] of measures.entries()) {
    if (measure.repeatStart) {
      if (last >= 0) open.add(last)
      last = i
    }
    if (measure.repeatEnd) last = -1
  }
  if (last >= 0) open.add(last)
  return open
}

function fill(measure: ScoreMeasure, before: ChordSymbol | null, repeated: Bar | undefined): readonly ChartChord[] {
  const { meter, span } = measure
  const size = ticksPerBar(meter)
  const beat = ticksPerBeat(meter)
  if (measure.repeats > 0 && repeated && measure.chords.length === 0)
    return repeated.chords.map((chord) => ({
      ...chord,
      span,
      beats: (chord.beats * meter.beats) / repeated.meter.beats,
    }))
  const starts = measure.chords
    .filter(({ at }, i, all) => at < size && all.findIndex((other) => other.at === at) === i)
    .sort((a, b) => a.at - b.at)
  if (starts.length === 0 || starts[0]!.at > 0) {
    const { symbol, root, chord, bass } = before ?? silence
    starts.unshift({ at: 0, symbol: { symbol, root, chord, bass }, span })
  }
  return starts.map(({ at, symbol, span: place }, i) => ({
    ...symbol,
    beats: ((starts[i + 1]?.at ?? size) - at) / beat,
    span: place,
    optional: false,
  }))
}
