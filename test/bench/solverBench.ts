/** The target solver beside a general solver of linear programmes, on the same problems. */
import { defaultBrief } from '../../lib/brief.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { bestPath } from '../../lib/lattice/lattice.ts'
import { placeTargets, targetLattice } from '../../lib/line/chooseTargets.ts'
import { cheapestByProgramme, graphOf } from '../lattice/programme.ts'
import { realCharts } from '../realCharts.ts'

export interface SolverTimes {
  /** Milliseconds a problem, mean over the problems. */
  readonly ours: number
  readonly highs: number
  readonly problems: number
}

/** The targets of the first bars of each real chart, over two octaves; throws where the two optima differ. */
export function benchSolver(): SolverTimes {
  const lattices = realCharts().map((chart) => {
    const harmony = readHarmony(unrollChart(chart), defaultBrief)
    return targetLattice(harmony, placeTargets(harmony, defaultBrief).slice(0, 24), [51, 75]).lattice
  })
  for (const lattice of lattices) bestPath(lattice)
  let start = performance.now()
  const own = lattices.map((lattice) => bestPath(lattice)!.cost)
  const ours = performance.now() - start
  const graphs = lattices.map(graphOf)
  start = performance.now()
  const theirs = graphs.map((graph) => cheapestByProgramme(graph)!)
  const highs = performance.now() - start
  own.forEach((cost, i) => {
    if (Math.abs(cost - theirs[i]!) > 1e-6) throw new Error(`optima differ: ${cost} and ${theirs[i]}`)
  })
  return { ours: ours / lattices.length, highs: highs / lattices.length, problems: lattices.length }
}
