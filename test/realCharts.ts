/** The real charts that tests walk: first choruses of 24 recordings, chords only; source and licence stand in the file. */
import { readFileSync } from 'node:fs'
import type { Chart } from '../lib/changes/chart.ts'
import { readChart } from '../lib/changes/typed/readChart.ts'

/** Found from the folder that commands run in, which is the checkout. */
const file = 'test/data/real-changes.txt'

export const realChartTexts = (): readonly string[] =>
  readFileSync(file, 'utf8')
    .split(/\n\s*\n/)
    .map((paragraph) =>
      paragraph
        .split('\n')
        .filter((row) => !row.startsWith('#'))
        .join('\n')
        .trim(),
    )
    .filter((paragraph) => paragraph.includes('|'))

export const realCharts = (): readonly Chart[] => realChartTexts().map(readChart)
