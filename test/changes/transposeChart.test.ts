/** Charts and symbols in other keys. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { transposeChart, transposeSymbol } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { intervalToKey, keyAt, nameOfKey, readKey } from '../../lib/theory/key.ts'
import { chromaOf, type Interval, nameOf } from '../../lib/theory/pitch.ts'
import { realCharts } from '../realCharts.ts'

const up = (text: string, from: string, to: string) =>
  transposeChart(readChart(`Key: ${from}\n${text}`), intervalToKey(readKey(from)!, readKey(to)!))
    .bars.flatMap((bar) => bar.chords.map((chord) => chord.symbol))
    .join(' ')

describe('the letters keep their intervals, and hard names give way', () => {
  // Common practice: no double accidentals; B# E# Cb Fb only where the key has them.
  test.each([
    ['| Dm7 | G7 | Cmaj7 |', 'C', 'Eb', 'Fm7 Bb7 Ebmaj7'],
    ['| Dm7 | G7 | Cmaj7 |', 'C', 'B', 'C#m7 F#7 Bmaj7'],
    ['| Dm7 | G7 | Cmaj7 |', 'C', 'Gb', 'Abm7 Db7 Gbmaj7'],
    ['| C | F |', 'C', 'Gb', 'Gb Cb'],
    ['| Bm7b5 | E7 | Am |', 'Am', 'Ebm', 'Fm7b5 Bb7 Ebm'],
    ['| E7 | Eb7 |', 'C', 'Db', 'F7 E7'],
    ['| Ab7 | Db7 |', 'C', 'Ab', 'E7 A7'],
    ['| C/E | Fm/Ab |', 'C', 'B', 'B/D# Em/G'],
    ['| C/Bb | D/F# |', 'C', 'Db', 'Db/B Eb/G'],
    ['| N.C. | C |', 'C', 'D', 'N.C. D'],
  ])('%s from %s to %s', (text, from, to, wanted) => {
    expect(up(text, from, to)).toBe(wanted)
  })

  test('changes of key go along, under names with no more than seven signs', () => {
    const chart = readChart('Key: C\n| C |\nKey: E\n| E |\nKey: B\n| B |')
    const moved = transposeChart(chart, { steps: 4, semitones: 8 })
    expect(moved.bars.map((bar) => bar.key && nameOfKey(bar.key))).toEqual([null, 'C', 'G'])
  })
})

const intervals: fc.Arbitrary<Interval> = fc
  .tuple(fc.integer({ min: 0, max: 11 }), fc.integer({ min: 0, max: 11 }))
  .map(([from, to]) => intervalToKey(keyAt(from, 'major'), keyAt(to, 'major')))

test('every chord of every real chart keeps its quality and its distance, under a plain name', () => {
  const charts = realCharts()
  fc.assert(
    fc.property(fc.nat(charts.length - 1), intervals, (n, interval) => {
      const chart = charts[n]!
      const moved = transposeChart(chart, interval)
      expect(moved.bars.length).toBe(chart.bars.length)
      for (const [i, bar] of moved.bars.entries()) {
        for (const [j, chord] of bar.chords.entries()) {
          const before = chart.bars[i]!.chords[j]!
          expect([chord.beats, chord.span, chord.optional]).toEqual([before.beats, before.span, before.optional])
          expect(chord.chord).toEqual(before.chord)
          if (!chord.root || !before.root) continue
          expect(chromaOf(chord.root)).toBe((chromaOf(before.root) + interval.semitones + 12) % 12)
          if (chord.bass) expect(chromaOf(chord.bass)).toBe((chromaOf(before.bass!) + interval.semitones + 12) % 12)
          expect(nameOf(chord.root)).toMatch(/^(?![BE]#|[CF]b)[A-G][#b]?$/)
          expect(readSymbol(chord.symbol).symbol).toEqual({
            symbol: chord.symbol,
            root: chord.root,
            chord: chord.chord,
            bass: chord.bass,
          })
        }
      }
    }),
    { numRuns: 150 },
  )
})

test('there and back again by the same interval is where it was', () => {
  const symbols = ['Dm7', 'G7(b9)', 'Cmaj7/E', 'F#m7b5', 'Bb13(#11)', 'Eb/G', 'A7alt']
  for (const text of symbols) {
    const { symbol } = readSymbol(text)
    for (const interval of [
      { steps: 2, semitones: 3 },
      { steps: 1, semitones: 2 },
      { steps: 3, semitones: 5 },
    ]) {
      const there = transposeSymbol(symbol!, interval, null)
      const back = transposeSymbol(there, { steps: -interval.steps, semitones: -interval.semitones }, null)
      expect(chromaOf(back.root!)).toBe(chromaOf(symbol!.root!))
      expect(back.chord).toEqual(symbol!.chord)
    }
  }
})
