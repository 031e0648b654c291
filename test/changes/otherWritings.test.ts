/** Chords in other writings than the usual: Harte's notation, German names, basses set apart, signs that a typeface makes. */
import { describe, expect, test } from 'vitest'
import { readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { barsText } from './chartText.ts'

// Harte, Sandler, Abdallah, Gómez: Symbolic Representation of Musical Chords, ISMIR 2005, tables 1 and 2 and the examples of section 4.
test.each([
  ['C:maj', 'C'],
  ['C:min', 'Cm'],
  ['C:dim', 'Cdim'],
  ['C:aug', 'Caug'],
  ['C:maj7', 'Cmaj7'],
  ['C:min7', 'Cm7'],
  ['C:7', 'C7'],
  ['C:dim7', 'Cdim7'],
  ['D:hdim7', 'Dm7b5'],
  ['C:minmaj7', 'Cm(maj7)'],
  ['C:maj6', 'C6'],
  ['C:min6', 'Cm6'],
  ['C:9', 'C9'],
  ['C:maj9', 'Cmaj9'],
  ['C:min9', 'Cm9'],
  ['C:sus4', 'Csus4'],
  ['A:min7/b7', 'Am7/G'],
  ['C:maj/3', 'C/E'],
  ['Ab:7(#9)', 'Ab7(#9)'],
  ['D#:min7(11)', 'D#m7(add11)'],
  ['C:(1,b3,b5,b7)', 'Cm7b5'],
  ['C:min7(*5,11)', 'Cm7(add11,no5)'],
  ['C:(1,4,5,b7)', 'C7sus4'],
  ['N', 'N.C.'],
])('%s is %s', (written, read) => {
  expect(readSymbol(written)).toMatchObject({ symbol: { symbol: read }, problems: [] })
})

// Common practice.
test.each([
  ['C\\E', 'C/E'],
  ['Cadd 9', 'Cadd9'],
  ['Cm(♮7)', 'Cm(maj7)'],
  ['C7(♮9)', 'C9'],
  ['C°7(Δ)', 'Cdim7(maj7)'],
  ['C°(Δ7)', 'Cdim(maj7)'],
  ['Es7', 'Eb7'],
  ['Fis7', 'F#7'],
  ['As', 'Ab'],
  ['Desmaj7', 'Dbmaj7'],
  ['Cism7b5', 'C#m7b5'],
  ['Es/B', 'Eb/B'],
  ['C/Es', 'C/Eb'],
  // Where another reading stands, it does.
  ['Asus4', 'Asus4'],
  ['Esus', 'Esus4'],
  ['Dsus2', 'Dsus2'],
])('%s is %s', (written, read) => {
  expect(readSymbol(written).symbol?.symbol).toBe(read)
})

test.each(['A:D7', 'C:maj7x', 'C:', 'C:min7/K', 'H:maj', 'C:maj(99)'])('%s is none of these', (written) => {
  expect(readSymbol(written).symbol).toBeNull()
})

describe('in a chart', () => {
  test.each([
    ['| C on E | F on A |', 'C/E:4 | F/A:4'],
    ['| C / E | F / A |', 'C/E:4 | F/A:4'],
    ['| C / E / | F |', 'C:2 E:2 | F:4'],
    ['Time: 3/4\n| C / E | F |', 'C:2 E:1 | F:3'],
    ['| Dm7 / G7 / | C / / G |', 'Dm7:2 G7:2 | C:3 G:1'],
    ['| Cadd 9 | Dm7 G7 |', 'Cadd9:4 | Dm7:2 G7:2'],
    ['A:min7 D:7 | G:maj7', 'Am7:2 D7:2 | Gmaj7:4'],
    ['A:7 D:min7 G:7', 'A7:4 | Dm7:4 | G7:4'],
    ['| C:maj | N |', 'C:4 | N.C.:4'],
    ['| Es7 | Fis7 | As |', 'Eb7:4 | F#7:4 | Ab:4'],
    ['| As | B7 | Es |', 'Ab:4 | Bb7:4 | Eb:4'],
    ['| Asus4 A | Esus | B |', 'Asus4:2 A:2 | Esus4:4 | B:4'],
    ['| C | F | %% | G |', 'C:4 | F:4 | C:4 | F:4 | G:4'],
    ['| Cmaj7 over G | Am7 over D |', 'Cmaj7/G:4 | Am7/D:4'],
    ['| Am7 | x4 |', 'Am7:4'],
    ['| C | G | x2 |\n| Dm | Em |', 'C:4 | G:4 | Dm:4 | Em:4'],
    ['| C | F | %% | % | G |', 'C:4 | F:4 | C:4 | F:4 | G:4'],
    ['| C | F | %% | % | % | G |', 'C:4 | F:4 | C:4 | F:4 | F:4 | G:4'],
    ['| C | F | %% | %% | G |', 'C:4 | F:4 | C:4 | F:4 | C:4 | F:4 | G:4'],
  ])('%s', (text, bars) => {
    const chart = readChart(text)
    expect(barsText(chart)).toBe(bars)
    expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  })

  test('a flat apart from its letter is joined to it, and said', () => {
    const chart = readChart('| C | B b7 | A bmaj7 |')
    expect(barsText(chart)).toBe('C:4 | Bb7:4 | Abmaj7:4')
    expect(chart.problems.map(({ code, found, hint }) => [code, found, hint])).toEqual([
      ['split-symbol', 'B b7', 'Bb7'],
      ['split-symbol', 'A bmaj7', 'Abmaj7'],
    ])
  })

  // What none of these writings has is refused where it stands, kept as typed, and the rest is read.
  test.each([
    ['| C:foo | D |', 'C:foo', 'D:4'],
    ['| A:min7/x | D |', 'A:min7/x', 'D:4'],
    ['| C\\Q | D |', 'C\\Q', 'D:4'],
    ['| Cadd | D |', 'Cadd', 'D:4'],
    ['| Qes7 | D |', 'Qes7', 'D:4'],
    ['| A% | D7 |', 'A%', 'D7:4'],
    ['| Cm(♮) | D7 |', 'Cm(♮)', 'D7:4'],
    ['| H:maj | D7 |', 'H:maj', 'D7:4'],
  ])('refused: %s', (text, found, rest) => {
    const chart = readChart(text)
    const errors = chart.problems.filter(({ severity }) => severity === 'error')
    expect(errors.map((each) => each.found)).toEqual([found])
    expect(text.slice(errors[0]!.span.start, errors[0]!.span.end)).toBe(found)
    expect(errors[0]!.hint).not.toBe('')
    expect(barsText(chart).split(' | ')[1]).toBe(rest)
  })

  test('X7 in a bar is no count', () => {
    expect(readChart('| C | X7 | F |').problems).toMatchObject([{ code: 'unknown-root', found: 'X7' }])
    expect(readChart('|: C | F :| X3').playOrder).toEqual([0, 1, 0, 1, 0, 1])
  })

  test('a percent sign before a 7 is half-diminished, and no hint says otherwise', () => {
    const chart = readChart('| A%7 | D7 |')
    expect(barsText(chart)).toBe('Am7b5:4 | D7:4')
    expect(chart.problems).toMatchObject([{ severity: 'warning', found: 'A%7', hint: 'Am7b5' }])
  })

  test('words that begin like German notes are words', () => {
    expect(readChart('Es war einmal\n| C | F |').bars).toHaveLength(2)
    expect(readChart('As time goes on we play\n| C | F |').bars).toHaveLength(2)
  })
})
