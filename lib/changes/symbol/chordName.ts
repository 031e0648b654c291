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
  const take = (degree: string): boolean => left.delete(degree)
  take('1')
  if (chord.alt) {
    const no3 = left.has('3') ? [] : ['no3']
    return { triad: 'altered', figure: '7', majorSeventh: false, sus: '', alterations: no3 }
  }
  const alterations: string[] = []
  const omitted: string[] = []
  const added: string[] = []

  // Third, or what stands for it.
  let triad: ChordNameParts['triad'] = 'major'
  const two = take('2')
  const four = take('4')
  const sus = two && four ? 'sus24' : two ? 'sus2' : four ? 'sus4' : ''
  let minorThird = false
  if (sus) {
    if (take('3')) added.push('add3')
    if (take('b3')) added.push('addb3')
  } else if (take('3')) {
    if (take('b3')) added.push('addb3')
  } else if (take('b3')) {
    minorThird = true
    triad = 'minor'
  } else triad = 'power'

  const flatSeven = take('b7')
  const dimSeven = take('bb7')
  const majorSeven = take('7')
  const natural = left.has('5')
  const flatFive = left.has('b5')
  const sharpFive = left.has('#5')
  left.delete('5')
  left.delete('b5')
  left.delete('#5')
  if (minorThird && flatFive && !natural && !sharpFive && !left.has('6') && !(flatSeven && (dimSeven || majorSeven)))
    triad = flatSeven ? 'half-diminished' : 'diminished'
  else if (
    triad === 'major' &&
    !sus &&
    sharpFive &&
    !natural &&
    !flatFive &&
    !flatSeven &&
    !majorSeven &&
    !left.has('6')
  )
    triad = 'augmented'
  else {
    if (flatFive) alterations.push('b5')
    if (sharpFive) alterations.push('#5')
    if (!natural && !flatFive && !sharpFive) omitted.push('no5')
  }
  // A bare fifth is a name of its own; other chords without a third say so.
  if (triad === 'power' && (flatSeven || majorSeven || dimSeven || left.has('6') || !natural)) {
    triad = 'major'
    omitted.unshift('no3')
  }

  // The stack: the highest number whose reading brings exactly what is there.
  const seventh = flatSeven || dimSeven || majorSeven
  let figure: ChordNameParts['figure'] = ''
  const ninth = left.has('9') || left.has('b9') || left.has('#9')
  if (seventh) {
    const eleventh = left.has('11') || left.has('#11')
    if (left.has('13') && ninth && (minorThird && !sus ? eleventh : true)) figure = '13'
    else if (left.has('11') && ninth && !sus) figure = '11'
    else if (left.has('9')) figure = '9'
    else figure = '7'
    if (figure !== '7') take('9')
    if (figure === '11' || (figure === '13' && minorThird && !sus)) take('11')
    if (figure === '13') take('13')
  } else if (take('6')) figure = take('9') ? '69' : '6'
  if (dimSeven && majorSeven) added.push('maj7')
  // A fifth that could be taken for another's stays with its seventh.
  for (const degree of left) {
    const alter = alterOf(degree)
    if (alter !== 0) alterations.push(degree)
    else added.push(`add${numberOf(degree)}`)
  }
  return {
    triad,
    figure,
    majorSeventh: majorSeven && !dimSeven,
    sus,
    alterations: [...alterations, ...added, ...omitted],
  }
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
