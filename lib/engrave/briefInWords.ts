/** The brief in a line or two of words, for the foot of a printed sheet. */
import type { Brief } from '../brief.ts'
import { nameOfKey } from '../theory/key.ts'
import { nameOf } from '../theory/pitch.ts'
import { withSigns } from '../theory/signs.ts'

const landingNames: Readonly<Record<Brief['land'][number], string>> = {
  '1': 'roots',
  '3': 'thirds',
  '5': 'fifths',
  '7': 'sevenths',
  '9': 'ninths',
  '#11': 'sharp elevenths',
  '13': 'thirteenths',
}
const often: Readonly<Record<Brief['every'], string>> = {
  strong: 'on every downbeat and change',
  bar: 'once a bar',
  chord: 'on every chord',
  half: 'twice a bar',
}
const places: Readonly<Record<Brief['on'], string>> = { '1': '', '3': ' on beat 3', '4&': ' on the and of 4' }
const kinds: Readonly<Record<Brief['approach'][number], string>> = {
  enclosure: 'enclosures',
  chromatic: 'chromatic steps',
  scale: 'scale steps',
  arpeggio: 'arpeggios',
}
const rhythms: Readonly<Record<Brief['rhythm'], string>> = {
  eighths: 'even eighths',
  phrased: 'phrases with breaths',
  triplets: 'eighth-note triplets',
}
const counts = ['', 'one note', 'two notes', 'three notes', 'four notes']

/**
 * Says what a brief asks for: the targets, the approaches, the rhythm, the keys and the number of the line.
 *
 * @example
 * coverWords({ ...defaultBrief, keys: 'fourths', seed: 7 })
 * // => 'Thirds and sevenths on every downbeat and change, approached by up to four notes: enclosures and chromatic steps. Even eighths. All twelve keys by fourths, the same line in each. Line 7.'
 */
export function coverWords(brief: Brief): string {
  const landings = brief.plan !== '' ? 'targets as planned' : listed(brief.land.map((each) => landingNames[each]))
  const approach = brief.approach.length === 0 ? '' : `: ${listed(brief.approach.map((each) => kinds[each]))}`
  const many = brief.exact ? 'exactly' : 'up to'
  const led = brief.figures.length > 0 ? `: ${brief.figures.join('; ')}` : ` ${many} ${counts[brief.notes]}${approach}`
  const sentences = [
    `${landings} ${often[brief.every]}${places[brief.on]}, approached by${led}${brief.different ? ', none twice before its turn' : ''}`,
    ...(brief.heard > 0 ? [`nothing heard fewer than ${brief.heard} times`] : []),
    rhythms[brief.rhythm],
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

function range({ low, high }: Brief): string {
  const end = (pitch: Brief['low'], words: string) => (pitch === null ? '' : `${words} ${withSigns(nameOf(pitch))}`)
  return [end(low, 'from'), end(high, 'to')].filter((each) => each !== '').join(' ')
}

function keys({ keys: asked, each }: Brief): readonly string[] {
  if (asked === null) return []
  const lines = each === 'same' ? 'the same line in each' : 'a fresh line in each'
  if (asked === 'shuffled') return [`all twelve keys shuffled, ${lines}`]
  if (typeof asked === 'string') return [`all twelve keys ${orders[asked]}, ${lines}`]
  return [`keys ${listed(asked.map((key) => withSigns(nameOfKey(key))))}, ${lines}`]
}

const orders: Readonly<Record<Extract<Brief['keys'], string>, string>> = {
  chromatic: 'upward by semitones',
  'chromatic-down': 'downward by semitones',
  fourths: 'by fourths',
  fifths: 'by fifths',
  'whole-tones': 'by whole tones',
  'minor-thirds': 'by minor thirds',
  'major-thirds': 'by major thirds',
  tritones: 'by tritones',
  shuffled: 'shuffled',
}
