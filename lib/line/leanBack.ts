/** Leaning back, while a phrase is drawn, towards shapes heard in the line, the oftener the more, and towards what went half a bar before. */
import { ticksPerQuarter } from '../theory/meter.ts'

/** A note that sounds: its tick, its pitch and the half bar of its meter in ticks. */
export interface Sounded {
  readonly start: number
  readonly midi: number
  readonly half: number
}

/** How much likelier notes are that bring something back, as factors. */
export interface Leans {
  /** For a note that ends a shape heard once and just now, of three, four and five notes. */
  readonly shape: readonly number[]
  /** For a note that goes as half a bar before, by how many right before it did so too; the last factor for so many and more. */
  readonly sequence: readonly number[]
  /** So many ways are drawn under the same targets, of which the one is kept that brings most shapes back. */
  readonly draws: number
}

/** How much likelier single notes are. */
type Factors = Omit<Leans, 'draws'>

/**
 * How far phrases lean back, by how much is to come back: in slow tunes and in fast ones. Slow phrases, which have twice the notes in a
 * bar, bring shapes enough back by themselves. Chosen by what `npm run realism` prints.
 */
const leansBy: Readonly<Record<'some' | 'much', { readonly slow: Factors; readonly fast: Factors }>> = {
  some: {
    slow: { shape: [1, 1.5, 12], sequence: [7, 50, 300, 30, 1] },
    fast: { shape: [3, 30, 600], sequence: [9, 65, 400, 40, 1] },
  },
  much: {
    slow: { shape: [1, 2, 30], sequence: [10, 80, 500, 60, 1] },
    fast: { shape: [4, 50, 1000], sequence: [20, 200, 1500, 150, 1] },
  },
}

/** Ways drawn of a fast phrase; of a slow one a single way. */
const fastDraws = 3

/** The tempos up to which phrases are slow, and from which they are fast. */
const [slowest, fastest] = [80, 160] as const

/** The leans of phrases at a tempo, in between by the logarithm; null where nothing is to come back. */
export function leansAt(much: 'none' | keyof typeof leansBy, tempo: number): Leans | null {
  if (much === 'none') return null
  const { slow, fast } = leansBy[much]
  const place = Math.max(0, Math.min(1, (tempo - slowest) / (fastest - slowest)))
  const between = (a: readonly number[], b: readonly number[]) => a.map((from, i) => from * (b[i]! / from) ** place)
  const draws = Math.floor(1 + (fastDraws - 1) * place)
  return { shape: between(slow.shape, fast.shape), sequence: between(slow.sequence, fast.sequence), draws }
}

/** By size: none, a step, a third, wider; with its direction: 0 to 6. */
const sizeClass = (interval: number): number => {
  const size = Math.abs(interval)
  return 3 + Math.sign(interval) * (size === 0 ? 0 : size <= 2 ? 1 : size <= 4 ? 2 : 3)
}

/** Notes further apart than this belong to different phrases. */
const breath = 1.25 * ticksPerQuarter
/** A shape comes back two beats later or more. */
const soonest = 2 * ticksPerQuarter - 3
/** What was heard counts half as much after so long: 24 bars of four, so that a chorus is not forgotten and a long line not stuck. */
const fades = 96 * ticksPerQuarter
/** The oftener the likelier: by the cube of the times, so that a shape heard once weighs half as much eight bars later. */
const oftener = 3

/** An idea comes back half a bar later at most so many semitones away. */
const furthest = 7

/** When a shape began last, and how often it was heard by then, what is long ago counting less. */
interface Heard {
  readonly last: number
  readonly times: number
}

/** Shapes of three to five notes by their steps and rhythm. */
export type Shapes = Map<number, Heard>

/** How often a shape was heard, as it counts at a tick. */
const timesAt = (heard: Heard | undefined, tick: number): number =>
  heard ? heard.times * 0.5 ** ((tick - heard.last) / fades) : 0

/**
 * How much likelier a note is struck again within so many ticks: hardly in triplets of sixteenths, half as often in sixteenths. The counts
 * are of eighths; from memory.
 */
const struckAgain = [
  [4, 0.05],
  [8, 0.4],
] as const

const struck = (ticks: number): number => struckAgain.find(([most]) => ticks <= most)?.[1] ?? 1

/** A run of notes as it is drawn: what it can be heard as coming back from. */
export interface Trail {
  readonly notes: Sounded[]
  /** Five bits a note: its size from the one before and the eighths between them; 31 where a phrase begins. */
  readonly tokens: number[]
  /** How many notes up to each have gone as half a bar before. */
  readonly runs: number[]
}

export const newTrail = (): Trail => ({ notes: [], tokens: [], runs: [] })

const begins = 31

function tokenOf(before: Sounded | undefined, { start, midi }: Sounded): number {
  if (!before || start - before.start > breath) return begins
  return sizeClass(midi - before.midi) * 4 + Math.round((2 * (start - before.start)) / ticksPerQuarter)
}

/** The note half a bar before a tick, of those after the first; undefined where none begins there. */
function halfBack({ notes, tokens }: Trail, { start, half }: Pick<Sounded, 'start' | 'half'>): number | undefined {
  for (let i = notes.length - 1; i >= 1 && start - notes[i]!.start <= half; i--)
    if (start - notes[i]!.start === half) return tokens[i] === begins ? undefined : i
  return undefined
}

/** Whether two notes are the same idea moved: not where it was, and not far. */
const isMoved = (a: number, b: number): boolean => a !== b && Math.abs(a - b) <= furthest

export function addSounded(trail: Trail, note: Sounded): void {
  const { notes, tokens, runs } = trail
  const token = tokenOf(notes.at(-1), note)
  const then = token === begins ? undefined : halfBack(trail, note)
  const back = then !== undefined && tokens[then] === token && isMoved(notes[then]!.midi, note.midi)
  runs.push(back ? runs.at(-1)! + 1 : 0)
  tokens.push(token)
  notes.push(note)
}

const drop = ({ notes, tokens, runs }: Trail): void => {
  notes.pop()
  tokens.pop()
  runs.pop()
}

/** The shape of the last notes of a trail, so many, as a number; -1 where a phrase begins among them. */
function lastShape({ tokens }: Trail, size: number, before = tokens.length): number {
  let shape = 1
  for (let i = before - size + 1; i < before; i++) {
    if (i < 1 || tokens[i] === begins) return -1
    shape = shape * 32 + tokens[i]!
  }
  return shape
}

/** The fewest and the most notes of a shape. */
const [fewest, most] = [3, 5] as const

/** Remembers the shapes that end on a trail's notes from one on. */
export function remember(shapes: Shapes, trail: Trail, from: number): void {
  for (let n = from; n < trail.notes.length; n++)
    for (let size = fewest; size <= most; size++) {
      const shape = lastShape(trail, size, n + 1)
      if (shape < 0) continue
      const last = trail.notes[n - size + 1]!.start
      shapes.set(shape, { last, times: timesAt(shapes.get(shape), last) + 1 })
    }
}

/** How much likelier a next note is at each pitch, for what it brings back. */
export type NextLean = (midi: number) => number

/** The same for a note at a tick after a trail. */
export function leanNext(
  { shape: byShape, sequence }: Factors,
  trail: Trail,
  known: readonly Shapes[],
  at: Pick<Sounded, 'start' | 'half'>,
): NextLean {
  const { notes, tokens, runs } = trail
  const last = notes.at(-1)
  if (!last || at.start - last.start > breath) return () => 1
  const then = halfBack(trail, at)
  const run = Math.min(runs.at(-1)!, sequence.length - 1)
  const factors: (number | undefined)[] = []
  const shapeFactor = (token: number): number => {
    for (let size = most; size >= fewest; size--) {
      const factor = byShape[size - fewest]!
      const before = factor === 1 ? -1 : lastShape(trail, size - 1)
      if (before < 0) continue
      const begin = notes[notes.length - size + 1]!.start
      const times = timesBefore(known, before * 32 + token, begin)
      if (times > 0) return Math.max(1, factor * times ** oftener)
    }
    return 1
  }
  return (midi) => {
    const token = tokenOf(last, { ...at, midi })
    factors[token] ??= shapeFactor(token)
    const back = then !== undefined && tokens[then] === token && isMoved(notes[then]!.midi, midi)
    return factors[token]! * (back ? sequence[run]! : 1) * (midi === last.midi ? struck(at.start - last.start) : 1)
  }
}

/** The same for notes that follow a trail together, the first of them weighed already. */
export function leanOnward(leans: Factors, trail: Trail, known: readonly Shapes[], added: readonly Sounded[]): number {
  let factor = 1
  added.forEach((note, i) => {
    if (i > 0) factor *= leanNext(leans, trail, known, note)(note.midi)
    addSounded(trail, note)
  })
  for (const _ of added) drop(trail)
  return factor
}

/** How many of the notes that follow a trail end a shape of five that was heard before. */
export function countReturns(trail: Trail, shapes: Shapes, added: readonly Sounded[]): number {
  let returns = 0
  for (const note of added) {
    addSounded(trail, note)
    const shape = lastShape(trail, most)
    if (shape >= 0 && timesBefore([shapes], shape, trail.notes.at(-most)!.start) > 0) returns += 1
  }
  for (const _ of added) drop(trail)
  return returns
}

/** How often a shape was heard that begins again at a tick; nought where it began nowhere long enough before. */
function timesBefore(known: readonly Shapes[], shape: number, begin: number): number {
  let times = 0
  let back = false
  for (const shapes of known) {
    const heard = shapes.get(shape)
    times += timesAt(heard, begin)
    back ||= heard !== undefined && begin - heard.last >= soonest
  }
  return back ? times : 0
}
