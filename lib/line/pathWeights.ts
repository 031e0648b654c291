/** All ways over a line's ground, weighed backward from its end and drawn forward by seed, each as often as its cost says. */

import { chromatic, type LineGround, lands, optionFit, optionPitch, starts, walks } from './allowedNotes.ts'
import { widest } from './approachFits.ts'
import { intervalShare } from './figures.ts'
import { bucketOf, type Mixture, noInterval } from './figureWeights.ts'

/** A node of the lattice is a pitch and the interval that led to it, in so many buckets. */
const buckets = 14
const intervals = 2 * widest + 1

/**
 * The weights of a step, by its interval from an octave down and by the interval before. Steps dearer than asked weigh nothing, and
 * so does a third note on one pitch.
 */
function weighSteps(steps: Mixture['steps'], dearest: number): Float64Array {
  const weights = new Float64Array(intervals * buckets)
  for (let i = 0; i < intervals; i++)
    for (let bucket = 0; bucket < buckets; bucket++) {
      const cost = steps[bucket]![i]!
      const stays = i === widest && bucket === bucketOf(0)
      weights[i * buckets + bucket] = cost < dearest && !stays ? Math.exp(-cost) : 0
    }
  return weights
}

const known = new WeakMap<Mixture['steps'], Map<number, Float64Array>>()

function stepWeights(steps: Mixture['steps'], dearest: number): Float64Array {
  const byDearest = known.get(steps) ?? new Map<number, Float64Array>()
  known.set(steps, byDearest)
  const weights = byDearest.get(dearest) ?? weighSteps(steps, dearest)
  byDearest.set(dearest, weights)
  return weights
}

/** The widest interval that weighs anything after another, in semitones. */
function widestAfter(weights: Float64Array): number {
  let wide = widest
  const weighs = (interval: number) => {
    const row = (interval + widest) * buckets
    return weights.subarray(row, row + noInterval).some((weight) => weight > 0)
  }
  while (wide > 0 && !weighs(wide) && !weighs(-wide)) wide -= 1
  return wide
}

/** What an approach costs more or less for the interval before its own first one: nats, by that bucket and the first interval. */
const logShares = Float64Array.from({ length: 49 }, (_, i) => Math.log(intervalShare(i - 24)))

/** The nats by which the notes before an approach suit it or not. Infinite for a third note on one pitch. */
export function joinCost(steps: Mixture['steps'], bucket: number, first: number): number {
  if (bucket === bucketOf(0) && first === 0) return Infinity
  if (bucket === noInterval || Math.abs(first) > widest) return 0
  return steps[bucket]![first + widest]! + logShares[first + 24]!
}

const knownJoins = new WeakMap<Mixture['steps'], Float64Array>()

/** The same as weights, by first interval from -24 and bucket. */
function joinWeights(steps: Mixture['steps']): Float64Array {
  const before = knownJoins.get(steps)
  if (before) return before
  const weights = new Float64Array(49 * buckets)
  for (let first = -24; first <= 24; first++)
    for (let bucket = 0; bucket < buckets; bucket++)
      weights[(first + 24) * buckets + bucket] = Math.exp(-joinCost(steps, bucket, first))
  knownJoins.set(steps, weights)
  return weights
}

/** For every note and the interval before it, the summed weight of all ways on to the end. */
export interface LineWays {
  readonly ground: LineGround
  /** By interval and bucket. */
  readonly steps: Float64Array
  /** The widest of them after another interval. */
  readonly wide: number
  readonly joins: Float64Array
  /** What a note on foot weighs by where it falls. */
  readonly fits: Float64Array
  /** The first place of each layer: one a option, one for a target. */
  readonly placeStart: Int32Array
  /** By place and bucket: going on from the note, and from it as the first of an approach. */
  readonly on: Float64Array
  readonly into: Float64Array
  /** By layer: the logarithm of what its weights are to be multiplied by. */
  readonly scale: Float64Array
}

/** Weights far from 1 are brought back to it, layer by layer. */
const smallest = 1e-6

/**
 * Weighs all ways over a ground (backward messages: Pachet, Roy and Barbieri, *Finite-Length Markov Processes with Constraints*,
 * IJCAI 2011). The graph is never written down: a layer's weights follow from those after it.
 *
 * @param dearest - single steps dearer than this, in nats, are left out
 */
export function weighWays(ground: LineGround, dearest: number): LineWays {
  const { options, targets, targetPitches, moments } = ground
  const layers = moments.length
  const placeStart = new Int32Array(layers + 1)
  for (let layer = 0; layer < layers; layer++)
    placeStart[layer + 1] = placeStart[layer]! + (targets[layer]! < 0 ? options[layer]!.length : 1)
  const on = new Float64Array(placeStart[layers]! * buckets)
  const into = new Float64Array(placeStart[layers]! * buckets)
  const scale = new Float64Array(layers + 1)
  const steps = stepWeights(ground.steps, dearest)
  const fits = Float64Array.from(ground.fits, (cost) => Math.exp(-cost))
  const wide = widestAfter(steps)
  const ways: LineWays = { ground, steps, wide, joins: joinWeights(ground.steps), fits, placeStart, on, into, scale }

  for (let layer = layers - 1; layer >= 0; layer--) {
    scale[layer] = scale[layer + 1]!
    const first = placeStart[layer]!
    if (targets[layer]! >= 0) {
      if (!ground.heldCells[layer]) addStepsOn(ways, layer, targetPitches[layer]!, false, first * buckets)
      addCells(ways, layer, first * buckets)
    } else
      for (let d = 0; d < options[layer]!.length; d++) {
        const option = options[layer]![d]!
        const place = (first + d) * buckets
        if (option & (walks | lands)) addStepsOn(ways, layer, optionPitch(option), (option & chromatic) !== 0, place)
        if (option & starts) addApproaches(ways, layer, optionPitch(option), place)
      }
    rescale(ways, layer)
  }
  return ways
}

/** Adds the ways on from a pitch of a layer by single steps, for each interval before it. */
function addStepsOn(ways: LineWays, layer: number, midi: number, outside: boolean, place: number): void {
  const { ground, steps, fits, placeStart, on, into } = ways
  const next = layer + 1
  if (next === ground.moments.length) {
    on.fill(1, place, place + buckets)
    return
  }
  const first = placeStart[next]!
  const rested = ground.afterRest[next]!
  if (ground.targets[next]! >= 0) {
    const pitch = ground.targetPitches[next]!
    const bucket = rested ? noInterval : bucketOf(pitch - midi)
    if (!meetsTarget(ground, next, midi)) return
    on.fill(on[first * buckets + bucket]!, place, place + buckets)
    if (!rested && pitch === midi) on[place + bucketOf(0)] = 0
    return
  }
  const options = ground.options[next]!
  if (rested) {
    let sum = 0
    for (let d = 0; d < options.length; d++) {
      const to = (first + d) * buckets + noInterval
      const option = options[d]!
      if (option & walks && !(option & chromatic)) sum += fits[optionFit(option)]! * on[to]!
      if (option & starts) sum += into[to]!
    }
    on.fill(sum, place, place + buckets)
    return
  }
  const only = onlyBucket(ground, layer, midi)
  const from = Math.max(0, only)
  const to = only >= 0 ? only + 1 : ground.targets[layer]! >= 0 ? buckets : noInterval
  const furthest = to === buckets ? widest : ways.wide
  for (let d = 0; d < options.length; d++) {
    const option = options[d]!
    const interval = optionPitch(option) - midi
    if (interval < -furthest || interval > furthest) continue
    // A note outside the scale passes on by a semitone, as it came.
    if (outside && interval !== 1 && interval !== -1) continue
    const going = (first + d) * buckets + bucketOf(interval)
    const onFoot = option & walks && isSteady(option, interval, outside) ? fits[optionFit(option)]! * on[going]! : 0
    const weight = option & starts ? onFoot + into[going]! : onFoot
    if (weight === 0) continue
    // As it came: upward from outside, or downward.
    const low = outside && interval === 1 ? Math.max(from, bucketOf(1)) : from
    const high = outside && interval === -1 ? Math.min(to, bucketOf(0)) : to
    const row = (interval + widest) * buckets
    for (let b = low; b < high; b++) on[place + b]! += steps[row + b]! * weight
  }
}

/** The only bucket of the interval that leads to a pitch of a layer; -1 where there are several. */
function onlyBucket({ afterRest, targets, targetPitches }: LineGround, layer: number, midi: number): number {
  if (targets[layer]! >= 0) return -1
  if (afterRest[layer]!) return noInterval
  return targets[layer - 1]! < 0 ? -1 : bucketOf(midi - targetPitches[layer - 1]!)
}

/** A target follows on foot only where there was no room for an approach: after a rest, another target, or nothing. */
const meetsTarget = ({ targets, targetPitches, afterRest }: LineGround, layer: number, midi: number): boolean =>
  afterRest[layer]! || (layer > 0 && targets[layer - 1]! >= 0 && Math.abs(targetPitches[layer]! - midi) <= widest)

/** A note outside the scale is reached by a step from inside it. */
const isSteady = (option: number, interval: number, outside: boolean): boolean =>
  (option & chromatic) === 0 || (!outside && interval !== 0 && interval * interval <= 4)

/** Adds the ways on from the first note of an approach, for each interval before it. */
function addApproaches(ways: LineWays, layer: number, midi: number, place: number): void {
  const { ground, joins, placeStart, on, into, scale } = ways
  const only = onlyBucket(ground, layer, midi)
  const from = Math.max(0, only)
  const to = only >= 0 ? only + 1 : noInterval
  for (const { offsets, first, weight } of ground.entries[layer]![midi - ground.low]!) {
    const target = layer + offsets.length
    const after = on[placeStart[target]! * buckets + bucketOf(-offsets[offsets.length - 1]!)]!
    if (after === 0) continue
    const all = weight * after * Math.exp(scale[target]! - scale[layer]!)
    const row = (first + 24) * buckets
    for (let b = from; b < to; b++) into[place + b]! += joins[row + b]! * all
  }
}

/** Adds the cells that may leave a target, whatever came before it. */
function addCells(ways: LineWays, layer: number, place: number): void {
  const { ground, on, scale } = ways
  for (const cell of ground.cells[layer]!) {
    const weight = Math.exp(scale[layer + 3]! - scale[layer]! - cell.cost) * on[cellEnd(ways, layer, cell.offsets)]!
    for (let b = 0; b < buckets; b++) on[place + b]! += weight
  }
}

/** The place and bucket at which a cell lets go: its last note, three after the target. */
function cellEnd({ ground, placeStart }: LineWays, layer: number, offsets: readonly number[]): number {
  const [before, last] = offsets.slice(-2) as [number, number]
  const pitch = ground.targetPitches[layer]! + last
  const option = ground.options[layer + 3]!.findIndex((each) => optionPitch(each) === pitch)
  return (placeStart[layer + 3]! + option) * buckets + bucketOf(last - before)
}

function rescale({ placeStart, on, into, scale }: LineWays, layer: number): void {
  const [from, to] = [placeStart[layer]! * buckets, placeStart[layer + 1]! * buckets]
  let most = 0
  for (let i = from; i < to; i++) most = Math.max(most, on[i]!, into[i]!)
  if (most === 0 || (most > smallest && most < 1 / smallest)) return
  for (let i = from; i < to; i++) {
    on[i]! /= most
    into[i]! /= most
  }
  scale[layer]! += Math.log(most)
}

/** A figure taken as a whole: semitones from its target. */
export interface WayFigure {
  readonly kind: 'approach' | 'cell'
  /** Index into the targets of the line. */
  readonly target: number
  readonly offsets: readonly number[]
  /** An approach outside what the brief allows, where nothing else fits. */
  readonly forced: boolean
}

/** Where a way through the ground has come to: a note, by what interval, and what may follow. */
export interface Standing {
  /** -1 in the silence before the first note. */
  readonly layer: number
  readonly midi: number
  readonly bucket: number
  readonly outside: boolean
  /** The first note of an approach: the rest of it comes next. */
  readonly entry: boolean
}

/** A way on: where it leads, by which figure if by one, at what cost in nats; and how often it is taken, all after it included. */
export interface WayOn extends Standing {
  readonly figure: WayFigure | null
  readonly cost: number
  readonly weight: number
}

export const beforeFirst: Standing = { layer: -1, midi: 0, bucket: noInterval, outside: false, entry: false }

/** The ways on from where a line stands: cells first, then by pitch, low to high. Only those that lead to the end. */
export function waysOn(ways: LineWays, from: Standing): readonly WayOn[] {
  if (from.entry) return approachesOn(ways, from)
  const { layer } = from
  if (layer < 0) return stepsOn(ways, from, 1)
  const cells = cellsOn(ways, from)
  if (ways.ground.heldCells[layer]) return cells
  const steps = stepsOn(ways, from, Math.exp(ways.scale[layer + 1]! - ways.scale[layer]!))
  return cells.length === 0 ? steps : [...cells, ...steps]
}

function approachesOn(ways: LineWays, { layer, midi, bucket }: Standing): readonly WayOn[] {
  const { ground, placeStart, on, scale } = ways
  const found: WayOn[] = []
  for (const { offsets, first, cost: own, forced } of ground.entries[layer]![midi - ground.low]!) {
    const cost = own + joinCost(ground.steps, bucket, first)
    const to = layer + offsets.length
    const there = bucketOf(-offsets[offsets.length - 1]!)
    const weight = on[placeStart[to]! * buckets + there]! * Math.exp(scale[to]! - scale[layer]! - cost)
    if (weight === 0) continue
    const figure = { kind: 'approach', target: ground.targets[to]!, offsets, forced } as const
    const pitch = ground.targetPitches[to]!
    found.push({ layer: to, midi: pitch, bucket: there, outside: false, entry: false, figure, cost, weight })
  }
  return found
}

function cellsOn(ways: LineWays, { layer }: Standing): readonly WayOn[] {
  const { ground, placeStart, on, scale } = ways
  const found: WayOn[] = []
  for (const { offsets, cost } of ground.cells[layer]!) {
    const end = cellEnd(ways, layer, offsets)
    const to = layer + 3
    const weight = on[end]! * Math.exp(scale[to]! - scale[layer]! - cost)
    if (weight === 0) continue
    const option = ground.options[to]![Math.floor(end / buckets) - placeStart[to]!]!
    const figure = { kind: 'cell', target: ground.targets[layer]!, offsets, forced: false } as const
    const [midi, outside] = [optionPitch(option), (option & chromatic) !== 0]
    found.push({ layer: to, midi, bucket: end % buckets, outside, entry: false, figure, cost, weight })
  }
  return found
}

/** Single steps; `towards` is what the weights of the next layer are to be multiplied by. */
function stepsOn(ways: LineWays, { layer, midi, bucket, outside }: Standing, towards: number): readonly WayOn[] {
  const { ground, steps, fits, placeStart, on, into } = ways
  const found: WayOn[] = []
  const next = layer + 1
  const rested = ground.afterRest[next]!
  const first = placeStart[next]!
  if (ground.targets[next]! >= 0) {
    const pitch = ground.targetPitches[next]!
    const there = layer < 0 ? ground.firstBucket : rested ? noInterval : bucketOf(pitch - midi)
    const stuck = !rested && bucket === bucketOf(0) && pitch === midi
    const weight = meetsTarget(ground, next, midi) && !stuck ? on[first * buckets + there]! * towards : 0
    const standing = { layer: next, midi: pitch, bucket: there, outside: false, entry: false }
    return weight === 0 ? [] : [{ ...standing, figure: null, cost: 0, weight }]
  }
  const options = ground.options[next]!
  for (let d = 0; d < options.length; d++) {
    const option = options[d]!
    const pitch = optionPitch(option)
    const interval = rested ? 0 : pitch - midi
    if (interval < -widest || interval > widest) continue
    if (!rested && outside && interval !== Math.sign(bucket - bucketOf(0))) continue
    const there = rested ? noInterval : bucketOf(interval)
    const place = (first + d) * buckets + there
    const step = rested ? 0 : ground.steps[bucket]![interval + widest]!
    const own = rested ? towards : steps[(interval + widest) * buckets + bucket]! * towards
    const outsideThere = (option & chromatic) !== 0
    const add = (entry: boolean, cost: number, weight: number) => {
      if (weight > 0)
        found.push({
          layer: next,
          midi: pitch,
          bucket: there,
          outside: outsideThere,
          entry,
          figure: null,
          cost,
          weight,
        })
    }
    const fit = optionFit(option)
    if (option & walks && isSteady(option, interval, outside))
      add(false, step + ground.fits[fit]!, own * fits[fit]! * on[place]!)
    if (option & starts) add(true, step, own * into[place]!)
  }
  return found
}
