/** The rhythm of an exact drill between one target and the next: a cell, what is held, and exactly so many approach notes. */
import { eighth } from '../line/planRhythm.ts'

/** A cell is counted as four eighths, the target's own among them. */
const cellNotes = 4
/** A note of a drill is held for a half note at most; what is left over rests. */
const longest = 4 * eighth
/** The shortest note that a drill is squeezed into: a sixteenth. */
const shortest = eighth / 2

/** One note or rest of a gap, in playing order; the first is the target. */
export interface GapNote {
  readonly ticks: number
  readonly part: 'target' | 'cell' | 'rest' | 'approach'
}

/**
 * Lays out the ticks from a target to the next. Even eighths: the target with the rest of its cell, then the approach; where time
 * is left over, the cell's last note is held, since a longer first note would be another figure than the one that was counted. Where eighths are
 * too slow for both, the approach is squeezed into the last beat as a triplet or sixteenths; where there is no room for a cell,
 * the target itself is held. Null where so many notes do not fit at all.
 *
 * @example
 * layGap(96, 4).map(({ ticks }) => ticks) // => [12, 12, 12, 12, 12, 12, 12, 12]
 * layGap(96, 2).map(({ ticks }) => ticks) // => [12, 12, 12, 36, 12, 12]
 * layGap(72, 3).map(({ ticks }) => ticks) // => [12, 12, 12, 12, 8, 8, 8]
 * layGap(48, 4).map(({ ticks }) => ticks) // => [24, 6, 6, 6, 6]
 */
export function layGap(ticks: number, notes: number, withCell = true): readonly GapNote[] | null {
  const cell = cellNotes * eighth
  if (withCell && ticks >= cell + notes * eighth) return gap(ticks, notes, eighth, true)
  const beat = 2 * eighth
  if (withCell && ticks >= cell + beat && notes > 2) return gap(ticks, notes, beat / notes, true)
  if (withCell && ticks >= cell + eighth && notes <= 2) return gap(ticks, notes, eighth / notes, true)
  if (ticks > notes * eighth) return gap(ticks, notes, eighth, false)
  if (ticks >= (notes + 1) * shortest) return gap(ticks, notes, shortest, false)
  return null
}

/** What follows the last target of a line that leads nowhere: its cell, the last note held, then rest. */
export const layEnd = (ticks: number, withCell: boolean): readonly GapNote[] =>
  gap(ticks, 0, eighth, withCell && ticks >= cellNotes * eighth)

function gap(ticks: number, notes: number, value: number, withCell: boolean): readonly GapNote[] {
  const before = ticks - notes * value - (withCell ? (cellNotes - 1) * eighth : 0)
  const held = Math.min(before, longest)
  const last = (part: GapNote['part']): readonly GapNote[] => [
    { ticks: held, part },
    ...(before > held ? [{ ticks: before - held, part: 'rest' } as const] : []),
  ]
  const note = (part: GapNote['part']): GapNote => ({ ticks: eighth, part })
  return [
    ...(withCell ? [note('target'), note('cell'), note('cell'), ...last('cell')] : last('target')),
    ...Array.from({ length: notes }, () => ({ ticks: value, part: 'approach' as const })),
  ]
}
