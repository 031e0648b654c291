/** Chord symbols in notations of their own: Harte's for annotated recordings, and German names of notes. */
import { orderDegrees } from '../../theory/chord.ts'
import { degreeNote, numberOf } from '../../theory/degree.ts'
import { type Letter, nameOf, type PitchClass } from '../../theory/pitch.ts'
import { alterOfSigns } from '../../theory/signs.ts'
import type { ChordSymbol } from '../chart.ts'
import { degreesNamed } from './chordMeaning.ts'
import { canonicalSuffix, symbolName } from './chordName.ts'

/**
 * Shorthands: they hold what symbols of these names do. Source: Harte, Sandler, Abdallah and Gómez, ISMIR
 * 2005, table 1, and its later additions.
 */
const shorthands: readonly string[] = [
  ...['5', 'maj', 'min', 'dim', 'aug', 'maj7', 'min7', '7', 'dim7', 'hdim7', 'hdim', 'minmaj7', 'aug7'],
  ...['maj6', '6', 'min6', '9', 'maj9', 'min9', '11', 'min11', '13', 'maj13', 'min13', 'sus2', 'sus4'],
]

/** The degrees of a shorthand, of none the root alone; null for what is no shorthand. */
const heldBy = (name: string): readonly string[] | null =>
  name === '' || name === '1' ? ['1'] : shorthands.includes(name) ? degreesNamed(name) : null

const harte = /^([A-G])(#{1,2}|b{1,2})?:([a-z]*\d*)(?:\(([*#b\d,\s]{1,40})\))?(?:\/([#b]{0,2}\d{1,2}))?$/

/**
 * Reads a symbol in Harte's notation: root, shorthand, degrees added or (with *) left out, the bass as a degree; null where it is none.
 *
 * @example
 * readHarte('A:min7/b7').symbol // => 'Am7/G'
 * readHarte('D:hdim7').symbol // => 'Dm7b5'
 * readHarte('C:maj(9,*5)').symbol // => 'C(add9,no5)'
 */
export function readHarte(text: string): ChordSymbol | null {
  const found = harte.exec(text)
  const held = found && heldBy(found[3]!)
  if (!found || !held || (found[3] === '' && !found[4])) return null
  const root: PitchClass = { letter: found[1] as Letter, alter: alterOfSigns(found[2] ?? '') }
  let degrees = [...held]
  for (const word of (found[4] ?? '').split(',').map((each) => each.trim())) {
    const degree = word.replace('*', '')
    if (word === '') continue
    if (word[0] === '*') degrees = degrees.filter((each) => each !== degree)
    else if (numberOf(degree) >= 1 && numberOf(degree) <= 13) degrees.push(heldAs(degree, degrees))
    else return null
  }
  const bass = found[5] && found[5] !== '1' ? degreeNote(root, found[5]) : null
  const chord = { degrees: orderDegrees(degrees), alt: false }
  const named = canonicalSuffix(chord)
  return { symbol: symbolName(root, named, bass), root, chord: { ...chord, named }, bass }
}

/** Seconds and fourths beside a third are ninths and elevenths. */
function heldAs(degree: string, degrees: readonly string[]): string {
  const third = degrees.some((each) => numberOf(each) === 3)
  return third && numberOf(degree) === 2
    ? degree.replace('2', '9')
    : third && numberOf(degree) === 4
      ? degree.replace('4', '11')
      : degree
}

/** The German names of raised and lowered notes: Fis, Cis; Es, As; Des, Ges. */
const germanNote = /^(?:([CDFGAH])is|([EA])s|([DGHC])es)/

const inLetters = (name: string): string | null => {
  const [, sharp, flat, fuller] = germanNote.exec(name) ?? []
  const letter = sharp ?? flat ?? fuller
  if (!letter) return null
  const note = { letter: (letter === 'H' ? 'B' : letter) as Letter, alter: sharp ? 1 : -1 }
  return nameOf(note)
}

/**
 * A symbol with German names of notes in letters and signs; null where it has none.
 *
 * @example
 * germanInLetters('Fis7/Ais') // => 'F#7/A#'
 */
export function germanInLetters(text: string): string | null {
  const [name = ''] = germanNote.exec(text) ?? []
  const slash = text.lastIndexOf('/')
  const bass = slash > 0 ? inLetters(text.slice(slash + 1)) : null
  if (name === '' && bass === null) return null
  const whole = bass === null ? text : text.slice(0, slash + 1) + bass
  return name === '' ? whole : inLetters(name) + whole.slice(name.length)
}

/** Whether a symbol names its root as only Germans do. */
export const isGermanName = (text: string): boolean => germanNote.test(text)
