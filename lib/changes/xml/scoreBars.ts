/** Measures of a score file to a chart: chords placed in ticks become bars with beats, the form's signs are set and followed. */
import type { Problem } from '../../problem.ts'
import type { Chord } from '../../theory/chord.ts'
import type { Key } from '../../theory/key.ts'
import { nameOfKey } from '../../theory/key.ts'
import { type Meter, meterText, ticksPerBar, ticksPerBeat } from '../../theory/meter.ts'
import type { PitchClass } from '../../theory/pitch.ts'
import { type Bar, type Chart, type ChartChord, type ChordSymbol, markOrder, noChord } from '../chart.ts'
import { playOrder } from '../playOrder.ts'
import { canonicalSuffix, symbolName } from '../symbol/chordName.ts'
import { plainWords, sectionName, settleForm } from './scoreForm.ts'
import { meterLasting, placedIn, type ScoreChord, type ScoreMeasure } from './scoreMeasure.ts'

export type { ScoreMeasure } from './scoreMeasure.ts'

export type ScoreWords = Pick<Chart, 'title' | 'composer' | 'style' | 'tempo'>

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

/** The chart of a score file's measures, one bar for each. */
export function chartOfMeasures(written: readonly ScoreMeasure[], words: ScoreWords, found: readonly Problem[]): Chart {
  const problems = [...found]
  const bars: Bar[] = []
  let section: string | null = null
  let key: Key | null = null
  let sounding: ChordSymbol | null = null
  /** A chord that stands at the end of its measure belongs to the next. */
  let late: ScoreChord | null = null
  for (const [index, measure] of settleForm(written, problems).entries()) {
    section = (measure.section ? sectionName(measure.section) : null) ?? section
    const changes = measure.key && (!key || nameOfKey(key) !== nameOfKey(measure.key))
    if (measure.key) key = measure.key
    const meter = meterFor(measure)
    const placed: Placed = placeChords(measure, meter, late, problems)
    late = placed.late
    const chords = fill(measure, meter, placed.chords, sounding, bars[index - measure.repeats])
    sounding = chords[chords.length - 1]!
    const marks = markOrder.filter((mark) => measure.marks.includes(mark))
    bars.push({
      index,
      section,
      meter,
      key: changes && index > 0 ? measure.key : null,
      ending: measure.ending,
      repeatStart: measure.repeatStart,
      repeatEnd: measure.repeatEnd,
      ...(measure.times !== null && measure.repeatEnd ? { times: measure.times } : {}),
      ...(marks.length > 0 ? { marks } : {}),
      chords,
    })
  }
  if (late) problems.push(lost(late, { number: written[written.length - 1]?.number }))
  const none = bars.every((bar) => bar.chords.every((chord) => chord.root === null))
  if (none)
    problems.push({
      severity: 'error',
      code: 'no-chords',
      span: { start: 0, end: 0 },
      found: 'no chord symbols',
      expected: 'at least one chord symbol',
      hint: '| Dm7 | G7 | Cmaj7 |',
    })
  return {
    title: plainWords(words.title),
    composer: plainWords(words.composer),
    style: plainWords(words.style),
    tempo: words.tempo !== null && words.tempo >= 20 && words.tempo <= 600 ? words.tempo : null,
    key: written[0]?.key ?? null,
    meter: bars[0]?.meter ?? written[0]?.meter ?? { beats: 4, unit: 4 },
    barsKnown: true,
    bars,
    playOrder: playOrder(bars),
    problems,
  }
}

/** A measure's meter; one whose chords go on past its end has as many beats as its music. */
function meterFor({ meter, length = 0, chords }: ScoreMeasure): Meter {
  const size = ticksPerBar(meter)
  if (length <= size || chords.every(({ at }) => at < size)) return meter
  return meterLasting(length, meter.unit) ?? meter
}

const lost = (chord: ScoreChord, measure: Pick<ScoreMeasure, 'number'>): Problem => ({
  severity: 'warning',
  code: 'lost-chord',
  span: chord.span,
  found: placedIn(chord.symbol.symbol, measure),
  expected: 'a chord with time of its own',
  hint: chord.symbol.symbol,
})

/** Chords that stand at one place: each once, and of a shown one and a hidden one, which a program plays instead, the one shown. */
function shownOf(group: readonly ScoreChord[], measure: ScoreMeasure, problems: Problem[]): readonly ScoreChord[] {
  const shown = group.filter(({ hidden }) => !hidden)
  const kept = shown.length > 0 ? shown : group
  const said = new Set(kept.map(({ symbol }) => symbol.symbol))
  for (const chord of group)
    if (!kept.includes(chord) && !said.has(chord.symbol.symbol)) problems.push(lost(chord, measure))
  return kept.filter(({ symbol }, k, all) => all[k - 1]?.symbol.symbol !== symbol.symbol)
}

interface Placed {
  readonly chords: readonly ScoreChord[]
  readonly late: ScoreChord | null
}

/** The chords of a measure, each at a time of its own: those over one note share it. What finds no time is said. */
function placeChords(measure: ScoreMeasure, meter: Meter, late: ScoreChord | null, problems: Problem[]): Placed {
  const size = ticksPerBar(meter)
  const within = measure.chords.filter(({ at }) => at < size).sort((a, b) => a.at - b.at)
  const over = measure.chords.filter(({ at }) => at >= size)
  const groups = new Map<number, ScoreChord[]>()
  for (const chord of within) {
    const group = groups.get(chord.at)
    if (group) group.push(chord)
    else groups.set(chord.at, [chord])
  }
  if (late && !groups.has(0)) groups.set(0, [{ ...late, at: 0 }])
  else if (late) problems.push(lost(late, measure))
  const starts = [...groups.keys()].sort((a, b) => a - b)
  const chords: ScoreChord[] = []
  for (const [i, at] of starts.entries()) {
    const group = shownOf(groups.get(at)!, measure, problems)
    const until = starts[i + 1] ?? size
    const room = Math.min(group.reduce((most, chord) => Math.max(most, chord.room ?? 0), 0) || until - at, until - at)
    const share = room / group.length
    for (const [k, chord] of group.entries()) {
      const place = at + Math.floor(k * share)
      if (k > 0 && place <= chords[chords.length - 1]!.at) problems.push(lost(chord, measure))
      else chords.push({ ...chord, at: place })
    }
  }
  for (const chord of over.slice(0, -1)) problems.push(lost(chord, measure))
  return { chords, late: over[over.length - 1] ?? null }
}

function fill(
  { repeats, span }: ScoreMeasure,
  meter: Meter,
  placed: readonly ScoreChord[],
  before: ChordSymbol | null,
  repeated: Bar | undefined,
): readonly ChartChord[] {
  const again = repeats > 0 && placed.length === 0 && repeated && meterText(repeated.meter) === meterText(meter)
  if (again) return repeated.chords.map((chord) => ({ ...chord, span }))
  const size = ticksPerBar(meter)
  const beat = ticksPerBeat(meter)
  const starts = [...placed]
  if (starts.length === 0 || starts[0]!.at > 0) {
    const { symbol, root, chord, bass } = before ?? noChord
    starts.unshift({ at: 0, symbol: { symbol, root, chord, bass }, span })
  }
  return starts.map(({ at, symbol, span: place }, i) => ({
    ...symbol,
    beats: ((starts[i + 1]?.at ?? size) - at) / beat,
    span: place,
    optional: false,
  }))
}
