/** A chord symbol printed in the person's style, as one text or in the parts an engraver sets apart. */
import type { PitchClass } from '../../theory/pitch.ts'
import { printSigns, signsOf } from '../../theory/signs.ts'
import type { ChordSymbol } from '../chart.ts'
import { type ChordNameParts, chordNameParts } from './chordName.ts'

/** How a person likes chord symbols written. Every style reads back to the same chord. */
export interface SymbolStyle {
  readonly major: 'maj7' | 'Δ' | 'ma7'
  readonly minor: 'm' | '-' | 'mi'
  readonly diminished: 'dim' | '°'
  readonly halfDiminished: 'm7b5' | 'ø'
  readonly augmented: 'aug' | '+'
  readonly accidentals: 'ascii' | 'signs'
}

/** The canonical style, in ASCII. */
export const canonicalStyle: SymbolStyle = {
  major: 'maj7',
  minor: 'm',
  diminished: 'dim',
  halfDiminished: 'm7b5',
  augmented: 'aug',
  accidentals: 'ascii',
}

/** The style of engraved parts: words for qualities, real accidentals. */
export const engravedStyle: SymbolStyle = { ...canonicalStyle, accidentals: 'signs' }

/** The style of engraved parts with a person's signs for major and minor; a triangle or dash brings its kin ° and ø and +. */
export function styleWith(major: SymbolStyle['major'], minor: SymbolStyle['minor']): SymbolStyle {
  const signs = major === 'Δ' || minor === '-'
  return {
    ...engravedStyle,
    major,
    minor,
    ...(signs ? { diminished: '°', halfDiminished: 'ø', augmented: '+' } : {}),
  }
}

/**
 * A chord symbol's parts. `main` stands on the line after the root, `superscript` above it, `alterations` follow in one pair of
 * parentheses, `bass` after a slash. For no-chord `root` is `N.C.` and the rest is empty.
 */
export interface SymbolParts {
  readonly root: string
  readonly accidental: string
  readonly main: string
  readonly superscript: string
  readonly alterations: readonly string[]
  /** Whether the alterations go without parentheses, as in Cadd9 and Cm7b5 in ASCII. */
  readonly bare: boolean
  readonly bass: string | null
}

/** Engraved quality words by style. */
const majorWord = { maj7: 'maj', Δ: 'Δ', ma7: 'ma' } as const

const signsIn = (text: string, style: SymbolStyle): string => (style.accidentals === 'signs' ? printSigns(text) : text)

/** `add9` and `maj7` hold letters that are no accidentals. */
const alterationText = (text: string, style: SymbolStyle): string => {
  if (text.startsWith('maj')) return majorWord[style.major] + text.slice(3)
  const [, word = '', rest = ''] = /^(add|no)?(.*)$/.exec(text) ?? []
  return word + signsIn(rest, style)
}

/**
 * The parts of a chord symbol in a style.
 *
 * @example
 * symbolParts({ symbol: 'Bb7(b9)', root: { letter: 'B', alter: -1 }, chord: { degrees: ['1', '3', '5', 'b7', 'b9'], alt: false, named: '7(b9)' }, bass: null }, engravedStyle)
 * // => { root: 'B', accidental: '♭', main: '', superscript: '7', alterations: ['♭9'], bare: false, bass: null }
 */
export function symbolParts(symbol: ChordSymbol, style: SymbolStyle = canonicalStyle): SymbolParts {
  const { root, chord, bass } = symbol
  if (!root || !chord)
    return { root: symbol.symbol, accidental: '', main: '', superscript: '', alterations: [], bare: false, bass: null }
  const { triad, figure, majorSeventh, sus, alterations } = chordNameParts(chord)
  // After two signs a bare 5 would read as an altered fifth.
  const bareFifth = triad === 'power' && Math.abs(root.alter) === 2
  const parts = bareFifth
    ? { main: '', superscript: '', inParentheses: ['no3'] }
    : qualityOf(triad, figure, majorSeventh, style)
  const all = [...parts.inParentheses, ...alterations]
  let { main, superscript } = parts
  if (superscript) superscript += sus
  else main += sus
  const plainAdd = main === '' && superscript === '' && all.length === 1 && /^add\d/.test(all[0]!)
  const plainHalf = triad === 'half-diminished' && style.halfDiminished === 'm7b5' && figure === '7' && all.length === 1
  const spelled = (note: PitchClass) => signsIn(signsOf(note.alter), style)
  return {
    root: root.letter,
    accidental: spelled(root),
    main,
    superscript,
    alterations: all.map((text) => alterationText(text, style)),
    bare: plainAdd || (plainHalf && style.accidentals === 'ascii'),
    bass: bass && bass.letter + spelled(bass),
  }
}

function qualityOf(
  triad: ChordNameParts['triad'],
  figure: string,
  majorSeventh: boolean,
  style: SymbolStyle,
): { main: string; superscript: string; inParentheses: readonly string[] } {
  const inside = majorSeventh ? [`maj${figure}`] : []
  const above = majorSeventh ? '' : figure
  switch (triad) {
    case 'altered':
      return { main: '', superscript: '7alt', inParentheses: [] }
    case 'power':
      return { main: '', superscript: '5', inParentheses: [] }
    case 'augmented':
      return { main: style.augmented, superscript: '', inParentheses: [] }
    case 'diminished':
      return { main: style.diminished, superscript: above, inParentheses: inside }
    case 'half-diminished':
      return style.halfDiminished === 'ø'
        ? { main: 'ø', superscript: figure, inParentheses: [] }
        : { main: style.minor, superscript: figure, inParentheses: ['b5'] }
    case 'minor':
      return { main: style.minor, superscript: above, inParentheses: inside }
    case 'major':
      return majorSeventh
        ? { main: majorWord[style.major], superscript: figure, inParentheses: [] }
        : { main: '', superscript: figure, inParentheses: [] }
  }
}

/**
 * A chord symbol as one text in a style.
 *
 * @example
 * printSymbol({ symbol: 'N.C.', root: null, chord: null, bass: null }) // => 'N.C.'
 */
export function printSymbol(symbol: ChordSymbol, style: SymbolStyle = canonicalStyle): string {
  const { root, accidental, main, superscript, alterations, bare, bass } = symbolParts(symbol, style)
  const inside = alterations.join(',')
  return `${root}${accidental}${main}${superscript}${inside && (bare ? inside : `(${inside})`)}${bass ? `/${bass}` : ''}`
}
