/** The most that anything may grow to; beyond it the person is told, and nothing is cut in silence. */
import { fixed } from '../fixed.ts'

export const limits = fixed({
  /** Characters of changes. */
  changes: 65_536,
  /** Bars as played, all choruses. */
  bars: 2_048,
  /** Bars as a file has them written, in one part. */
  barsWritten: 4_096,
  choruses: 64,
  keys: 12,
  passes: 999,
  pins: 256,
  /** Parts of a class set, the concert score apart. */
  parts: 32,
  /** Files of a class packet, its bars on paper all together, and the minutes of its recordings. */
  packetFiles: 400,
  packetBars: 24_000,
  packetMinutes: 60,
  title: 200,
  /** Characters of an address that stays readable; beyond it the changes are packed into `z`. */
  readableAddress: 1_000,
  /** Characters of a plan. */
  plan: 4_096,
  /** Characters of a table of figures of one's own. */
  own: 65_536,
  /** Characters of a kept line: 2,048 bars of sixteenths. */
  kept: 65_536,
  /** Characters of any other choice. */
  choice: 4_096,
  /** Figures asked for by name. */
  figures: 64,
  seed: 4_294_967_295,
  /** Quarter notes a minute, slowest and quickest: what a metronome has, and more at the quick end. */
  tempo: [40, 320],
} as const)
