/** Where guide tones must sound, and which: target slots from the harmony, and the voice leading through them. */

import type { Brief, Landing } from '../brief.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { lastStarted } from '../inOrder.ts'
import { type Edge, kBestPaths, type Lattice, type Path, randomFrom, samplePath } from '../lattice/lattice.ts'
import { type Chord, guideDegrees } from '../theory/chord.ts'
import { type Degree, degreeChroma, numberOf } from '../theory/degree.ts'
import { strongTicks, ticksPerBeat, ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import type { ChordScale } from '../theory/scale.ts'

/** A moment where a target must sound, and the degrees that may sound there. */
export interface TargetSlot {
  readonly bar: number
  /** Ticks from the start of the first bar. */
  readonly start: number
  /** Index into the harmony's chords: the chord landed on. */
  readonly chord: number
  readonly choices: readonly { readonly degree: Degree; readonly chroma: number }[]
  /** A sounding pitch that is pinned here; null for none. */
  readonly pinned: number | null
  /** The pitches that may wait here, where a pinned figure narrows them. */
  readonly open?: readonly number[] | null
}

/** A slot with its note chosen. */
export interface Target {
  readonly bar: number
  readonly start: number
  readonly chord: number
  readonly degree: Degree
  /** Sounding. */
  readonly midi: number
}

/**
 * The degrees of a chord that a landing stands for: 3 and 7 are the guide tones; a triad with nothing else gives root and
 * fifth for the seventh; 9, #11 and 13 are the chord's own (the 6 of a 6 chord is its 13), else the scale's, else none.
 *
 * @example
 * landingDegrees({ degrees: ['1', 'b3', '5', 'b7'], alt: false, named: 'm7' }, null, '3') // => ['b3']
 * landingDegrees({ degrees: ['1', '3', '5'], alt: false, named: '' }, null, '7') // => ['1', '5']
 */
export function landingDegrees(chord: Chord, scale: ChordScale | null, landing: Landing): readonly Degree[] {
  const [third, seventh] = guideDegrees(chord)
  if (landing === '3') return [third]
  if (landing === '7')
    return seventh === '1' ? chord.degrees.filter((d) => numberOf(d) === 1 || numberOf(d) === 5) : [seventh]
  const number = landing === '#11' ? 11 : Number(landing)
  const own = chord.degrees.filter((d) => numberOf(d) === number)
  if (number < 8 || own.length > 0) return own
  const wanted = { '9': '2', '#11': '#4', '13': '6' }[landing as '9' | '#11' | '13']
  if (chord.degrees.includes(wanted)) return [wanted]
  return scale?.degrees.includes(wanted) ? [landing] : []
}

/** The index of the chord that sounds at a tick; -1 before the first. */
export const chordIndexAt = ({ chords }: Harmony, tick: number): number => lastStarted(chords, tick)

type Placing = Pick<Brief, 'every' | 'on' | 'land'>

/**
 * The slots of a harmony: on every downbeat, on chord changes, or twice a bar, as the brief says. Bars without a chord have
 * none. Where a landing is a degree that the chord lacks, its guide tones stand in.
 */
export function placeTargets(harmony: Harmony, brief: Placing): readonly TargetSlot[] {
  const slots: TargetSlot[] = []
  const starts = new Map<number, number[]>()
  for (const { bar, start } of harmony.chords) {
    const list = starts.get(bar) ?? []
    starts.set(bar, list)
    list.push(start)
  }
  for (const bar of harmony.bars) {
    const strong = strongTicks(bar.meter)
    const middle = strong[Math.ceil(strong.length / 2)] ?? (bar.meter.beats > 2 ? 2 * ticksPerBeat(bar.meter) : null)
    const changes = (starts.get(bar.bar) ?? []).map((start) => start - bar.start)
    const at = new Set<number>()
    if (brief.on === '3' && middle !== null) at.add(middle)
    else at.add(0)
    if (brief.every === 'chord') for (const change of changes) at.add(change)
    // On beat 3, the chord of the downbeat is met there and not before.
    const first = brief.on === '3' && middle !== null ? 1 : 0
    if (brief.every === 'strong')
      for (const change of changes) if (change >= first && strong.includes(change)) at.add(change)
    if (brief.every === 'half' && middle !== null) at.add(middle).add(0)
    const offsets = new Map([...at].sort((a, b) => a - b).map((offset) => [nearestEighth(offset), offset]))
    for (const [offset, exact] of offsets) {
      const tick = bar.start + offset
      const chord = chordIndexAt(harmony, bar.start + exact)
      const sounding = harmony.chords[chord]
      if (!sounding?.chord || !sounding.root) continue
      const early = brief.on === '4&' && offset === 0 && bar.start > 0 ? 12 : 0
      // In a crowded bar an early target takes the place of the last one before it.
      while (slots.length > 0 && slots.at(-1)!.start >= tick - early) slots.pop()
      slots.push({ bar: bar.bar, start: tick - early, chord, choices: choicesOn(sounding, brief.land), pinned: null })
    }
  }
  return slots
}

/** Chords that split a bar unevenly are met on the nearest eighth before them. */
const nearestEighth = (offset: number) => offset - (offset % 12)

/** What may sound on a chord, each degree with its pitch class; never empty for a chord with a root. */
export function choicesOn(sounding: HarmonyChord, land: readonly Landing[]): TargetSlot['choices'] {
  const { chord, root, scale } = sounding
  if (!chord || !root) return []
  const wanted = land.flatMap((landing) => landingDegrees(chord, scale, landing))
  const degrees = wanted.length > 0 ? wanted : guideDegrees(chord)
  const seen = new Set<number>()
  return [...new Set(degrees)]
    .map((degree) => ({ degree, chroma: modulo(chromaOf(root) + degreeChroma(degree), 12) }))
    .filter(({ chroma }) => !seen.has(chroma) && seen.add(chroma))
}

/** Nats for moving so many semitones from one target to the next: common tone and semitone cheapest, then growing. */
const motionCosts = [0, 0, 0.5, 1.3, 1.8, 2.3, 3.0, 3.3]
export const motionCost = (semitones: number): number =>
  motionCosts[Math.abs(semitones)] ?? motionCosts[7]! + 0.5 * (Math.abs(semitones) - 7)

/** Nats for the second, and for the third and each later time running, that the same pitch waits. */
const againCosts = [0, 0.5, 3] as const
/** Nats more where the chord has not changed either. */
const sameChordCost = 3
/** Nats at the edge of the range, falling with the square of the distance to none in the middle. */
const pullCost = 1

export interface Candidate {
  readonly degree: Degree
  readonly midi: number
  /** How often this pitch has waited just before, at most 2. */
  readonly again: 0 | 1 | 2
}

/** The candidates of a slot inside a range, low to high, each with its history of repeats. */
export function candidatesOf(slot: TargetSlot, low: number, high: number): readonly Candidate[] {
  const list: Candidate[] = []
  for (let midi = low; midi <= high; midi++) {
    if (slot.pinned !== null && midi !== slot.pinned) continue
    if (slot.open && !slot.open.includes(midi)) continue
    const choice = slot.choices.find(({ chroma }) => chroma === midi % 12)
    const degree = choice?.degree ?? (slot.pinned === midi ? '' : null)
    if (degree !== null) for (const again of [0, 1, 2] as const) list.push({ degree, midi, again })
  }
  return list
}

/** The voice leading as a lattice: a layer a slot, a node a candidate. Exported so that its optimum can be proved elsewhere. */
export function targetLattice(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
): { readonly lattice: Lattice; readonly candidates: readonly (readonly Candidate[])[] } {
  const [low, high] = range
  const candidates = slots.map((slot) => candidatesOf(slot, low, high))
  const middle = (low + high) / 2
  const half = Math.max(1, (high - low) / 2)
  const same = slots.map(
    (slot, i) => i > 0 && sameHarmony(harmony.chords[slot.chord]!, harmony.chords[slots[i - 1]!.chord]!),
  )
  // Targets that follow at once, with no note between, keep to what a line may do from note to note.
  const atOnce = slots.map((slot, i) => i > 0 && slot.start - slots[i - 1]!.start <= ticksPerQuarter / 2)
  const lattice: Lattice = {
    sizes: candidates.map((list) => list.length),
    nodeCost: (layer, node) => {
      const { midi, again } = candidates[layer]![node]!
      if (layer === 0 && again > 0) return Number.POSITIVE_INFINITY
      return pullCost * ((midi - middle) / half) ** 2 + againCosts[again]
    },
    edges: (layer, node) => {
      const from = candidates[layer]![node]!
      const edges: Edge[] = []
      const next = candidates[layer + 1] ?? []
      for (let n = 0; n < next.length; n++) {
        const to = next[n]!
        const stays = to.midi === from.midi
        if (to.again !== (stays ? Math.min(2, from.again + 1) : 0)) continue
        if (atOnce[layer + 1] && Math.abs(to.midi - from.midi) > 12) continue
        if (atOnce[layer + 1] && atOnce[layer] && to.again === 2) continue
        const cost = motionCost(to.midi - from.midi) + (stays && same[layer + 1] ? sameChordCost : 0)
        edges.push({ layer: layer + 1, node: n, cost })
      }
      return edges
    },
  }
  return { lattice, candidates }
}

const sameHarmony = (a: HarmonyChord, b: HarmonyChord): boolean =>
  a.root !== null && b.root !== null && chromaOf(a.root) === chromaOf(b.root) && a.chord?.named === b.chord?.named

/** Nats for a fourth target in a row, and each after it, on the same two pitches. */
const hoverCost = 2
/** Nats taken from a move of so many semitones, by size, so that a drill goes through its range. */
const goingOn = [-1, -0.2, 0.3, 0.6, 0.8, 0.9, 0.2, -0.2, -0.6, -1.5, -1.5, -1.5, -1.5]
/** The register that a drill makes for: down and up again, as far as so much of half the range, over so many quarters. */
const swing = 1.1
const swingQuarters = [22, 28] as const
/** Nats at so many semitones from it, growing with the square. */
const swingCost = 1.2
const swingWidth = 5

/** A candidate that remembers: the other pitch of the two that the last targets stood on, and how many stood there, at most 3. */
interface Remembered {
  readonly node: number
  readonly other: number | null
  readonly stood: number
}

/**
 * The same voice leading for a line that is to go somewhere: each candidate remembers where the targets before it stood, hovering on
 * two pitches is dear, and the register swings.
 */
export function roamingLattice(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  random: () => number,
): { readonly lattice: Lattice; readonly candidates: readonly (readonly Candidate[])[] } {
  const { lattice, candidates } = targetLattice(harmony, slots, range)
  const passages = passagesBetween(lattice, candidates)
  const [first = [], ...others] = candidates
  const remembered: (readonly Remembered[])[] = [
    first.flatMap(({ again }, node) => (again === 0 ? [{ node, other: null, stood: 1 }] : [])),
  ]
  const waysOn = others.map((_, layer) => {
    const { list, ways } = passages(layer, remembered[layer]!)
    remembered.push(list)
    return ways
  })
  let [walked, ways] = [-1, noWays]
  const wanted = swingOf(range, random)
  return {
    candidates: remembered.map((list, layer) => list.map(({ node }) => candidates[layer]![node]!)),
    lattice: {
      sizes: remembered.map(({ length }) => length),
      nodeCost: (layer, node) => {
        const base = remembered[layer]![node]!.node
        const off = candidates[layer]![base]!.midi - wanted(slots[layer]!.start)
        return lattice.nodeCost(layer, base) + swingCost * (off / swingWidth) ** 2
      },
      edges: (layer, node) => {
        if (layer !== walked) [walked, ways] = [layer, waysOn[layer]?.() ?? noWays]
        const edges: Edge[] = []
        for (let e = ways.starts[node]!; e < ways.starts[node + 1]!; e++)
          edges.push({ layer: layer + 1, node: ways.to[e]!, cost: ways.costs[e]! })
        return edges
      },
    },
  }
}

/** The edges from a slot: those of each node from its start to the next one's, the node that each leads to and its cost. */
interface Ways {
  readonly starts: Int32Array
  readonly to: Int32Array
  readonly costs: Float64Array
}

const noWays: Ways = { starts: new Int32Array(), to: new Int32Array(), costs: new Float64Array() }

/** The way from what one slot remembers to what the next can. */
interface Passage {
  readonly list: readonly Remembered[]
  readonly ways: () => Ways
}

/** So many edges are held; those of further passages are worked out again when they are walked: of a wide range they took gigabytes. */
const mostHeld = 1_000_000

/** Passages from layer to layer; a chart that comes round again has the same ones. */
function passagesBetween(
  lattice: Lattice,
  candidates: readonly (readonly Candidate[])[],
): (layer: number, before: readonly Remembered[]) => Passage {
  const known = new Map<string, Passage>()
  let held = 0
  let scratch = noWays
  /** Room for so many edges, the same again each time. */
  const roomFor = (edges: number): Ways => {
    if (scratch.to.length < edges)
      scratch = { starts: noWays.starts, to: new Int32Array(2 * edges), costs: new Float64Array(2 * edges) }
    return scratch
  }
  const texts = new Map<readonly Remembered[], string>()
  const textOf = (list: readonly Remembered[]): string => {
    const text = texts.get(list) ?? list.map(({ node, other, stood }) => `${node},${other},${stood}`).join(' ')
    texts.set(list, text)
    return text
  }
  const pitches = candidates.map((list) => list.map(({ midi }) => midi).join())
  return (layer, before) => {
    const on = candidates[layer]!.map((_, node) => lattice.edges(layer, node))
    const steps = on.map((edges) => edges.map(({ node, cost }) => `${node}:${cost}`).join()).join(';')
    const name = [textOf(before), pitches[layer], pitches[layer + 1], steps].join('|')
    const same = known.get(name)
    if (same) return same
    const make = () => passageFrom(candidates[layer]!, before, candidates[layer + 1]!, on, roomFor)
    const { list, ways } = make()
    const edges = ways.starts[before.length]!
    held += edges
    const own = held <= mostHeld ? { ...ways, to: ways.to.slice(0, edges), costs: ways.costs.slice(0, edges) } : null
    const passage = { list, ways: () => own ?? make().ways }
    known.set(name, passage)
    return passage
  }
}

/** What is remembered at a candidate, as one number below `memories`. */
const memories = 1_024
const memoryOf = (other: number | null, stood: number): number => 4 * (other ?? 255) + stood

function passageFrom(
  here: readonly Candidate[],
  before: readonly Remembered[],
  next: readonly Candidate[],
  on: readonly (readonly Edge[])[],
  roomFor: (edges: number) => Pick<Ways, 'to' | 'costs'>,
): { readonly list: readonly Remembered[]; readonly ways: Ways } {
  const starts = new Int32Array(before.length + 1)
  for (let i = 0; i < before.length; i++) starts[i + 1] = starts[i]! + on[before[i]!.node]!.length
  const { to, costs } = roomFor(starts[before.length]!)
  /** The place in the list of each candidate with what it remembers, counted from 1. */
  const places = new Int32Array(next.length * memories)
  const list: Remembered[] = []
  let e = 0
  for (const { node, other, stood } of before) {
    const from = here[node]!
    for (const edge of on[node]!) {
      const { midi } = next[edge.node]!
      const stays = midi === from.midi || midi === other
      const beside = midi === from.midi ? other : from.midi
      const now = Math.min(3, stays ? stood + 1 : from.again + 2)
      const memory = memories * edge.node + memoryOf(beside, now)
      if (places[memory] === 0) places[memory] = list.push({ node: edge.node, other: beside, stood: now })
      to[e] = places[memory]! - 1
      const hovers = stays && stood === 3 ? hoverCost : 0
      costs[e] = edge.cost + hovers - (goingOn[Math.abs(midi - from.midi)] ?? 0)
      e += 1
    }
  }
  return { list, ways: { starts, to, costs } }
}

/** The pitch to make for at a tick: a straight way down and up through the middle of the range, from anywhere in it. */
function swingOf([low, high]: readonly [number, number], random: () => number): (tick: number) => number {
  const [shortest, longest] = swingQuarters
  const period = (shortest + (longest - shortest) * random()) * ticksPerQuarter
  const begun = random()
  return (tick) =>
    (low + high) / 2 + swing * ((high - low) / 2) * (4 * Math.abs(((tick / period + begun) % 1) - 0.5) - 1)
}

/**
 * Targets drawn through the slots, likelier the smoother, but seldom four in a row on two pitches, and going up and down the range;
 * the same for the same seed; null where the range holds no way through. Sounding MIDI, both ends of the range included.
 */
export function chooseTargets(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  seed: number,
): readonly Target[] | null {
  if (slots.length === 0) return []
  const random = randomFrom(seed)
  const { lattice, candidates } = roamingLattice(harmony, slots, range, random)
  return read(slots, candidates, samplePath(lattice, random))
}

/** The k smoothest ways through the slots, smoothest first, exactly. */
export function smoothestTargets(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  range: readonly [number, number],
  k: number,
): readonly (readonly Target[])[] {
  const { lattice, candidates } = targetLattice(harmony, slots, range)
  return kBestPaths(lattice, k).map((path) => read(slots, candidates, path)!)
}

function read(
  slots: readonly TargetSlot[],
  candidates: readonly (readonly Candidate[])[],
  path: Path | null,
): readonly Target[] | null {
  if (!path) return null
  return path.steps.map(({ layer, node }) => {
    const { bar, start, chord } = slots[layer]!
    const { degree, midi } = candidates[layer]![node]!
    return { bar, start, chord, degree, midi }
  })
}
