/** Whether changes fit the bars of a played line, and the changes that go with it: from the file itself or from a tune given beside it. */
import type { Chart } from '../changes/chart.ts'
import { type Changes, unrollChart } from '../changes/unrollChart.ts'
import type { Problem } from '../problem.ts'
import { meterName, ticksPerBar } from '../theory/meter.ts'
import { type PlayedLine, problem } from './played.ts'

/** The changes as played under a line, or where they part. */
export type Fitted = { readonly changes: Changes } | { readonly problems: readonly Problem[] }

const noChanges = (): Fitted => ({
  problems: [
    problem(
      'no-chords',
      'no chord symbols',
      'the changes that the line was played over',
      'give them with --changes FILE',
    ),
  ],
})

/**
 * The changes of a line: those of its own file unless others are given. Given changes are gone through as often as the line needs;
 * a line may stop before they do, but not go on after an unfinished time through, and every bar must be as long as theirs.
 */
export function fitChanges(played: PlayedLine, given: Chart | null): Fitted {
  const { chart } = played
  if (!given) {
    const own = chart.problems.filter(({ severity }) => severity === 'error')
    if (own.some(({ code }) => code === 'no-chords')) return noChanges()
    return own.length > 0 ? { problems: own } : { changes: unrollChart(chart) }
  }
  const wrong = given.problems.filter(({ severity }) => severity === 'error')
  if (wrong.length > 0) return { problems: wrong }
  const bars = chart.playOrder.map((index) => chart.bars[index]!)
  const once = given.playOrder.length
  if (once === 0) return noChanges()
  const times = Math.max(1, Math.ceil(bars.length / once))
  const changes = unrollChart(given, times)
  for (const [i, bar] of bars.entries()) {
    const theirs = changes.bars[i]!.meter
    if (ticksPerBar(theirs) !== ticksPerBar(bar.meter))
      return {
        problems: [
          parts(
            `bar ${i + 1} of the line in ${meterName(bar.meter)}`,
            `${meterName(theirs)}, as the changes have it there`,
          ),
        ],
      }
  }
  if (bars.length > once && bars.length % once !== 0)
    return {
      problems: [
        parts(
          `${bars.length} bars of line over changes of ${once}: they part after bar ${bars.length - (bars.length % once)}`,
          times === 2 ? `at most ${once} bars, or ${2 * once}` : `a multiple of ${once} bars`,
        ),
      ],
    }
  return { changes: { ...changes, title: chart.title ?? changes.title, key: changes.key ?? chart.key } }
}

const parts = (found: string, expected: string): Problem =>
  problem('changes-do-not-fit', found, expected, 'check repeats and pickups on either side')
