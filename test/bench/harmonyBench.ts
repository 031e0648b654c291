/** How long it takes to hear a tune and to spell a line; medians in milliseconds, warm. No product in it but our own. */
import { defaultBrief } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { spellPart } from '../../lib/line/spellLine.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { realChartTexts } from '../realCharts.ts'

export interface BenchRow {
  readonly name: string
  readonly milliseconds: number
}

function median(run: () => unknown, times: number): number {
  for (let i = 0; i < times; i++) run()
  const taken = Array.from({ length: times }, () => {
    const start = performance.now()
    run()
    return performance.now() - start
  })
  return taken.sort((a, b) => a - b)[Math.floor(times / 2)]!
}

/** Hearing 32 and 2,048 bars, and spelling a part of 32: the densest of the real charts, its key not stated. */
export function benchHarmony(): readonly BenchRow[] {
  const dense = realChartTexts().find((text) => text.includes('F#m7 B7'))!
  const bars = dense
    .split('|')
    .filter((bar) => bar.trim() !== '')
    .slice(0, 32)
  const changes = unrollChart(readChart(`| ${bars.join(' | ')} |`))
  const long = unrollChart(readChart(`| ${Array.from({ length: 64 }, () => bars.join(' | ')).join(' | ')} |`))
  const line = writeLines({ ...defaultBrief, changes: `| ${bars.join(' | ')} |` }).lines[0]!
  const up = { steps: 5, semitones: 9 }
  return [
    {
      name: `hear ${changes.bars.length} bars, ${changes.chords.length} chords`,
      milliseconds: median(() => readHarmony(changes), 40),
    },
    {
      name: `hear ${long.bars.length} bars, ${long.chords.length} chords`,
      milliseconds: median(() => readHarmony(long), 5),
    },
    {
      name: `spell a part of ${line.notes.length} notes`,
      milliseconds: median(() => spellPart(line, up, { spelling: 'easy' }), 40),
    },
  ]
}
