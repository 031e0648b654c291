/** Lengths as they can be written: where a note is cut and tied, which notes are tuplets, what is beamed together. */
import { beatGroups, type Meter, ticksPerBar, ticksPerBeat } from './meter.ts'

/** A stretch of one bar, in ticks from its start, that one note or rest of the line fills. */
export interface Piece {
  readonly from: number
  readonly to: number
  readonly rest: boolean
}

/** One written value; `piece` is the index of the stretch that it belongs to. */
export interface NoteValue {
  /** Ticks from the start of the bar. */
  readonly at: number
  readonly ticks: number
  /** 1 whole, 2 half, 4 quarter, 8, 16, 32. A rest that fills its bar is 1 in every meter. */
  readonly value: 1 | 2 | 4 | 8 | 16 | 32
  readonly dots: 0 | 1 | 2
  readonly piece: number
  readonly rest: boolean
  /** The stretch of the bar that the tuplet fills. */
  readonly tuplet: {
    readonly from: number
    readonly to: number
    readonly actual: number
    readonly normal: number
  } | null
}

/** Where in a beam a value stands; null for one that has none. */
export type Beam = 'start' | 'middle' | 'end' | null

/** A part of the bar that is felt as one: its beats are counted from its start. */
interface Stretch {
  readonly from: number
  readonly to: number
  /** Ticks of one beat: 24 in 4/4, 12 (an eighth) in 6/8, where the stretch itself is the beat that one taps. */
  readonly beat: number
  readonly compound: boolean
}

/** Plain values by their ticks. */
const plain: Readonly<Record<number, readonly [NoteValue['value'], NoteValue['dots']]>> = {
  144: [1, 1],
  96: [1, 0],
  72: [2, 1],
  48: [2, 0],
  36: [4, 1],
  24: [4, 0],
  18: [8, 1],
  12: [8, 0],
  9: [16, 1],
  6: [16, 0],
  3: [32, 0],
}

/** The bar in stretches: 4/4 is one of four beats, 7/4 four and three, 6/8 three and three eighths. */
function stretchesOf(meter: Meter): readonly Stretch[] {
  const compound = meter.unit >= 8
  const beat = compound ? ticksPerBeat(meter) : 24
  const size = ticksPerBeat(meter) / beat
  const groups: number[] = []
  for (const group of beatGroups(meter).map((beats) => beats * size)) {
    // Two halves of a bar in four are felt as one bar of four.
    if (!compound && group === 2 && groups.at(-1) === 2) groups[groups.length - 1] = 4
    else groups.push(group)
  }
  let from = 0
  return groups.map((group) => {
    const stretch = { from, to: from + group * beat, beat, compound }
    from = stretch.to
    return stretch
  })
}

/**
 * Writes the stretches of one bar as note values: cut where the eye must see the middle of a bar in four, a group of an odd
 * meter, or a beat under sixteenths; triplets and sextuplets found by where notes start. The rules are those of common
 * practice as Gould, *Behind Bars* (2011), collects them; from memory.
 *
 * @example
 * writeValues({ beats: 4, unit: 4 }, [{ from: 0, to: 36, rest: false }, { from: 36, to: 96, rest: false }]).map((v) => v.ticks) // => [36, 12, 48]
 * writeValues({ beats: 3, unit: 4 }, [{ from: 0, to: 72, rest: true }])[0].value // => 1
 */
export function writeValues(meter: Meter, pieces: readonly Piece[]): readonly NoteValue[] {
  const bar = ticksPerBar(meter)
  const [first] = pieces
  if (first?.rest && pieces.length === 1 && first.from === 0 && first.to === bar)
    return [{ at: 0, ticks: bar, value: 1, dots: 0, piece: 0, rest: true, tuplet: null }]
  const stretches = stretchesOf(meter)
  const tuplets = findTuplets(
    stretches,
    pieces.map((piece) => piece.from),
  )
  return pieces.flatMap(({ from, to, rest }, piece) => {
    const values: NoteValue[] = []
    for (const [start, end, tuplet] of cutAtTuplets(from, to, tuplets)) {
      const parts = tuplet ? cutInTuplet(start, end, tuplet) : cut(start, end, rest, stretches)
      for (const [at, ticks] of parts) {
        const written = tuplet ? (ticks * tuplet.actual) / tuplet.normal : ticks
        const [value, dots] = plain[written] ?? fail(`no note value has ${ticks} ticks`)
        values.push({ at, ticks, value, dots, piece, rest, tuplet })
      }
    }
    return values
  })
}

/** A stretch that no note value fills. */
class Unwritable extends Error {}

function fail(message: string): never {
  throw new Unwritable(message)
}

/**
 * Whether the stretches of a bar, together all of it, can be written as note values.
 *
 * @example
 * canWrite({ beats: 1, unit: 4 }, [{ from: 0, to: 9, rest: false }, { from: 9, to: 24, rest: false }]) // => true
 * canWrite({ beats: 1, unit: 4 }, [{ from: 0, to: 5, rest: false }, { from: 5, to: 24, rest: false }]) // => false
 */
export function canWrite(meter: Meter, pieces: readonly Piece[]): boolean {
  try {
    writeValues(meter, pieces)
    return true
  } catch (error) {
    if (error instanceof Unwritable) return false
    throw error
  }
}

type Tuplet = NonNullable<NoteValue['tuplet']>

/** Where notes start off the grid of halves: thirds of a half bar, of a beat, or of half a beat. */
function findTuplets(stretches: readonly Stretch[], starts: readonly number[]): readonly Tuplet[] {
  const found: Tuplet[] = []
  const inside = (from: number, to: number) =>
    starts.filter((start) => start > from && start < to).map((start) => start - from)
  for (const { from, to, beat, compound } of stretches) {
    const halfBar = (at: number) => to - from === 3 * beat || (at - from) % 48 === 0
    for (let at = from; at < to; ) {
      const half = compound ? [] : inside(at, at + 48)
      if (!compound && at + 48 <= to && halfBar(at) && half.length > 0 && half.every((start) => start % 16 === 0)) {
        found.push({ from: at, to: at + 48, actual: 3, normal: 2 })
        at += 48
        continue
      }
      const within = inside(at, at + beat)
      if (within.some((start) => start % 3 !== 0)) {
        const thirds = within.every((start) => start % (beat / 3) === 0)
        if (!thirds && !within.every((start) => start % (beat / 6) === 0)) fail(`no tuplet has starts at ${within}`)
        found.push({ from: at, to: at + beat, actual: thirds ? 3 : 6, normal: thirds ? 2 : 4 })
      }
      at += beat
    }
  }
  return found
}

function cutAtTuplets(from: number, to: number, tuplets: readonly Tuplet[]): [number, number, Tuplet | null][] {
  const parts: [number, number, Tuplet | null][] = []
  let at = from
  for (const tuplet of tuplets) {
    if (tuplet.to <= at || tuplet.from >= to) continue
    if (tuplet.from > at) parts.push([at, tuplet.from, null])
    parts.push([Math.max(at, tuplet.from), Math.min(to, tuplet.to), tuplet])
    at = Math.min(to, tuplet.to)
  }
  if (at < to) parts.push([at, to, null])
  return parts
}

/** Lengths inside a tuplet: whole values of its own unit, the longest first. */
function cutInTuplet(from: number, to: number, { actual, normal }: Tuplet): [number, number][] {
  const parts: [number, number][] = []
  for (let at = from; at < to; ) {
    const length = Object.keys(plain)
      .map((ticks) => (Number(ticks) * normal) / actual)
      .filter((ticks) => ticks <= to - at)
      .sort((a, b) => b - a)[0]
    if (length === undefined) fail(`no note value has ${to - at} ticks in a tuplet`)
    parts.push([at, length])
    at += length
  }
  return parts
}

/** Cuts a stretch of time, no tuplet, into values that show the meter. */
function cut(from: number, to: number, rest: boolean, stretches: readonly Stretch[]): [number, number][] {
  const starts = stretches.map((stretch) => stretch.from)
  const at = stretches.find((stretch) => from < stretch.to)!
  const onBounds = starts.includes(from) && (starts.includes(to) || to === stretches.at(-1)!.to)
  if (to > at.to && !(onBounds && plain[to - from] && !rest))
    return [...cut(from, at.to, rest, stretches), ...cut(at.to, to, rest, stretches)]
  const middle = rest ? cutRest(from, to, at) : cutNote(from, to, at)
  return middle === null
    ? [[from, to - from]]
    : [...cut(from, middle, rest, stretches), ...cut(middle, to, rest, stretches)]
}

/** Where to cut a note within its stretch; null where it can stand whole. */
function cutNote(from: number, to: number, stretch: Stretch): number | null {
  const [start, end] = [from - stretch.from, to - stretch.from]
  const { beat, compound } = stretch
  const length = end - start
  const size = stretch.to - stretch.from
  const single = plain[length] !== undefined
  const onBeat = start % beat === 0
  const lastBeat = end - (end % beat || beat)
  const cutAt = (tick: number) => stretch.from + tick
  if (to > stretch.to) return null
  if (size === 4 * beat && start < 2 * beat && end > 2 * beat) {
    if (single && start === 0 && end % beat === 0) return null
    return cutAt(2 * beat)
  }
  if (compound) {
    const halves = length === 18 && (start === 0 || end === size)
    const whole = onBeat && end % beat === 0
    if (single && (halves || whole || length <= beat / 2 || Math.floor(start / beat) === lastBeat / beat)) return null
    return cutAt(onBeat && lastBeat > start ? lastBeat : nextBound(start, end, beat))
  }
  if (start % 12 === 0 && end % 12 === 0) {
    // In a bar of three an eighth followed by a dotted quarter would look like 6/8.
    const clear = size === 3 * beat ? onBeat || length <= beat : true
    if (single && clear) return null
    return cutAt(onBeat ? lastBeat : nextBound(start, end, beat))
  }
  const crosses = Math.floor(start / beat) !== lastBeat / beat
  if (crosses) return cutAt(onBeat && lastBeat > start ? lastBeat : nextBound(start, end, beat))
  return single ? null : cutAt(nextBound(start, end, beat))
}

/** Where to cut a rest within its stretch, so that every beat shows; null where it can stand whole. */
function cutRest(from: number, to: number, { beat, compound, ...stretch }: Stretch): number | null {
  const [start, end] = [from - stretch.from, to - stretch.from]
  const length = end - start
  const three = stretch.to - stretch.from === 3 * beat
  if (start % beat === 0) {
    const two = 2 * beat
    if (compound && start === 0 && (to === stretch.to || (three && length === two)) && plain[length]) return null
    if (!compound && !three && start % two === 0 && length >= two) return length === two ? null : from + two
    if (length > beat) return from + beat
  }
  if (plain[length]?.[1] === 0 && start % length === 0) return null
  return stretch.from + nextBound(start, end, beat)
}

/** The next bound after a start that the end does not reach first: a beat, half a beat, a quarter of one. */
function nextBound(start: number, end: number, beat: number): number {
  for (let unit = beat; unit >= 3; unit /= 2) {
    const bound = start - (start % unit) + unit
    if (bound < end) return bound
  }
  return fail(`no note value runs from tick ${start} to ${end}`)
}

/**
 * Which values of one bar are beamed together: by half bar in 4/4 where all are eighths, never over beat 3; by beat where
 * there are shorter notes or tuplets; six eighths of 3/4 in one; by group in other meters. Rests break a beam.
 *
 * @example
 * beamValues({ beats: 4, unit: 4 }, writeValues({ beats: 4, unit: 4 }, [0, 12, 24, 36, 48].map((from) => ({ from, to: from < 48 ? from + 12 : 96, rest: false })))) // => ['start', 'middle', 'middle', 'end', null]
 */
export function beamValues(meter: Meter, values: readonly NoteValue[]): readonly Beam[] {
  const windows = beamWindows(meter, values)
  const beamable = (index: number) => {
    const value = values[index]
    return value !== undefined && !value.rest && value.value >= 8
  }
  const together = (a: number, b: number) => beamable(a) && beamable(b) && windows[a] === windows[b]
  return values.map((_, index) => {
    const before = together(index - 1, index)
    const after = together(index, index + 1)
    return before && after ? 'middle' : before ? 'end' : after ? 'start' : null
  })
}

function beamWindows(meter: Meter, values: readonly NoteValue[]): readonly number[] {
  const stretches = stretchesOf(meter)
  return values.map(({ at, tuplet }) => {
    // A window of its own, which no beat that starts there shares: a beam lies within its tuplet.
    if (tuplet) return -1 - tuplet.from
    const stretch = stretches.find(({ to }) => at < to)!
    const { from, to, beat, compound } = stretch
    if (compound) return from
    const within = (start: number, end: number) => values.filter((value) => value.at >= start && value.at < end)
    const eighths = (each: readonly NoteValue[]) => each.every(({ value, tuplet: in3 }) => value <= 8 && in3 === null)
    const size = to - from
    if (size === 3 * beat) {
      const all = within(from, to)
      if (all.length === 6 && all.every(({ value, rest }) => value === 8 && !rest) && eighths(all)) return from
    } else {
      const half = from + 2 * beat * Math.floor((at - from) / (2 * beat))
      if (eighths(within(half, half + 2 * beat))) return half
    }
    return from + beat * Math.floor((at - from) / beat)
  })
}
