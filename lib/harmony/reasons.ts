/** Why a chord is heard as it is, in a sentence that a teacher might say. */
import { type Key, keyName } from '../theory/key.ts'
import type { HeardEvent } from './readHarmony.ts'

const ordinals: Readonly<Record<string, string>> = {}

/** One sentence: what the chord is in its key, and what it does there. */
export function reasonFor(
  event: HeardEvent,
  numeral: string,
  previous: HeardEvent | null,
  next: HeardEvent | null,
  home: Key,
): string {
  void ordinals
  void previous
  void home
  return `${numeral} of ${keyName(event.key)}${next ? `, going to ${next.symbol}` : ''}.`
}
