/** What a band plays over a stretch of a tune: named tracks of notes, in ticks; and the stretch that it is made from. */

import type { PlayedBar } from '../changes/unrollChart.ts'
import type { Feel, Looseness } from '../choices/practice.ts'
import type { HarmonyChord } from '../harmony/harmony.ts'
import type { Line } from '../line/line.ts'
import type { Key } from '../theory/key.ts'
import { midiOf, modulo } from '../theory/pitch.ts'
import { type Touch, touchOf } from './touch.ts'

/** `click` goes on through the tune, `count` only before it. */
export const parts = ['line', 'bass', 'chords', 'drums', 'click', 'count'] as const
export type Part = (typeof parts)[number]

export interface SoundNote {
  /** Ticks from the start of the arrangement, count-in included; from the start of the passage before it is arranged. */
  readonly start: number
  readonly ticks: number
  /** Sounding; for drums and click the General MIDI percussion key. */
  readonly midi: number
  /** 0 to 1. */
  readonly velocity: number
  /** The id of the written note, `n-BAR-TICK`: on notes of the line only. */
  readonly id?: string
  /** How it is touched, where that is written. */
  readonly touch?: Touch
}

export interface Track {
  readonly part: Part
  /** As a person would name it: `Alto saxophone`, `Bass`. */
  readonly name: string
  /** General MIDI program, from 0; null for percussion. */
  readonly program: number | null
  readonly notes: readonly SoundNote[]
}

/** A bar of an arrangement; a bar of the count-in has number 0, those of an ending that of the last bar. */
export interface ArrangedBar extends Pick<PlayedBar, 'bar' | 'start' | 'ticks' | 'meter' | 'key'> {
  /** A section begins here, or where none are named the next eight bars, or the next time through. */
  readonly opens: boolean
}

export interface Arrangement {
  readonly title: string | null
  readonly key: Key
  readonly feel: Feel
  /** Quarter notes a minute. */
  readonly tempo: number
  /** Long eighth to short: 1 is even, 2 triplets. */
  readonly swing: number
  /** What draws everything that is drawn. */
  readonly seed: number
  /** How the notes lie about the beat. */
  readonly looseness: Looseness
  /** General MIDI program of the line's instrument, from 0. */
  readonly program: number
  /** Count-in first, then the bars of the passage. */
  readonly bars: readonly ArrangedBar[]
  /** Chord symbols with their starts, for MIDI markers. */
  readonly chords: readonly { readonly start: number; readonly symbol: string }[]
  /** What the band could not play as written, in words; empty for nearly every tune. */
  readonly replaced: readonly string[]
  readonly tracks: readonly Track[]
}

/** A stretch of a tune cut out to be played: ticks are counted from its own first bar. */
export interface Passage {
  readonly bars: readonly ArrangedBar[]
  /** Each within the stretch; equal neighbours joined into one, with the bar of the first. */
  readonly chords: readonly HarmonyChord[]
  /** The chord that comes after the last bar: the first again where it goes round, null where it ends. */
  readonly next: HarmonyChord | null
}

const sameChord = (a: HarmonyChord, b: HarmonyChord): boolean => a.symbol === b.symbol

/**
 * Cuts bars `from` to `to` (played bars, counted from 1) out of a tune. `round` says that the last bar leads back to the
 * first, as in a loop; else it leads to the bar after it, or ends with the tune.
 */
export function cutPassage(line: Line, from: number, to: number, round: boolean): Passage {
  const { harmony } = line
  const bars = harmony.bars.filter(({ bar }) => bar >= from && bar <= to)
  const zero = bars[0]?.start ?? 0
  const chords: HarmonyChord[] = []
  for (const chord of harmony.chords) {
    if (chord.bar < from || chord.bar > to || chord.ticks === 0) continue
    const before = chords.at(-1)
    if (before && sameChord(before, chord)) chords[chords.length - 1] = { ...before, ticks: before.ticks + chord.ticks }
    else chords.push({ ...chord, start: chord.start - zero })
  }
  const opening = sectionStarts(harmony.bars)
  const after = round ? chords[0] : harmony.chords.find(({ bar }) => bar > to)
  return {
    bars: bars.map(({ bar, start, ticks, meter, key }) => ({
      bar,
      start: start - zero,
      ticks,
      meter,
      key,
      opens: opening.has(bar),
    })),
    chords,
    next: after ?? null,
  }
}

/** The bars, by their numbers, in which a section begins. */
function sectionStarts(bars: readonly PlayedBar[]): ReadonlySet<number> {
  const named = bars.some(({ section }) => section !== null)
  let inChorus = 0
  return new Set(
    bars.flatMap(({ bar, section, chorus }, i) => {
      inChorus = chorus === bars[i - 1]?.chorus ? inChorus + 1 : 0
      return inChorus === 0 || (named ? section !== null : inChorus % 8 === 0) ? [bar] : []
    }),
  )
}

/** Whether a passage that begins with bar 1 has notes before it. */
export const hasPickup = (line: Line, from: number): boolean => from === 1 && line.notes[0]?.bar === 0

/**
 * The notes of the line in the same stretch; one held over from before it sounds what is left of it. A pickup sounds before
 * it, at ticks below 0, where it is asked for.
 */
export function cutLine(line: Line, from: number, to: number, pickup = false): readonly SoundNote[] {
  const bars = line.harmony.bars.filter(({ bar }) => bar >= from && bar <= to)
  const first = bars[0]
  const last = bars.at(-1)
  if (!first || !last) return []
  const zero = first.start
  const end = last.start + last.ticks
  return line.notes.flatMap((note) => {
    if (note.bar === 0 && note.pitch && pickup) return [lineNote(line, note, note.start - zero, note.ticks)]
    if (!note.pitch || note.start >= end || note.start + note.ticks <= zero) return []
    const start = Math.max(note.start, zero)
    const stop = Math.min(note.start + note.ticks, end)
    return [lineNote(line, note, start - zero, stop - start)]
  })
}

function lineNote(line: Line, note: Line['notes'][number], start: number, ticks: number): SoundNote {
  const first = line.harmony.bars[0]!
  const opens = note.bar === 0 ? line.notes[0]!.start : line.harmony.bars[note.bar - 1]!.start
  const at = note.start - opens
  const offBeat = modulo(note.start - (note.bar === 0 ? first.start : opens), 24) === 12
  // Off the beat a little louder, landings louder still: how players lean on a line (common practice).
  const velocity = note.role === 'target' ? 0.86 : offBeat ? 0.8 : 0.72
  const touch = note.articulation ? { touch: touchOf(note.articulation) } : {}
  return { start, ticks, midi: midiOf(note.pitch!), velocity, id: `n-${note.bar}-${at}`, ...touch }
}
