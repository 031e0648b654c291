/** The feels that a rhythm section plays, and the one that a tune asks for. */
import type { Changes } from '../changes/unrollChart.ts'
import type { Feel } from '../choices/practice.ts'
import { swingAt } from '../score/swing.ts'
import { beatGroups, type Meter, ticksPerBar, ticksPerBeat, ticksPerQuarter } from '../theory/meter.ts'
import { bandStyles } from './bandStyles.ts'

/** Words of a style line and the feel that each asks for; the first that is found decides. Common practice. */
const words: readonly (readonly [pattern: RegExp, feel: Feel])[] = [
  [/\bbossa\b/, 'bossa'],
  [/\b(samba|choro|bai[aã]o|partido)\b/, 'samba'],
  [/\b(mambo|rumba|latin|salsa|cha[- ]?cha|bolero|montuno|calypso|songo)\b/, 'mambo'],
  [/\b(funk|funky|soul|boogaloo)\b/, 'funk'],
  [/\bshuffle\b/, 'shuffle'],
  [/\b(rock|pop)\b/, 'rock'],
  [/\b(even|straight|gospel)\b/, 'even'],
  [/\bwaltz\b/, 'waltz'],
  [/\bballad\b/, 'ballad'],
  [/\b(two[- ](feel|beat)|in (two|2)|2[- ](feel|beat))\b/, 'two'],
]

/**
 * The feel that a tune asks for: by the words of its style line, else by its meter, else by its tempo. A waltz swings in
 * three, meters in eighths are even, and what goes slower than 70 is a ballad. Common practice.
 *
 * @example
 * feelFor('Bossa nova', { beats: 4, unit: 4 }, 140) // => 'bossa'
 * feelFor(null, { beats: 3, unit: 4 }, 140) // => 'waltz'
 * feelFor('Medium swing', { beats: 4, unit: 4 }, 60) // => 'swing'
 */
export function feelFor(style: string | null, meter: Meter, tempo: number): Feel {
  const said = style?.toLowerCase() ?? ''
  const named = words.find(([pattern]) => pattern.test(said))
  if (named) return named[1]
  if (meter.unit >= 8) return 'even'
  if (meter.beats === 3) return 'waltz'
  if (/\b(swing|blues|bop|bebop)\b/.test(said)) return 'swing'
  return tempo < 70 ? 'ballad' : 'swing'
}

/** The feel and the swing ratio that a tune is played with at a tempo, each as chosen or as the tune asks. */
export function feelAndSwing(
  changes: Pick<Changes, 'bars' | 'style'>,
  tempo: number,
  chosen: { readonly feel: Feel | null; readonly swing: number | null },
): { readonly feel: Feel; readonly swing: number } {
  const feel = chosen.feel ?? feelFor(changes.style, meterOf(changes), tempo)
  const { eighths } = bandStyles[feel]
  // A click is no style: it swings as the tempo asks.
  const usual = feel !== 'click' && eighths === 'even' ? 1 : eighths === 'triplets' ? 2 : swingAt(tempo)
  return { feel, swing: chosen.swing ?? usual }
}

/** The meter of the first bar, common time where there is none. */
const meterOf = (changes: Pick<Changes, 'bars'>): Meter => changes.bars[0]?.meter ?? { beats: 4, unit: 4 }

/** The groups of a bar for which a table has figures: the bar as one where there are some for its length, else as it is felt. */
export function groupsFor(
  meter: Meter,
  table: Readonly<Record<number, unknown>>,
): readonly { readonly at: number; readonly ticks: number }[] {
  const ticks = ticksPerBar(meter)
  return meter.unit <= 4 && table[ticks] !== undefined ? [{ at: 0, ticks }] : groupsOf(meter)
}

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
