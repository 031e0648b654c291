/**
 * When something played comes again: the free spaced repetition scheduler, FSRS-6, as the package `ts-fsrs` has it
 * (github.com/open-spaced-repetition/ts-fsrs), with its usual weights. Nothing else imports that package.
 */
import { FSRSAlgorithm, type FSRSState, type Grade, Rating } from 'ts-fsrs'

/** How a pass went, in the player's own judgement. */
export const verdicts = ['fell apart', 'held', 'easy'] as const
export type Verdict = (typeof verdicts)[number]

/** How long a passage will stay: `stability` in days until nine in ten would still hold, `difficulty` from 1 to 10. */
export type Memory = Readonly<FSRSState>

/** The scheduler's answers that are meant: its `Easy` is left out, since three taps are enough after a pass. */
const grades: Readonly<Record<Verdict, Grade>> = {
  'fell apart': Rating.Again,
  held: Rating.Hard,
  easy: Rating.Good,
}

/** Nothing known waits longer than two months, in days. */
const longestWait = 60

const scheduler = new FSRSAlgorithm({ request_retention: 0.9, maximum_interval: longestWait, enable_fuzz: false })

/**
 * What is remembered after a pass.
 *
 * @param memory - from before; null where it was never played
 * @param days - since it was last played
 */
export const remember = (memory: Memory | null, days: number, verdict: Verdict): Memory =>
  scheduler.next_state(memory, Math.max(0, days), grades[verdict])

/** The days until it is due again, 1 at the least and 60 at the most. */
export const waitFor = (memory: Memory): number => scheduler.next_interval(memory.stability, 0)

/** The chance that it still holds, so many days after it was last played. */
export const chanceAfter = (memory: Memory, days: number): number =>
  scheduler.forgetting_curve(Math.max(0, days), memory.stability)
