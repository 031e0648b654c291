/** Whether pins can stand, and whether they stand: the onsets they ask for, and which of them a line does not keep. */
import type { Harmony } from '../harmony/harmony.ts'
import type { Target, TargetSlot } from './chooseTargets.ts'
import { scaleOffset } from './chordMasks.ts'
import type { DrawnLine } from './drawLine.ts'
import type { Pins, ReadPin } from './pins.ts'
import { eighth, type Moment } from './planRhythm.ts'

/** Notes of a cell, the target counted. */
const cellNotes = 4

/** Ticks at which a note must begin: where notes are pinned, and all four of a cell. */
export function askedOnsets(pins: Pins): ReadonlySet<number> {
  const run = (from: number) => Array.from({ length: cellNotes }, (_, i) => from + i * eighth)
  return new Set([...pins.notes.keys(), ...[...pins.cells.keys()].flatMap(run)])
}

/** Whether kept bars have the notes and rests that they had, by their times and by what holds of each. */
export const keepsBars = (
  { bars }: Pins,
  moments: readonly Moment[],
  holds: (moment: Moment, midi: number | null) => boolean,
): boolean =>
  [...bars].every(([bar, kept]) => {
    const own = moments.filter((moment) => moment.bar === bar)
    return (
      own.length === kept.length &&
      kept.every(({ start, ticks, midi }, i) => {
        const moment = own[i]!
        return moment.start === start && moment.ticks === ticks && holds(moment, midi)
      })
    )
  })

/** The pitches of a range that may be a target with a pinned cell or approach; null where any may. */
export function openPitches(
  slot: TargetSlot,
  pins: Pins,
  harmony: Harmony,
  [low, high]: readonly [number, number],
): readonly number[] | null {
  const offsets = pins.approaches.get(slot.start)
  const steps = pins.cells.get(slot.start)
  if (!offsets && !steps) return null
  const inside = (midi: number) => midi >= low && midi <= high
  const pitches = Array.from({ length: high - low + 1 }, (_, i) => low + i)
  return pitches.filter((midi) => {
    const cell = steps?.map((step) => scaleOffset(harmony.chords[slot.chord]!, midi, step)) ?? []
    return [...(offsets ?? []), ...cell].every((offset) => offset !== null && inside(midi + offset))
  })
}

/** The first pin that a line does not keep; null where it keeps them all. */
export function lostPin(
  typed: readonly ReadPin[],
  harmony: Harmony,
  line: Pick<DrawnLine, 'notes' | 'figures'> & {
    readonly targets: readonly Target[]
    readonly moments: readonly Moment[]
  },
): ReadPin | null {
  const momentAt = new Map(line.moments.map(({ start }, m) => [start, m]))
  const midiAt = new Map(line.notes.map(({ moment, midi }) => [moment, midi]))
  const targetAt = new Map(line.targets.map((target, t) => [target.start, { ...target, t }]))
  const approachInto = new Map(
    line.figures.flatMap(({ kind, target, offsets }) => (kind === 'approach' ? [[target, offsets] as const] : [])),
  )
  const sounds = (at: number, midi: number | null) => (midiAt.get(momentAt.get(at) ?? -1) ?? null) === midi

  const held = (pins: Pins): boolean =>
    [...pins.notes].every(([at, midi]) => sounds(at, midi)) &&
    [...pins.approaches].every(([at, offsets]) => {
      const target = targetAt.get(at)
      return target && approachInto.get(target.t)?.join() === offsets.join()
    }) &&
    [...pins.cells].every(([at, steps]) => {
      const target = targetAt.get(at)
      return steps.every((step, i) => {
        const offset = target ? scaleOffset(harmony.chords[target.chord]!, target.midi, step) : null
        const moment = line.moments[(momentAt.get(at) ?? -1) + i]
        return offset !== null && moment?.ticks === eighth && sounds(moment.start, target!.midi + offset)
      })
    }) &&
    keepsBars(pins, line.moments, ({ start }, midi) => sounds(start, midi))

  return typed.find(({ pins }) => !held(pins)) ?? null
}
