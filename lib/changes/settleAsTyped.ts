/** A chart from elsewhere settled as its own text says it, so that the text in a link and the file behind it are one chart. */
import type { Problem } from '../problem.ts'
import type { Bar, Chart } from './chart.ts'
import { printChart } from './printChart.ts'
import { readChart } from './typed/readChart.ts'

/** How often form that leads nowhere is left out before the text stands. */
const turns = 3

/**
 * The chart that a chart's printed text reads to, with its own places. Form that the rules of typed charts have no sense for, such as
 * an ending without a repeat, is left out, and said as a warning with the bar, counted from 1.
 *
 * @example
 * settleAsTyped({ title: 'Study', composer: null, style: null, tempo: null, key: null, meter: { beats: 4, unit: 4 }, barsKnown: true, bars: [], playOrder: [], problems: [] }).title
 * // => 'Study'
 */
export function settleAsTyped(chart: Chart): Chart {
  if (chart.bars.length === 0) return chart
  const warnings: Problem[] = []
  let now = chart
  for (let turn = 0; turn < turns; turn++) {
    const again = readChart(printChart(now))
    const errors = again.problems.filter(({ severity, code }) => severity === 'error' && code !== 'no-chords')
    now = { ...again, bars: again.bars.map((bar, i) => placed(bar, chart.bars[i])), problems: [] }
    for (const { code, span, found, expected, hint } of errors) {
      const bar = again.bars.findIndex(({ chords }) => (chords.at(-1)?.span.end ?? 0) > span.start)
      const place = ` in bar ${(bar < 0 ? again.bars.length - 1 : bar) + 1}`
      warnings.push({ severity: 'warning', code, span: { start: 0, end: 0 }, found: found + place, expected, hint })
    }
    if (errors.length === 0) break
  }
  return { ...now, problems: [...chart.problems, ...warnings] }
}

/** A bar with the places that its chords had. */
function placed(bar: Bar, own: Bar | undefined): Bar {
  const first = own?.chords[0]?.span ?? { start: 0, end: 0 }
  return { ...bar, chords: bar.chords.map((chord, i) => ({ ...chord, span: own?.chords[i]?.span ?? first })) }
}
