/** Chords as MusicXML says them: one of its kinds, and the degrees added to it, altered in it or taken out of it. */
import { statedKinds } from '../changes/xml/musicXmlKinds.ts'
import type { Chord } from '../theory/chord.ts'
import { alterOf, type Degree, numberOf } from '../theory/degree.ts'

export interface KindDegree {
  readonly value: number
  /** Semitones: from the kind's own degree where altered, from a dominant chord's where added. */
  readonly alter: number
  readonly type: 'add' | 'alter' | 'subtract'
}

export interface Kind {
  readonly kind: keyof typeof statedKinds
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
  const readings = (Object.keys(statedKinds) as Kind['kind'][]).map((kind) => ({
    kind,
    degrees: edits(statedKinds[kind], chord),
  }))
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
