/** One algorithm for local keys, targets, lines and bass: cheapest, k cheapest and sampled paths through a layered graph. */

/** A way on from a node: to a node of a later layer, at a cost in nats (-log p). Edges may span several layers. */
export interface Edge {
  readonly layer: number
  readonly node: number
  readonly cost: number
  /** Whatever the maker of the lattice wants to find again on the path. */
  readonly label?: number
}

/** A layered graph: a path starts on a node of layer 0 and ends on a node of the last layer. Infinite cost forbids. */
export interface Lattice {
  /** How many nodes each layer has. */
  readonly sizes: readonly number[]
  readonly nodeCost: (layer: number, node: number) => number
  /** The edges that leave a node, each to a later layer. */
  readonly edges: (layer: number, node: number) => readonly Edge[]
}

/**
 * The same graph laid out flat, which is what the algorithms walk: nodes numbered through all layers, the edges of node `n`
 * at `edgeStart[n]` up to `edgeStart[n + 1]`. Every edge leads to a higher node.
 */
export interface FlatLattice {
  /** The first node of each layer, and the number of nodes at the end. */
  readonly layerStart: Int32Array
  readonly nodeCost: Float64Array
  readonly edgeStart: Int32Array
  readonly edgeTo: Int32Array
  readonly edgeCost: Float64Array
  readonly edgeLabel: Int32Array
}

export interface Step {
  readonly layer: number
  readonly node: number
  /** The label of the edge that led here, -1 where it has none; undefined on the first step. */
  readonly label: number | undefined
}

export interface Path {
  /** The sum of its node and edge costs, in nats. */
  readonly cost: number
  readonly steps: readonly Step[]
}

/** A stream of numbers from 0 up to 1, the same for the same seed on every machine (mulberry32, a 32-bit generator). */
export function randomFrom(seed: number): () => number {
  let state = seed >>> 0
  return () => {
    state = (state + 0x6d2b79f5) >>> 0
    let t = state
    t = Math.imul(t ^ (t >>> 15), t | 1)
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61)
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296
  }
}

/** The first node of each layer, counted through all of them, and the number of nodes at the end. */
function startsOf(sizes: readonly number[]): Int32Array {
  const starts = new Int32Array(sizes.length + 1)
  for (let layer = 0; layer < sizes.length; layer++) starts[layer + 1] = starts[layer]! + sizes[layer]!
  return starts
}

/** The edges that can be gone from a node. */
function edgesFrom({ edges }: Lattice, layer: number, node: number): readonly Edge[] {
  return edges(layer, node).filter((edge) => {
    if (edge.layer <= layer) throw new Error(`an edge leads from layer ${layer} to ${edge.layer}`)
    return edge.cost !== Infinity
  })
}

/** Lays a lattice out flat. An edge that does not lead to a later layer is our own bug, and throws. */
export function flatten(lattice: Lattice): FlatLattice {
  const { sizes } = lattice
  const layerStart = startsOf(sizes)
  const nodes = layerStart[sizes.length]!
  const nodeCost = new Float64Array(nodes)
  const edgeStart = new Int32Array(nodes + 1)
  const to: number[] = []
  const costs: number[] = []
  const labels: number[] = []
  let n = 0
  for (let layer = 0; layer < sizes.length; layer++) {
    for (let node = 0; node < sizes[layer]!; node++, n++) {
      nodeCost[n] = lattice.nodeCost(layer, node)
      for (const edge of nodeCost[n] === Infinity ? [] : edgesFrom(lattice, layer, node)) {
        to.push(layerStart[edge.layer]! + edge.node)
        costs.push(edge.cost)
        labels.push(edge.label ?? -1)
      }
      edgeStart[n + 1] = to.length
    }
  }
  return {
    layerStart,
    nodeCost,
    edgeStart,
    edgeTo: Int32Array.from(to),
    edgeCost: Float64Array.from(costs),
    edgeLabel: Int32Array.from(labels),
  }
}

const flat = (lattice: Lattice | FlatLattice): FlatLattice => ('sizes' in lattice ? flatten(lattice) : lattice)

/** What is known of a lattice whose edges are not laid out. */
type Layers = Pick<FlatLattice, 'layerStart' | 'nodeCost'>

/** The ways on from a node, from the first place in these lists up to the end. */
interface Ways {
  readonly first: number
  readonly end: number
  readonly edgeTo: ArrayLike<number>
  readonly edgeCost: ArrayLike<number>
  readonly edgeLabel: ArrayLike<number>
}

/** A lattice to be walked once back and once forth: the ways on from a node are asked for, so that they need not all be held. */
interface Walk extends Layers {
  readonly waysFrom: (node: number) => Ways
}

const walkFlat = (lattice: FlatLattice): Walk => ({
  ...lattice,
  waysFrom: (node) => ({ ...lattice, first: lattice.edgeStart[node]!, end: lattice.edgeStart[node + 1]! }),
})

/** Walks a lattice without laying its edges out: of a long one over a wide range these took gigabytes. */
function walkLayers(lattice: Lattice): Walk {
  const layerStart = startsOf(lattice.sizes)
  const nodeCost = new Float64Array(layerStart[lattice.sizes.length]!)
  for (let layer = 0; layer < lattice.sizes.length; layer++)
    for (let node = 0; node < lattice.sizes[layer]!; node++)
      nodeCost[layerStart[layer]! + node] = lattice.nodeCost(layer, node)
  const layers = { layerStart, nodeCost }
  // Written over for each node: one is looked at after the other.
  const edgeTo: number[] = []
  const edgeCost: number[] = []
  const edgeLabel: number[] = []
  return {
    ...layers,
    waysFrom: (n) => {
      const layer = layerOf(layers, n)
      const edges = nodeCost[n] === Infinity ? [] : edgesFrom(lattice, layer, n - layerStart[layer]!)
      for (let e = 0; e < edges.length; e++) {
        const edge = edges[e]!
        edgeTo[e] = layerStart[edge.layer]! + edge.node
        edgeCost[e] = edge.cost
        edgeLabel[e] = edge.label ?? -1
      }
      return { first: 0, end: edges.length, edgeTo, edgeCost, edgeLabel }
    },
  }
}

const lastLayer = (lattice: Layers) => lattice.layerStart[lattice.layerStart.length - 2]!
const nodesOf = (lattice: Layers) => lattice.nodeCost.length

/** For each node, the least cost of going on from it to the end, its own cost included; infinite where there is no way. */
function costsToEnd(lattice: FlatLattice): Float64Array {
  const { nodeCost, edgeStart, edgeTo, edgeCost } = lattice
  const toEnd = new Float64Array(nodesOf(lattice)).fill(Infinity)
  const last = lastLayer(lattice)
  for (let n = nodesOf(lattice) - 1; n >= 0; n--) {
    let least = n >= last ? 0 : Infinity
    for (let e = edgeStart[n]!; e < edgeStart[n + 1]!; e++) {
      const cost = edgeCost[e]! + toEnd[edgeTo[e]!]!
      if (cost < least) least = cost
    }
    toEnd[n] = least + nodeCost[n]!
  }
  return toEnd
}

/** For each node, -log of the summed weight of all ways on to the end, its own weight included (backward messages). */
function weightsToEnd(lattice: Walk): Float64Array {
  const { nodeCost, waysFrom } = lattice
  const toEnd = new Float64Array(nodesOf(lattice)).fill(Infinity)
  const last = lastLayer(lattice)
  for (let n = nodesOf(lattice) - 1; n >= 0; n--) {
    if (n >= last) {
      toEnd[n] = nodeCost[n]!
      continue
    }
    let least = Infinity
    const { first, end, edgeTo, edgeCost } = waysFrom(n)
    for (let e = first; e < end; e++) {
      const cost = edgeCost[e]! + toEnd[edgeTo[e]!]!
      if (cost < least) least = cost
    }
    if (least === Infinity) continue
    let sum = 0
    for (let e = first; e < end; e++) sum += Math.exp(least - edgeCost[e]! - toEnd[edgeTo[e]!]!)
    toEnd[n] = least - Math.log(sum) + nodeCost[n]!
  }
  return toEnd
}

function layerOf(lattice: Layers, node: number): number {
  const { layerStart } = lattice
  let low = 0
  let high = layerStart.length - 2
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (layerStart[middle]! <= node) low = middle
    else high = middle - 1
  }
  return low
}

const stepAt = (lattice: Layers, node: number, label: number | undefined): Step => {
  const layer = layerOf(lattice, node)
  return { layer, node: node - lattice.layerStart[layer]!, label }
}

/**
 * The cheapest path, exactly; null where there is none. Of several as cheap, the one through lower nodes.
 *
 * @example
 * bestPath({ sizes: [1, 2, 1], nodeCost: (layer, node) => (layer === 1 ? node : 0), edges: (layer) => layer === 2 ? [] : [0, 1].map((node) => ({ layer: layer + 1, node: layer === 0 ? node : 0, cost: 1 })) }).cost
 * // => 2
 */
export function bestPath(given: Lattice | FlatLattice): Path | null {
  return kBestPaths(given, 1)[0] ?? null
}

/** A way from the first layer to a node: what it has cost so far, the node's own cost included. */
interface Way {
  readonly node: number
  readonly label: number | undefined
  readonly so: number
  readonly from: Way | null
}

/**
 * The k cheapest paths, cheapest first, exactly; fewer where there are fewer. Each path found goes the cheapest way on from its
 * last turning, and every edge it passes by on the way is the turning of another, so that ways as cheap cost no more time.
 */
export function kBestPaths(given: Lattice | FlatLattice, k: number): readonly Path[] {
  const lattice = flat(given)
  const { edgeStart, edgeTo, edgeCost, edgeLabel, nodeCost, layerStart } = lattice
  const toEnd = costsToEnd(lattice)
  const last = lastLayer(lattice)
  const goOn = (from: Way, edge: number): Way => {
    const node = edgeTo[edge]!
    return { node, label: edgeLabel[edge]!, so: from.so + edgeCost[edge]! + nodeCost[node]!, from }
  }
  const heap = new Heap<Way>()
  for (let n = 0; n < layerStart[1]!; n++)
    if (toEnd[n]! < Infinity) heap.push(toEnd[n]!, { node: n, label: undefined, so: nodeCost[n]!, from: null })
  const found: Path[] = []
  while (found.length < k) {
    let way = heap.pop()
    if (!way) break
    while (way.node < last) {
      const first = edgeStart[way.node]!
      const end = edgeStart[way.node + 1]!
      let best = first
      for (let e = first; e < end; e++)
        if (edgeCost[e]! + toEnd[edgeTo[e]!]! < edgeCost[best]! + toEnd[edgeTo[best]!]!) best = e
      for (let e = found.length + 1 < k ? first : end; e < end; e++)
        if (e !== best && toEnd[edgeTo[e]!]! < Infinity)
          heap.push(way.so + edgeCost[e]! + toEnd[edgeTo[e]!]!, goOn(way, e))
      way = goOn(way, best)
    }
    const steps: Step[] = []
    for (let at: Way | null = way; at; at = at.from) steps.push(stepAt(lattice, at.node, at.label))
    found.push({ cost: way.so, steps: steps.reverse() })
  }
  return found
}

/** Called at each draw with what is drawn so far; a factor for the weight of going on by this edge, 1 leaving it alone. */
export type Leaning = (node: number, edgeTo: number, label: number, soFar: readonly Step[]) => number

/**
 * A path drawn with probability proportional to exp(-cost), exactly: backward messages, then forward draws (Pachet, Roy and
 * Barbieri, *Finite-Length Markov Processes with Constraints*, IJCAI 2011). A leaning makes what was drawn before weigh on
 * what comes: each draw is then exact given the ones before it, and a way to the end always remains. Null where there is none.
 */
export function samplePath(given: Lattice | FlatLattice, random: () => number, leaning?: Leaning): Path | null {
  const lattice = 'sizes' in given ? walkLayers(given) : walkFlat(given)
  return drawPath(lattice, weightsToEnd(lattice), random, leaning)
}

/** Several paths drawn from one lattice, the messages worked out once. */
export function samplePaths(given: Lattice | FlatLattice, random: () => number, count: number): readonly Path[] {
  const lattice = walkFlat(flat(given))
  const toEnd = weightsToEnd(lattice)
  const paths = Array.from({ length: count }, () => drawPath(lattice, toEnd, random))
  return paths.filter((path) => path !== null)
}

function drawPath(lattice: Walk, toEnd: Float64Array, random: () => number, leaning?: Leaning): Path | null {
  const { nodeCost, layerStart, waysFrom } = lattice
  const last = lastLayer(lattice)
  const starts = Array.from({ length: layerStart[1]! }, (_, n) => -toEnd[n]!)
  let node = drawLog(starts, random)
  if (node < 0) return null
  let cost = nodeCost[node]!
  const steps: Step[] = [stepAt(lattice, node, undefined)]
  let logWeights: number[] = []
  while (node < last) {
    logWeights = []
    const { first, end, edgeTo, edgeCost, edgeLabel } = waysFrom(node)
    for (let e = first; e < end; e++) {
      const to = edgeTo[e]!
      const lean =
        leaning && toEnd[to]! < Infinity ? Math.log(Math.max(leaning(node, to, edgeLabel[e]!, steps), 1e-9)) : 0
      logWeights.push(lean - edgeCost[e]! - toEnd[to]!)
    }
    const e = first + drawLog(logWeights, random)
    node = edgeTo[e]!
    cost += edgeCost[e]! + nodeCost[node]!
    steps.push(stepAt(lattice, node, edgeLabel[e]!))
  }
  return { cost, steps }
}

/** An index drawn in proportion to exp(log weight); -1 where every weight is nought. */
function drawLog(logWeights: readonly number[], random: () => number): number {
  const most = logWeights.reduce((a, b) => Math.max(a, b), -Infinity)
  return most === -Infinity
    ? -1
    : drawIndex(
        logWeights.map((w) => Math.exp(w - most)),
        random,
      )
}

/**
 * An index drawn in proportion to its weight; -1 where every weight is nought.
 *
 * @example
 * drawIndex([0, 3, 0], () => 0.5) // => 1
 */
export function drawIndex(weights: readonly number[], random: () => number): number {
  let left = random() * weights.reduce((a, b) => a + b, 0)
  for (let i = 0; i < weights.length; i++) {
    left -= weights[i]!
    if (left < 0 && weights[i]! > 0) return i
  }
  return weights.findLastIndex((w) => w > 0)
}

/** A binary heap, least first; of equals, what came first. */
class Heap<T> {
  private readonly items: { readonly cost: number; readonly order: number; readonly item: T }[] = []
  private count = 0

  push(cost: number, item: T): void {
    const { items } = this
    const entry = { cost, order: this.count++, item }
    let at = items.push(entry) - 1
    while (at > 0) {
      const parent = (at - 1) >> 1
      if (!this.before(entry, items[parent]!)) break
      items[at] = items[parent]!
      at = parent
    }
    items[at] = entry
  }

  pop(): T | undefined {
    const { items } = this
    const top = items[0]
    const moved = items.pop()
    if (!top || !moved || items.length === 0) return top?.item
    let at = 0
    for (;;) {
      let child = 2 * at + 1
      if (child >= items.length) break
      if (child + 1 < items.length && this.before(items[child + 1]!, items[child]!)) child += 1
      if (!this.before(items[child]!, moved)) break
      items[at] = items[child]!
      at = child
    }
    items[at] = moved
    return top.item
  }

  private before(a: { cost: number; order: number }, b: { cost: number; order: number }): boolean {
    return a.cost < b.cost || (a.cost === b.cost && a.order < b.order)
  }
}
