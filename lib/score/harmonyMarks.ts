/** What an analysis puts on a part: over which chords its numerals, keys, scales and ii–Vs stand, in the names that its player reads. */
import type { Brief } from '../brief.ts'
import { analyseHarmony } from '../harmony/analysis.ts'
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { nameScale } from '../harmony/overBass.ts'
import { readHarmony } from '../harmony/readHarmony.ts'
import { transposeHarmony } from '../harmony/transposeHarmony.ts'
import type { Line } from '../line/line.ts'
import { invert } from '../theory/pitch.ts'
import type { ScoreHarmony } from './score.ts'
import { writtenPart } from './writtenPart.ts'

export type HarmonyMarks = Pick<ScoreHarmony, 'numeral' | 'newKey' | 'scaleName' | 'twoFive'>

export const noMarks: HarmonyMarks = { numeral: null, newKey: null, scaleName: null, twoFive: null }

/** The harmony of a line as its player reads it: chords, keys, scales and reasons in the key of the part. */
export function writtenHarmony({ key, instrument, harmony }: Line, { pitch }: Pick<Brief, 'pitch'>): Harmony {
  const up = invert(writtenPart(key, instrument, pitch === 'concert').transposition)
  if (up.steps === 0 && up.semitones === 0) return harmony
  const moved = transposeHarmony(harmony, up)
  // Heard again, so that keys are named and reasons told as for a chart in these names.
  const heard = readHarmony({ ...moved, key: moved.bars[0]?.key ?? null })
  const chords = moved.chords.map((chord, i): HarmonyChord => {
    const { localKey, reason } = heard.chords[i]!
    return { ...chord, localKey, reason }
  })
  return { ...moved, chords }
}

/**
 * The marks of some chords that follow each other, in their order, as far as they are asked for. What a chord has in common
 * with the one before it is not said again, and a ii–V that the cut goes through is no longer marked.
 */
export function marksOf(chords: readonly HarmonyChord[], show: Brief['show']): readonly HarmonyMarks[] {
  const { chords: marks, brackets } = analyseHarmony({ chords })
  const places = new Map<number, HarmonyMarks['twoFive']>()
  for (const { from, to } of brackets)
    for (let at = from; at <= to; at++) places.set(at, at === from ? 'start' : at === to ? 'end' : 'middle')
  const analysis = show.includes('analysis')
  const scales = show.includes('scales')
  return chords.map(({ root, chord, bass, scale }, at): HarmonyMarks => {
    const { numeral, key, scale: whole } = marks[at]!
    const goesOn = whole === null || marks[at - 1]?.scale === whole
    return {
      numeral: analysis ? numeral : null,
      newKey: analysis ? key : null,
      scaleName: scales && !goesOn && root && chord && scale ? nameScale(root, chord, bass, scale).name : null,
      twoFive: analysis ? (places.get(at) ?? null) : null,
    }
  })
}
