/** The feels that a rhythm section plays, and the one that a tune asks for. */
import type { Feel } from '../brief.ts'
import type { Changes } from '../changes/unrollChart.ts'
import { swingAt } from '../score/swing.ts'
import { beatGroups, type Meter, ticksPerBar, ticksPerBeat, ticksPerQuarter } from '../theory/meter.ts'

/**
 * The feel that a tune asks for: by the words of its style line, else by its meter, else by its tempo. A waltz swings in
 * three, meters in eighths are even, and what goes slower than 70 is a ballad. Common practice.
 *
 * @example
 * feelFor('Bossa nova', { beats: 4, unit: 4 }, 140) // => 'even'
 * feelFor(null, { beats: 3, unit: 4 }, 140) // => 'waltz'
 * feelFor('Medium swing', { beats: 4, unit: 4 }, 60) // => 'swing'
 */
export function feelFor(style: string | null, meter: Meter, tempo: number): Feel {
  const words = style?.toLowerCase() ?? ''
  if (/\b(even|straight|bossa|samba|latin|rock|funk|gospel|baiao|mambo|rumba|choro)\b/.test(words)) return 'even'
  if (/\bwaltz\b/.test(words)) return 'waltz'
  if (/\bballad\b/.test(words)) return 'ballad'
  if (meter.unit >= 8) return 'even'
  if (meter.beats === 3) return 'waltz'
  if (/\b(swing|shuffle|blues|bop|bebop)\b/.test(words)) return 'swing'
  return tempo < 70 ? 'ballad' : 'swing'
}

/** The feel and the swing ratio that a tune is played with at a tempo, each as chosen or as the tune asks. */
export function feelAndSwing(
  changes: Pick<Changes, 'bars' | 'style'>,
  tempo: number,
  chosen: { readonly feel: Feel | null; readonly swing: number | null },
): { readonly feel: Feel; readonly swing: number } {
  const feel = chosen.feel ?? feelFor(changes.style, meterOf(changes), tempo)
  return { feel, swing: chosen.swing ?? (feel === 'even' ? 1 : swingAt(tempo)) }
}

/** The meter of the first bar, common time where there is none. */
export const meterOf = (changes: Pick<Changes, 'bars'>): Meter => changes.bars[0]?.meter ?? { beats: 4, unit: 4 }

/** The groups of a bar as ticks: where each starts and how long it is. */
export function groupsOf(meter: Meter): readonly { readonly at: number; readonly ticks: number }[] {
  const beat = ticksPerBeat(meter)
  let at = 0
  return beatGroups(meter).map((size) => {
    const group = { at, ticks: size * beat }
    at += group.ticks
    return group
  })
}

/**
 * The ticks of a bar on which a player would count: the quarters, in 2/2 too; the dotted quarters of 6/8, 9/8 and 12/8; the
 * groups of 5/8 or 7/8.
 *
 * @example
 * countedTicks({ beats: 3, unit: 4 }) // => [0, 24, 48]
 * countedTicks({ beats: 6, unit: 8 }) // => [0, 36]
 */
export function countedTicks(meter: Meter): readonly number[] {
  if (meter.unit >= 8) return groupsOf(meter).map((group) => group.at)
  return Array.from({ length: ticksPerBar(meter) / ticksPerQuarter }, (_, i) => i * ticksPerQuarter)
}
