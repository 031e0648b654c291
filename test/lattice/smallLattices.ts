/** Small lattices for tests: drawn by seed, and walked path by path. */
import { type Edge, type Lattice, type Path, randomFrom } from '../../lib/lattice/lattice.ts'

/** Chance for a test: whole numbers, choices and coins from one seed. */
export function chance(seed: number) {
  const random = randomFrom(seed)
  const whole = (from: number, to: number) => from + Math.floor(random() * (to - from + 1))
  const pick = <T>(list: readonly T[]): T => list[whole(0, list.length - 1)]!
  return { random, whole, pick, coin: (share: number) => random() < share }
}

/** A small lattice with edges over one to three layers, some of them and some nodes forbidden, some costs below nought. */
export function randomLattice(seed: number): Lattice {
  const { random, whole, coin } = chance(seed)
  const sizes = Array.from({ length: whole(2, 5) }, () => whole(1, 4))
  const cost = () => (coin(0.08) ? Number.POSITIVE_INFINITY : Math.round((3 * random() - 0.5) * 1000) / 1000)
  const nodeCosts = sizes.map((size) => Array.from({ length: size }, cost))
  const edges = sizes.map((size, layer) =>
    Array.from({ length: size }, () =>
      sizes.flatMap((reached, to) =>
        to <= layer || to > layer + 3
          ? []
          : Array.from({ length: reached }, (_, node): Edge => ({ layer: to, node, cost: cost() })).filter(() =>
              coin(to === layer + 1 ? 0.9 : 0.3),
            ),
      ),
    ),
  )
  return {
    sizes,
    nodeCost: (layer, node) => nodeCosts[layer]![node]!,
    edges: (layer, node) => edges[layer]![node]!.map((edge, label) => ({ ...edge, label })),
  }
}

/** Every path there is, by trying them all: its name (nodes and labels) and its cost. */
export function everyPath(lattice: Lattice): ReadonlyMap<string, number> {
  const paths = new Map<string, number>()
  const last = lattice.sizes.length - 1
  const walk = (layer: number, node: number, name: string, cost: number): void => {
    const so = cost + lattice.nodeCost(layer, node)
    if (so === Number.POSITIVE_INFINITY) return
    if (layer === last) paths.set(name, so)
    else
      for (const edge of lattice.edges(layer, node))
        if (edge.cost < Number.POSITIVE_INFINITY)
          walk(edge.layer, edge.node, `${name} ${edge.label ?? -1}>${edge.layer}.${edge.node}`, so + edge.cost)
  }
  for (let node = 0; node < lattice.sizes[0]!; node++) walk(0, node, `0.${node}`, 0)
  return paths
}

export const nameOfPath = ({ steps }: Path) =>
  steps.map(({ layer, node, label }) => `${label === undefined ? '' : ` ${label}>`}${layer}.${node}`).join('')

export const seeds = (count: number) => Array.from({ length: count }, (_, i) => i + 1)
