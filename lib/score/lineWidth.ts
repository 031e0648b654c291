/** How much room music takes across the page, in staff spaces, so that lines can be broken before they are engraved. */
import type { ScoreBar, ScoreEvent } from './score.ts'

/** Clef, signature and meter at the start of a line; a bar line with its air. */
export const startWidth = 9
export const barLineWidth = 1.6

/**
 * How far over its room a line may go by these widths: over 334 lines the engraver's natural width was 0.91 of them at the median
 * and 1.02 at most, and it sets notes up to a fifth closer than that without complaint.
 */
export const squeeze = 1.15

/**
 * What a note of a value takes, after the engraver's own spacing (which grows with the power 0.6 of the length).
 */
const valueWidths: Readonly<Record<ScoreEvent['value'], number>> = { 1: 6, 2: 4.6, 4: 3.3, 8: 2.4, 16: 2, 32: 1.8 }

/** The width of one note or rest with its accidental. */
export const noteWidth = (value: number, accidental: ScoreEvent['accidental']): number =>
  (valueWidths[value as ScoreEvent['value']] ?? 2.4) + (accidental === null ? 0 : accidental === 'shown' ? 1 : 1.8)

/** The width of a chord symbol by its letters, air included. */
export const chordWidth = (letters: number): number => 1.4 + letters * 1.15

/** The width of a label below the staff, air included. */
const labelWidth = (letters: number): number => 1 + letters * 0.75

/** The width of a bar: its notes, or its chord symbols with what is said under them, where these need more. */
export function barWidth({ events, harmony }: Pick<ScoreBar, 'events' | 'harmony'>): number {
  const notes = events.reduce((sum, event) => sum + noteWidth(event.value, event.accidental), 0)
  const chords = harmony.reduce(
    (sum, { symbol, scaleName }) => sum + Math.max(chordWidth(symbol.length), labelWidth(scaleName?.length ?? 0)),
    0,
  )
  return Math.max(notes, chords) + barLineWidth
}
