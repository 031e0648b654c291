/** The balance of the band: how much louder or softer each part plays in each style, so that all styles come out alike. */
import type { Feel } from '../choices/practice.ts'
import type { Part } from './arrangement.ts'
import type { Voice } from './tones.ts'

/**
 * Factors that bring bass, chords and drums to -20, -22 and -22 LUFS beside a line at -18 (EBU R 128), whatever the style plays:
 * sparse brushes come up, a busy walking bass comes down. Measured, and held by `test/sound/balance.test.ts`.
 */
const shares: Readonly<Record<Exclude<Feel, 'click'>, Readonly<Partial<Record<Part, number>>>>> = {
  swing: { bass: 0.65, chords: 1.23, drums: 0.75 },
  two: { bass: 0.85, chords: 1.24, drums: 0.94 },
  shuffle: { bass: 0.65, chords: 1.23, drums: 0.86 },
  ballad: { bass: 1.0, chords: 1.46, drums: 1.88 },
  waltz: { bass: 0.74, chords: 1.2, drums: 0.83 },
  bossa: { bass: 0.77, chords: 1.2, drums: 1.08 },
  samba: { bass: 0.6, chords: 1.08, drums: 0.6 },
  mambo: { bass: 0.78, chords: 1.08, drums: 0.97 },
  funk: { bass: 0.85, chords: 1.24, drums: 0.77 },
  rock: { bass: 0.66, chords: 1.12, drums: 0.74 },
  even: { bass: 0.75, chords: 1.17, drums: 0.92 },
}

/** The factor of loudness of a part in a style. */
export const shareOf = (feel: Feel, part: Part): number => (feel === 'click' ? 1 : (shares[feel][part] ?? 1))

/** The same for a part that plays on recorded notes, whose strokes are shorter or less full than plain ones. */
export const recordedShare: Readonly<Partial<Record<Part, number>>> = { bass: 1.1, chords: 1.33, drums: 1.46 }

/** The same for a line on plain sound: what is struck or plucked is loud at first, and would stand out beside what is blown. */
export const plainLineShare = (voice: Voice): number =>
  voice === 'struck' || voice === 'bar' || voice === 'plucked' ? 0.78 : voice === 'bass' ? 0.95 : 1
