/** The lattice of a line written out, node by node and edge by edge, as a reference for the weights that are never written out. */

import type { Edge, Lattice } from '../../lib/lattice/lattice.ts'
import { type LineGround, optionFit, optionPitch } from '../../lib/line/allowedNotes.ts'
import { joinCost } from '../../lib/line/pathWeights.ts'

export interface LineNode {
  readonly midi: number
  /** -6 to 6, wider intervals among them; 13 for none. */
  readonly bucket: number
  readonly entry: boolean
}

export interface LineGraph {
  readonly lattice: Lattice
  /** The nodes of each layer; layer 0 is the silence, so that note n is layer n + 1. */
  readonly nodes: readonly (readonly LineNode[])[]
}

const none = 13
const bucketFor = (interval: number) => Math.min(6, Math.max(-6, interval)) + 6

/** Every way over a ground; single steps dearer than `dearest` are left out. */
export function lineGraph(ground: LineGround, dearest = Infinity): LineGraph {
  const { moments, afterRest, targets, targetPitches, options, entries, cells, heldCells, steps } = ground
  const nodes: LineNode[][] = [[{ midi: -1, bucket: none, entry: false }], ...moments.map(() => [])]
  const edges: Edge[][][] = nodes.map(() => [])
  const nodeAt = (layer: number, midi: number, bucket: number, entry: boolean): number => {
    const there = nodes[layer]!
    const known = there.findIndex((node) => node.midi === midi && node.bucket === bucket && node.entry === entry)
    return known >= 0 ? known : there.push({ midi, bucket, entry }) - 1
  }
  const isChromatic = (note: number, midi: number) =>
    options[note]!.some((option) => optionPitch(option) === midi && (option & 8) !== 0)

  const stepsFrom = (layer: number, { midi, bucket }: LineNode): Edge[] => {
    const note = layer
    const to = layer + 1
    const first = layer === 0
    const rested = afterRest[note]!
    if (targets[note]! >= 0) {
      const pitch = targetPitches[note]!
      const afterTarget = note > 0 && targets[note - 1]! >= 0
      const moves = Math.abs(pitch - midi) <= 12 && !(bucket === bucketFor(0) && pitch === midi)
      if (!rested && !(afterTarget && moves)) return []
      const there = first ? ground.firstBucket : rested ? none : bucketFor(pitch - midi)
      return [{ layer: to, node: nodeAt(to, pitch, there, false), cost: 0 }]
    }
    const outside = note > 0 && targets[note - 1]! < 0 && isChromatic(note - 1, midi)
    return options[note]!.flatMap((option): Edge[] => {
      const pitch = optionPitch(option)
      const interval = pitch - midi
      if (!rested && (Math.abs(interval) > 12 || (bucket === bucketFor(0) && interval === 0))) return []
      if (!rested && outside && interval !== Math.sign(bucket - 6)) return []
      const there = rested ? none : bucketFor(interval)
      const step = rested ? 0 : steps[bucket]![interval + 12]!
      const small = interval !== 0 && Math.abs(interval) <= 2
      const fit = step + ground.fits[optionFit(option)]!
      const found: Edge[] = []
      if (option & 1 && (!(option & 8) || (!rested && !outside && small)) && step < dearest)
        found.push({ layer: to, node: nodeAt(to, pitch, there, false), cost: fit })
      if (option & 2 && step < dearest) found.push({ layer: to, node: nodeAt(to, pitch, there, true), cost: step })
      return found
    })
  }

  for (let layer = 0; layer < moments.length; layer++)
    for (let n = 0; n < nodes[layer]!.length; n++) {
      const node = nodes[layer]![n]!
      const note = layer - 1
      if (node.entry) {
        edges[layer]![n] = entries[note]![node.midi - ground.low]!.flatMap(
          ({ offsets, first, cost }, label): Edge[] => {
            const to = layer + offsets.length
            const join = joinCost(steps, node.bucket, first)
            const end = nodeAt(to, targetPitches[to - 1]!, bucketFor(-offsets.at(-1)!), false)
            return join === Infinity ? [] : [{ layer: to, node: end, cost: cost + join, label }]
          },
        )
        continue
      }
      const runs = note < 0 ? [] : cells[note]!
      edges[layer]![n] = [
        ...runs.map(({ offsets, cost }, label): Edge => {
          const [before, last] = offsets.slice(-2) as [number, number]
          const end = nodeAt(layer + 3, node.midi + last, bucketFor(last - before), false)
          return { layer: layer + 3, node: end, cost, label }
        }),
        ...(note >= 0 && heldCells[note] ? [] : stepsFrom(layer, node)),
      ]
    }
  const sizes = nodes.map(({ length }) => length)
  return { lattice: { sizes, nodeCost: () => 0, edges: (layer, node) => edges[layer]![node] ?? [] }, nodes }
}
