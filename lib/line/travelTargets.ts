/** Targets that travel: drawn by how far real solos move from downbeat to downbeat, phrase by phrase, along a plan of registers. */
import { type Lattice, randomFrom, samplePath } from '../lattice/lattice.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { candidatesOf, type Target, type TargetSlot } from './chooseTargets.ts'
import { packedMoves } from './phraseCounts.ts'

/** The widest move between two targets, in semitones. */
const widestMove = 24

/** Nats for a move from -24 to 24 semitones (as 0 to 48): the counts, smoothed by their neighbours, thinner the wider. */
function moveCosts(packed: string, fitted: (move: number) => number): Float64Array {
  const counts = new Map(packed.split(' ').map((entry) => entry.split(':').map(Number) as [number, number]))
  const total = [...counts.values()].reduce((a, b) => a + b, 0)
  const at = (move: number) => counts.get(move) ?? 0
  return Float64Array.from({ length: 2 * widestMove + 1 }, (_, i) => {
    const move = i - widestMove
    const near = 0.5 * at(move) + 0.25 * (at(move - 1) + at(move + 1))
    return -Math.log((near + 2 * Math.exp(-Math.abs(move) / 6)) / total) + fitted(move)
  })
}

/**
 * Nats by which targets that may be but two notes of a chord, in a range, bend the counted moves, taken back here: by size, up to
 * these many semitones. Fitted by hand to the counts.
 */
const bends = [
  [0, 0.45],
  [2, 0.65],
  [4, 0.1],
  [7, -0.15],
  [11, -0.2],
  [widestMove, -0.8],
] as const
const bent = (move: number): number => bends.find(([size]) => Math.abs(move) <= size)![1]

const barMoves = moveCosts(packedMoves.bar, bent)
const halfMoves = moveCosts(packedMoves.half, bent)
const half = 2 * ticksPerQuarter
/** Nats for a move that the notes between can hardly make. */
const stretched = 12

/** Nats for a move between two targets so many ticks apart, with so many notes between them. */
function travelCost(move: number, ticks: number, between: number): number {
  const size = Math.abs(move)
  if (size > widestMove || size > 12 * (between + 1) || (between === 0 && size === 0)) return Number.POSITIVE_INFINITY
  // An approach and a step or two: wider than that the notes between hardly reach.
  if (size > 7 + 4 * between) return stretched + size
  const i = move + widestMove
  if (ticks >= 2 * half) return barMoves[i]!
  return ticks <= half ? halfMoves[i]! : 0.5 * (halfMoves[i]! + barMoves[i]!)
}

/** Nats at so many semitones from where the plan of registers would be, growing with the square. */
const registerWidth = 6
const registerCost = 0.25
/** Nats a semitone from the last target of a phrase to the first of the next. */
const acrossCost = 0.08
/** Nats at the edge of the range, falling with the square of the distance to none in the middle. */
const edgeCost = 0.4

/** Where a phrase is in the range: where it starts, where it peaks or dips and how far into it, where it ends. Semitones. */
interface Register {
  readonly start: number
  readonly turn: number
  readonly end: number
  readonly at: number
}

/** Draws the register plan of a phrase inside a range: near where the last one ended, or far, up and over, down, or wherever. */
function planRegister([low, high]: readonly [number, number], from: number | null, random: () => number): Register {
  const middle = (low + high) / 2
  const room = Math.max(2, (high - low) / 2 - 3)
  const about = () => middle + room * (random() + random() - 1)
  const start = from === null ? about() : 0.4 * from + 0.6 * about()
  return { start, turn: about(), end: about(), at: 0.25 + 0.5 * random() }
}

const heightAt = ({ start, turn, end, at }: Register, place: number): number =>
  place < at ? start + ((turn - start) * place) / at : turn + ((end - turn) * (place - at)) / (1 - at)

/** A slot of a phrase with how many notes lie between it and the one before. */
export interface PhraseTargetSlot extends TargetSlot {
  readonly between: number
}

/**
 * Targets for the slots of one phrase, drawn exactly in proportion to their costs; null where the range holds no way through.
 *
 * @param from - the last target before the phrase
 * @param phrase - the first and the last tick of the phrase
 */
export function travelTargets(
  slots: readonly PhraseTargetSlot[],
  range: readonly [number, number],
  from: Target | null,
  phrase: readonly [number, number],
  seed: number,
): readonly Target[] | null {
  if (slots.length === 0) return []
  const random = randomFrom(seed)
  const [low, high] = range
  const middle = (low + high) / 2
  const half = Math.max(1, (high - low) / 2)
  const register = planRegister(range, from?.midi ?? null, random)
  const length = Math.max(1, phrase[1] - phrase[0])
  const candidates = slots.map((slot) => candidatesOf(slot, low, high).filter(({ again }) => again === 0))
  const lattice: Lattice = {
    sizes: candidates.map((list) => list.length),
    nodeCost: (layer, node) => {
      const { midi } = candidates[layer]![node]!
      const wanted = heightAt(register, (slots[layer]!.start - phrase[0]) / length)
      const across = layer === 0 && from ? acrossCost * Math.abs(midi - from.midi) : 0
      return registerCost * ((midi - wanted) / registerWidth) ** 2 + edgeCost * ((midi - middle) / half) ** 2 + across
    },
    edges: (layer, node) => {
      const { midi } = candidates[layer]![node]!
      const next = slots[layer + 1]
      if (!next) return []
      const ticks = next.start - slots[layer]!.start
      return candidates[layer + 1]!.map((to, n) => ({
        layer: layer + 1,
        node: n,
        cost: travelCost(to.midi - midi, ticks, next.between),
      }))
    },
  }
  const path = samplePath(lattice, random)
  return (
    path?.steps.map(({ layer, node }) => {
      const { bar, start, chord } = slots[layer]!
      const { degree, midi } = candidates[layer]![node]!
      return { bar, start, chord, degree, midi }
    }) ?? null
  )
}
