/** Swing: how much longer the first of two eighths is, and where notes written even are played. */
import { lastStarted } from '../inOrder.ts'
import { type Meter, ticksPerQuarter } from '../theory/meter.ts'

/**
 * The usual swing ratio, long eighth to short, at a tempo in quarter notes a minute: 2 up to 120, even from 300.
 * Source: the trend in Friberg and Sundström, *Music Perception* 19 (2002), drawn as a line.
 *
 * @example
 * swingAt(120) // => 2
 * swingAt(210) // => 1.5
 * swingAt(320) // => 1
 */
export const swingAt = (tempo: number): number => Math.min(2, Math.max(1, 2 - (tempo - 120) / 180))

/** Whether a meter can swing: its beats are quarters or halves. In 6/8 or 7/8 the eighths stay even. */
export const canSwing = (meter: Meter): boolean => meter.unit <= 4

/**
 * Moves the second eighth of each beat from even to late: by the ratio, long to short. A beat that holds triplets or
 * sixteenths is played as written, and so is everything in a meter that cannot swing.
 *
 * @param notes of one part, in ticks
 * @param bars where each bar starts, in ticks, in order
 * @returns the notes moved; what did not overlap still does not
 *
 * @example
 * swingNotes([{ start: 12, ticks: 12 }], [{ start: 0, meter: { beats: 4, unit: 4 } }], 2) // => [{ start: 16, ticks: 8 }]
 * swingNotes([{ start: 8, ticks: 8 }], [{ start: 0, meter: { beats: 4, unit: 4 } }], 2) // => [{ start: 8, ticks: 8 }]
 */
export function swingNotes<T extends { readonly start: number; readonly ticks: number }>(
  notes: readonly T[],
  bars: readonly { readonly start: number; readonly meter: Meter }[],
  ratio: number,
): readonly T[] {
  const barAt = (tick: number) => bars[Math.max(0, lastStarted(bars, tick))]
  const intoBeat = (tick: number) => (tick - (barAt(tick)?.start ?? 0)) % ticksPerQuarter
  const half = ticksPerQuarter / 2
  const later = (ticksPerQuarter * ratio) / (ratio + 1) - half
  const asWritten = new Set(
    notes.filter(({ start }) => intoBeat(start) % half !== 0).map(({ start }) => start - intoBeat(start)),
  )
  const played = (tick: number) => {
    const bar = barAt(tick)
    const swung = bar && canSwing(bar.meter) && intoBeat(tick) === half && !asWritten.has(tick - half)
    return swung ? tick + later : tick
  }
  return notes.map((note) => {
    const start = played(note.start)
    return { ...note, start, ticks: played(note.start + note.ticks) - start }
  })
}
