/** Meters in ticks, 24 to the quarter. */
import { describe, expect, test } from 'vitest'
import { beatGroups, meterName, shareBar, strongTicks, ticksPerBar, ticksPerBeat } from '../../lib/theory/meter.ts'

/** Meter, ticks of a bar, groups of its beats, where they start. Groupings are common practice; the rest is arithmetic. */
const meters: readonly [number, number, number, readonly number[], readonly number[]][] = [
  [2, 4, 48, [2], [0]],
  [3, 4, 72, [3], [0]],
  [4, 4, 96, [2, 2], [0, 48]],
  [5, 4, 120, [3, 2], [0, 72]],
  [6, 4, 144, [3, 3], [0, 72]],
  [7, 4, 168, [4, 3], [0, 96]],
  [8, 4, 192, [2, 2, 2, 2], [0, 48, 96, 144]],
  [9, 4, 216, [3, 2, 2, 2], [0, 72, 120, 168]],
  [2, 2, 96, [2], [0]],
  [3, 2, 144, [3], [0]],
  [4, 2, 192, [2, 2], [0, 96]],
  [3, 8, 36, [3], [0]],
  [5, 8, 60, [3, 2], [0, 36]],
  [6, 8, 72, [3, 3], [0, 36]],
  [7, 8, 84, [3, 2, 2], [0, 36, 60]],
  [9, 8, 108, [3, 3, 3], [0, 36, 72]],
  [12, 8, 144, [3, 3, 3, 3], [0, 36, 72, 108]],
  [4, 8, 48, [2, 2], [0, 24]],
  [1, 1, 96, [1], [0]],
  [4, 16, 24, [2, 2], [0, 12]],
  [3, 32, 9, [3], [0]],
]

describe.each(meters)('%d/%d', (beats, unit, bar, groups, strong) => {
  test('has its length, its groups and its strong beats', () => {
    const meter = { beats, unit }
    expect(meterName(meter)).toBe(`${beats}/${unit}`)
    expect(ticksPerBar(meter)).toBe(bar)
    expect(beatGroups(meter)).toEqual(groups)
    expect(strongTicks(meter)).toEqual(strong)
  })
})

test('in every meter the groups make up the bar, and every strong beat falls inside it', () => {
  for (const unit of [1, 2, 4, 8, 16, 32])
    for (let beats = 1; beats <= 32; beats++) {
      const meter = { beats, unit }
      expect(beatGroups(meter).reduce((a, b) => a + b, 0)).toBe(beats)
      expect(Number.isInteger(ticksPerBeat(meter))).toBe(true)
      const strong = strongTicks(meter)
      expect(strong[0]).toBe(0)
      expect(strong.every((tick, i) => tick < ticksPerBar(meter) && (i === 0 || tick > strong[i - 1]!))).toBe(true)
    }
})

/** Meter, chords, their beats. Longer groups first, as players take a bar that says no more: common practice. */
const shared: readonly [string, number, readonly number[]][] = [
  ['3/4', 2, [2, 1]],
  ['3/4', 3, [1, 1, 1]],
  ['4/4', 2, [2, 2]],
  ['4/4', 3, [2, 1, 1]],
  ['4/4', 4, [1, 1, 1, 1]],
  ['5/4', 2, [3, 2]],
  ['5/4', 3, [2, 1, 2]],
  ['5/4', 4, [2, 1, 1, 1]],
  ['6/4', 2, [3, 3]],
  ['7/4', 2, [4, 3]],
  ['7/4', 3, [2, 2, 3]],
  ['6/8', 2, [3, 3]],
  ['7/8', 2, [3, 4]],
  ['9/8', 2, [6, 3]],
  ['12/8', 2, [6, 6]],
  ['12/8', 3, [6, 3, 3]],
  ['12/8', 4, [3, 3, 3, 3]],
  ['2/4', 4, [0.5, 0.5, 0.5, 0.5]],
]

test.each(shared)('in %s %d chords share the bar as %j', (name, chords, shares) => {
  const [beats = 4, unit = 4] = name.split('/').map(Number)
  expect(shareBar({ beats, unit }, chords)).toEqual(shares)
})

test('chords share every bar whole, and none goes without', () => {
  for (const unit of [2, 4, 8])
    for (let beats = 1; beats <= 32; beats++)
      for (let chords = 1; chords <= 12; chords++) {
        const shares = shareBar({ beats, unit }, chords)
        expect(shares).toHaveLength(chords)
        expect(shares.reduce((a, b) => a + b, 0)).toBeCloseTo(beats, 9)
        for (const share of shares) expect(share).toBeGreaterThan(0)
        if (chords <= beats) expect(shares.every(Number.isInteger)).toBe(true)
      }
})
