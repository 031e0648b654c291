/** The harmony of a line in words, chord by chord: keys, numerals, scales and why, for whoever cannot see the marks. */
import type { Brief } from '../../lib/brief.ts'
import type { Line } from '../../lib/line/line.ts'
import { marksOf, writtenHarmony } from '../../lib/score/harmonyMarks.ts'
import { keyName } from '../../lib/theory/key.ts'
import { alterOfSigns, sayAlter, typedSigns } from '../../lib/theory/signs.ts'
import { sayChord, sayNote } from './words.ts'

const counts: Readonly<Record<string, string>> = {
  i: 'one',
  ii: 'two',
  iii: 'three',
  iv: 'four',
  v: 'five',
  vi: 'six',
  vii: 'seven',
}
const qualities: Readonly<Record<string, readonly [major: string, minor: string]>> = {
  '': ['', ' minor'],
  '6': [' 6', ' minor 6'],
  '7': [' 7', ' minor 7'],
  maj7: [' major 7', ' minor, major 7'],
  ø7: [' half-diminished', ' half-diminished'],
  '°': [' diminished', ' diminished'],
  '°7': [' diminished 7', ' diminished 7'],
  sus: [' suspended', ' suspended'],
  '7sus': [' 7 suspended', ' 7 suspended'],
  '+': [' augmented', ' augmented'],
}

/**
 * A Roman numeral as it is said.
 *
 * @example
 * sayNumeral('iiø7') // => 'two half-diminished'
 * sayNumeral('subV7/ii') // => 'substitute five 7 of two minor'
 */
export const sayNumeral = (numeral: string): string =>
  numeral
    .split('/')
    .map((part) => {
      const [, sub, sign = '', count = '', quality = ''] = /^(sub)?([♭♯b#]?)([iv]+)(.*)$/i.exec(part) ?? []
      const minor = count === count.toLowerCase() ? 1 : 0
      const flat = sign === '' ? '' : `${sayAlter(alterOfSigns(typedSigns(sign)))} `
      return `${sub ? 'substitute ' : ''}${flat}${counts[count.toLowerCase()] ?? count}${qualities[quality]?.[minor] ?? ` ${quality}`}`
    })
    .join(' of ')

/** A chord symbol or the name of a key's tonic in running text: its suffix goes up to the next space or mark. */
const symbol =
  /(?<![\w♭♯])[A-G](?:b|#)?(?:maj|min|dim|aug|sus|alt|add|m|\+|[b#]?\d|\([^)]*\)|\/[A-G](?:b|#)?)*(?=[\s,.;:]|$)/g
const numeral = /(?<![\w♭♯])(?:sub)?[b#]?(?:VII|VI|V|IV|III|II|I|vii|vi|v|iv|iii|ii|i)(?:°7|°|7|\+)?(?=[\s,.;:/]|$)/g

/** A reason as it is said: chords, keys, numerals and ii–Vs in words. */
export const sayReason = (reason: string): string =>
  reason
    .replaceAll('ii–V', 'two-five')
    .replace(symbol, sayChord)
    .replace(numeral, (text) => sayNumeral(text).replace(/ minor$/, ''))
    .replaceAll('/', ' of ')

/** What is heard of the harmony, bar by bar: a sentence or two for each chord; for one that only goes on, none. */
export function harmonyInWords(
  line: Line,
  brief: Pick<Brief, 'pitch' | 'show'>,
): ReadonlyMap<number, readonly string[]> {
  const said = new Map<number, string[]>()
  const analysis = brief.show.includes('analysis')
  if (!analysis && !brief.show.includes('scales')) return said
  const [first, last] = line.bars
  const chords = writtenHarmony(line, brief).chords.filter(({ bar }) => bar >= first && bar <= last)
  const marks = marksOf(chords, analysis ? ['analysis', 'scales'] : ['scales'])
  chords.forEach(({ bar, symbol, root, localKey, reason }, at) => {
    const { numeral, newKey, scaleName, twoFive } = marks[at]!
    const parts: string[] = []
    if (numeral !== null) {
      const key = newKey === null || !localKey || reason.includes(keyName(localKey)) ? '' : `in ${keyName(localKey)}: `
      const why = reason.replace(/^(Now|Back|Where|Passing)/, (word) => word.toLowerCase())
      parts.push(`, ${sayNumeral(numeral)}: ${sayReason(key + why)}`)
    }
    // Most reasons tell of the bracket.
    if (twoFive === 'start' && !/ii–V|backdoor|stands for the V/.test(reason)) {
      const end = marks.findIndex((each, i) => i > at && each.twoFive === 'end')
      parts.push(` A two-five with ${sayChord(chords[end]?.symbol ?? '')}.`)
    }
    if (scaleName !== null && root)
      parts.push(
        `${parts.length === 0 ? ': scale' : ' Scale:'} ${sayNote(root)} ${scaleName.replace(/[b#]+(?=\d)/, (signs) => `${sayAlter(alterOfSigns(signs))} `)}.`,
      )
    if (parts.length > 0) said.set(bar, [...(said.get(bar) ?? []), sayChord(symbol) + parts.join('')])
  })
  return said
}
