/** Whether a kept line is one: made-up packings can hold what no drawing gives, and what comes after trusts what it is given. */
import type { Harmony } from '../harmony/harmony.ts'
import type { Draft } from '../line/draftLine.ts'
import type { Moment } from '../line/planRhythm.ts'
import { canWrite, type Piece } from '../theory/noteValues.ts'

/** As far as a note is altered on paper, in signs, on a number up to a thirteenth. */
const degreeName = /^(?:b{0,6}|#{0,6})(?:[1-9]|1[0-3])$/

/**
 * Whether a draft is a line over these changes: it fills every bar with what can be written, each moment in its own bar and on its own
 * chord, its targets where they wait, on chords that have a root, its approaches before the targets they lead to.
 */
export const isWholeLine = (draft: Draft, harmony: Harmony): boolean =>
  fillsBars(draft.moments, harmony) &&
  standsOnChords(draft.moments, harmony) &&
  targetsWait(draft, harmony) &&
  figuresLead(draft)

/** Whether moments fill every bar, are each in the bar that they say, and can be written. */
function fillsBars(moments: readonly Moment[], { bars }: Harmony): boolean {
  let next = 0
  let from = 0
  for (const { bar, start, ticks, meter } of bars) {
    const pieces: Piece[] = []
    while (next < moments.length && from < start + ticks) {
      const moment = moments[next]!
      if (moment.start < start && next === 0) return false
      if (moment.start >= start && moment.bar !== bar) return false
      const end = moment.start + moment.ticks
      const to = Math.min(end, start + ticks) - start
      // Rests that follow each other are written as one.
      const before = pieces.at(-1)
      if (before?.rest && moment.rest) pieces[pieces.length - 1] = { ...before, to }
      else pieces.push({ from: from - start, to, rest: moment.rest })
      from = start + to
      if (end <= start + ticks) next += 1
    }
    if (from !== start + ticks || !canWrite(meter, pieces)) return false
  }
  return next === moments.length
}

/** Whether each moment is on the chord that sounds, or, where it comes early, on the next. */
function standsOnChords(moments: readonly Moment[], { chords }: Harmony): boolean {
  let sounding = -1
  return moments.every(({ start, chord, target }) => {
    while (sounding + 1 < chords.length && chords[sounding + 1]!.start <= start) sounding += 1
    return (chord === sounding || chord === sounding + 1) && (target === null || chords[chord]?.root)
  })
}

/** Whether each target is what is played where it waits. */
function targetsWait({ moments, notes, targets }: Draft, { bars }: Harmony): boolean {
  return notes.every(({ moment, midi }) => {
    const { start, chord, bar, target } = moments[moment]!
    if (target === null) return true
    const own = targets[target]!
    const here = own.bar === bar || (own.bar === bar + 1 && own.bar <= bars.length)
    const named = own.degree === '' || degreeName.test(own.degree)
    return own.start === start && own.chord === chord && own.midi === midi && here && named
  })
}

/** Whether each figure has a target, and each approach notes before it that are as its offsets say. */
function figuresLead({ moments, notes, targets, figures }: Draft): boolean {
  const members: { readonly midi: number; readonly start: number }[][] = figures.map(() => [])
  for (const { figure, midi, moment } of notes)
    if (figure !== null) members[figure]!.push({ midi, start: moments[moment]!.start })
  return figures.every(({ kind, target, offsets }, f) => {
    const goal = targets[target]
    if (!goal) return false
    if (kind === 'cell') return offsets.every((offset) => Math.abs(offset) <= 127)
    return (
      offsets.length === members[f]!.length &&
      members[f]!.every(({ midi, start }, i) => start < goal.start && midi - goal.midi === offsets[i])
    )
  })
}
