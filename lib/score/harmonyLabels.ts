/** The words of an analysis as they stand under a chord, line by line. */
import { withSigns } from '../theory/signs.ts'
import type { ScoreHarmony } from './score.ts'

export interface HarmonyLabels {
  /** A new key, `E♭:` or `Cm:`; it stands before the numeral. */
  readonly key: string | null
  readonly numeral: string | null
  /** The chord scale: one line, or two for a long name under a short chord. */
  readonly scale: readonly string[]
}

/** A chord of more ticks, a half note's, has room for any name of a scale in one line. */
const shortChord = 48

/**
 * What stands under a chord.
 *
 * @example
 * labelsOf({ ticks: 48, numeral: 'V7', newKey: 'C minor', scaleName: 'phrygian dominant' })
 * // => { key: 'Cm:', numeral: 'V7', scale: ['phrygian', 'dominant'] }
 * labelsOf({ ticks: 96, numeral: null, newKey: null, scaleName: 'dorian #4' }).scale // => ['dorian ♯4']
 */
export function labelsOf(harmony: Pick<ScoreHarmony, 'ticks' | 'numeral' | 'newKey' | 'scaleName'>): HarmonyLabels {
  const { ticks, numeral, newKey, scaleName } = harmony
  const key = newKey === null ? null : `${newKey.replace(' major', '').replace(' minor', 'm')}:`
  const name = scaleName === null ? null : withSigns(scaleName)
  return { key, numeral, scale: name === null ? [] : ticks > shortChord ? [name] : inTwo(name) }
}

/** A name of several words in two lines, as even as can be. */
function inTwo(name: string): readonly string[] {
  const words = name.split(' ')
  const cuts = words.slice(1).map((_, i) => [words.slice(0, i + 1).join(' '), words.slice(i + 1).join(' ')])
  const longer = (lines: readonly string[]) => Math.max(...lines.map(({ length }) => length))
  return cuts.reduce<readonly string[]>((best, cut) => (longer(cut) < longer(best) ? cut : best), [name])
}
