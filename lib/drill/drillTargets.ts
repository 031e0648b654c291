/** The targets of an exact drill: drawn as for any line, but only where the figures asked for can leave and reach them. */
import type { Harmony } from '../harmony/harmony.ts'
import { bestPath, type Edge, type Lattice, randomFrom, samplePath } from '../lattice/lattice.ts'
import { motionCost, roamingLattice, type Target, type TargetSlot } from '../line/chooseTargets.ts'

/** Whether what is asked for can stand between two targets, the first by its number. */
export type Joins = (index: number, from: Target, to: Target) => boolean

/** Nats for a first target at the edge of the range, where a pickup or a join has no room on one side of it. */
const cornered = 12
const edge = 2

/** Nats at the edge of the range where a plan says what comes: it only settles ties. */
const planPull = 0.05

const targetOn = ({ bar, start, chord }: TargetSlot, degree: string, midi: number): Target => ({
  bar,
  start,
  chord,
  degree,
  midi,
})

/** Targets drawn through the slots, or those of a plan as smooth as they come; null where nothing joins them all. */
export function drillTargets(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  planned: boolean,
  seed: number,
  ledInto: boolean,
  joins: Joins,
): readonly Target[] | null {
  const corner = (layer: number, midi: number) =>
    ledInto && layer === 0 && (midi - edge < range[0] || midi + edge > range[1]) ? cornered : 0
  return planned ? smoothest(slots, range, joins, corner) : drawn(harmony, slots, range, seed, joins, corner)
}

/** Nats for the place of a target in the range. */
type Corner = (layer: number, midi: number) => number

function drawn(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  seed: number,
  joins: Joins,
  corner: Corner,
): readonly Target[] | null {
  const random = randomFrom(seed)
  const { lattice, candidates } = roamingLattice(harmony, slots, range, random)
  const at = (layer: number, node: number): Target => {
    const { degree, midi } = candidates[layer]![node]!
    return targetOn(slots[layer]!, degree, midi)
  }
  const joining: Lattice = {
    ...lattice,
    nodeCost: (layer, node) => lattice.nodeCost(layer, node) + corner(layer, candidates[layer]![node]!.midi),
    edges: (layer, node) => {
      const from = at(layer, node)
      return lattice.edges(layer, node).filter((edge) => joins(layer, from, at(edge.layer, edge.node)))
    },
  }
  return samplePath(joining, random)?.steps.map(({ layer, node }) => at(layer, node)) ?? null
}

function smoothest(
  slots: readonly TargetSlot[],
  [low, high]: readonly [number, number],
  joins: Joins,
  corner: Corner,
): readonly Target[] | null {
  const candidates = slots.map((slot) =>
    Array.from({ length: high - low + 1 }, (_, i) => low + i).flatMap((midi): readonly Target[] => {
      if ((slot.pinned !== null && slot.pinned !== midi) || (slot.open && !slot.open.includes(midi))) return []
      const choice = slot.choices.find(({ chroma }) => chroma === midi % 12)
      return choice ? [targetOn(slot, choice.degree, midi)] : slot.pinned === midi ? [targetOn(slot, '', midi)] : []
    }),
  )
  const [middle, half] = [(low + high) / 2, Math.max(1, (high - low) / 2)]
  const path = bestPath({
    sizes: candidates.map(({ length }) => length),
    nodeCost: (layer, node) => {
      const { midi } = candidates[layer]![node]!
      return planPull * ((midi - middle) / half) ** 2 + corner(layer, midi)
    },
    edges: (layer, node) => {
      const from = candidates[layer]![node]!
      return (candidates[layer + 1] ?? []).flatMap((to, n): readonly Edge[] =>
        joins(layer, from, to) ? [{ layer: layer + 1, node: n, cost: motionCost(to.midi - from.midi) }] : [],
      )
    },
  })
  return path?.steps.map(({ layer, node }) => candidates[layer]![node]!) ?? null
}
