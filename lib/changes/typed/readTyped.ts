/** A typed chart as the outside hands it over: no longer than changes may be. */
import { readBrief } from '../../brief.ts'
import type { Chart } from '../chart.ts'
import { readChart } from './readChart.ts'

/**
 * Reads a typed chart as `readChart` does; a text longer than changes may be is refused whole, with what would do.
 *
 * @example
 * readTyped('| Dm7 |').bars.length // => 1
 * readTyped('| Dm7 '.repeat(20_000)).problems[0].expected // => 'at most 65536 characters'
 */
export function readTyped(typed: string): Chart {
  const problems = typeof typed === 'string' ? readBrief({ changes: typed }).problems : []
  return problems.length > 0 ? { ...readChart(''), problems } : readChart(typed)
}
