/** How much of a line a pin may touch: the figure before it and the cell after it, and more only where that leaves no way. */
import type { Harmony } from '../harmony/harmony.ts'
import { askedOnsets, keepsBars } from './checkPins.ts'
import type { Draft } from './draftLine.ts'
import type { Pins } from './pins.ts'

/** Ticks from one up to another, the end not counted. */
export type Window = readonly [from: number, to: number]

/** Notes of a cell after its target. */
const cellAfter = 3
/** Notes of an approach at the most. */
const approachBefore = 4

/** Whether pins can stand in the rhythm of a line as it is: a note begins wherever one is asked for, kept bars are as they were. */
export function standsIn(pins: Pins, { moments, targets, slots }: Draft): boolean {
  const onsets = new Set(moments.filter(({ rest }) => !rest).map(({ start }) => start))
  const places = new Set([...targets, ...(slots ?? [])].map(({ start }) => start))
  return (
    [...askedOnsets(pins)].every((tick) => onsets.has(tick)) &&
    [...pins.approaches.keys(), ...pins.cells.keys()].every((tick) => places.has(tick)) &&
    keepsBars(pins, moments, ({ rest }, midi) => rest === (midi === null))
  )
}

/**
 * The windows that may change for the sake of pins, in three steps: beside each pin, the figure that leads there and the cell that
 * leaves it; then all between the targets on either side; then the bars around it.
 */
export function pinWindows(draft: Draft, pins: Pins, harmony: Harmony): readonly (readonly Window[])[] {
  const places = placesOf(pins, harmony)
  return [beside, between, around].map((step) => places.map((place) => step(draft, place, harmony)))
}

/** Where pins hold something: the ticks from the first to beyond the last of their notes. */
function placesOf(pins: Pins, harmony: Harmony): readonly Window[] {
  const eighth = 12
  return [
    ...[...pins.notes.keys()].map((tick): Window => [tick, tick + 1]),
    ...[...pins.approaches].map(([tick, offsets]): Window => [tick - offsets.length * eighth, tick + 1]),
    ...[...pins.cells].map(([tick, steps]): Window => [tick, tick + steps.length * eighth]),
    ...[...pins.bars.keys()].map((bar): Window => {
      const { start, ticks } = harmony.bars[bar - 1]!
      return [start, start + ticks]
    }),
  ]
}

/** The moment that a tick falls in. */
const momentAt = ({ moments }: Draft, tick: number): number =>
  Math.max(
    0,
    moments.findLastIndex(({ start }) => start <= tick),
  )

/** For each moment its figure, where that is an approach. */
function approachesOf({ moments, notes, figures }: Draft): readonly (number | null)[] {
  const found: (number | null)[] = moments.map(() => null)
  for (const { moment, figure } of notes)
    if (figure !== null && figures[figure]!.kind === 'approach') found[moment] = figure
  return found
}

function beside(draft: Draft, [from, to]: Window): Window {
  const { moments } = draft
  const approach = approachesOf(draft)
  let first = momentAt(draft, from)
  let last = momentAt(draft, to - 1)
  // The approach that the pin stands in, or that leads to it, goes whole; else the notes on foot up to the target before.
  const own = approach[first] ?? (moments[first]?.target === null ? null : (approach[first - 1] ?? null))
  if (own !== null) while (first > 0 && approach[first - 1] === own) first -= 1
  else
    for (let i = 0; i < approachBefore && first > 0; i++) {
      const before = moments[first - 1]!
      if (before.target !== null || before.rest || approach[first - 1] !== null) break
      first -= 1
    }
  // An approach that the pin cuts into goes whole, too, but the target that it leads to stays.
  while (approach[last] !== null && approach[last + 1] === approach[last]) last += 1
  for (let i = 0; i < cellAfter; i++) {
    const after = moments[last + 1]
    if (!after || after.target !== null || approach[last + 1] !== null) break
    last += 1
  }
  return [moments[first]?.start ?? from, (moments[last]?.start ?? to - 1) + 1]
}

function between(draft: Draft, [from, to]: Window): Window {
  const { moments } = draft
  const before = moments.findLast(({ start, target }) => target !== null && start < from)
  const after = moments.find(({ start, target }) => target !== null && start >= to)
  return [before ? before.start + 1 : 0, after?.start ?? Number.POSITIVE_INFINITY]
}

function around(draft: Draft, place: Window, { bars }: Harmony): Window {
  const [from, to] = between(draft, place)
  const first = bars.findLastIndex(({ start }) => start <= from)
  const last = bars.findLastIndex(({ start }) => start < to)
  return [bars[Math.max(0, first - 1)]!.start, bars[last + 1] ? bars[last + 1]!.start + bars[last + 1]!.ticks : to]
}
