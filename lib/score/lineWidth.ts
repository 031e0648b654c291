/** How much room music takes across the page, in staff spaces, so that lines can be broken before they are engraved. */
import { labelsOf } from './harmonyLabels.ts'
import type { ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'

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
export const labelWidth = (letters: number): number => (letters === 0 ? 0 : 1 + letters * 0.75)

/** The width of what an analysis says under a chord. */
function labelled(harmony: ScoreHarmony): number {
  const { key, numeral, scale } = labelsOf(harmony)
  const first = [key, numeral].filter((text) => text !== null).join(' ')
  return labelWidth(Math.max(0, ...[first, ...scale].map(({ length }) => length)))
}

/** The width of a bar: its notes, or its chord symbols with what is said under them, where these need more. */
export function barWidth({ events, harmony }: Pick<ScoreBar, 'events' | 'harmony'>): number {
  const widths = events.map(({ value, accidental }) => noteWidth(value, accidental))
  const notes = widths.reduce((sum, width) => sum + width, 0)
  const chords = harmony.reduce((sum, { symbol }) => sum + chordWidth(symbol.length), 0)
  // A label keeps the next one off, so that it may need more than the notes over it.
  const labels = harmony.reduce((sum, each) => {
    const over = events.reduce(
      (width, { at }, i) => (at >= each.at && at < each.at + each.ticks ? width + widths[i]! : width),
      0,
    )
    return sum + Math.max(labelled(each), over)
  }, 0)
  return Math.max(notes, chords, labels) + barLineWidth
}
