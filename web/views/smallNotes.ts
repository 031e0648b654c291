/** A figure as a few small notes on a staff, to choose by sight: every accidental written, the target ringed. */
import type { Instrument } from '../../lib/theory/instrument.ts'
import { letters, modulo, naturalAt, type Pitch, stepOf } from '../../lib/theory/pitch.ts'
import { printSigns, signsOf } from '../../lib/theory/signs.ts'
import { sayNote } from './words.ts'

/** Letters above C0 of the bottom line of each clef. */
const bottomLine: Readonly<Record<Instrument['clef'], number>> = {
  treble: 30,
  'treble-8': 23,
  alto: 24,
  tenor: 22,
  bass: 18,
}

/** Half a space between lines, in units of the picture. */
const step = 3
const head = { width: 4, height: 2.7 }

/** How many letters a note lies above the bottom line. */
const height = ({ letter, octave }: Pitch, clef: Instrument['clef']): number =>
  7 * octave + stepOf(letter) - bottomLine[clef]

/**
 * A figure as a picture of its own, with what it shows as its name.
 *
 * @param notes - as the player reads them, in playing order
 * @param target - which of them is the target; null for none
 */
export function smallNotes(notes: readonly Pitch[], clef: Instrument['clef'], target: number | null): string {
  const heights = notes.map((note) => height(note, clef))
  const [low, high] = [Math.min(0, ...heights), Math.max(8, ...heights)]
  const y = (up: number): number => (high - up + 2) * step
  let x = 4
  const drawn: string[] = []
  for (const [index, note] of notes.entries()) {
    const at = heights[index]!
    const sign = printSigns(signsOf(note.alter))
    if (sign !== '') {
      x += 5
      drawn.push(`<text x="${x}" y="${y(at) + 3.4}" font-size="12" text-anchor="middle">${sign}</text>`)
      x += 3
    }
    x += 6
    for (let ledger = -2; ledger >= at; ledger -= 2) drawn.push(line(x - 6.5, x + 6.5, y(ledger)))
    for (let ledger = 10; ledger <= at; ledger += 2) drawn.push(line(x - 6.5, x + 6.5, y(ledger)))
    const [cx, cy] = [x, y(at)]
    drawn.push(
      `<ellipse class="head" cx="${cx}" cy="${cy}" rx="${head.width}" ry="${head.height}" transform="rotate(-22 ${cx} ${cy})"/>`,
    )
    if (index === target) drawn.push(`<circle class="aim" cx="${cx}" cy="${cy}" r="6.4"/>`)
    x += 10
  }
  const wide = x + 1
  const staff = [0, 2, 4, 6, 8].map((up) => line(0, wide, y(up))).join('')
  const tall = (high - low + 4) * step
  return `<svg class="smallnotes" role="img" aria-label="${sayFigure(notes, target)}" width="${scaled(wide)}" height="${scaled(tall)}" viewBox="0 0 ${wide} ${tall}">${staff}${drawn.join('')}</svg>`
}

/** How large the picture stands on the page. */
const scaled = (units: number): number => Math.round(1.3 * units)

const line = (from: number, to: number, y: number): string => `<path d="M${from} ${y}H${to}"/>`

/** A figure as it is said: D flat, B, target C. */
const sayFigure = (notes: readonly Pitch[], target: number | null): string =>
  notes.map((note, index) => (index === target ? `target ${sayNote(note)}` : sayNote(note))).join(', ')

/** The C that figures without a chord are shown around, as a MIDI number. */
const middle = 72

/** An approach by its offsets in semitones, shown around a C in treble clef. */
export const smallApproach = (offsets: readonly number[]): string =>
  smallNotes(
    [...offsets, 0].map((offset) => naturalAt(middle + offset, 'flat')),
    'treble',
    offsets.length,
  )

/** A cell by its scale steps, shown from the C below that. */
export const smallCell = (steps: readonly number[]): string =>
  smallNotes(
    steps.map((step) => {
      const up = 7 * (middle / 12 - 2) + step
      return { letter: letters[modulo(up, 7)]!, alter: 0, octave: Math.floor(up / 7) }
    }),
    'treble',
    0,
  )
