/** Touch: what a note's articulation does to its loudness and its length. The one place where articulation becomes sound. */

import type { NoteArticulation } from '../line/line.ts'

export type Touch = 'slurred' | 'tongued' | 'leaned' | 'swallowed' | 'short'

/**
 * Each touch as a factor of loudness and of length: slurred runs into the next note, tongued is let go a little before it, leaned is an
 * accent, swallowed a ghosted note, short a staccato.
 */
export const touches: Readonly<Record<Touch, { readonly loud: number; readonly length: number }>> = {
  slurred: { loud: 0.98, length: 1 },
  tongued: { loud: 1, length: 0.92 },
  leaned: { loud: 1.12, length: 1 },
  swallowed: { loud: 0.55, length: 0.85 },
  short: { loud: 1.04, length: 0.6 },
}

/** The touch of a note whose articulation is written. */
export const touchOf = ({ slur, accent, short, ghost }: NoteArticulation): Touch =>
  ghost ? 'swallowed' : short ? 'short' : accent ? 'leaned' : slur === null || slur === 'stop' ? 'tongued' : 'slurred'
