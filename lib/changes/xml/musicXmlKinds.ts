/** MusicXML's kinds of chord: as degrees, with its degree elements worked into them, and the kind that comes nearest to a chord. */
import { type Chord, orderDegrees } from '../../theory/chord.ts'
import { alterOf, type Degree, numberOf } from '../../theory/degree.ts'
import { signsOf } from '../../theory/signs.ts'
import { degreesNamed } from '../symbol/chordMeaning.ts'

/** Kinds by the names that symbols have for them. Source: MusicXML 4.0, data type kind-value. */
const kindNames = {
  major: '',
  minor: 'm',
  augmented: 'aug',
  diminished: 'dim',
  dominant: '7',
  'major-seventh': 'maj7',
  'minor-seventh': 'm7',
  'diminished-seventh': 'dim7',
  'augmented-seventh': '7#5',
  'half-diminished': 'm7b5',
  'major-minor': 'm(maj7)',
  'major-sixth': '6',
  'minor-sixth': 'm6',
  'dominant-ninth': '9',
  'major-ninth': 'maj9',
  'minor-ninth': 'm9',
  'dominant-11th': '11',
  'major-11th': 'maj11',
  'minor-11th': 'm11',
  'dominant-13th': '13',
  'major-13th': 'maj13',
  'minor-13th': 'm13',
  'suspended-second': 'sus2',
  'suspended-fourth': 'sus4',
  power: '5',
} as const satisfies Record<string, string>

/**
 * The four functional kinds (Neapolitan, Italian, French, German), whose intervals the specification leaves open, and the pedal are
 * from memory.
 */
const otherKinds = {
  Neapolitan: '',
  Italian: '7(no5)',
  French: '7b5',
  German: '7',
  pedal: '(no3,no5)',
  Tristan: 'm7b5',
} as const

/** The degrees that a kind is read as: those of its name, so that a 13th over a major third leaves out the eleventh, as players read 13. */
export const kindDegrees: Readonly<Record<string, readonly Degree[]>> = Object.fromEntries(
  Object.entries({ ...kindNames, ...otherKinds }).map(([kind, name]) => [kind, degreesNamed(name)]),
)

/** The kinds that a chord may be written as, with the degrees that the specification states: its 13ths stack every third. */
const statedKinds = (Object.keys(kindNames) as Kind['kind'][]).map((kind) => {
  const degrees = kindDegrees[kind]!
  return { kind, held: kind.endsWith('-13th') ? orderDegrees([...degrees, '11']) : degrees }
})

export interface DegreeChange {
  readonly value: number
  readonly alter: number
  readonly type: 'add' | 'alter' | 'subtract'
}

/** Twos and fours that are added are ninths and elevenths; a sixth over a seventh is a thirteenth. */
function nameAdded(value: number, alter: number, seventh: boolean): string {
  const number = value === 2 ? 9 : value === 4 ? 11 : value === 6 && seventh ? 13 : value
  // Added degrees are counted against a dominant chord: its seventh is minor already.
  return number === 7 ? (['bb7', 'b7', '7'][alter + 1] ?? 'b7') : signsOf(alter) + number
}

/**
 * A kind's degrees after its degree elements. Added degrees count against a dominant chord, altered and subtracted ones against
 * the chord itself (MusicXML 4.0, degree-alter).
 *
 * @example
 * alterKind(['1', '3', '5', 'b7'], [{ value: 9, alter: -1, type: 'add' }]) // => ['1', '3', '5', 'b7', 'b9']
 */
export function alterKind(kind: readonly string[], changes: readonly DegreeChange[]): readonly string[] {
  let degrees = [...kind]
  for (const { value: number, alter, type } of changes) {
    const held = degrees.filter((degree) => numberOf(degree) === number)
    if (type === 'subtract') {
      degrees = degrees.filter((degree) => numberOf(degree) !== number)
      continue
    }
    if (type === 'alter' && held.length > 0) {
      degrees = degrees.map((degree) =>
        numberOf(degree) === number ? signsOf(Math.max(-2, Math.min(2, alterOf(degree) + alter))) + number : degree,
      )
      continue
    }
    const seventh = degrees.some((degree) => numberOf(degree) === 7)
    // A fourth without a third is suspended.
    const suspends = number === 4 && alter === 0 && changes.some((each) => each.type === 'subtract' && each.value === 3)
    const added = suspends ? '4' : nameAdded(number, alter, seventh)
    // An altered tension takes the natural one's place; an altered fifth the fifth's.
    if (/^[b#]/.test(added)) degrees = degrees.filter((degree) => degree !== added.replace(/^[b#]+/, ''))
    degrees.push(added)
  }
  return orderDegrees(degrees)
}

export interface KindDegree {
  readonly value: number
  /** Semitones: from the kind's own degree where altered, from a dominant chord's where added. */
  readonly alter: number
  readonly type: 'add' | 'alter' | 'subtract'
}

export interface Kind {
  readonly kind: keyof typeof kindNames
  readonly degrees: readonly KindDegree[]
}

/** A 13 is called a 13 though it leaves out the 11; otherwise a kind that holds too much is the worse name for a chord. */
const price = (degree: KindDegree): number => (degree.type === 'subtract' ? (degree.value === 11 ? 0.9 : 1.5) : 1)

/**
 * The kind that comes nearest to a chord, with what it still takes to be exactly that chord.
 *
 * @example
 * kindOfChord({ degrees: ['1', '3', '5', 'b7', 'b9'], alt: false, named: '7(b9)' })
 * // => { kind: 'dominant', degrees: [{ value: 9, alter: -1, type: 'add' }] }
 * kindOfChord({ degrees: ['1', '3', '5', 'b7', '9', '13'], alt: false, named: '13' })
 * // => { kind: 'dominant-13th', degrees: [{ value: 11, alter: 0, type: 'subtract' }] }
 */
export function kindOfChord(chord: Chord): Kind {
  const readings = statedKinds.map(({ kind, held }) => ({ kind, degrees: edits(held, chord) }))
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
    if (stands < 0)
      found.push({
        value,
        alter: alterOf(degree) + (value === 7 ? 1 : 0),
        type: 'add',
      })
    else
      found.push({
        value,
        alter: alterOf(degree) - alterOf(missing.splice(stands, 1)[0]!),
        type: 'alter',
      })
  }
  for (const degree of missing) found.push({ value: numberOf(degree), alter: 0, type: 'subtract' })
  return found
}
