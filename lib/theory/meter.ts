/** Meters and their ticks: 24 to the quarter, so eighths, triplets, sixteenths and sextuplets stay whole. */
import { fixed } from '../fixed.ts'

export const ticksPerQuarter = 24

export interface Meter {
  readonly beats: number
  readonly unit: number
  /** How many beats each group has, where the chart says it; together all beats. */
  readonly groups?: readonly number[]
}

export const commonTime: Meter = fixed({ beats: 4, unit: 4 })

/** @example meterName({ beats: 6, unit: 8 }) // => '6/8' */
export const meterName = (meter: Meter): string => `${meter.beats}/${meter.unit}`

/**
 * The upper number of a meter as it stands on a staff: its groups added up where the chart says them.
 *
 * @example
 * upperNumber({ beats: 5, unit: 4, groups: [2, 3] }) // => '2+3'
 * upperNumber({ beats: 6, unit: 8 }) // => '6'
 */
export const upperNumber = ({ beats, groups }: Meter): string => groups?.join('+') ?? String(beats)

/** @example meterText({ beats: 5, unit: 4, groups: [2, 3] }) // => '5/4 (2+3)' */
export const meterText = (meter: Meter): string =>
  meter.groups ? `${meterName(meter)} (${meter.groups.join('+')})` : meterName(meter)

/**
 * Reads a meter with its groups of beats, where it says them behind itself or adds its beats up: `5/4 (2+3)`, `2+3/4`; null where it
 * is none. A wrong one comes back as it stands, and `goodMeter` says so.
 *
 * @example
 * readMeter('7/8 (2+2+3)') // => { beats: 7, unit: 8, groups: [2, 2, 3] }
 * readMeter('3/4') // => { beats: 3, unit: 4 }
 */
export function readMeter(text: string): Meter | null {
  const found =
    /(\d{1,4}(?:\s?\+\s?\d{1,4}){0,31})[\s)]*\/\s*(\d{1,4})[\s\])]*(?:[([]\s?(\d{1,4}(?:\s?\+\s?\d{1,4}){1,31})\s?[)\]])?/.exec(
      text,
    )
  if (!found) return null
  const [, upper = '', unit = '', behind] = found
  const added = upper.split('+').map(Number)
  const beats = added.reduce((sum, size) => sum + size, 0)
  const groups = behind ? behind.split('+').map(Number) : added
  return groups.length > 1 ? { beats, unit: Number(unit), groups } : { beats, unit: Number(unit) }
}

/** Whether a meter has 1 to 32 beats of a lower number that notes have, and groups that hold all of them. */
export const goodMeter = ({ beats, unit, groups = [beats] }: Meter): boolean =>
  beats > 0 &&
  beats <= 32 &&
  [1, 2, 4, 8, 16, 32].includes(unit) &&
  groups.every((size) => size > 0) &&
  groups.reduce((sum, size) => sum + size, 0) === beats

/** The length of a unit beat in ticks: 24 over 4, 12 over 8. */
export const ticksPerBeat = (meter: Meter): number => (4 * ticksPerQuarter) / meter.unit

/** @example ticksPerBar({ beats: 3, unit: 4 }) // => 72 */
export const ticksPerBar = (meter: Meter): number => meter.beats * ticksPerBeat(meter)

/**
 * How the bar is felt, in groups of unit beats: as the chart says, else 4/4 as 2+2, 5/4 as 3+2, 6/8 as 3+3. Strong beats are where
 * groups start.
 * Common practice.
 *
 * @example
 * beatGroups({ beats: 5, unit: 4 }) // => [3, 2]
 * beatGroups({ beats: 6, unit: 8 }) // => [3, 3]
 */
export function beatGroups(meter: Meter): readonly number[] {
  const { beats, unit, groups } = meter
  if (groups) return groups
  if (beats <= 3) return [beats]
  if (unit >= 8 && beats % 3 === 0) return Array(beats / 3).fill(3)
  if (unit >= 8) return beats % 2 === 0 ? Array(beats / 2).fill(2) : [3, ...Array((beats - 3) / 2).fill(2)]
  if (beats === 5) return [3, 2]
  if (beats === 6) return [3, 3]
  if (beats === 7) return [4, 3]
  return beats % 2 === 0 ? Array(beats / 2).fill(2) : [3, ...Array((beats - 3) / 2).fill(2)]
}

/** Ways to cut a row of sizes into so many runs, as even as they come; where two are alike, the longer run comes first. */
function evenRuns(sizes: readonly number[], count: number): readonly number[] {
  const starts = [0]
  for (const size of sizes) starts.push(starts.at(-1)! + size)
  // The best cuts of what follows each place, worked out from the last run back.
  let best: (readonly number[] | null)[] = starts.map((start) => (start === starts.at(-1) ? [] : null))
  const squares = (runs: readonly number[]) => runs.reduce((sum, run) => sum + run * run, 0)
  for (let run = 0; run < count; run++) {
    best = starts.map((start, i) => {
      let found: readonly number[] | null = null
      for (let j = starts.length - 1; j > i; j--) {
        const rest = best[j]
        if (!rest) continue
        const runs = [starts[j]! - start, ...rest]
        if (!found || squares(runs) < squares(found)) found = runs
      }
      return found
    })
  }
  return best[0]!
}

/**
 * How so many chords share a bar that says nothing of beats, in unit beats: evenly where that falls on beats, else by the groups
 * the bar is felt in, the longer first; evenly again where there are more chords than beats. Common practice.
 *
 * @example
 * shareBar({ beats: 3, unit: 4 }, 2) // => [2, 1]
 * shareBar({ beats: 7, unit: 4 }, 2) // => [4, 3]
 * shareBar({ beats: 4, unit: 4 }, 3) // => [2, 1, 1]
 * shareBar({ beats: 12, unit: 8 }, 3) // => [6, 3, 3]
 */
export function shareBar(meter: Meter, chords: number): readonly number[] {
  const groups = beatGroups(meter)
  const even = Array<number>(chords).fill(meter.beats / chords)
  const onGroups = groups.length % chords === 0 && new Set(groups).size === 1
  if (chords < 2 || chords > meter.beats || onGroups) return even
  if (chords <= groups.length) return evenRuns(groups, chords)
  if (meter.beats % chords === 0 && chords % groups.length === 0) return even
  const shares = groups.map(() => 1)
  for (let more = chords - groups.length; more > 0; more--) {
    const room = groups.map((size, i) => size / shares[i]!)
    shares[room.lastIndexOf(Math.max(...room))]!++
  }
  return groups.flatMap((size, i) => {
    const each = Math.floor(size / shares[i]!)
    return Array.from({ length: shares[i]! }, (_, k) => each + (k < size % shares[i]! ? 1 : 0))
  })
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
