/** From notes as struck to notes as written: each beat on the plainest grid that holds its notes, swung eighths made even. */
import { ticksPerQuarter } from '../theory/meter.ts'

/** A note as played, in quarters from the start. */
export interface Struck {
  readonly from: number
  readonly to: number
  readonly midi: number
}

/** A note as written, in ticks. */
export interface Timed {
  readonly start: number
  readonly ticks: number
  readonly midi: number
}

/** Parts of a beat that notes may be written on, plainest first: eighths, triplets, sixteenths, sextuplets, thirty-seconds. */
const grids = [1, 2, 3, 4, 6, 8]
/** How far from a grid, in quarters, a note may be struck and still belong to it. */
const tolerance = 0.06
/** Offbeats between these parts of a beat may be swung eighths. */
const swung = [0.47, 0.72] as const

/** Whether a beat holds at most a note on it and one that may be its offbeat. */
const isPair = (parts: readonly number[]): boolean =>
  parts.length <= 2 && parts.every((part) => part < tolerance || (part > swung[0] && part < swung[1]))

/**
 * Where the second eighth of a beat is struck in most beats that hold a pair, as a part of the beat: half for even eighths, two
 * thirds for triplet swing.
 */
function offbeatOf(beats: Iterable<readonly number[]>): number {
  const offbeats = [...beats].flatMap((parts) => (isPair(parts) ? parts.filter((part) => part >= tolerance) : []))
  offbeats.sort((a, b) => a - b)
  return offbeats[offbeats.length >> 1] ?? 0.5
}

/**
 * Notes in written time, 24 ticks to the quarter. Swing is undone by where most offbeats of the file lie. A gap shorter than an
 * eighth that falls on no grid is touch, not a rest.
 *
 * @param struck - in order of their starts, none at the same time
 * @param triplets - beats, from 0, that are known to be triplets
 *
 * @example
 * writtenTimes([{ from: 0, to: 0.6, midi: 65 }, { from: 0.66, to: 1, midi: 67 }]) // => [{ start: 0, ticks: 12, midi: 65 }, { start: 12, ticks: 12, midi: 67 }]
 */
export function writtenTimes(struck: readonly Struck[], triplets: ReadonlySet<number> = new Set()): readonly Timed[] {
  const beats = new Map<number, number[]>()
  for (const { from } of struck) {
    const beat = Math.floor(from + tolerance)
    const parts = beats.get(beat) ?? []
    beats.set(beat, parts)
    parts.push(Math.max(0, from - beat))
  }
  const offbeat = offbeatOf(beats.values())
  const near = (part: number) => Math.abs(part - offbeat) < tolerance
  const gridOf = new Map(
    [...beats].map(([beat, parts]) => {
      const pair = isPair(parts) && parts.every((part) => part < tolerance || near(part))
      return [beat, triplets.has(beat) ? 3 : pair ? 'pair' : plainest(parts)] as const
    }),
  )
  const written = (time: number): number => {
    const beat = Math.floor(time + tolerance)
    const part = Math.max(0, time - beat)
    const grid = gridOf.get(beat) ?? 'pair'
    const within = grid === 'pair' ? (near(part) ? 0.5 : nearestOn(part, grids)) : Math.round(part * grid) / grid
    return Math.round((beat + within) * ticksPerQuarter)
  }
  const starts = struck.map(({ from }) => written(from))
  return struck.flatMap(({ to, midi }, i): Timed[] => {
    const start = starts[i]!
    const next = starts[i + 1] ?? Number.POSITIVE_INFINITY
    const said = written(to)
    const beat = Math.floor(to + tolerance)
    const exact = said > start && (near(to - beat) || Math.abs(to * ticksPerQuarter - said) < 0.1)
    const gap = next - said
    const end = exact && gap >= 0 ? said : gap < ticksPerQuarter / 2 ? next : Math.max(said, start + 3)
    return end > start ? [{ start, ticks: Math.min(end, next) - start, midi }] : []
  })
}

const plainest = (parts: readonly number[]): number =>
  grids.find((grid) => parts.every((part) => Math.abs(part - Math.round(part * grid) / grid) < tolerance)) ?? 8

/** The nearest place of any grid but the finest. */
const nearestOn = (part: number, all: readonly number[]): number =>
  all
    .slice(0, 5)
    .map((grid) => Math.round(part * grid) / grid)
    .reduce((best, place) => (Math.abs(place - part) < Math.abs(best - part) - 0.02 ? place : best))
