/** Charts played through: ticks, choruses, sections and keys. */
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { nameOfKey } from '../../lib/theory/key.ts'

const played = (text: string, choruses = 1) => unrollChart(readChart(text), choruses)

test('bars follow without a gap, 24 ticks to the quarter', () => {
  const { bars, chords } = played('| C | 3/4 F G A | 6/8 Dm |')
  expect(bars.map((bar) => [bar.bar, bar.start, bar.ticks])).toEqual([
    [1, 0, 96],
    [2, 96, 72],
    [3, 168, 72],
  ])
  expect(chords.map((chord) => [chord.symbol, chord.bar, chord.start, chord.ticks])).toEqual([
    ['C', 1, 0, 96],
    ['F', 2, 96, 24],
    ['G', 2, 120, 24],
    ['A', 2, 144, 24],
    ['Dm', 3, 168, 72],
  ])
})

test('chords that do not divide the bar still fill it, on whole ticks', () => {
  const { chords } = played('| C D E F G |')
  // 96 ticks in five: 19.2 each, so 19 19 20 19 19.
  expect(chords.map((chord) => chord.ticks)).toEqual([19, 19, 20, 19, 19])
})

test('repeats, endings and choruses are followed', () => {
  const { bars } = played('|: C | F |1. G :|2. A |', 2)
  expect(bars.map((bar) => bar.written)).toEqual([0, 1, 2, 0, 1, 3, 0, 1, 2, 0, 1, 3])
  expect(bars.map((bar) => bar.chorus)).toEqual([1, 1, 1, 1, 1, 1, 2, 2, 2, 2, 2, 2])
  expect(bars[11]).toMatchObject({ bar: 12, start: 11 * 96 })
})

describe('a section opens', () => {
  const sections = (text: string, choruses = 1) => played(text, choruses).bars.map((bar) => bar.section)
  test('on its first bar, and again in the next chorus', () => {
    expect(sections('[A] | C | F |\n[B] | G |', 2)).toEqual(['A', null, 'B', 'A', null, 'B'])
  })
  test('again when it is repeated from its first bar, not from a later one', () => {
    expect(sections('[A]\n|: C | F :|')).toEqual(['A', null, 'A', null])
    expect(sections('[A]\n| C |: F :|')).toEqual(['A', null, null])
  })
  test('where a jump leads into it', () => {
    expect(sections('[A] | C | Segno F |\n[B] | G | D.S.')).toEqual(['A', null, 'B', 'A', 'B'])
  })
})

test('the key in force is that of the written bar, also after a jump', () => {
  const { bars } = played('Key: C\n| C Fine |\nKey: Eb\n| Eb | Bb7 | D.C. al Fine')
  expect(bars.map((bar) => bar.key && nameOfKey(bar.key))).toEqual(['C', 'Eb', 'Eb', 'C'])
})
