/** What phrases lean back towards, worked by hand: a figure moved, half a bar later, and a shape of five notes within eight bars. */
import { describe, expect, test } from 'vitest'
import { addSounded, type Leans, leanNext, leanOnward, newTrail, remember } from '../../lib/line/leanBack.ts'

const eighth = 12
const half = 48
const leans: Leans = { shape: [1, 2, 60], sequence: [7, 50, 300, 30, 1] }

const sounded = (midis: readonly number[], from = 0) =>
  midis.map((midi, i) => ({ start: from + i * eighth, midi, half }))
const trailOf = (midis: readonly number[], from = 0) => {
  const trail = newTrail()
  for (const note of sounded(midis, from)) addSounded(trail, note)
  return trail
}

/** How much likelier a note is after eighths. */
const weigh = (midis: readonly number[], midi: number): number =>
  leanNext(leans, trailOf(midis), [], { start: midis.length * eighth, half })(midi)

describe('a figure half a bar later, by steps, thirds and leaps (common practice: a sequence)', () => {
  test.each([
    ['C D E C, D E F: back to D as E went to C', [60, 62, 64, 60, 62, 64, 65], 62, 300],
    ['a minor third is a third', [60, 62, 64, 60, 62, 64, 65], 61, 300],
    ['not by a leap', [60, 62, 64, 60, 62, 64, 65], 58, 1],
    ['not the other way', [60, 62, 64, 60, 62, 64, 65], 69, 1],
    ['two notes of it', [60, 62, 64, 60, 62, 64], 65, 50],
    ['its first move', [60, 62, 64, 60, 62], 64, 7],
    ['where it was: a repeat, no sequence', [60, 62, 64, 65, 60, 62, 64], 65, 1],
    ['further than a fifth away', [60, 62, 64, 65, 70, 72, 74], 75, 1],
  ])('%s', (_, played, midi, factor) => {
    expect(weigh(played, midi)).toBe(factor)
  })

  test('no more than so many notes of it', () => {
    const scale = [60, 62, 64, 65, 67, 69, 71, 72, 74, 76]
    // Up a scale every note goes as half a bar before: after five such it is a run, no figure.
    expect(weigh(scale, 77)).toBe(1)
  })
})

describe('a shape of five notes heard before', () => {
  const shapes = new Map<number, number>()
  remember(shapes, trailOf([60, 62, 64, 67, 65]), 0)
  const bars = (count: number) => count * 4 * 24
  /** How much likelier a last note is after four others, from a tick on. */
  const last = (midis: readonly number[], midi: number, from: number) => {
    const trail = trailOf(midis, from)
    return leanNext(leans, trail, [shapes], { start: from + midis.length * eighth, half })(midi)
  }
  test.each([
    ['two bars later, elsewhere', [62, 63, 65, 68], 67, bars(2), 60],
    ['four notes of it', [62, 63, 65], 68, bars(2), 2],
    ['another last step', [62, 63, 65, 68], 70, bars(2), 1],
    ['eight bars later', [62, 63, 65, 68], 67, bars(8), 60],
    ['more than eight bars later', [62, 63, 65, 68], 67, bars(9), 1],
    ['before two beats are over', [62, 63, 65, 68], 67, 24, 1],
  ])('%s', (_, played, midi, from, factor) => {
    expect(last(played, midi, from)).toBe(factor)
  })

  test('notes taken together lean as they do one by one, and leave the trail as it was', () => {
    const trail = trailOf([62, 63, 65], bars(2))
    const together = sounded([68, 67], bars(2) + 3 * eighth)
    expect(leanOnward(leans, trail, [shapes], together)).toBe(60)
    expect(trail.notes.map(({ midi }) => midi)).toEqual([62, 63, 65])
    expect(trail.tokens).toHaveLength(3)
  })

  test('nothing follows on from before a breath', () => {
    const trail = trailOf([62, 63, 65, 68], bars(2))
    expect(leanNext(leans, trail, [shapes], { start: bars(2) + 4 * eighth + half, half })(67)).toBe(1)
  })
})
