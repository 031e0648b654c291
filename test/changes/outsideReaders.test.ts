/** Chord symbols against outside readers: MusicXML's stated kinds, chord-symbol, tonal and daccord. */
import { readFileSync } from 'node:fs'
import { chordParserFactory } from 'chord-symbol/lib/chord-symbol-esm.js'
import daccord from 'daccord'
import { Chord as TonalChord, Interval as TonalInterval } from 'tonal'
import { describe, expect, test } from 'vitest'
import { readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { alterKind, kindDegrees } from '../../lib/changes/xml/musicXmlKinds.ts'
import { pitchClassesOf } from '../../lib/theory/chord.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { spellingGroups } from './spellings.ts'

const pitchesOf = (text: string) => {
  const chord = readSymbol(text).symbol?.chord
  return chord ? pitchClassesOf(chord) : null
}
const ascending = (numbers: readonly number[]) => [...new Set(numbers)].sort((a, b) => a - b)

interface Kinds {
  readonly source: string
  readonly kinds: readonly { kind: string; degrees: readonly string[]; pitchClasses: readonly number[] }[]
}
/** The intervals that MusicXML 4.0 states for its kinds; the source stands in the file. */
const { kinds }: Kinds = JSON.parse(readFileSync('test/data/musicXmlKinds.json', 'utf8'))

/** How a musician types each kind. */
const typed: Readonly<Record<string, string>> = {
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
  'dominant-13th': '13(add11)',
  'major-13th': 'maj13(add11)',
  'minor-13th': 'm13',
  'suspended-second': 'sus2',
  'suspended-fourth': 'sus4',
  power: '5',
}

describe('MusicXML 4.0, kind-value', () => {
  test.each(kinds.filter(({ kind }) => typed[kind] !== undefined))('$kind', ({ kind, pitchClasses }) => {
    expect(pitchesOf(`C${typed[kind]}`)).toEqual(pitchClasses)
  })

  test.each(kinds)('a score that says $kind', ({ kind, pitchClasses }) => {
    // Over a major third 13 leaves the eleventh out, as players read it; the specification stacks every third.
    const withoutEleventh = kind === 'dominant-13th' || kind === 'major-13th'
    const wanted = withoutEleventh ? pitchClasses.filter((pitch) => pitch !== 5) : pitchClasses
    expect(ascending(kindDegrees[kind]!.map(degreeChroma))).toEqual(wanted)
  })

  test('degree elements add, alter and subtract', () => {
    const { dominant = [], 'major-seventh': major = [] } = kindDegrees
    const alter = (value: number, by: number) => ({ value, alter: by, type: 'alter' as const })
    const add = (value: number, by: number) => ({ value, alter: by, type: 'add' as const })
    expect(alterKind(dominant, [alter(5, -1)])).toEqual(['1', '3', 'b5', 'b7'])
    expect(alterKind(dominant, [add(9, 1), add(13, -1)])).toEqual(['1', '3', '5', 'b7', '#9', 'b13'])
    expect(alterKind(major, [add(11, 1)])).toEqual(['1', '3', '5', '7', '#11'])
    expect(alterKind(dominant, [{ value: 3, alter: 0, type: 'subtract' }])).toEqual(['1', '5', 'b7'])
    // A seventh that is added counts against a dominant chord (MusicXML 4.0, degree-alter).
    expect(alterKind(['1', '3', '5'], [add(7, 0)])).toEqual(['1', '3', '5', 'b7'])
    expect(alterKind(['1', '3', '5'], [add(7, 1)])).toEqual(['1', '3', '5', '7'])
  })
})

/**
 * chord-symbol 4.0.0 on every spelling it reads. Known faults of its own, and where our reading is another choice:
 * it takes +N and -N after a figure for a new quality, C6(9) for a thirteenth, hdim for diminished; it drops the third from 11,
 * the fifth where there is a b13, an added note over a bare fifth, gives dim9 and dim11 a minor seventh, and Δ6 a seventh.
 */
const chordSymbolDiffers = (suffix: string): boolean =>
  /[+−–-](?:5|9|11|13)/.test(suffix) ||
  /6\(9\)/.test(suffix) ||
  suffix === '6-9' ||
  /hdim/.test(suffix) ||
  /(?<![#b♯♭])11/.test(suffix) ||
  /add4|\(4\)|\/4/.test(suffix) ||
  /[b♭]13|b6/.test(suffix) ||
  /^(?:dim|°|o)(?:9|7\(9\)|7\(add9\))/.test(suffix) ||
  /^5\(?add/.test(suffix) ||
  suffix === 'Δ6'

describe('chord-symbol 4.0.0', () => {
  const parse = chordParserFactory()
  const theirs = (symbol: string): readonly number[] | null => {
    const read = parse(symbol)
    return read.error ? null : ascending(read.normalized.semitones.map((semitone) => semitone % 12))
  }
  const compared = spellingGroups
    .flatMap((group) => group.suffixes)
    .filter((suffix) => !chordSymbolDiffers(suffix) && theirs(`C${suffix}`) !== null)

  test('reads most of the list, so that the check below is one', () => {
    expect(compared.length).toBeGreaterThan(400)
  })
  test.each(compared)('C%s', (suffix) => {
    expect(pitchesOf(`C${suffix}`)).toEqual(theirs(`C${suffix}`))
  })
})

describe('tonal 6.4.3 on canonical names', () => {
  // It knows no 7b5b9, 7b5#9, maj7b5, flat-fifth triad or C4, and no parentheses; it takes the fifth out of 7b13.
  const names = [
    '',
    'm',
    'dim',
    'aug',
    '5',
    '7',
    'maj7',
    'm7',
    'm7b5',
    'dim7',
    '6',
    'm6',
    '69',
    'm69',
    '9',
    'maj9',
    'm9',
    'm11',
    'maj13',
    'm13',
    '7b9',
    '7#9',
    '7#11',
    '7#5',
    '7b5',
    '9#11',
    '13b9',
    '13#9',
    '13#11',
    'sus4',
    'sus2',
    '7sus4',
    '9sus4',
    '13sus4',
    'maj7#5',
    'maj7#11',
    'maj9#11',
    'mMaj7',
    'mMaj9',
    'add9',
    'madd9',
    '7b9#11',
    '7#5b9',
    '7#5#9',
    '9#5',
    '9b5',
  ]
  const theirs = (symbol: string) =>
    ascending(TonalChord.get(symbol).intervals.map((interval) => ((TonalInterval.semitones(interval) ?? 0) + 120) % 12))
  test.each(names)('C%s', (name) => {
    expect(TonalChord.get(`C${name}`).empty).toBe(false)
    // It leaves the fifth out of m13 and keeps the eleventh out of it; the two agree elsewhere.
    if (name === 'm13') expect(theirs(`C${name}`).every((pitch) => pitchesOf(`C${name}`)!.includes(pitch))).toBe(true)
    else expect(pitchesOf(`C${name}`)).toEqual(theirs(`C${name}`))
  })
})

describe('daccord 1.1.0, as a smoke test', () => {
  const semitones: Readonly<Record<string, number>> = { P: 0, M: 0, m: -1, d: -1, A: 1 }
  const major = [0, 2, 4, 5, 7, 9, 11]
  const chroma = (interval: string): number => {
    const [, quality = '', number = ''] = /^([PMmdA]+)(\d+)$/.exec(interval) ?? []
    const step = (Number(number) - 1) % 7
    const imperfect = ![0, 3, 4].includes(step)
    const alter =
      [...quality].reduce((sum, sign) => sum + semitones[sign]!, 0) - (imperfect && quality.startsWith('d') ? 1 : 0)
    return (major[step]! + alter + 12) % 12
  }
  test.each([
    '',
    'm',
    '7',
    'maj7',
    'm7',
    'm7b5',
    'dim7',
    '6',
    'm6',
    '9',
    'm9',
    'maj9',
    '13',
    '7b9',
    '7#9',
    '7#5',
    '7b5',
    'sus4',
    'aug',
    'dim',
    'mmaj7',
  ])('C%s', (suffix) => {
    const wanted = ascending(daccord(suffix).map(chroma))
    // It stacks every third under a 13.
    const agreed = suffix === '13' ? wanted.filter((pitch) => pitch !== 5) : wanted
    expect(pitchesOf(`C${suffix}`)).toEqual(agreed)
  })
})
