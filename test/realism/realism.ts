/** `npm run realism`: prints how lines compare with real solos and how the default drill shares out its figures; fails where a figure is missed. */
import { type Brief, defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { type Draft, draftLine, soundingRange } from '../../lib/line/draftLine.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { realCharts } from '../realCharts.ts'
import { drillShares, realismOf } from './measure.ts'

const harmonies = realCharts().map((chart) => readHarmony(unrollChart(chart), defaultBrief))

function draw(brief: Brief, seeds: readonly number[], some = harmonies): readonly Draft[] {
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  return some.flatMap((harmony) =>
    seeds.map((seed) => {
      const draft = draftLine(harmony, brief, range, seed)
      if ('problems' in draft) throw new Error(draft.problems[0]!.found)
      return draft
    }),
  )
}

let missed = 0
function row(name: string, value: number, test: (value: number) => boolean, aim: string): void {
  const kept = test(value)
  if (!kept) missed += 1
  console.log(`${name.padEnd(48)} ${value.toFixed(4).padStart(10)}   ${aim.padEnd(16)} ${kept ? 'kept' : 'MISSED'}`)
}

const seeds = [1, 2, 3, 4, 5]
console.log(`Solo mixture, ${harmonies.length} charts, seeds ${seeds.join(' ')}`)
const solo = realismOf(draw({ ...defaultBrief, approach: ['enclosure', 'chromatic', 'scale', 'arpeggio'] }, seeds))
row('notes', solo.notes, (n) => n > 10_000, 'over 10000')
row('intervals, bits from real solos', solo.intervals, (n) => n < 0.01, 'under 0.01')
row('bigrams, bits from real solos', solo.bigrams, (n) => n < 0.015, 'under 0.015')
row('direction turns', solo.turns, (n) => Math.abs(n - 0.374) < 0.02, '0.374 +- 0.02')
row('steps (real solos 0.58)', solo.steps, (n) => Math.abs(n - 0.58) < 0.05, '0.58 +- 0.05')

console.log(`\nDefault drill, all charts, seeds ${seeds.join(' ')}`)
const drill = drillShares(draw(defaultBrief, seeds))
row('targets', drill.targets, (n) => n > 1_000, 'over 1000')
row('approached by two notes or more', drill.twoNotesOrMore, (n) => n >= 0.99, '0.99 and more')
row('enclosures', drill.enclosures, (n) => n >= 0.66, '0.66 and more')
row('enclosures and chromatic', drill.enclosuresAndChromatic, (n) => n >= 0.98, '0.98 and more')
row('figures from the dead list', drill.dead, (n) => n === 0, '0')
row('same approach twice running', drill.sameAgain, (n) => n < 0.025, 'under 0.025')
row('a pitch three times running', drill.threeRunning, (n) => n === 0, '0')
const fifteen = drillShares(
  draw(
    defaultBrief,
    Array.from({ length: 15 }, (_, i) => i + 1),
    harmonies.slice(1, 2),
  ),
)
row('different approaches over 15 choruses of one tune', fifteen.different, (n) => n >= 44, '44 and more')
const plain = realismOf(draw(defaultBrief, seeds))
console.log(
  `\nThe drill against real solos: intervals ${plain.intervals.toFixed(4)}, bigrams ${plain.bigrams.toFixed(4)}, turns ${plain.turns.toFixed(3)}, steps ${plain.steps.toFixed(3)}`,
)

process.exitCode = missed > 0 ? 1 : 0
