/** What phrases lean back towards, worked by hand: a figure moved, half a bar later, and a shape of five notes heard before, the oftener the likelier. */
import { describe, expect, test } from 'vitest'
import {
  addSounded,
  countReturns,
  type Leans,
  leanNext,
  leanOnward,
  leansAt,
  newTrail,
  remember,
  type Shapes,
} from '../../lib/line/leanBack.ts'

const eighth = 12
const half = 48
const leans: Leans = { shape: [1, 2, 60], sequence: [7, 50, 300, 30, 1], draws: 1 }

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
  const shapes: Shapes = new Map()
  remember(shapes, trailOf([60, 62, 64, 67, 65]), 0)
  const bars = (count: number) => count * 4 * 24
  /** How much likelier a last note is after four others, from a tick on. */
  const last = (midis: readonly number[], midi: number, from: number) => {
    const trail = trailOf(midis, from)
    return leanNext(leans, trail, [shapes], { start: from + midis.length * eighth, half })(midi)
  }
  test.each([
    ['at once, elsewhere', [62, 63, 65, 68], 67, half, 60 / 2 ** (0.5 / 8)],
    ['four notes of it', [62, 63, 65], 68, bars(4), 2 / 2 ** 0.5],
    ['another last step', [62, 63, 65, 68], 70, bars(2), 1],
    ['eight bars later half as much', [62, 63, 65, 68], 67, bars(8), 30],
    ['a chorus later a sixteenth', [62, 63, 65, 68], 67, bars(32), 60 / 16],
    ['never less than another note', [62, 63, 65, 68], 67, bars(64), 1],
    ['before two beats are over', [62, 63, 65, 68], 67, 24, 1],
  ])('%s', (_, played, midi, from, factor) => {
    expect(last(played, midi, from)).toBeCloseTo(factor, 9)
  })

  test('twice as often is eight times as likely', () => {
    const twice: Shapes = new Map()
    const first = trailOf([60, 62, 64, 67, 65])
    remember(twice, first, 0)
    remember(twice, trailOf([50, 52, 53, 57, 55]), 0)
    const trail = trailOf([62, 63, 65, 68], bars(8))
    expect(leanNext(leans, trail, [twice], { start: bars(8) + 4 * eighth, half })(67)).toBeCloseTo(8 * 30, 9)
  })

  test('notes taken together lean as they do one by one, and leave the trail as it was', () => {
    const trail = trailOf([62, 63, 65], bars(2))
    const together = sounded([68, 67], bars(2) + 3 * eighth)
    expect(leanOnward(leans, trail, [shapes], together)).toBeCloseTo(60 / 2 ** 0.25, 9)
    expect(trail.notes.map(({ midi }) => midi)).toEqual([62, 63, 65])
    expect(trail.tokens).toHaveLength(3)
  })

  test('of notes that go on, those are counted that end a shape of five', () => {
    const trail = trailOf([62, 63, 65, 68], bars(2))
    const on = (...midis: number[]) => countReturns(trail, shapes, sounded(midis, bars(2) + 4 * eighth))
    expect([on(67), on(67, 69), on(70), on()]).toEqual([1, 1, 0, 0])
    expect(trail.notes).toHaveLength(4)
  })

  test('nothing follows on from before a breath', () => {
    const trail = trailOf([62, 63, 65, 68], bars(2))
    expect(leanNext(leans, trail, [shapes], { start: bars(2) + 4 * eighth + half, half })(67)).toBe(1)
  })
})

describe('a note struck again, the quicker the less', () => {
  test.each([
    ['in eighths', 12, 1],
    ['in triplets', 8, 0.4],
    ['in sixteenths', 6, 0.4],
    ['in sextuplets', 4, 0.05],
  ])('%s', (_, ticks, factor) => {
    const trail = newTrail()
    addSounded(trail, { start: 0, midi: 60, half })
    const next = leanNext(leans, trail, [], { start: ticks, half })
    expect([next(60), next(62)]).toEqual([factor, 1])
  })
})

describe('how far phrases lean, by tempo', () => {
  const shapeOfFive = (tempo: number) => leansAt('some', tempo)!.shape[2]!
  test('the faster the more, slow ones and fast ones alike among themselves', () => {
    const tempos = [40, 80, 100, 120, 140, 160, 320].map(shapeOfFive)
    expect(tempos[0]).toBe(tempos[1])
    expect(tempos[5]).toBeCloseTo(tempos[6]!, 9)
    for (let i = 2; i < 6; i++) expect(tempos[i]).toBeGreaterThan(tempos[i - 1]!)
    expect(shapeOfFive(120)).toBeCloseTo(Math.sqrt(shapeOfFive(80) * shapeOfFive(160)), 9)
  })

  test('of a fast phrase three ways are drawn, of a slow one a single way', () => {
    expect([60, 80, 120, 160, 240].map((tempo) => leansAt('some', tempo)!.draws)).toEqual([1, 1, 2, 3, 3])
  })

  test('much more than some, and not at all where nothing is to come back', () => {
    for (const tempo of [60, 180])
      leansAt('much', tempo)!.shape.forEach((factor, i) => {
        expect(factor).toBeGreaterThanOrEqual(leansAt('some', tempo)!.shape[i]!)
      })
    expect(leansAt('none', 180)).toBeNull()
  })
})
