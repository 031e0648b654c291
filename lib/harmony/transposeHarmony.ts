/** Harmony in another key or for another instrument: what was heard stays, every name moves. */
import { transposeSymbol } from '../changes/transposeChart.ts'
import { familyOf, has } from '../theory/chord.ts'
import { fullSignatureOf, type Key, keyAt, transposeKey } from '../theory/key.ts'
import { chromaOf, type Interval, nameOf } from '../theory/pitch.ts'
import { spellScale } from './chooseScale.ts'
import type { Harmony, HarmonyChord } from './harmony.ts'

const keyUp = (key: Key, interval: Interval): Key => {
  const up = transposeKey(key, interval)
  return Math.abs(fullSignatureOf(up)) > 7 ? { ...up, ...keyAt(chromaOf(up.tonic), key.mode) } : up
}

/**
 * A chord on D, G or A sharp under its flat name, in a key that has no sharps: E flat m7 and A flat 7 for D sharp m7 and G sharp
 * 7 in B flat, as players read them. Diminished chords lead upward and keep their sharps, a minor chord keeps G sharp.
 */
function withFlats(chord: HarmonyChord, key: Key): HarmonyChord {
  if (!chord.root || !chord.chord || fullSignatureOf(key) > 0) return chord
  const family = familyOf(chord.chord)
  const flattened = has(chord.chord, 'b3') ? ['D#', 'A#'] : ['D#', 'G#', 'A#']
  const leads = family === 'diminished' || family === 'half-diminished'
  return leads || !flattened.includes(nameOf(chord.root))
    ? chord
    : transposeSymbol(chord, { steps: 1, semitones: 0 }, key)
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
    const moved = withFlats(transposeSymbol(chord, interval, near), near)
    return {
      ...moved,
      localKey: localKey && keyUp(localKey, interval),
      scale: scale && spellScale(moved.root!, scale.name, scale.degrees),
    }
  })
  return { ...harmony, key, bars, chords }
}
