/** What a figure is, what it is called and how often it was counted, held against the counts themselves. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import {
  approachCount,
  approaches,
  approachName,
  bigramCounts,
  cellOf,
  cells,
  figureKind,
  hardlyPlayed,
  intervalCounts,
  intervalShare,
  intervalShareAfter,
  leaningTo,
  verdictOf,
} from '../../lib/line/figures.ts'
import { countedApproaches, countedCells, verdicts } from '../solos.ts'

const offsetsOf = (text: string): readonly number[] => text.split(' ').map(Number)
const classNames: Readonly<Record<string, string>> = { scalar: 'scale' }

describe('kinds', () => {
  test('of every counted approach are those of its class', () => {
    const wrong = [...countedApproaches].filter(
      ([offsets, { kind }]) => figureKind(offsetsOf(offsets)) !== (classNames[kind] ?? kind),
    )
    expect(wrong).toEqual([])
    expect(countedApproaches.size).toBeGreaterThan(300)
  })

  test('of every enclosure of the textbook are enclosures', () => {
    expect([...verdicts.keys()].filter((offsets) => figureKind(offsetsOf(offsets)) !== 'enclosure')).toEqual([])
    expect(verdicts.size).toBe(126)
  })

  // Worked by hand from the definitions that stand with the counts.
  test.each([
    [[1], 'chromatic'],
    [[-2], 'scale'],
    [[-3], 'arpeggio'],
    [[0], 'mixed'],
    [[4, -1], 'mixed'],
    [[3, -3], 'enclosure'],
    [[1, 0, -1], 'enclosure'],
    [[-3, -2, -1], 'chromatic'],
    [[5, 4, 2], 'scale'],
    [[2, 1, 2], 'mixed'],
    [[12, 8, 5], 'arpeggio'],
    [[-4, -1], 'mixed'],
    [[-1, -5], 'arpeggio'],
  ] as const)('%j is %s', (offsets, kind) => {
    expect(figureKind(offsets)).toBe(kind)
  })
})

describe('names', () => {
  test.each([
    [[-1], 'half step from below'],
    [[1], 'half step from above'],
    [[2], 'whole step from above'],
    [[-4], 'third from below'],
    [[7], 'leap from above'],
    [[0], 'repeated note'],
    [[2, -1], 'enclosure, above then below'],
    [[3, 1, -2, -1], 'enclosure, two above then two below'],
    [[1, 0, -1], 'enclosure, above, on it then below'],
    [[-3, -2, -1], 'chromatic from below'],
    [[5, 4, 2], 'scale from above'],
    [[-8, -5], 'arpeggio from below'],
    [[-1, -3], 'free approach from below'],
  ] as const)('%j is %s', (offsets, name) => {
    expect(approachName(offsets)).toBe(name)
  })
})

describe('counts', () => {
  test('of every approach are the two beats together, and none is left out', () => {
    const wrong = [...countedApproaches].filter(([offsets, { count }]) => approachCount(offsetsOf(offsets)) !== count)
    expect(wrong).toEqual([])
  })

  test('of every cell likewise, under its name', () => {
    const wrong = [...countedCells].filter(([name, { kind: steps, count }]) => {
      // The table also holds cells counted only outside the styles that lines are drawn by.
      if (count === 0) return cellOf(offsetsOf(steps)) !== null
      const cell = cellOf(offsetsOf(steps))
      return cell?.name !== name || cell.count !== count
    })
    expect(wrong).toEqual([])
    expect(cells.length).toBe([...countedCells.values()].filter(({ count }) => count > 0).length)
  })

  // The counts that other programs are promised.
  test('3 1 -2 -1 was counted 12 times, the cell 1-2-3-5 37 times', () => {
    expect(approachCount([3, 1, -2, -1])).toBe(12)
    expect(cellOf([0, 1, 2, 4])).toEqual({ name: '1-2-3-5', steps: [0, 1, 2, 4], count: 37 })
  })

  test('what nobody was counted playing counts nought', () => {
    expect(approachCount([11, -11])).toBe(0)
    expect(cellOf([0, 9, -9, 4])).toBeNull()
    expect(cellOf([1, 2, 3, 5])).toBeNull()
  })

  test('cells come in order of how often they were counted', () => {
    const counts = cells.map(({ count }) => count)
    expect(counts).toEqual([...counts].sort((a, b) => b - a))
  })
})

describe('the textbook', () => {
  test('verdicts are those of the counts; other figures have none', () => {
    expect([...verdicts].filter(([offsets, verdict]) => verdictOf(offsetsOf(offsets)) !== verdict)).toEqual([])
    expect(verdictOf([4, 2])).toBeNull()
  })

  test("two below then two above, the textbook's favourite, is dead; above then below is common", () => {
    expect(verdictOf([-2, -1, 2, 1])).toBe('dead')
    expect(verdictOf([2, -1])).toBe('common')
  })

  test('what recordings hardly hold is left out: the dead and the rare, and nothing else', () => {
    const out = [...verdicts].filter(([offsets]) => hardlyPlayed(offsetsOf(offsets))).map(([, verdict]) => verdict)
    expect(new Set(out)).toEqual(new Set(['dead', 'rare']))
    expect(out.filter((verdict) => verdict === 'dead').length).toBe(71)
    expect([...verdicts.values()].filter((verdict) => verdict === 'dead' || verdict === 'rare').length).toBe(out.length)
    expect(hardlyPlayed([4, 2])).toBe(false)
  })
})

describe('the catalogue', () => {
  test('shares sum to one for each kind and number of notes', () => {
    for (const list of approaches.slice(1)) {
      const sums = new Map<string, number>()
      for (const { kind, share } of list) {
        expect(share).toBeGreaterThanOrEqual(0)
        sums.set(kind, (sums.get(kind) ?? 0) + share)
      }
      for (const sum of sums.values()) expect(sum).toBeCloseTo(1, 10)
      expect(sums.size).toBeGreaterThanOrEqual(4)
    }
  })

  test('holds each counted approach and each enclosure of the textbook once, under its kind and count', () => {
    const held = approaches.flat().map(({ offsets }) => offsets.join(' '))
    expect(new Set(held).size).toBe(held.length)
    const counted = [...countedApproaches].filter(([, { count }]) => count > 0).map(([offsets]) => offsets)
    expect([...counted, ...verdicts.keys()].filter((offsets) => !held.includes(offsets))).toEqual([])
    approaches.forEach((list, length) => {
      for (const { offsets, kind, count } of list) {
        expect(offsets.length).toBe(length)
        expect(kind).toBe(figureKind(offsets))
        expect(count).toBe(approachCount(offsets))
      }
    })
  })

  test('of two with the same last notes, the one counted more has the larger share', () => {
    const share = (offsets: string) => approaches.flat().find((each) => each.offsets.join(' ') === offsets)!.share
    // 2 1 -1 was counted 20 times, 3 1 -1 13 times.
    expect(share('2 1 -1')).toBeGreaterThan(share('3 1 -1'))
    // Upper neighbour first is commoner than lower first.
    expect(share('2 -1')).toBeGreaterThan(share('-2 1'))
  })
})

describe('intervals', () => {
  test('shares sum to one over all intervals, less what is kept for those not counted', () => {
    const all = Array.from({ length: 49 }, (_, i) => i - 24).reduce(
      (sum, semitones) => sum + intervalShare(semitones),
      0,
    )
    expect(Math.abs(all - 1)).toBeLessThan(0.005)
    // 58 % of intervals are steps and 3 % repeats: the counts' own summary.
    const steps = [-2, -1, 1, 2].reduce((sum, semitones) => sum + intervalShare(semitones), 0)
    expect(steps).toBeCloseTo(0.58, 2)
    expect(intervalShare(0)).toBeCloseTo(0.03, 2)
    expect([...intervalCounts.values()].reduce((a, b) => a + b, 0)).toBe(14_341)
  })

  test('after any interval likewise', () => {
    for (let before = -12; before <= 12; before++) {
      const all = Array.from({ length: 49 }, (_, i) => i - 24).reduce(
        (sum, semitones) => sum + intervalShareAfter(semitones, before),
        0,
      )
      expect(Math.abs(all - 1)).toBeLessThan(0.005)
    }
    expect(bigramCounts.get('-1 -2')).toBe(508)
    // After a half step down a whole step down is commonest.
    expect(intervalShareAfter(-2, -1)).toBeGreaterThan(intervalShareAfter(-1, -1))
  })
})

test('how much likelier a figure is on a degree: near 1 where little was counted, and never nought', () => {
  fc.assert(
    fc.property(
      fc.constantFrom('dom', 'major', 'minor', 'hdim' as const),
      fc.integer({ min: 1, max: 7 }),
      fc.constantFrom(...approaches.flat()),
      (quality, degree, approach) => {
        const lean = leaningTo(quality, degree, approach)
        expect(lean).toBeGreaterThan(0)
        expect(lean).toBeLessThan(60)
        expect(leaningTo(null, degree, approach)).toBe(1)
      },
    ),
    { seed: 5 },
  )
  // 4 2 into the root of a dominant: 11 of few; the counts lean to it.
  expect(leaningTo('dom', 1, { offsets: [4, 2], count: approachCount([4, 2]) })).toBeGreaterThan(1)
})
