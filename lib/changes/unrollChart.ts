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

/** Plays a chart through, so many choruses; every bar follows the one before it without a gap. */
export function unrollChart(chart: Chart, choruses = 1): Changes {
  const bars: PlayedBar[] = []
  const chords: PlayedChord[] = []
  let start = 0
  let key = chart.key
  let section: string | null = null
  for (let chorus = 1; chorus <= choruses; chorus++) {
    let previous = -1
    for (const written of chart.playOrder) {
      const bar = chart.bars[written]!
      const ticks = ticksPerBar(bar.meter)
      key = keyAtBar(chart, written)
      const opens = bar.section !== null && (bar.section !== section || written < previous || previous < 0)
      section = bar.section
      previous = written
      const number = bars.length + 1
      bars.push({
        bar: number,
        written,
        chorus,
        start,
        ticks,
        meter: bar.meter,
        section: opens ? bar.section : null,
        key,
      })
      let at = start
      for (const { symbol, root, chord, bass, beats, span } of bar.chords) {
        const length = Math.round(beats * ticksPerBeat(bar.meter))
        chords.push({ symbol, root, chord, bass, span, bar: number, start: at, ticks: length })
        at += length
      }
      start += ticks
    }
  }
  const { title, composer, style, tempo } = chart
  return { title, composer, style, tempo, key: chart.key, bars, chords }
}

function keyAtBar(chart: Chart, index: number): Key | null {
  for (let i = index; i >= 0; i--) if (chart.bars[i]!.key) return chart.bars[i]!.key
  return chart.key
}
