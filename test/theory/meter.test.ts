/** Meters in ticks, 24 to the quarter. */
import { describe, expect, test } from 'vitest'
import { beatGroups, meterName, strongTicks, ticksPerBar, ticksPerBeat } from '../../lib/theory/meter.ts'

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
