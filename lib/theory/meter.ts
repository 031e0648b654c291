/** Meters and their ticks: 24 to the quarter, so eighths, triplets, sixteenths and sextuplets stay whole. */

export const ticksPerQuarter = 24

export interface Meter {
  readonly beats: number
  readonly unit: number
}

export const commonTime: Meter = { beats: 4, unit: 4 }

/** @example meterName({ beats: 6, unit: 8 }) // => '6/8' */
export const meterName = (meter: Meter): string => `${meter.beats}/${meter.unit}`

/** The length of a unit beat in ticks: 24 over 4, 12 over 8. */
export const ticksPerBeat = (meter: Meter): number => (4 * ticksPerQuarter) / meter.unit

/** @example ticksPerBar({ beats: 3, unit: 4 }) // => 72 */
export const ticksPerBar = (meter: Meter): number => meter.beats * ticksPerBeat(meter)

/**
 * How the bar is felt, in groups of unit beats: 4/4 as 2+2, 5/4 as 3+2, 6/8 as 3+3. Strong beats are where groups start.
 * Common practice.
 *
 * @example
 * beatGroups({ beats: 5, unit: 4 }) // => [3, 2]
 * beatGroups({ beats: 6, unit: 8 }) // => [3, 3]
 */
export function beatGroups(meter: Meter): readonly number[] {
  const { beats, unit } = meter
  if (beats <= 3) return [beats]
  if (unit >= 8 && beats % 3 === 0) return Array(beats / 3).fill(3)
  if (unit >= 8) return beats % 2 === 0 ? Array(beats / 2).fill(2) : [3, ...Array((beats - 3) / 2).fill(2)]
  if (beats === 5) return [3, 2]
  if (beats === 6) return [3, 3]
  if (beats === 7) return [4, 3]
  return beats % 2 === 0 ? Array(beats / 2).fill(2) : [3, ...Array((beats - 3) / 2).fill(2)]
}

/**
 * The ticks, from the start of the bar, at which a group of beats starts: beats 1 and 3 of 4/4.
 *
 * @example
 * strongTicks({ beats: 4, unit: 4 }) // => [0, 48]
 */
export function strongTicks(meter: Meter): readonly number[] {
  const beat = ticksPerBeat(meter)
  let at = 0
  return beatGroups(meter).map((size) => {
    const start = at
    at += size * beat
    return start
  })
}
