/** Leaning back, while a phrase is drawn, towards shapes heard lately and towards what went half a bar before. */
import { ticksPerQuarter } from '../theory/meter.ts'

/** A note that sounds: its tick, its pitch and the half bar of its meter in ticks. */
export interface Sounded {
  readonly start: number
  readonly midi: number
  readonly half: number
}

/** How much likelier notes are that bring something back, as factors. */
export interface Leans {
  /** For a note that ends a shape heard in the last eight bars, of three, four and five notes. */
  readonly shape: readonly number[]
  /** For a note that goes as half a bar before, by how many right before it did so too; the last factor for so many and more. */
  readonly sequence: readonly number[]
}

/** How far phrases lean back, by how much is to come back. Chosen by what `npm run realism` prints. */
export const leansBy: Readonly<Record<'none' | 'some' | 'much', Leans | null>> = {
  none: null,
  some: { shape: [1, 2.5, 60], sequence: [7, 50, 300, 30, 1] },
  much: { shape: [1, 3, 150], sequence: [10, 80, 500, 60, 1] },
}

/** By size: none, a step, a third, wider; with its direction: 0 to 6. */
const sizeClass = (interval: number): number => {
  const size = Math.abs(interval)
  return 3 + Math.sign(interval) * (size === 0 ? 0 : size <= 2 ? 1 : size <= 4 ? 2 : 3)
}

/** Notes further apart than this belong to different phrases. */
const breath = 1.25 * ticksPerQuarter
/** A shape comes back two beats later or more, and within eight bars of four. */
const soonest = 2 * ticksPerQuarter - 3
const latest = 32 * ticksPerQuarter

/** An idea comes back half a bar later at most so many semitones away. */
const furthest = 7

/** Shapes of three to five notes by their steps and rhythm, each with when it began last. */
export type Shapes = Map<number, number>

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
      if (shape >= 0) shapes.set(shape, trail.notes[n - size + 1]!.start)
    }
}

/** How much likelier a next note is at each pitch, for what it brings back. */
export type NextLean = (midi: number) => number

/** The same for a note at a tick after a trail. */
export function leanNext(
  { shape: byShape, sequence }: Leans,
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
      if (known.some((shapes) => isBack(shapes.get(before * 32 + token), begin))) return factor
    }
    return 1
  }
  return (midi) => {
    const token = tokenOf(last, { ...at, midi })
    factors[token] ??= shapeFactor(token)
    const back = then !== undefined && tokens[then] === token && isMoved(notes[then]!.midi, midi)
    return factors[token]! * (back ? sequence[run]! : 1)
  }
}

/** The same for notes that follow a trail together, the first of them weighed already. */
export function leanOnward(leans: Leans, trail: Trail, known: readonly Shapes[], added: readonly Sounded[]): number {
  let factor = 1
  added.forEach((note, i) => {
    if (i > 0) factor *= leanNext(leans, trail, known, note)(note.midi)
    addSounded(trail, note)
  })
  for (const _ of added) drop(trail)
  return factor
}

const isBack = (then: number | undefined, now: number): boolean =>
  then !== undefined && now - then >= soonest && now - then <= latest
