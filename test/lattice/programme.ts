/** A path problem as a linear programme, solved by HiGHS: an outside proof of the lattice's optimum. */
import loadHighs from 'highs'
import type { Lattice } from '../../lib/lattice/lattice.ts'

// Its types say a CommonJS module; what Node loads is the ES one.
const highs = await (loadHighs as unknown as typeof loadHighs.default)()

/** A graph as bare lists, read off a lattice without the code under test. Node 0 is a source, node 1 a sink. */
export interface Graph {
  readonly nodes: number
  readonly from: number[]
  readonly to: number[]
  readonly cost: number[]
}

export function graphOf(lattice: Lattice): Graph {
  const numbers = new Map<string, number>()
  const nodeAt = (layer: number, node: number): number => {
    const name = `${layer} ${node}`
    if (!numbers.has(name)) numbers.set(name, numbers.size + 2)
    return numbers.get(name)!
  }
  const graph = { from: [] as number[], to: [] as number[], cost: [] as number[] }
  const join = (from: number, to: number, cost: number) => {
    if (cost === Number.POSITIVE_INFINITY) return
    graph.from.push(from)
    graph.to.push(to)
    graph.cost.push(cost)
  }
  const last = lattice.sizes.length - 1
  lattice.sizes.forEach((size, layer) => {
    for (let node = 0; node < size; node++) {
      if (layer === 0) join(0, nodeAt(0, node), lattice.nodeCost(0, node))
      if (layer === last) join(nodeAt(last, node), 1, 0)
      for (const edge of lattice.edges(layer, node))
        join(nodeAt(layer, node), nodeAt(edge.layer, edge.node), edge.cost + lattice.nodeCost(edge.layer, edge.node))
    }
  })
  return { nodes: numbers.size + 2, ...graph }
}

/**
 * The least cost of a path from source to sink as a linear programme: one unit flows from the source to the sink, what enters a
 * node leaves it, and its cost is least. The matrix is totally unimodular, so the optimum is a path. Null where nothing flows.
 * Solver: HiGHS, https://highs.dev
 */
export function cheapestByProgramme({ nodes, from, to, cost }: Graph): number | null {
  const columns = cost.length
  if (columns === 0) return null
  const balance = Float64Array.from({ length: nodes }, (_, node) => (node === 0 ? -1 : node === 1 ? 1 : 0))
  const indices = new Int32Array(2 * columns)
  const values = new Float64Array(2 * columns)
  for (let column = 0; column < columns; column++) {
    const [first, second] = from[column]! < to[column]! ? [from[column]!, to[column]!] : [to[column]!, from[column]!]
    indices.set([first, second], 2 * column)
    values.set(first === from[column] ? [-1, 1] : [1, -1], 2 * column)
  }
  return highs.withModel(
    {
      numCols: columns,
      numRows: nodes,
      colCost: Float64Array.from(cost),
      colLower: new Float64Array(columns),
      colUpper: new Float64Array(columns).fill(1),
      rowLower: balance,
      rowUpper: balance,
      matrix: {
        format: 'csc',
        numRows: nodes,
        numCols: columns,
        starts: Int32Array.from({ length: columns + 1 }, (_, column) => 2 * column),
        indices,
        values,
      },
    },
    (model) => {
      model.options.set({ output_flag: false })
      model.run()
      if (model.getModelStatus() === highs.constants.modelStatus.infeasible) return null
      if (model.getModelStatus() !== highs.constants.modelStatus.optimal)
        throw new Error('the programme found no optimum')
      // The flow's own cost, each edge taken whole or not at all: the solver's objective is rounded less finely.
      const { colValue } = model.getSolution()
      let broken = 0
      const least = cost.reduce((sum, each, column) => {
        broken = Math.max(broken, Math.min(colValue[column]!, 1 - colValue[column]!))
        return colValue[column]! > 0.5 ? sum + each : sum
      }, 0)
      if (broken >= 1e-6) throw new Error('the programme took an edge in part')
      return least
    },
  )
}
