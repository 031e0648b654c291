/** The names of a chord: its parts as an engraver sets them, and its canonical suffix, from its degrees alone. */
import type { Chord } from '../../theory/chord.ts'
import { alterOf, numberOf } from '../../theory/degree.ts'
import { nameOf, type PitchClass } from '../../theory/pitch.ts'

/**
 * What a chord's name is made of. `triad` is the kind of chord under it all, `figure` the number that stands for the stack, `seventh`
 * whether that stack holds a major seventh; `sus` what stands for the third; `alterations` what goes in parentheses, in order.
 */
export interface ChordNameParts {
  readonly triad: 'major' | 'minor' | 'diminished' | 'half-diminished' | 'augmented' | 'power' | 'altered'
  readonly figure: '' | '6' | '69' | '7' | '9' | '11' | '13'
  readonly majorSeventh: boolean
  readonly sus: '' | 'sus2' | 'sus4' | 'sus24'
  readonly alterations: readonly string[]
}

/**
 * The parts of a chord's name.
 *
 * @example
 * chordNameParts({ degrees: ['1', '3', '5', 'b7', 'b9', '13'], alt: false }) // => { triad: 'major', figure: '13', majorSeventh: false, sus: '', alterations: ['b9'] }
 */
export function chordNameParts(chord: Pick<Chord, 'degrees' | 'alt'>): ChordNameParts {
  const left = new Set(chord.degrees)
  left.delete('1')
  if (chord.alt) {
    const no3 = left.has('3') ? [] : ['no3']
    return { triad: 'altered', figure: '7', majorSeventh: false, sus: '', alterations: no3 }
  }
  const naming: Naming = { left, triad: 'major', sus: '', alterations: [], omitted: [], added: [] }
  nameThird(naming)
  const sevenths = { flat: left.delete('b7'), diminished: left.delete('bb7'), major: left.delete('7') }
  nameFifth(naming, sevenths)
  const figure = nameStack(naming, sevenths)
  const { triad, sus, alterations, omitted, added } = naming
  if (sevenths.diminished && sevenths.major) added.push('maj7')
  for (const degree of left) {
    if (alterOf(degree) !== 0) alterations.push(degree)
    else added.push(`add${numberOf(degree)}`)
  }
  return {
    triad,
    figure,
    majorSeventh: sevenths.major && !sevenths.diminished,
    sus,
    alterations: [...alterations, ...added, ...omitted],
  }
}

/** A name in the making; `left` are the degrees that nothing in it says yet. */
interface Naming {
  readonly left: Set<string>
  triad: ChordNameParts['triad']
  sus: ChordNameParts['sus']
  readonly alterations: string[]
  readonly omitted: string[]
  readonly added: string[]
}

interface Sevenths {
  readonly flat: boolean
  readonly diminished: boolean
  readonly major: boolean
}

/** The third, or what stands for it. */
function nameThird(naming: Naming): void {
  const { left, added } = naming
  const two = left.delete('2')
  const four = left.delete('4')
  naming.sus = two && four ? 'sus24' : two ? 'sus2' : four ? 'sus4' : ''
  if (naming.sus) {
    if (left.delete('3')) added.push('add3')
    if (left.delete('b3')) added.push('addb3')
  } else if (left.delete('3')) {
    if (left.delete('b3')) added.push('addb3')
  } else naming.triad = left.delete('b3') ? 'minor' : 'power'
}

/** The fifth: of a triad of its own, altered, or left out. */
function nameFifth(naming: Naming, { flat, diminished, major }: Sevenths): void {
  const { left, sus, alterations, omitted } = naming
  const natural = left.delete('5')
  const flatFive = left.delete('b5')
  const sharpFive = left.delete('#5')
  const only = (fifth: boolean): boolean => fifth && !natural && !(flatFive && sharpFive) && !left.has('6')
  if (naming.triad === 'minor' && only(flatFive) && !(flat && (diminished || major)))
    naming.triad = flat ? 'half-diminished' : 'diminished'
  else if (naming.triad === 'major' && !sus && only(sharpFive) && !flat && !major) naming.triad = 'augmented'
  else {
    if (flatFive) alterations.push('b5')
    if (sharpFive) alterations.push('#5')
    if (!natural && !flatFive && !sharpFive) omitted.push('no5')
  }
  // A bare fifth is a name of its own; other chords without a third say so.
  if (naming.triad === 'power' && (flat || major || diminished || left.has('6') || !natural)) {
    naming.triad = 'major'
    omitted.unshift('no3')
  }
}

/** The stack: the highest number whose reading brings exactly what is there. */
function nameStack({ left, triad, sus }: Naming, { flat, diminished, major }: Sevenths): ChordNameParts['figure'] {
  if (!flat && !diminished && !major) {
    if (!left.delete('6')) return ''
    return left.delete('9') ? '69' : '6'
  }
  const minorThird = (triad === 'minor' || triad === 'diminished' || triad === 'half-diminished') && !sus
  const ninth = left.has('9') || left.has('b9') || left.has('#9')
  const eleventh = left.has('11') || left.has('#11')
  if (left.has('13') && ninth && (!minorThird || eleventh)) {
    for (const degree of minorThird ? ['9', '11', '13'] : ['9', '13']) left.delete(degree)
    return '13'
  }
  if (left.has('11') && ninth && !sus) {
    for (const degree of ['9', '11']) left.delete(degree)
    return '11'
  }
  return left.delete('9') ? '9' : '7'
}

/**
 * The canonical suffix of a chord, in ASCII: the one spelling that stands for every other.
 *
 * @example
 * canonicalSuffix({ degrees: ['1', 'b3', 'b5', 'b7'], alt: false }) // => 'm7b5'
 * canonicalSuffix({ degrees: ['1', '3', '5', 'b7', 'b9', 'b13'], alt: false }) // => '7(b9,b13)'
 */
export function canonicalSuffix(chord: Pick<Chord, 'degrees' | 'alt'>): string {
  const { triad, figure, majorSeventh, sus, alterations } = chordNameParts(chord)
  let rest = [...alterations]
  let name = ''
  switch (triad) {
    case 'altered':
      name = '7alt'
      break
    case 'power':
      name = '5'
      break
    case 'augmented':
      name = 'aug'
      break
    case 'diminished':
      name = majorSeventh ? `dim(maj${figure})` : `dim${figure}`
      break
    case 'half-diminished':
      if (figure === '7') name = 'm7b5'
      else {
        name = `m${figure}`
        rest = ['b5', ...rest]
      }
      break
    case 'minor':
      name = majorSeventh ? `m(maj${figure})` : `m${figure}`
      break
    case 'major':
      name = majorSeventh ? `maj${figure}` : figure
  }
  name += sus
  if (rest.length === 0) return name
  // An added note alone on a plain major triad needs no parentheses.
  if (name === '' && rest.length === 1 && /^add\d/.test(rest[0]!)) return rest[0]!
  return `${name}(${rest.join(',')})`
}

/**
 * A symbol's canonical name. After two signs a bare 5 would be read as an altered fifth of the root with one, so it says no3.
 *
 * @example
 * symbolName({ letter: 'F', alter: 0 }, 'm7', { letter: 'B', alter: -1 }) // => 'Fm7/Bb'
 */
export function symbolName(root: PitchClass, named: string, bass: PitchClass | null): string {
  const suffix = Math.abs(root.alter) === 2 && /^5(?!\d)/.test(named) ? `(no3)${named.slice(1)}` : named
  return nameOf(root) + suffix + (bass ? `/${nameOf(bass)}` : '')
}
