/** The spacing of what was played, against the examples that the scheduler's own sources publish. */
import { expect, test } from 'vitest'
import { chanceAfter, type Memory, remember, type Verdict, verdicts, waitFor } from '../../lib/practice/spacing.ts'

/**
 * github.com/open-spaced-repetition/ts-fsrs, `__tests__/FSRS-6.test.ts`, "first repeat": stability and difficulty after a first
 * Again, Hard, Good.
 */
test.each<[Verdict, number, number]>([
  ['fell apart', 0.212, 6.4133],
  ['held', 1.2931, 5.11217071],
  ['easy', 2.3065, 2.11810397],
])('first met and %s', (verdict, stability, difficulty) => {
  const memory = remember(null, 0, verdict)
  expect(memory.stability).toBeCloseTo(stability, 4)
  expect(memory.difficulty).toBeCloseTo(difficulty, 4)
})

/** The same file, "memory state using next_state[short-term]", which names fsrs-rs `src/inference.rs` as its source. */
test('the state after six passes on given days', () => {
  const passes: readonly (readonly [number, Verdict])[] = [
    [0, 'fell apart'],
    [0, 'easy'],
    [1, 'easy'],
    [3, 'easy'],
    [8, 'easy'],
    [21, 'easy'],
  ]
  const memory = passes.reduce<Memory | null>((now, [days, verdict]) => remember(now, days, verdict), null)!
  expect(memory.stability).toBeCloseTo(53.62691, 4)
  expect(memory.difficulty).toBeCloseTo(6.3574867, 4)
})

/**
 * The waits of a passage that is always easy: 2, 11, 46, then over sixty, which is where ours stop. Both ts-fsrs (the same file,
 * "ivl_history") and py-fsrs (`tests/test_basic.py`, "test_review_card") have 2, 11, 46, 163; they part at 498 and 497.
 */
test('waits grow as both sources have them', () => {
  const waits: number[] = []
  let memory: Memory | null = null
  for (let i = 0; i < 4; i++) {
    memory = remember(memory, waits.at(-1) ?? 0, 'easy')
    waits.push(waitFor(memory))
  }
  expect(waits).toEqual([2, 11, 46, 60])
  expect(Math.round(memory!.stability)).toBe(163)
})

/** What stability means, by the algorithm's definition: after so many days, nine in ten still hold. */
test('after as many days as the stability, nine in ten hold', () => {
  for (const verdict of verdicts) {
    const memory = remember(null, 0, verdict)
    expect(chanceAfter(memory, memory.stability)).toBeCloseTo(0.9, 6)
    expect(chanceAfter(memory, 0)).toBe(1)
    expect(chanceAfter(memory, -5)).toBe(1)
  }
})
