/** A chart as one line of text, for tables of what was typed and what should come of it. */
import type { Chart } from '../../lib/changes/chart.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { meterName } from '../../lib/theory/meter.ts'

const short = (beats: number): string => String(Math.round(beats * 100) / 100)

/** The bars: `Dm7:2 G7:2 | Cmaj7:4`; `(…)` around what may be left out. */
export const barsText = (chart: Chart): string =>
  chart.bars
    .map((bar) =>
      bar.chords
        .map(({ symbol, beats, optional }) => (optional ? `(${symbol}):${short(beats)}` : `${symbol}:${short(beats)}`))
        .join(' '),
    )
    .join(' | ')

/** Sections, meters, keys, endings and repeats by bar, each where it is not what the bar before had. */
export function signsText(chart: Chart): string {
  let section: string | null = null
  let meter = ''
  return chart.bars
    .map((bar) => {
      const signs = [
        bar.section !== section ? `[${bar.section}]` : '',
        meterName(bar.meter) !== meter ? meterName(bar.meter) : '',
        bar.key ? `key ${nameOfKey(bar.key)}` : '',
        bar.repeatStart ? '|:' : '',
        bar.ending ? `${bar.ending.join(',')}.` : '',
        ...(bar.marks ?? []),
        bar.repeatEnd ? `:|${bar.times ?? ''}` : '',
      ]
      section = bar.section
      meter = meterName(bar.meter)
      return signs.filter((sign) => sign !== '').join(' ')
    })
    .join(' / ')
}

/** A chart without its places and problems, beats rounded, to be compared with another. */
export const withoutPlaces = (chart: Chart): unknown => ({
  ...chart,
  problems: [],
  bars: chart.bars.map((bar) => ({
    ...bar,
    chords: bar.chords.map(({ span: _, ...chord }) => ({ ...chord, beats: Math.round(chord.beats * 1e6) / 1e6 })),
  })),
})
