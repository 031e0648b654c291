/** The real charts, bar by bar, against a plain cutting of their text: they are written in canonical symbols. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { realChartTexts } from '../realCharts.ts'

/** The bars by cutting at bar lines and spaces alone; a slash is one more beat of the symbol before it. */
function cut(text: string): { beats: number; bars: { symbol: string; beats: number }[][] } {
  const beats = Number(/Time: (\d)/.exec(text)?.[1] ?? 4)
  const bars = text
    .split('\n')
    .filter((row) => row.startsWith('|'))
    .flatMap((row) => row.split('|').slice(1, -1))
    .map((cell) => {
      const bar: { symbol: string; beats: number }[] = []
      for (const word of cell.trim().split(/\s+/)) {
        if (word === '/') bar[bar.length - 1]!.beats += 1
        else bar.push({ symbol: word, beats: 1 })
      }
      const slashed = cell.includes(' / ')
      return slashed ? bar : bar.map((chord) => ({ ...chord, beats: beats / bar.length }))
    })
  return { beats, bars }
}

test('there are 24', () => {
  expect(realChartTexts()).toHaveLength(24)
})

describe.each(realChartTexts())('%#', (text) => {
  const chart = readChart(text)
  const wanted = cut(text)

  test('every bar, symbol and beat', () => {
    expect(chart.problems.filter((problem) => problem.severity === 'error')).toEqual([])
    expect(chart.bars.map((bar) => bar.chords.map(({ symbol, beats }) => ({ symbol, beats })))).toEqual(wanted.bars)
    expect(chart.bars.every((bar) => bar.meter.beats === wanted.beats)).toBe(true)
    expect(chart.playOrder).toEqual(wanted.bars.map((_, i) => i))
  })

  test('every symbol stands where its span says', () => {
    for (const { chords } of chart.bars)
      for (const { symbol, span } of chords) expect(text.slice(span.start, span.end)).toBe(symbol)
  })
})
