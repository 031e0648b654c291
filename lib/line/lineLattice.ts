/** The lattice of a line: every way from target to target over the planned rhythm, by single notes and whole approaches. */
import type { Harmony } from '../harmony/harmony.ts'
import type { FlatLattice } from '../theory/lattice.ts'
import type { Target } from './chooseTargets.ts'
import { intervalShare } from './figures.ts'
import { approachesAt, type LineChoices, masksOf, scaleOffset, widest } from './leadIn.ts'
import { bucketOf, noInterval } from './mixture.ts'
import type { Moment } from './planRhythm.ts'

/** A figure drawn as a whole: the notes that lead into a target, or a cell's that leave it, as semitones from the target. */
export interface DrawnFigure {
  readonly kind: 'approach' | 'cell'
  /** Index into the targets. */
  readonly target: number
  readonly offsets: readonly number[]
  /** An approach outside what the brief allows, where nothing else fits. */
  readonly forced: boolean
}

/** Logarithms of the shares of intervals from -24 to 24. */
const logShares = Float64Array.from({ length: 49 }, (_, i) => Math.log(intervalShare(i - 24)))

/** Nats by which a cell that was asked for goes before notes found on foot. */
const askedBonus = 6

/** How many semitones from its nearer targets a connecting note may lie. */
const reach = 9

/** What a moment allows, by pitch: the cost of a connecting note there, and whether it belongs to the scale. */
interface Ground {
  readonly cost: Float64Array
  readonly inScale: Uint8Array
}

/** Nats for a connecting note by where it falls: chord tone, other scale note, avoid note, note outside the scale. */
const fitCosts = {
  strong: [0, 1.05, 2.5, Infinity],
  beat: [0, 0.36, 1.05, 2.8],
  off: [0.16, 0, 0.22, 1.2],
} as const

export interface LineLattice {
  readonly lattice: FlatLattice
  readonly midiOf: Int16Array
  readonly figures: readonly DrawnFigure[]
  /** The moments that the layers stand for: all that are no rest. */
  readonly moments: readonly number[]
}

/** A stretch of a line, from one moment to another, and the edges left out of it. */
export interface Stretch {
  readonly from: number
  readonly to: number
  /** The bucket of the interval that led to its first note. */
  readonly bucket: number
  /** Single notes dearer than this, in nats, are left out. */
  readonly dearest: number
}

/**
 * Lays out every line that keeps the brief between the targets. A layer is a note's moment. A node holds a pitch and the
 * interval that led to it; targets have their one pitch. Edges are single notes, and approaches that span several layers.
 */
export function lineLattice(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  range: readonly [number, number],
  choices: LineChoices,
  { from = 0, to = moments.length - 1, bucket: firstBucket = noInterval, dearest = Infinity }: Partial<Stretch> = {},
): LineLattice {
  const [low, high] = range
  const span = high - low + 1
  const sounding: number[] = []
  for (let m = from; m <= to; m++) if (!moments[m]!.rest) sounding.push(m)
  const layers = sounding.length
  const at = (layer: number): Moment => moments[sounding[layer]!]!
  const afterRest = sounding.map((m, layer) => layer === 0 || sounding[layer - 1]! !== m - 1)
  const grounds = groundsOf(
    harmony,
    sounding.map((m) => moments[m]!),
    targets,
    range,
    choices,
    sounding,
  )
  const nextTarget = new Int32Array(layers).fill(-1)
  for (let layer = layers - 1, next = -1; layer >= 0; layer--) {
    nextTarget[layer] = next
    if (at(layer).target !== null) next = layer
  }

  // Nodes of a layer: walking at a pitch with the interval before (plain), or starting an approach there (entry).
  const width = span * 14
  const index = Array.from({ length: layers }, () => new Int32Array(2 * width).fill(-1))
  const nodes: number[][] = Array.from({ length: layers }, () => [])
  const nodeAt = (layer: number, entry: 0 | 1, midi: number, bucket: number): number => {
    const key = entry * width + (midi - low) * 14 + bucket
    const known = index[layer]![key]!
    if (known >= 0) return known
    index[layer]![key] = nodes[layer]!.length
    nodes[layer]!.push(key)
    return nodes[layer]!.length - 1
  }

  const edges = growingEdges()
  const edgeCount: number[] = []
  const figures: DrawnFigure[] = []
  const { link } = edges
  const { steps } = choices.mixture

  /** The approaches that may begin at a layer: those whose target comes after as many notes, with nothing between. */
  const entries = approachesAt(harmony, at, layers, afterRest, targets, range, choices, (layer) =>
    choices.pinnedNotes.get(sounding[layer]!),
  )

  // The pitches by which a layer can be entered, low to high: on foot, at the start of an approach, or both.
  const [walks, starts, chromatic] = [1, 2, 4]
  const doors = grounds.map(({ cost, inScale }, layer): Int32Array => {
    if (at(layer).target !== null) return new Int32Array(0)
    const onFoot = nextTarget[layer] !== layer + 1 || afterRest[layer + 1]!
    // A note outside the scale has somewhere to go: none ends a phrase.
    const ends = layer + 1 === layers || afterRest[layer + 1]!
    const open: number[] = []
    for (let i = 0; i < span; i++) {
      const ways =
        (onFoot && cost[i]! < Infinity && (inScale[i] || !ends) ? walks : 0) | (entries[layer]![i] ? starts : 0)
      if (ways) open.push(((low + i) << 3) | ways | (inScale[i] ? 0 : chromatic))
    }
    return Int32Array.from(open)
  })

  /** Goes on from a pitch to the next layer, on foot or into an approach. */
  const goOn = (layer: number, midi: number, bucket: number, outside: boolean) => {
    const moment = at(layer)
    const rested = afterRest[layer]!
    if (moment.target !== null) {
      // A target follows at once, with no note between: only where there was no room for one.
      const pitch = targets[moment.target]!.midi
      if (rested || layer === 0 || at(layer - 1).target !== null) {
        if (!rested && Math.abs(pitch - midi) > widest) return
        if (!rested && bucket === 6 && pitch === midi) return
        link(
          layer,
          nodeAt(layer, 0, pitch, layer === 0 ? firstBucket : rested ? noInterval : bucketOf(pitch - midi)),
          0,
          -1,
        )
      }
      return
    }
    const { cost } = grounds[layer]!
    const costs = steps[bucket]!
    for (const door of doors[layer]!) {
      const pitch = door >> 3
      const interval = pitch - midi
      if (!rested) {
        if (interval > widest || interval < -widest || (bucket === 6 && interval === 0)) continue
        // A note outside the scale passes on by a semitone, as it came.
        if (outside && interval !== Math.sign(bucket - 6)) continue
      }
      const next = rested ? noInterval : interval > 6 ? 12 : interval < -6 ? 0 : interval + 6
      const step = rested ? 0 : costs[interval + 12]!
      const steady = (door & chromatic) === 0 || (!rested && !outside && interval !== 0 && interval * interval <= 4)
      const fit = step + cost[pitch - low]!
      if (door & walks && steady && fit < dearest) link(layer, nodeAt(layer, 0, pitch, next), fit, -1)
      if (door & starts && step < dearest) link(layer, nodeAt(layer, 1, pitch, next), step, -1)
    }
  }

  /** The cells asked for that may start from a target: four even notes before the next approach, in range and in the scales that sound. */
  const cellsFrom = (layer: number, target: number) => {
    const pinned = choices.pinnedCells.get(target)
    const asked = pinned ? [{ steps: pinned, count: 1 }] : choices.cells
    const next = nextTarget[layer]!
    const room = next < 0 ? layers - layer >= 4 : next - layer > 4
    if (asked.length === 0 || !room || [1, 2, 3].some((i) => afterRest[layer + i]!)) return []
    const { midi, chord } = targets[target]!
    const all = asked.reduce((sum, { count }) => sum + count, 0)
    return asked.flatMap(({ steps: cell, count }) => {
      const offsets = cell.map((step) => scaleOffset(harmony.chords[chord]!, midi, step))
      const plays = offsets.every((offset, i) => {
        if (offset === null) return false
        const pitch = midi + offset
        const pin = i > 0 ? choices.pinnedNotes.get(sounding[layer + i]!) : undefined
        const heard = harmony.chords[at(layer + i).chord]
        const fits = pinned !== undefined || !heard?.chord || ((masksOf(heard).scale >> (pitch % 12)) & 1) === 1
        return fits && pitch >= low && pitch <= high && (pin ?? pitch) === pitch
      })
      return plays ? [{ offsets: offsets as number[], cost: -Math.log(count / all) - askedBonus }] : []
    })
  }

  /** The label of the first approach that starts at a layer and pitch; the others follow it. */
  const firstLabels = new Map<number, number>()
  const labelOf = (layer: number, midi: number): number => {
    const place = layer * 128 + midi
    const known = firstLabels.get(place)
    if (known !== undefined) return known
    const label = figures.length
    firstLabels.set(place, label)
    for (const { target, offsets, forced } of entries[layer]![midi - low]!)
      figures.push({ kind: 'approach', target, offsets, forced })
    return label
  }

  // The first layer is reached from nowhere: a node before it stands for the silence.
  if (layers > 0) goOn(0, low, noInterval, false)
  edgeCount.push(edges.count())
  for (let layer = 0; layer < layers; layer++) {
    for (let n = 0; n < nodes[layer]!.length; n++) {
      const before = edges.count()
      const key = nodes[layer]![n]!
      const entry = key >= width
      const midi = low + Math.floor((key % width) / 14)
      const bucket = key % 14
      if (entry) {
        const starting = entries[layer]![midi - low]!
        const label = labelOf(layer, midi)
        for (let i = 0; i < starting.length; i++) {
          const { offsets, target, first, cost } = starting[i]!
          if (bucket === 6 && first === 0) continue
          const shape =
            bucket === noInterval || Math.abs(first) > widest ? 0 : steps[bucket]![first + 12]! + logShares[first + 24]!
          const into = layer + offsets.length
          const node = nodeAt(into, 0, targets[target]!.midi, bucketOf(-offsets[offsets.length - 1]!))
          link(into, node, cost + shape, label + i)
        }
      } else if (layer + 1 < layers) {
        const target = at(layer).target
        const run = target === null ? [] : cellsFrom(layer, target)
        for (const { offsets, cost } of run) {
          const last = offsets.at(-1)!
          figures.push({ kind: 'cell', target: target!, offsets, forced: false })
          const into = nodeAt(layer + 3, 0, midi + last, bucketOf(last - offsets.at(-2)!))
          link(layer + 3, into, cost, figures.length - 1)
        }
        if (target !== null && run.length > 0 && choices.pinnedCells.has(target)) {
          edgeCount.push(edges.count() - before)
          continue
        }
        const outside = at(layer).target === null && grounds[layer]!.inScale[midi - low] === 0
        goOn(layer + 1, midi, bucket, outside)
      }
      edgeCount.push(edges.count() - before)
    }
  }
  return { ...layOut(nodes, edges.taken(), edgeCount, width, low), figures, moments: sounding }
}

interface Edges {
  readonly toLayer: Int32Array
  readonly toNode: Int32Array
  readonly cost: Float64Array
  readonly label: Int32Array
}

/** Edges in the order they are linked, in arrays that double as they fill. */
function growingEdges() {
  let size = 1 << 16
  let n = 0
  let kept: Edges = roomFor(size)
  return {
    count: () => n,
    link: (layer: number, node: number, cost: number, label: number): void => {
      if (n === size) {
        size *= 2
        const larger = roomFor(size)
        larger.toLayer.set(kept.toLayer)
        larger.toNode.set(kept.toNode)
        larger.cost.set(kept.cost)
        larger.label.set(kept.label)
        kept = larger
      }
      kept.toLayer[n] = layer
      kept.toNode[n] = node
      kept.cost[n] = cost
      kept.label[n] = label
      n += 1
    },
    taken: (): Edges => ({
      toLayer: kept.toLayer.subarray(0, n),
      toNode: kept.toNode.subarray(0, n),
      cost: kept.cost.subarray(0, n),
      label: kept.label.subarray(0, n),
    }),
  }
}

const roomFor = (size: number): Edges => ({
  toLayer: new Int32Array(size),
  toNode: new Int32Array(size),
  cost: new Float64Array(size),
  label: new Int32Array(size),
})

/** Numbers the nodes through all layers, the silence before them first. */
function layOut(
  nodes: readonly (readonly number[])[],
  edges: Edges,
  edgeCount: readonly number[],
  width: number,
  low: number,
): { readonly lattice: FlatLattice; readonly midiOf: Int16Array } {
  const layerStart = new Int32Array(nodes.length + 2)
  layerStart[1] = 1
  for (let layer = 0; layer < nodes.length; layer++)
    layerStart[layer + 2] = layerStart[layer + 1]! + nodes[layer]!.length
  const count = layerStart[nodes.length + 1]!
  const edgeStart = new Int32Array(count + 1)
  for (let n = 0; n < count; n++) edgeStart[n + 1] = edgeStart[n]! + edgeCount[n]!
  const midiOf = new Int16Array(count)
  nodes.forEach((keys, layer) => {
    keys.forEach((key, n) => {
      midiOf[layerStart[layer + 1]! + n] = low + Math.floor((key % width) / 14)
    })
  })
  const edgeTo = new Int32Array(edges.toNode.length)
  for (let e = 0; e < edgeTo.length; e++) edgeTo[e] = layerStart[edges.toLayer[e]! + 1]! + edges.toNode[e]!
  const nodeCost = new Float64Array(count)
  const lattice = { layerStart, nodeCost, edgeStart, edgeTo, edgeCost: edges.cost, edgeLabel: edges.label }
  return { lattice, midiOf }
}

function groundsOf(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  [low, high]: readonly [number, number],
  choices: LineChoices,
  sounding: readonly number[],
): readonly Ground[] {
  let previous: number | null = null
  const following: (number | null)[] = []
  for (let i = moments.length - 1, next: number | null = null; i >= 0; i--) {
    following[i] = next
    const target = moments[i]!.target
    if (target !== null) next = targets[target]!.midi
  }
  return moments.map((moment, i) => {
    const cost = new Float64Array(high - low + 1).fill(Infinity)
    const inScale = new Uint8Array(high - low + 1)
    if (moment.target !== null) previous = targets[moment.target]!.midi
    const around = [previous, following[i]].filter((n): n is number => n !== null && n !== undefined)
    const floor = around.length === 0 ? low : Math.min(...around) - reach
    const ceiling = around.length === 0 ? high : Math.max(...around) + reach
    const chord = harmony.chords[moment.chord]
    if (!chord?.chord) return { cost, inScale }
    const mask = masksOf(chord)
    const weights = fitCosts[moment.weight]
    const pinned = choices.pinnedNotes.get(sounding[i]!)
    for (let midi = low; midi <= high; midi++) {
      const bit = midi % 12
      const held = (mask.scale >> bit) & 1
      inScale[midi - low] = held
      const rank = (mask.tones >> bit) & 1 ? 0 : !held ? 3 : (mask.avoid >> bit) & 1 ? 2 : 1
      const near = midi >= floor && midi <= ceiling
      cost[midi - low] = pinned !== undefined ? (pinned === midi ? 0 : Infinity) : near ? weights[rank] : Infinity
      if (pinned === midi) inScale[midi - low] = 1
    }
    return { cost, inScale }
  })
}
