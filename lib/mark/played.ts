/** A line as it was read from a file: its bars as played, its notes as they sound, and the chart that the file holds. */
import { limits } from '../brief.ts'
import type { Bar, Chart } from '../changes/chart.ts'
import { playOrder } from '../changes/playOrder.ts'
import { plainPitch } from '../line/pins.ts'
import type { Problem } from '../problem.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { type Interval, midiOf, type Pitch, transposePitch } from '../theory/pitch.ts'

/** What a person marked a note as, by hand or by a line's own text. */
export type HandMark = 'target' | 'approach' | null

/** A note of a measure as written; `at` counts ticks from the start of the measure. */
export interface WrittenNote {
  readonly at: number
  readonly ticks: number
  /** Sounding, under the letters of the file. */
  readonly pitch: Pitch
  /** Held on from the note before; held into the next. */
  readonly tiedBack: boolean
  readonly tiedOn: boolean
  readonly mark?: HandMark
}

/** The notes of one written measure, and how long it lasts where it is a pickup. */
export interface WrittenMeasure {
  readonly notes: readonly WrittenNote[]
}

/** A note as played: ticks from the start of bar 1; those of a pickup are negative. */
export interface PlayedNote {
  readonly start: number
  readonly ticks: number
  readonly pitch: Pitch
  readonly mark: HandMark
}

/** How a part is written, as far as the file says. */
export interface PartHead {
  readonly name: string | null
  /** Sounding minus written. */
  readonly transposition: Interval
  /** General MIDI program from 0; null where the file names none. */
  readonly program: number | null
}

export interface PlayedLine extends PartHead {
  /** Bars, form, key and chords as the file has them; without chords where it has none. */
  readonly chart: Chart
  readonly notes: readonly PlayedNote[]
  /** The names of all parts that hold notes, the one read first or by its number. */
  readonly parts: readonly string[]
  /** True where letters are worth keeping: not in MIDI. */
  readonly spelled: boolean
  /** The roles that one of our own files carries, unchecked. */
  readonly carried: string | null
}

/** A line, or what is wrong with the file; with a line, what was passed over. */
export type Reading =
  | { readonly played: PlayedLine; readonly problems: readonly Problem[] }
  | { readonly played: null; readonly problems: readonly Problem[] }

export const problem = (code: string, found: string, expected: string, hint: string, at = 0, end = at): Problem => ({
  severity: 'error',
  code,
  span: { start: at, end },
  found,
  expected,
  hint,
})

export const refused = (...args: Parameters<typeof problem>): Reading => ({
  played: null,
  problems: [problem(...args)],
})

/** A chart without its first bar, which is a pickup: what comes after it counts from 1. */
export function withoutPickup(chart: Chart): Chart {
  const [, ...rest] = chart.bars
  const bars = rest.map((bar, index): Bar => ({ ...bar, index }))
  return { ...chart, key: chart.key, bars, playOrder: playOrder(bars) }
}

/** Ticks from the start of bar 1 at which each bar begins as played. */
function startsOf({ bars, playOrder }: Pick<Chart, 'bars' | 'playOrder'>): readonly number[] {
  let start = 0
  return playOrder.map((index) => {
    const here = start
    start += ticksPerBar(bars[index]!.meter)
    return here
  })
}

/**
 * Plays measures through in the order of their chart, tied notes joined. What overlaps the next note is cut where that begins.
 *
 * @param measures - one a bar of the chart
 * @param pickup - the notes before bar 1, and how long that measure lasts
 */
export function playMeasures(
  measures: readonly WrittenMeasure[],
  chart: Pick<Chart, 'bars' | 'playOrder'>,
  pickup: { readonly measure: WrittenMeasure; readonly ticks: number } | null,
): readonly PlayedNote[] {
  const notes: PlayedNote[] = []
  let open = false
  const play = (measure: WrittenMeasure | undefined, start: number) => {
    for (const { at, ticks, pitch, tiedBack, tiedOn, mark = null } of measure?.notes ?? []) {
      const last = notes.at(-1)
      const from = start + at
      const joins = tiedBack && open && last && midiOf(last.pitch) === midiOf(pitch) && last.start + last.ticks === from
      if (joins) notes[notes.length - 1] = { ...last, ticks: last.ticks + ticks }
      else {
        if (last && last.start + last.ticks > from) notes[notes.length - 1] = { ...last, ticks: from - last.start }
        notes.push({ start: from, ticks, pitch, mark })
      }
      open = tiedOn
    }
  }
  if (pickup) play(pickup.measure, -pickup.ticks)
  const starts = startsOf(chart)
  // What is longer is refused, and not played out first.
  for (const [i, index] of chart.playOrder.slice(0, limits.bars).entries()) play(measures[index], starts[i]!)
  return notes.filter(({ ticks }) => ticks > 0)
}

/** What sounds where a pitch is written, under a name of one accidental at most. */
export function sounding(written: Pitch, transposition: Interval): Pitch {
  const pitch = transposePitch(written, transposition)
  return Math.abs(pitch.alter) > 1 ? plainPitch(midiOf(pitch)) : pitch
}
