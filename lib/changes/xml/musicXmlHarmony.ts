/** One harmony element of MusicXML as a chord symbol: root or numeral, kind, degrees, inversion and bass. */
import type { Problem } from '../../problem.ts'
import { chordTones, orderDegrees } from '../../theory/chord.ts'
import { degreeNote } from '../../theory/degree.ts'
import type { Key } from '../../theory/key.ts'
import { type Letter, letters, nameOf, noteAtFifths, type PitchClass } from '../../theory/pitch.ts'
import { signsOf } from '../../theory/signs.ts'
import { type ChordSymbol, noChord } from '../chart.ts'
import { numerals } from '../symbol/parseSymbol.ts'
import { readSymbol } from '../symbol/readSymbol.ts'
import { alterKind, type DegreeChange, kindDegrees } from './musicXmlKinds.ts'
import { symbolOf } from './scoreBars.ts'
import { plainSigns } from './scoreMeasure.ts'
import { child, childrenOf, numberIn, wordsOf, type XmlNode } from './xmlTree.ts'

/** A harmony element read: its symbol, N.C. where it names none that is known, and what there is to say of it. */
export interface HarmonyReading {
  readonly symbol: ChordSymbol
  readonly problem: Problem | null
}

/** Reads a harmony element; `where` says in which measure it stands. */
export function readHarmonyElement(node: XmlNode, key: Key | null, where: string): HarmonyReading {
  const kindNode = child(node, 'kind')
  const kind = kindNode?.text().trim() ?? 'major'
  if (kind === 'none') return { symbol: noChord, problem: null }
  const root = rootOf(node, key)
  const said = [root && nameOf(root), kindNode?.attributes.text || kind].filter(Boolean).join(' ')
  const warn = (code: string, expected: string, symbol: ChordSymbol): HarmonyReading => ({
    symbol,
    problem: {
      severity: 'warning',
      code,
      span: { start: node.at, end: node.end },
      found: `${said}${where}`,
      expected,
      hint: symbol.root ? symbol.symbol : 'C7',
    },
  })
  if (!root) return warn('unknown-root', 'a root; read as N.C.', noChord)
  const chord = degreesOf(node, root, kind)
  if (typeof chord === 'string') return warn('unknown-quality', `${chord}; read as N.C.`, noChord)
  const under = bassOf(node, root, chord.degrees)
  const symbol = spelled(symbolOf(root, chord.degrees, chord.alt, under === 'none' ? null : under))
  if (!symbol) return warn('unknown-quality', 'degrees that make a chord; read as N.C.', noChord)
  if (under === 'none') return warn('unknown-bass', 'an inversion that the chord has', symbol)
  const stacked = childrenOf(node, 'root').length > 1
  if (stacked) return warn('lost-chord', `one chord at a time; read as ${symbol.symbol}`, symbol)
  return { symbol, problem: null }
}

/** A symbol under the name that reads back to it; null where none does. */
function spelled(symbol: ChordSymbol): ChordSymbol | null {
  return readSymbol(symbol.symbol).symbol
}

function noteIn(node: XmlNode | undefined, part: string): PitchClass | null {
  if (!node) return null
  const letter = wordsOf(node, `${part}-step`).toUpperCase()
  const alter = Math.round(numberIn(node, `${part}-alter`, 0))
  return letters.includes(letter as Letter) && Math.abs(alter) <= 2 ? { letter: letter as Letter, alter } : null
}

/** Kinds by names that some programs give them, as suffixes of a symbol. */
const otherNames: ReadonlyMap<string, string> = new Map([
  ['dominant-seventh', '7'],
  ['seventh', '7'],
  ['minor-major', 'm(maj7)'],
  ['minor-major-seventh', 'm(maj7)'],
  ['half-diminished-seventh', 'm7b5'],
  ['suspended', 'sus4'],
])

/** The most degrees that a chord may add, alter and leave out. */
const mostDegrees = 32

/** The degrees of a chord, or what was expected where its kind names none. */
function degreesOf(
  node: XmlNode,
  root: PitchClass,
  kind: string,
): { degrees: readonly string[]; alt: boolean } | string {
  const text = plainSigns(child(node, 'kind')?.attributes.text ?? '')
  const said = childrenOf(node, 'degree')
  if (said.length > mostDegrees) return `at most ${mostDegrees} degrees`
  const changes = said.map((degree): DegreeChange => {
    const type = wordsOf(degree, 'degree-type')
    return {
      value: Math.round(numberIn(degree, 'degree-value', 5)),
      alter: Math.max(-2, Math.min(2, Math.round(numberIn(degree, 'degree-alter', 0)))),
      type: type === 'alter' || type === 'subtract' ? type : 'add',
    }
  })
  if (changes.some(({ value }) => value < 1 || value > 13)) return 'a degree from 1 to 13'
  const written = text.trim() === '' ? null : readSymbol(`${nameOf(root)}${text.trim()}`).symbol?.chord
  if (written?.alt && /^7?\(?alt/i.test(text.trim())) return written
  const degrees = Object.hasOwn(kindDegrees, kind) ? kindDegrees[kind] : undefined
  if (degrees) return { degrees: alterKind(degrees, changes), alt: false }
  // A kind of no name says what it is in words, or in its degrees alone.
  if (written) return written
  const named = otherNames.get(kind) ?? (/^[\w+#°øΔ-]{1,12}$/.test(kind) ? kind : '')
  if (named) {
    const reading = readSymbol(`${nameOf(root)}${named}`)
    if (reading.symbol?.chord && !reading.symbol.bass && reading.problems.length === 0)
      return {
        degrees: alterKind(reading.symbol.chord.degrees, changes),
        alt: reading.symbol.chord.alt,
      }
  }
  if (kind === '') return { degrees: alterKind(kindDegrees.major!, changes), alt: false }
  return changes.length > 0 ? { degrees: alterKind(['1'], changes), alt: false } : 'a kind of MusicXML 4.0'
}

/** The bass: the note that is written, else the chord tone that its inversion names; `none` where the chord has no such tone. */
function bassOf(node: XmlNode, root: PitchClass, degrees: readonly string[]): PitchClass | null | 'none' {
  const written = noteIn(child(node, 'bass'), 'bass')
  if (written) return nameOf(written) === nameOf(root) ? null : written
  const inversion = numberIn(node, 'inversion', 0)
  if (inversion === 0) return null
  const tones = chordTones({
    degrees: orderDegrees(degrees),
    alt: false,
    named: '',
  })
  const tone = tones[inversion]
  return tone ? degreeNote(root, tone) : 'none'
}

/** The root: a note, a numeral in its own key or the score's, or the functions that are named, the first applied to the next. */
function rootOf(node: XmlNode, key: Key | null): PitchClass | null {
  const root = noteIn(child(node, 'root'), 'root')
  if (root) return root
  const rooted = (name: string, within: Key | null): PitchClass | null =>
    readSymbol(name, {
      key: within,
      german: false,
      dialect: false,
      smallRoots: false,
    }).symbol?.root ?? null
  const numeral = child(node, 'numeral')
  if (numeral) {
    const number = numberIn(numeral, 'numeral-root', 0)
    const alter = Math.round(numberIn(numeral, 'numeral-alter', 0))
    const figure = numerals[number - 1]
    if (!figure || Math.abs(alter) > 1) return null
    return rooted(signsOf(alter) + figure, numeralKey(numeral) ?? key)
  }
  const functions = childrenOf(node, 'function').map((each) => /^[b#]?[IViv]+/.exec(each.text().trim())?.[0] ?? '')
  return functions.length > 0 && functions.every(Boolean) ? rooted(functions.join('/'), key) : null
}

function numeralKey(numeral: XmlNode): Key | null {
  const node = child(numeral, 'numeral-key')
  if (!node) return null
  const minor = /minor/.test(wordsOf(node, 'numeral-mode'))
  const fifths = Math.max(-7, Math.min(7, numberIn(node, 'numeral-fifths', 0)))
  return {
    tonic: noteAtFifths(fifths + (minor ? 3 : 0)),
    mode: minor ? 'minor' : 'major',
  }
}
