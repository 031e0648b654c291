/** Chord symbols: what each spelling means, what is refused, and what is said about it. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { printSymbol, type SymbolStyle } from '../../../lib/changes/symbol/printSymbol.ts'
import { readSymbol } from '../../../lib/changes/symbol/readSymbol.ts'
import { pitchClassesOf } from '../../../lib/theory/chord.ts'
import { nameOf, readPitchClass } from '../../../lib/theory/pitch.ts'
import { spellingGroups } from '../spellings.ts'

const errorsOf = (text: string) => readSymbol(text).problems.filter((problem) => problem.severity === 'error')
const warningsOf = (text: string) => readSymbol(text).problems.filter((problem) => problem.severity === 'warning')
const pitchesOf = (text: string) => {
  const chord = readSymbol(text).symbol?.chord
  return chord ? pitchClassesOf(chord) : null
}

describe.each(spellingGroups)('$name', ({ pitchClasses, suffixes }) => {
  test.each(suffixes)('C%s', (suffix) => {
    expect(pitchesOf(`C${suffix}`)).toEqual(pitchClasses)
    expect(errorsOf(`C${suffix}`)).toEqual([])
  })

  test('one chord however it is spelled, over every root', () => {
    for (const root of ['D', 'Eb', 'F#', 'Gb', 'Ab', 'A', 'Bb', 'B']) {
      for (const suffix of suffixes) {
        const reading = readSymbol(root + suffix)
        expect(reading.symbol?.root, root + suffix).toEqual(readPitchClass(root))
        expect(pitchesOf(root + suffix), root + suffix).toEqual(pitchClasses)
      }
    }
  })
})

test('at least three hundred spellings are listed, each once', () => {
  const all = spellingGroups.flatMap((group) => group.suffixes)
  expect(all.length).toBeGreaterThan(500)
  expect(new Set(all).size).toBe(all.length)
})

describe('degrees keep the names that the symbol gives them', () => {
  test.each([
    ['C7#9', ['1', '3', '5', 'b7', '#9']],
    ['Cm7b5', ['1', 'b3', 'b5', 'b7']],
    ['Cdim7', ['1', 'b3', 'b5', 'bb7']],
    ['C7alt', ['1', '3', 'b5', 'b7', 'b9', '#9', 'b13']],
    ['Csus4', ['1', '4', '5']],
    ['Csus2', ['1', '2', '5']],
    ['C2', ['1', '3', '5', '9']],
    ['C69', ['1', '3', '5', '6', '9']],
    ['C11', ['1', '3', '5', 'b7', '9', '11']],
    ['C13(#11)', ['1', '3', '5', 'b7', '9', '#11', '13']],
    ['C7(b5,#5)', ['1', '3', 'b5', '#5', 'b7']],
    ['Cm(maj7)', ['1', 'b3', '5', '7']],
    ['C#4', ['1', '4', '5']],
    ['C(#4)', ['1', '3', '5', '#11']],
    ['C7(add6)', ['1', '3', '5', 'b7', '13']],
  ])('%s', (text, degrees) => {
    expect(readSymbol(text).symbol?.chord?.degrees).toEqual(degrees)
  })
})

describe('roots and bass notes', () => {
  test.each([
    ['C#9', 'C#', '9', null],
    ['Cb5', 'Cb', '5', null],
    ['Ab13', 'Ab', '13', null],
    ['Eb5', 'Eb', '5', null],
    ['Bbb7', 'Bbb', '7', null],
    ['Bbb5', 'Bb', '(b5)', null],
    ['F##m', 'F##', 'm', null],
    ['Fx7', 'F##', '7', null],
    ['Cn7', 'C', '7', null],
    ['C♮7', 'C', '7', null],
    ['B𝄫7', 'Bbb', '7', null],
    ['F𝄪m7', 'F##', 'm7', null],
    ['Ｃ♯ｍ７', 'C#', 'm7', null],
    ['H7', 'B', '7', null],
    ['Fm7/Bb', 'F', 'm7', 'Bb'],
    ['C6/9/E', 'C', '69', 'E'],
    ['C7/9b/13/G', 'C', '13(b9)', 'G'],
    ['D♭⁄C', 'Db', '', 'C'],
    ['A/C#', 'A', '', 'C#'],
    ['C/Bbb', 'C', '', 'Bbb'],
    ['(G7)', 'G', '7', null],
    ['BB7', 'Bb', '7', null],
    ['EBMAJ7', 'Eb', 'maj7', null],
    ['ABMI7/GB', 'Ab', 'm7', 'Gb'],
    ['dm7', 'D', 'm7', null],
    ['b7', 'B', '7', null],
    ['C/e', 'C', '', 'E'],
    ['C7♭9 / G', 'C', '7(b9)', 'G'],
  ])('%s', (text, root, named, bass) => {
    const { symbol } = readSymbol(text)
    expect(symbol?.root && nameOf(symbol.root)).toBe(root)
    expect(symbol?.chord?.named).toBe(named)
    expect(symbol?.bass && nameOf(symbol.bass)).toBe(bass)
    expect(symbol?.symbol).toBe(root + named + (bass ? `/${bass}` : ''))
  })

  test('a symbol in parentheses may be left out', () => {
    expect(readSymbol('(G7)').optional).toBe(true)
    expect(readSymbol('(C7(b9))')).toMatchObject({ optional: true, symbol: { symbol: 'C7(b9)' } })
    expect(readSymbol('C7(b9)').optional).toBe(false)
  })

  test.each(['N.C.', 'NC', 'n.c.', 'No Chord', 'no chord', 'N.C', 'nc', 'N. C.', '(N.C.)'])('no chord: %s', (text) => {
    expect(readSymbol(text).symbol).toEqual({ symbol: 'N.C.', root: null, chord: null, bass: null })
  })

  test('in a German chart B is B flat', () => {
    const habits = { key: null, german: true, dialect: false, smallRoots: true }
    expect(readSymbol('B7', habits).symbol?.symbol).toBe('Bb7')
    expect(readSymbol('H7', habits).symbol?.symbol).toBe('B7')
    expect(readSymbol('Bb7', habits).symbol?.symbol).toBe('Bb7')
  })

  test('the dialect of a beat-track data set runs digits together, accidentals after', () => {
    const habits = { key: null, german: false, dialect: true, smallRoots: true }
    expect(readSymbol('C79b13b', habits).symbol?.symbol).toBe('C7(b9,b13)')
    expect(readSymbol('C-79', habits).symbol?.symbol).toBe('Cm9')
    expect(errorsOf('C79b13b')).toHaveLength(1)
  })
})

describe('Roman numerals', () => {
  const key = (tonic: string, mode: 'major' | 'minor') => ({
    key: { tonic: readPitchClass(tonic)!, mode },
    german: false,
    dialect: false,
    smallRoots: true,
  })
  test.each([
    ['C', 'major', 'ii7', 'Dm7'],
    ['C', 'major', 'V7', 'G7'],
    ['C', 'major', 'Imaj7', 'Cmaj7'],
    ['C', 'major', 'VI7', 'A7'],
    ['C', 'major', 'viiø7', 'Bm7b5'],
    ['C', 'major', 'vii°7', 'Bdim7'],
    ['C', 'major', 'bVII7', 'Bb7'],
    ['C', 'major', '#iv°7', 'F#dim7'],
    ['C', 'major', 'bIII+', 'Ebaug'],
    ['C', 'major', 'iv6', 'Fm6'],
    ['C', 'major', 'imaj7', 'Cm(maj7)'],
    ['C', 'major', 'V7/ii', 'A7'],
    ['C', 'major', 'V7/V', 'D7'],
    ['C', 'major', 'vii°7/V', 'F#dim7'],
    ['C', 'major', 'ii7/IV', 'Gm7'],
    ['C', 'major', 'I/iii', 'C/E'],
    ['C', 'major', 'IV/V', 'F/G'],
    ['C', 'major', 'V7/B', 'G7/B'],
    ['C', 'major', 'V7(b9)', 'G7(b9)'],
    ['C', 'major', 'V7sus4', 'G7sus4'],
    ['C', 'major', 'V7alt', 'G7alt'],
    ['Eb', 'major', 'iii7', 'Gm7'],
    ['F#', 'major', 'IVmaj7', 'Bmaj7'],
    ['C', 'minor', 'bVI', 'Ab'],
    ['C', 'minor', 'VI', 'A'],
    ['A', 'minor', 'i', 'Am'],
    ['A', 'minor', 'iiø7', 'Bm7b5'],
    ['A', 'minor', 'V7b9', 'E7(b9)'],
    ['Gb', 'major', 'bVI7', 'D7'],
  ] as const)('in %s %s, %s is %s', (tonic, mode, numeral, symbol) => {
    expect(readSymbol(numeral, key(tonic, mode)).symbol?.symbol).toBe(symbol)
  })

  test('without a key a numeral says so', () => {
    expect(readSymbol('ii7')).toMatchObject({
      symbol: null,
      numeral: true,
      problems: [{ code: 'numeral-without-key' }],
    })
  })

  test('a numeral over a bare digit is refused', () => {
    expect(readSymbol('V/2', key('C', 'major')).problems).toMatchObject([{ code: 'unknown-bass' }])
  })
})

/** Symbols that no trade habit reads: code, the offset of the cause, and a hint where it is plain what was meant. */
const refused: readonly [string, string, number, string?][] = [
  ['Cmja7', 'unknown-quality', 2, 'Cmaj7'],
  ['Cmin77', 'unknown-quality', 4],
  ['Cmjr7', 'unknown-quality', 2],
  ['Csuss4', 'unknown-quality', 4],
  ['C7b', 'unknown-quality', 2],
  ['C7#', 'unknown-quality', 2],
  ['C7b8', 'unknown-quality', 2],
  ['C7b10', 'unknown-quality', 2],
  ['C7#6', 'unknown-quality', 2],
  ['C7##9', 'unknown-quality', 2],
  ['C7x9', 'unknown-quality', 2],
  ['Cadd5', 'unknown-quality', 1],
  ['Cno7', 'unknown-quality', 1],
  ['C7no9', 'unknown-quality', 2],
  ['C79b13b', 'unknown-quality', 1],
  ['C711', 'unknown-quality', 1],
  ['Cq', 'unknown-quality', 1],
  ['C7[b9]', 'unknown-quality', 2, 'C7b9'],
  ['J7', 'unknown-root', 0],
  ['Xm7', 'unknown-root', 0],
  ['b9', 'unknown-root', 0],
  ['b13', 'unknown-root', 0],
  ['7', 'unknown-root', 0],
  ['m7', 'unknown-root', 0],
  ['', 'unknown-root', 0],
  ['C#b', 'mixed-accidentals', 2, 'C#'],
  ['C#b7', 'mixed-accidentals', 2, 'C#(b7)'],
  ['C###', 'mixed-accidentals', 3, 'C##'],
  ['Dbbb', 'mixed-accidentals', 3, 'Dbb'],
  ['Bb#11', 'mixed-accidentals', 2, 'Bb(#11)'],
  ['Dm7/', 'missing-bass', 3, 'Dm7'],
  ['C/', 'missing-bass', 1, 'C'],
  ['Dm7/K', 'unknown-bass', 4, 'Dm7/D'],
  ['C/E/G', 'unknown-bass', 2],
  ['C7(b9', 'unmatched-parenthesis', 2, 'C7(b9)'],
  ['C7b9)', 'unmatched-parenthesis', 4, 'C7b9'],
  ['C7()', 'unmatched-parenthesis', 2, 'C7'],
  ['C7(b9(13))', 'unmatched-parenthesis', 5],
  ['(C7', 'unmatched-parenthesis', 0, 'C7'],
  ['Cmaj7b7', 'contradiction', 5, 'Cmaj7'],
  ['C7maj7', 'contradiction', 5],
  ['Cm7maj7', 'contradiction', 6],
  ['C7b5no5', 'contradiction', 4, 'C7b5'],
  ['Cm#3', 'contradiction', 2, 'Cm'],
  ['C(b3)', 'contradiction', 2],
  ['C9b9', 'contradiction', 2],
  ['C13b13', 'contradiction', 3],
  ['C7b9b9', 'contradiction', 4, 'C7b9'],
  ['C9add9', 'contradiction', 2],
  ['Cadd9b9', 'contradiction', 5],
  ['Cmm7', 'contradiction', 2],
  ['Cdimaug', 'contradiction', 4],
  ['Cmalt', 'contradiction', 2],
  ['C5b5', 'contradiction', 2],
  ['C-5', 'contradiction', 2],
  ['C1', 'contradiction', 1],
  ['C3', 'contradiction', 1],
  ['C8', 'contradiction', 1],
  ['C10', 'contradiction', 1],
  ['C12', 'contradiction', 1],
  ['C14', 'contradiction', 1],
  ['Dm7G7', 'joined-chords', 3, 'Dm7 G7'],
  ['Am7D7Gmaj7', 'joined-chords', 3, 'Am7 D7 Gmaj7'],
  ['Dm7-G7', 'joined-chords', 4, 'Dm7 G7'],
  ['Dm7/G7', 'joined-chords', 4, 'Dm7 G7'],
]

describe('refused', () => {
  test.each(refused)('%s: %s at %i', (text, code, cause, hint) => {
    const errors = errorsOf(text)
    expect(errors.map((problem) => problem.code)).toEqual([code])
    const { span } = errors[0]!
    expect(Math.abs(span.start - cause)).toBeLessThanOrEqual(6)
    expect(span.start).toBeLessThanOrEqual(cause)
    expect(span.end).toBeLessThanOrEqual(text.length)
    if (hint !== undefined) expect(errors[0]!.hint).toBe(hint)
  })

  test.each(refused.filter(([text]) => text !== ''))('the hint for %s reads', (text) => {
    const { hint } = errorsOf(text)[0]!
    for (const each of hint.split(' ')) expect(errorsOf(each), `${text} -> ${hint}`).toEqual([])
  })

  test('a cause far into the symbol is pointed at itself', () => {
    const [problem] = errorsOf('Cmaj7(#11)xyz')
    expect(problem).toMatchObject({ span: { start: 10, end: 13 }, found: 'xyz', hint: 'Cmaj7(#11)', replacement: '' })
  })

  test('joined chords are read all the same', () => {
    const { symbol, joined } = readSymbol('Am7D7Gmaj7')
    expect([symbol?.symbol, ...joined.map((each) => each.symbol)]).toEqual(['Am7', 'D7', 'Gmaj7'])
  })
})

describe('warned about, and read', () => {
  test.each([
    ['C2', 'ambiguous-symbol', 'Cadd9'],
    ['C4', 'ambiguous-symbol', 'Csus4'],
    ['Csus', 'ambiguous-symbol', 'Csus4'],
    ['C11', 'ambiguous-symbol', 'C9sus4'],
    ['C13', 'ambiguous-symbol', 'C13(add11)'],
    ['C7+', 'ambiguous-symbol', 'C7(#5)'],
    ['C+9', 'ambiguous-symbol', 'C9(#5)'],
    ['Cdim', 'ambiguous-symbol', 'Cdim7'],
    ['CΔ', 'ambiguous-symbol', 'Cmaj7'],
    ['C7alt', 'ambiguous-symbol', 'C7(b5,b9,#9,b13)'],
    ['C6-9', 'ambiguous-symbol', 'C69'],
    ['Bbb5', 'ambiguous-symbol', 'Bb(b5)'],
    ['C07', 'zero-for-diminished', 'Cdim7'],
    ['cm7', 'small-root', 'Cm7'],
    ['Dm7*', 'dropped-mark', 'Dm7'],
    ['G7,', 'dropped-mark', 'G7'],
    ['EBMAJ7', 'caps-lock-flat', 'EbMAJ7'],
  ])('%s: %s', (text, code, hint) => {
    const warnings = warningsOf(text)
    expect(warnings.map((problem) => problem.code)).toEqual([code])
    expect(warnings[0]!.hint).toBe(hint)
    expect(errorsOf(hint)).toEqual([])
    expect(readSymbol(text).symbol).not.toBeNull()
  })

  test.each(['C', 'Cm7', 'C7', 'Cmaj7', 'C9', 'Cm11', 'Cm13', 'Cdim7', 'C7(b9)', 'Calt', 'C7sus4', 'Cm7b5', 'Caug'])(
    '%s goes without a word',
    (text) => {
      expect(readSymbol(text).problems).toEqual([])
    },
  )
})

const styles: fc.Arbitrary<SymbolStyle> = fc.record({
  major: fc.constantFrom('maj7' as const, 'Δ' as const, 'ma7' as const),
  minor: fc.constantFrom('m' as const, '-' as const, 'mi' as const),
  diminished: fc.constantFrom('dim' as const, '°' as const),
  halfDiminished: fc.constantFrom('m7b5' as const, 'ø' as const),
  augmented: fc.constantFrom('aug' as const, '+' as const),
  accidentals: fc.constantFrom('ascii' as const, 'signs' as const),
})
const roots = fc.constantFrom(
  'C',
  'C#',
  'Db',
  'D',
  'Eb',
  'E',
  'F',
  'F#',
  'Gb',
  'G',
  'Ab',
  'A',
  'Bb',
  'B',
  'Cb',
  'Bbb',
  'F##',
)
const suffixes = fc.constantFrom(...spellingGroups.flatMap((group) => group.suffixes))
const basses = fc.constantFrom('', '/C', '/Eb', '/F#', '/B')

describe('over every root, suffix, bass and style', () => {
  test('what is printed reads back to the same symbol, and the canonical name to itself', () => {
    fc.assert(
      fc.property(roots, suffixes, basses, styles, (root, suffix, bass, style) => {
        const { symbol } = readSymbol(root + suffix + bass)
        // D1: a sign after the letter belongs to the root, so Bb and b5 may meet as one root.
        fc.pre(symbol !== null && symbol.root !== null)
        expect(readSymbol(printSymbol(symbol!, style)).symbol).toEqual(symbol)
        expect(readSymbol(symbol!.symbol).symbol).toEqual(symbol)
      }),
      { numRuns: 2000 },
    )
  })
})

describe('no text at all', () => {
  const pieces = fc.constantFrom(
    'C',
    'Bb',
    'm',
    'maj',
    '7',
    '9',
    '11',
    '13',
    'b',
    '#',
    '(',
    ')',
    '/',
    'sus',
    'add',
    'no',
    'alt',
    'dim',
    '+',
    '-',
    ' ',
    ',',
    'Δ',
    'ø',
    '°',
    'H',
    'V',
    'ii',
    '5',
    '6',
    'x',
    'j',
  )
  const texts = fc.oneof(
    fc.array(pieces, { maxLength: 10 }).map((each) => each.join('')),
    fc.string({ unit: 'binary', maxLength: 30 }),
    fc.string({ unit: 'grapheme', maxLength: 20 }),
  )
  test('throws; every problem lies inside it; what reads names its degrees', () => {
    fc.assert(
      fc.property(texts, (text) => {
        const { symbol, problems } = readSymbol(text)
        for (const { span } of problems) {
          expect(span.start).toBeGreaterThanOrEqual(0)
          expect(span.end).toBeGreaterThanOrEqual(span.start)
          expect(span.end).toBeLessThanOrEqual(text.length)
        }
        if (symbol === null) expect(problems.some((problem) => problem.severity === 'error')).toBe(true)
        if (symbol?.chord) expect(readSymbol(symbol.symbol).symbol).toEqual(symbol)
      }),
      { numRuns: 3000 },
    )
  })

  test('gets a hint that does not read, or a replacement that leaves it unread', () => {
    fc.assert(
      fc.property(fc.array(pieces, { minLength: 1, maxLength: 8 }), (parts) => {
        const text = parts.join('')
        const [problem] = errorsOf(text)
        fc.pre(problem !== undefined && problem.code !== 'numeral-without-key' && problem.code !== 'joined-chords')
        fc.pre(!readSymbol(text).numeral)
        const { hint, replacement, span } = problem!
        expect(errorsOf(hint), `${text} -> ${hint}`).toEqual([])
        if (replacement === undefined) return
        const mended = (text.slice(0, span.start) + replacement + text.slice(span.end)).trim()
        expect(errorsOf(mended), `${text} -> ${mended}`).toEqual([])
      }),
      { numRuns: 3000 },
    )
  })
})
