/** The brief in a line or two of words, for the foot of a printed sheet. */
import type { Brief } from '../brief.ts'
import { type ChoiceName, inWords } from '../choices/choices.ts'
import { nameOfKey } from '../theory/key.ts'
import { nameOf } from '../theory/pitch.ts'
import { withSigns } from '../theory/signs.ts'

const said = (name: ChoiceName, value: string | number): string => inWords(name, String(value), 'printed')

/**
 * Says what a brief asks for: the targets, the approaches, the rhythm, the keys and the number of the line.
 *
 * @example
 * briefInWords({ ...defaultBrief, keys: 'fourths', seed: 7 })
 * // => 'Thirds and sevenths on every downbeat and change, approached by up to four notes: enclosures and chromatic steps. Even eighths. All twelve keys by fourths, the same line in each. Line 7.'
 */
export function briefInWords(brief: Brief): string {
  const sentences = [
    `${landings(brief)}, approached by${approaches(brief)}${brief.different ? ', none twice before its turn' : ''}`,
    ...(brief.heard > 0 ? [`nothing heard fewer than ${brief.heard} times`] : []),
    said('rhythm', brief.rhythm),
    ...(brief.level === null ? [] : [`level ${brief.level}`]),
    ...(brief.low === null && brief.high === null ? [] : [`written range ${range(brief)}`]),
    ...(brief.bars === null ? [] : [`bars ${brief.bars.join(' to ')}`]),
    ...(brief.choruses === 1 ? [] : [`${brief.choruses} choruses`]),
    ...keys(brief),
    `line ${brief.seed}`,
  ]
  return sentences.map((each) => `${each[0]!.toUpperCase()}${each.slice(1)}.`).join(' ')
}

const listed = (words: readonly string[]): string =>
  words.length < 2 ? (words[0] ?? '') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`

const listOf = (name: ChoiceName, values: readonly string[]): string => listed(values.map((each) => said(name, each)))

function landings({ plan, land, every, on }: Brief): string {
  const degrees = plan !== '' ? 'targets as planned' : listOf('land', land)
  return [degrees, said('every', every), said('on', on)].filter((words) => words !== '').join(' ')
}

function approaches({ figures, exact, notes, approach }: Brief): string {
  if (figures.length > 0) return `: ${figures.join('; ')}`
  const kinds = approach.length === 0 ? '' : `: ${listOf('approach', approach)}`
  return ` ${exact ? 'exactly' : 'up to'} ${said('notes', notes)}${kinds}`
}

function range({ low, high }: Brief): string {
  const end = (pitch: Brief['low'], words: string) => (pitch === null ? '' : `${words} ${withSigns(nameOf(pitch))}`)
  return [end(low, 'from'), end(high, 'to')].filter((each) => each !== '').join(' ')
}

function keys({ keys: asked, each }: Brief): readonly string[] {
  if (asked === null) return []
  const named =
    typeof asked === 'string' ? said('keys', asked) : `keys ${listed(asked.map((key) => withSigns(nameOfKey(key))))}`
  return [`${named}, ${said('each', each)}`]
}
