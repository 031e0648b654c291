/** The same line in another key: moved whole where it fits, else folded by octaves, never broken inside an approach. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { carryLine, foldsOf } from '../../lib/line/transposeLine.ts'
import { realChartTexts } from '../realCharts.ts'
import { draftOf } from './drafts.ts'

const drafts = realChartTexts()
  .slice(0, 8)
  .map((chart) => draftOf(chart).draft!)
const draft = drafts[1]!
const lowest = Math.min(...draft.notes.map(({ midi }) => midi))
const highest = Math.max(...draft.notes.map(({ midi }) => midi))

describe('a line that fits', () => {
  // The nearer way: up to a tritone up, else down.
  test.each([
    [0, 0],
    [1, 1],
    [6, 6],
    [7, -5],
    [11, -1],
  ])('up %d semitones moves by %d', (up, shift) => {
    const shifts = carryLine(draft, up, [0, 127])!
    expect(new Set(shifts)).toEqual(new Set([shift]))
    expect(foldsOf(draft, shifts)).toEqual([])
  })

  test('goes by another octave where the nearer way leaves the range', () => {
    expect(new Set(carryLine(draft, 2, [lowest - 10, highest])!)).toEqual(new Set([-10]))
    expect(new Set(carryLine(draft, 11, [lowest + 11, highest + 11])!)).toEqual(new Set([11]))
  })
})

describe('a line that does not fit', () => {
  test('folds: every note in range, by octaves of one move, no leap over an octave, no approach broken', () => {
    let folded = 0
    fc.assert(
      fc.property(
        fc.constantFrom(...drafts),
        fc.integer({ min: 0, max: 11 }),
        fc.integer({ min: 16, max: 24 }),
        fc.integer({ min: -8, max: 8 }),
        (line, up, width, off) => {
          const low = Math.min(...line.notes.map(({ midi }) => midi)) + off
          const shifts = carryLine(line, up, [low, low + width])
          if (!shifts) return
          if (new Set(shifts).size > 1) folded += 1
          line.notes.forEach(({ midi, moment }, i) => {
            const played = midi + shifts[i]!
            expect(played).toBeGreaterThanOrEqual(low)
            expect(played).toBeLessThanOrEqual(low + width)
            expect((((shifts[i]! - up) % 12) + 12) % 12).toBe(0)
            const before = line.notes[i - 1]
            if (!before || before.moment !== moment - 1) return
            expect(Math.abs(played - before.midi - shifts[i - 1]!)).toBeLessThanOrEqual(12)
            if (before.figure !== null && line.figures[before.figure]!.kind === 'approach')
              expect(shifts[i]).toBe(shifts[i - 1])
          })
          const bars = foldsOf(line, shifts)
          expect(bars.length === 0).toBe(new Set(shifts).size === 1)
        },
      ),
      { seed: 9, numRuns: 60 },
    )
    expect(folded).toBeGreaterThan(15)
  })

  test('a range that holds no pitch class of some note gives nothing', () => {
    expect(carryLine(draft, 0, [60, 62])).toBeNull()
  })
})

test('a line without notes carries to anywhere', () => {
  expect(carryLine({ ...draft, notes: [] }, 5, [60, 60])).toEqual([])
})
