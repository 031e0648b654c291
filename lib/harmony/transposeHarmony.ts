/** Harmony in another key or for another instrument: what was heard stays, every name moves. */
import { rootUp, transposeSymbol } from '../changes/transposeChart.ts'
import { type Key, keyAt, signatureOf, transposeKey } from '../theory/key.ts'
import { chromaOf, type Interval } from '../theory/pitch.ts'
import { spellScale } from './chooseScale.ts'
import type { Harmony, HarmonyChord } from './harmony.ts'

const keyUp = (key: Key, interval: Interval): Key => {
  const up = transposeKey(key, interval)
  return Math.abs(signatureOf(up)) > 7 ? keyAt(chromaOf(up.tonic), key.mode) : up
}

/**
 * The whole harmony an interval up, as for a part that is written other than it sounds: chords, local keys and scales are
 * named anew, functions stay. Reasons still speak of the chords as they were.
 */
export function transposeHarmony(harmony: Harmony, interval: Interval): Harmony {
  const key = keyUp(harmony.key, interval)
  const bars = harmony.bars.map((bar) => ({ ...bar, key: bar.key && keyUp(bar.key, interval) }))
  const chords = harmony.chords.map((chord): HarmonyChord => {
    const { root, localKey, scale, bar } = chord
    if (!root) return chord
    const near = bars[bar - 1]?.key ?? key
    const moved = transposeSymbol(chord, interval, near)
    return {
      ...moved,
      localKey: localKey && keyUp(localKey, interval),
      scale: scale && spellScale(rootUp(root, interval, near), scale.name, scale.degrees),
    }
  })
  return { ...harmony, key, bars, chords }
}
