/** From a chart as written to its changes as played: repeats, endings and jumps followed, time counted in ticks. */
import type { Span } from '../problem.ts'
import type { Key } from '../theory/key.ts'
import { type Meter, ticksPerBar, ticksPerBeat } from '../theory/meter.ts'
import type { Chart, ChordSymbol } from './chart.ts'

export interface PlayedBar {
  /** Counted from 1 through everything played. */
  readonly bar: number
  /** The index of the written bar. */
  readonly written: number
  /** Which time through the tune, from 1. */
  readonly chorus: number
  readonly start: number
  readonly ticks: number
  readonly meter: Meter
  /** The section label, on the first bar of each section as played; else null. */
  readonly section: string | null
  /** The key that the chart states for this bar; null where it states none. */
  readonly key: Key | null
}

/** A chord as played: within one bar, timed from the start of the first bar. */
export interface PlayedChord extends ChordSymbol {
  readonly bar: number
  readonly start: number
  readonly ticks: number
  readonly span: Span
}

export interface Changes {
  readonly title: string | null
  readonly composer: string | null
  readonly style: string | null
  readonly tempo: number | null
  /** The key that the chart states; null where it states none. */
  readonly key: Key | null
  readonly bars: readonly PlayedBar[]
  readonly chords: readonly PlayedChord[]
}

/**
 * Plays a chart through, so many choruses; every bar follows the one before it without a gap, and its chords fill it exactly:
 * they start on whole ticks, each where the beats before it end.
 *
 * @example
 * unrollChart({ title: null, composer: null, style: null, tempo: null, key: null, meter: { beats: 4, unit: 4 }, barsKnown: true, bars: [], playOrder: [], problems: [] }).bars
 * // => []
 */
export function unrollChart(chart: Chart, choruses = 1): Changes {
  const bars: PlayedBar[] = []
  const chords: PlayedChord[] = []
  const keys = keysOfBars(chart)
  let start = 0
  let section: string | null = null
  for (let chorus = 1; chorus <= choruses; chorus++) {
    for (const written of chart.playOrder) {
      const bar = chart.bars[written]!
      const ticks = ticksPerBar(bar.meter)
      const number = bars.length + 1
      // A section opens at its own first bar, however it is reached, and wherever the way leads into it from another.
      const ownFirst = written === 0 || chart.bars[written - 1]!.section !== bar.section
      const opens = bar.section !== null && (bar.section !== section || ownFirst)
      section = bar.section
      bars.push({
        bar: number,
        written,
        chorus,
        start,
        ticks,
        meter: bar.meter,
        section: opens ? bar.section : null,
        key: keys[written]!,
      })
      let beats = 0
      let at = start
      for (const [i, chord] of bar.chords.entries()) {
        const { symbol, root, chord: quality, bass, span } = chord
        beats += chord.beats
        const last = i === bar.chords.length - 1
        const end = last ? start + ticks : start + Math.min(ticks, Math.round(beats * ticksPerBeat(bar.meter)))
        chords.push({ symbol, root, chord: quality, bass, span, bar: number, start: at, ticks: end - at })
        at = end
      }
      start += ticks
    }
  }
  const { title, composer, style, tempo } = chart
  return { title, composer, style, tempo, key: chart.key, bars, chords }
}

/** The key in force at each written bar; null where the chart has said none by then. */
function keysOfBars(chart: Chart): readonly (Key | null)[] {
  let key = chart.key
  return chart.bars.map((bar) => {
    key = bar.key ?? key
    return key
  })
}
