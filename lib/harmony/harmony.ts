/** The changes as heard: each chord with its local key, function, chord scale and a reason in words. */
import type { Changes, PlayedChord } from '../changes/unrollChart.ts'
import type { Key } from '../theory/key.ts'
import type { ChordScale } from '../theory/scale.ts'

export interface HarmonyChord extends PlayedChord {
  /** The key that the chord is heard in; null for no-chord. */
  readonly localKey: Key | null
  /** Its function there, as a Roman numeral (see `numeralOf`): `ii`, `V`, `V/ii`, `subV`, `bVII7`; null for no-chord. */
  readonly function: string | null
  /** The scale it takes there; null for no-chord. */
  readonly scale: ChordScale | null
  /** A short sentence or two that say why, as a teacher would. */
  readonly reason: string
}

export interface Harmony extends Omit<Changes, 'chords' | 'key'> {
  /** The tune's key: what the chart states, else what is heard. */
  readonly key: Key
  readonly chords: readonly HarmonyChord[]
}
