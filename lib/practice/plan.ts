/** A plan of practising: one line or drill, its keys, where its tempo is to get to, and the days and minutes there are for it. */
import { choices, limits } from '../brief.ts'
import { nameOfKey, readKey } from '../theory/key.ts'
import { type Day, isDay } from './days.ts'

/** What a plan may ask of a player. */
export const planLimits = {
  /** Days a week. */
  days: [1, 7],
  /** Minutes a day, pauses among them. */
  minutes: [5, 120],
  /** The longest plan as JSON, in bytes. */
  size: 1_000_000,
} as const

/** What a plan has unless asked: quarter notes a minute to get to, days a week, minutes a day. */
export const usualPlan = { goal: 120, days: 5, minutes: 20 } as const

/** What a plan says. Two plans that say the same are one plan, with one `id`. */
export interface PracticePlan {
  /** A sum over all the rest, so that a teacher and any number of students mean the same plan by it. */
  readonly id: string
  /** What the tune or drill is called; empty where it has no name. */
  readonly title: string
  /** The choices that the line is drawn from, as an address has them; its keys and how it is practised stand below. */
  readonly fields: Readonly<Record<string, string>>
  /** The played bars, counted from 1, both included. */
  readonly bars: readonly [number, number]
  /** The bars on which phrases begin, in order; the first is the first bar. */
  readonly phrases: readonly number[]
  /** Quarter notes in the longest bar. */
  readonly quarters: number
  /** Short names as `nameOfKey` gives them, in the order in which they are to be met. */
  readonly keys: readonly string[]
  /** Quarter notes a minute, to begin with and to get to. */
  readonly start: number
  readonly goal: number
  /** Days a week. */
  readonly days: number
  /** Minutes a day, at the most, pauses among them. */
  readonly minutes: number
  /** The day it begins. */
  readonly from: Day
}

/** The marks of a metronome (common practice, from memory), and on beyond them in steps of 16. */
const marks = [
  40, 42, 44, 46, 48, 50, 52, 54, 56, 58, 60, 63, 66, 69, 72, 76, 80, 84, 88, 92, 96, 100, 104, 108, 112, 116, 120, 126,
  132, 138, 144, 152, 160, 168, 176, 184, 192, 200, 208, 224, 240, 256, 272, 288, 304, 320,
] as const

/** The mark nearest a tempo, the slower of two. */
export const markNear = (tempo: number): number =>
  marks.reduce((best: number, mark) => (Math.abs(mark - tempo) < Math.abs(best - tempo) ? mark : best), marks[0])

/** The most tempos between beginning and goal, both among them. */
const mostRungs = 8

/**
 * The tempos that a plan goes through, from the first to the goal: metronome marks, each quicker than the one before by about
 * as many per cent.
 *
 * @example
 * temposOf({ start: 63, goal: 160 }) // => [63, 72, 84, 92, 108, 120, 138, 160]
 * temposOf({ start: 60, goal: 60 }) // => [60]
 */
export function temposOf({ start, goal }: Pick<PracticePlan, 'start' | 'goal'>): readonly number[] {
  if (start >= goal) return [goal]
  // A step of a tenth is as little as is worth a rung of its own.
  const steps = Math.max(1, Math.min(mostRungs - 1, Math.round(Math.log(goal / start) / Math.log(1.1))))
  const between = Array.from({ length: steps - 1 }, (_, i) => markNear(start * (goal / start) ** ((i + 1) / steps)))
  return [...new Set([start, ...between.filter((tempo) => tempo > start && tempo < goal), goal])]
}

/** The sizes of what is practised at once, smallest first. */
export const sizes = ['bar', 'pair', 'phrase', 'whole'] as const
export type Size = (typeof sizes)[number]

/** Played bars practised at once, both included. */
export interface Stretch {
  readonly size: Size
  readonly bars: readonly [number, number]
}

/**
 * The stretches of a plan by size: its bars, its pairs of bars, its phrases, the whole; one that would be no longer than the
 * smaller ones is left out.
 *
 * @example
 * stretchesBySize({ bars: [1, 4], phrases: [1] }).pair.map(({ bars }) => bars) // => [[1, 2], [3, 4]]
 * stretchesBySize({ bars: [1, 1], phrases: [1] }).whole // => []
 */
export function stretchesBySize({
  bars: [first, last],
  phrases,
}: Pick<PracticePlan, 'bars' | 'phrases'>): Readonly<Record<Size, readonly Stretch[]>> {
  const all = Array.from({ length: last - first + 1 }, (_, i) => first + i)
  const bar = all.map((n): Stretch => ({ size: 'bar', bars: [n, n] }))
  const spans = phrases.map((start, i): readonly [number, number] => [start, (phrases[i + 1] ?? last + 1) - 1])
  const pair = spans.flatMap(([from, to]) =>
    Array.from({ length: Math.ceil((to - from + 1) / 2) }, (_, i): Stretch => {
      const start = from + 2 * i
      return { size: 'pair', bars: [start, Math.min(start + 1, to)] }
    }).filter(({ bars }) => bars[1] > bars[0]),
  )
  const phrase = spans.filter(([from, to]) => to - from >= 2).map((bars): Stretch => ({ size: 'phrase', bars }))
  const whole: readonly Stretch[] = spans.length > 1 ? [{ size: 'whole', bars: [first, last] }] : []
  return { bar, pair, phrase, whole }
}

/** A plan under the name that follows from what it says. */
export const withId = (plan: Omit<PracticePlan, 'id'>): PracticePlan => ({ id: idOf(plan), ...plan })

/** A sum of 64 bits over what a plan says: FNV-1a (Fowler, Noll and Vo) of 32 bits, from either end. */
function idOf(plan: Omit<PracticePlan, 'id'>): string {
  const { title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from } = plan
  const named = Object.entries(fields).sort(([a], [b]) => (a < b ? -1 : 1))
  const text = JSON.stringify([title, named, bars, phrases, quarters, keys, start, goal, days, minutes, from])
  return [text, [...text].reverse().join('')].map((way) => sumOf(way).toString(16).padStart(8, '0')).join('')
}

/** A sum of 32 bits over a text: FNV-1a. */
export function sumOf(text: string): number {
  let sum = 0x811c9dc5
  for (let i = 0; i < text.length; i++) {
    const unit = text.charCodeAt(i)
    sum = Math.imul(sum ^ (unit & 0xff), 0x01000193)
    sum = Math.imul(sum ^ (unit >> 8), 0x01000193)
  }
  return sum >>> 0
}

const isWhole = (value: unknown, [low, high]: readonly [number, number]): value is number =>
  Number.isInteger(value) && (value as number) >= low && (value as number) <= high

/**
 * What is wrong with a plan from outside, in words; null where it is one. A plan whose choices this version cannot read is
 * one: the line is asked for and says so itself.
 *
 * @param named - whether it has to stand under its own name
 */
export function misfitOfPlan(value: unknown, named = true): string | null {
  if (typeof value !== 'object' || value === null) return 'no plan'
  const { id, title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from } = value as Partial<
    Record<keyof PracticePlan, unknown>
  >
  const texts = typeof fields === 'object' && fields !== null && !Array.isArray(fields) ? Object.entries(fields) : null
  if (typeof title !== 'string' || title.length > limits.title) return 'no title'
  if (!texts?.every(([name, text]) => Object.hasOwn(choices, name) && typeof text === 'string')) return 'no line'
  const inTune: readonly [number, number] = [1, limits.bars]
  if (!Array.isArray(bars) || bars.length !== 2 || !bars.every((bar) => isWhole(bar, inTune))) return 'no bars'
  const [first, last] = bars as [number, number]
  if (first > last) return 'no bars'
  const rising = (each: unknown, i: number, list: readonly unknown[]) =>
    isWhole(each, [first, last]) && (i === 0 ? each === first : (each as number) > (list[i - 1] as number))
  if (!Array.isArray(phrases) || phrases.length === 0 || !phrases.every(rising)) return 'no phrases'
  if (typeof quarters !== 'number' || !(quarters > 0 && quarters <= 256)) return 'no length of bars'
  const isKey = (text: unknown) => {
    const key = typeof text === 'string' ? readKey(text) : null
    return key !== null && nameOfKey(key) === text
  }
  if (!Array.isArray(keys) || keys.length === 0 || keys.length > limits.keys || !keys.every(isKey)) return 'no keys'
  if (new Set(keys).size < keys.length) return 'a key twice'
  if (!isWhole(goal, limits.tempo) || !isWhole(start, [limits.tempo[0], goal])) return 'no tempo'
  if (!isWhole(days, planLimits.days)) return 'no days'
  if (!isWhole(minutes, planLimits.minutes)) return 'no minutes'
  if (!isDay(from)) return 'no first day'
  return !named || id === idOf(value as PracticePlan) ? null : 'other words than its name stands for'
}

/** A plan by its own fields alone, in their order, whatever else came with it. */
export function plainPlan(plan: PracticePlan): PracticePlan {
  const { title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from } = plan
  return withId({ title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from })
}
