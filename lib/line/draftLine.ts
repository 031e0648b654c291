/** From harmony and brief to a line in numbers: targets, rhythm and notes as MIDI, ready to be carried to any key and spelled. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { type Instrument, soundingPitch } from '../theory/instrument.ts'
import { nameOf, type Pitch, midiOf as pitchMidi } from '../theory/pitch.ts'
import { chooseTargets, placeTargets, type Target, type TargetSlot } from './chooseTargets.ts'
import { type DrawnNote, drawLine, lineLattice } from './drawLine.ts'
import { mixtureOf } from './mixture.ts'
import { type Moment, planRhythm } from './planRhythm.ts'

/** A rule that could not be kept, and where. */
export interface Relaxed {
  readonly rule: string
  readonly bar: number
  readonly why: string
}

/** A line in numbers, at sounding pitch. */
export interface Draft {
  readonly targets: readonly Target[]
  readonly moments: readonly Moment[]
  readonly notes: readonly DrawnNote[]
  readonly approaches: readonly { readonly target: number; readonly offsets: readonly number[] }[]
  readonly relaxed: readonly Relaxed[]
}

/** Why no line could be drafted, in words for the person. */
export interface Refusal {
  readonly found: string
  readonly expected: string
  readonly hint: string
}

/** The narrowest range that a line is asked to move in, in semitones: every chord has a guide tone in it. */
export const narrowest = 11

/** The sounding range of a brief: what it says, else the instrument's comfortable range. MIDI, both ends included. */
export function soundingRange(instrument: Instrument, brief: Pick<Brief, 'low' | 'high'>): readonly [number, number] {
  const sounding = (written: Pitch) => pitchMidi(soundingPitch(instrument, written))
  return [sounding(brief.low ?? instrument.comfortable[0]), sounding(brief.high ?? instrument.comfortable[1])]
}

/**
 * Drafts a line over a harmony: slots, targets, rhythm and notes, all drawn by the seed inside a sounding range. A refusal
 * where the range holds no such line.
 */
export function draftLine(
  harmony: Harmony,
  brief: Brief,
  range: readonly [number, number],
  seed: number,
): Draft | Refusal {
  const slots: readonly TargetSlot[] = placeTargets(harmony, brief)
  const targets = chooseTargets(harmony, slots, range, seed)
  if (!targets) return refusal(range)
  const moments = planRhythm(harmony, targets, { rhythm: brief.rhythm, seed })
  const laid = lineLattice(harmony, moments, targets, range, {
    kinds: brief.approach,
    notes: brief.notes,
    textbook: brief.textbook,
    mixture: mixtureOf(brief.approach),
    pinnedApproaches: new Map(),
    pinnedNotes: new Map(),
  })
  const drawn = laid.moments.length === 0 ? { notes: [], approaches: [], cost: 0 } : drawLine(laid, seed)
  if (!drawn) return refusal(range)
  const relaxed = drawn.approaches
    .filter(({ forced }) => forced)
    .map(({ target, offsets }) => ({
      rule: 'approach-kinds',
      bar: targets[target]!.bar,
      why: `no ${brief.approach.join(' or ')} approach of at most ${brief.notes} notes fits here; ${Math.abs(offsets[0]!)} semitones ${offsets[0]! > 0 ? 'from above' : 'from below'} instead`,
    }))
  return { targets, moments, notes: drawn.notes, approaches: drawn.approaches, relaxed }
}

const refusal = ([low, high]: readonly [number, number]): Refusal => ({
  found: `a range of ${Math.max(0, high - low)} semitones`,
  expected: `a range of at least ${narrowest} semitones, so that every target has a place`,
  hint: 'lower the low note or raise the high note',
})

/** A range as a player would say it, for messages. */
export const rangeName = (low: Pitch, high: Pitch): string => `${nameOf(low)} to ${nameOf(high)}`
