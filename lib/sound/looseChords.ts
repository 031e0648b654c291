/**
 * Rhythms of the chords that stand in place of a style's own where it is not strict, so that styles are told apart by their comping alone,
 * in three as in four. Common practice, those in three by carrying a style's own places over.
 */
import type { Feel } from '../choices/practice.ts'
import type { BySize } from './bandStyle.ts'

export const looseChords: Readonly<Partial<Record<Feel, BySize<readonly string[]>>>> = {
  two: {
    96: ['1- 3-', '1- 3&-', '2- 4-', '1- 2&-', '3-', '1- 4&', '2- 3&-', '1- 3- 4&'],
    72: ['1-', '1- 3-', '2-', '1- 2&-', '2&-', '1- 3&'],
  },
  shuffle: { 72: ['1& 2& 3&', '2 3', '2 2& 3 3&', '1& 3&', '2& 3&', '1& 2 3&'] },
  rock: { 72: ['1- 2 3', '1 1& 2 2& 3 3&', '1- 3 3&', '1 2 2& 3', '1 1& 2- 3', '1 2 3 3&'] },
  bossa: { 72: ['1- 2& 3& | 2 3-', '1 2&- | 1& 3-', '1- 2&- 3& | 2 3', '1& 2& 3 | 1- 3&-', '2- 3& | 1- 2&'] },
  samba: { 72: ['1 1a 2& 3& | 1& 2 2a 3&', '1& 2 2a 3&', '1a 2& 3a', '1& 2& 3 3a', '1 1a 2& 3a | 1& 2a 3'] },
  mambo: { 72: ['1 1& 2& 3 | 1& 2& 3&', '1& 2& 3&', '1 2& 3 3& | 1& 2 3&', '1 1& 2 3& | 1& 2& 3', '1& 2 2& 3&'] },
  funk: { 72: ['1& 2a', '1a 2& 3a', '2 2a 3&', '1& 1a 3a', '1a 2a 3&', '1 2& 3a'] },
}
