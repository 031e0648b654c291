/** Chords as MusicXML says them: one of its kinds, and the degrees added to it, altered in it or taken out of it. */
import type { Chord } from '../theory/chord.ts'
import { alterOf, type Degree, numberOf } from '../theory/degree.ts'

/** Kinds and the degrees they hold. Source: MusicXML 4.0, data type kind-value; its 11ths and 13ths stack every third. */
const kinds = {
  major: ['1', '3', '5'],
  minor: ['1', 'b3', '5'],
  augmented: ['1', '3', '#5'],
  diminished: ['1', 'b3', 'b5'],
  dominant: ['1', '3', '5', 'b7'],
  'major-seventh': ['1', '3', '5', '7'],
  'minor-seventh': ['1', 'b3', '5', 'b7'],
  'diminished-seventh': ['1', 'b3', 'b5', 'bb7'],
  'augmented-seventh': ['1', '3', '#5', 'b7'],
  'half-diminished': ['1', 'b3', 'b5', 'b7'],
  'major-minor': ['1', 'b3', '5', '7'],
  'major-sixth': ['1', '3', '5', '6'],
  'minor-sixth': ['1', 'b3', '5', '6'],
  'dominant-ninth': ['1', '3', '5', 'b7', '9'],
  'major-ninth': ['1', '3', '5', '7', '9'],
  'minor-ninth': ['1', 'b3', '5', 'b7', '9'],
  'dominant-11th': ['1', '3', '5', 'b7', '9', '11'],
  'major-11th': ['1', '3', '5', '7', '9', '11'],
  'minor-11th': ['1', 'b3', '5', 'b7', '9', '11'],
  'dominant-13th': ['1', '3', '5', 'b7', '9', '11', '13'],
  'major-13th': ['1', '3', '5', '7', '9', '11', '13'],
  'minor-13th': ['1', 'b3', '5', 'b7', '9', '11', '13'],
  'suspended-second': ['1', '2', '5'],
  'suspended-fourth': ['1', '4', '5'],
  power: ['1', '5'],
} as const satisfies Record<string, readonly Degree[]>

export interface KindDegree {
  readonly value: number
  /** Semitones: from the kind's own degree where altered, from a dominant chord's where added. */
  readonly alter: number
  readonly type: 'add' | 'alter' | 'subtract'
}

export interface Kind {
  readonly kind: keyof typeof kinds
  readonly degrees: readonly KindDegree[]
}

/** A 13 is called a 13 though it leaves out the 11; otherwise a kind that holds too much is the worse name for a chord. */
const price = (degree: KindDegree): number => (degree.type === 'subtract' ? (degree.value === 11 ? 0.9 : 1.5) : 1)

/**
 * The kind that comes nearest to a chord, with what it still takes to be exactly that chord.
 *
 * @example
 * kindOf({ degrees: ['1', '3', '5', 'b7', 'b9'], alt: false, named: '7(b9)' })
 * // => { kind: 'dominant', degrees: [{ value: 9, alter: -1, type: 'add' }] }
 * kindOf({ degrees: ['1', '3', '5', 'b7', '9', '13'], alt: false, named: '13' })
 * // => { kind: 'dominant-13th', degrees: [{ value: 11, alter: 0, type: 'subtract' }] }
 */
export function kindOf(chord: Chord): Kind {
  const readings = (Object.keys(kinds) as Kind['kind'][]).map((kind) => ({ kind, degrees: edits(kinds[kind], chord) }))
  const cost = (kind: Kind) => kind.degrees.reduce((sum, degree) => sum + price(degree), 0)
  return readings.reduce((best, each) => (cost(each) < cost(best) - 1e-9 ? each : best))
}

function edits(kind: readonly Degree[], chord: Chord): readonly KindDegree[] {
  const missing = kind.filter((degree) => !chord.degrees.includes(degree))
  const over = chord.degrees.filter((degree) => !kind.includes(degree))
  const found: KindDegree[] = []
  for (const degree of over) {
    const value = numberOf(degree)
    const stands = missing.findIndex((each) => numberOf(each) === value)
    if (stands < 0) found.push({ value, alter: alterOf(degree) + (value === 7 ? 1 : 0), type: 'add' })
    else found.push({ value, alter: alterOf(degree) - alterOf(missing.splice(stands, 1)[0]!), type: 'alter' })
  }
  for (const degree of missing) found.push({ value: numberOf(degree), alter: 0, type: 'subtract' })
  return found
}
