/** Drills go somewhere, over charts that none of their costs was judged by. */
import { expect, test } from 'vitest'
import { draftHome } from '../../lib/lines/write.ts'
import { keptOut } from '../harmony/homeCharts.ts'
import { briefOf } from '../line/drafts.ts'
import { drillShares } from '../realism/measure.ts'

test.each([
  ['as usual', {}, 12],
  ['smooth targets in phrases', { targets: 'smooth', rhythm: 'phrased' }, 11],
  ['exact drills of two notes', { exact: 'yes', notes: '2' }, 10],
  ['for trombone', { instrument: 'trombone' }, 11],
] as const)('%s: seldom four targets on two pitches', (_, given, range) => {
  const drafts = keptOut
    .slice(0, 40)
    .flatMap(({ bars }, i) => draftHome(briefOf({ changes: bars, seed: String(i + 1), ...given }))?.draft ?? [])
  const { targets, hovering, range16 } = drillShares(drafts)
  expect(targets).toBeGreaterThan(300)
  expect(hovering).toBeLessThan(0.04)
  expect(range16).toBeGreaterThanOrEqual(range)
})
