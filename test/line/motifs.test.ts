/** Ideas that come back: what they become over another chord, worked by hand, and how often they do. */
import { describe, expect, test } from 'vitest'
import { fitMotif } from '../../lib/line/motifs.ts'
import { planRhythm } from '../../lib/line/planRhythm.ts'
import { realChartTexts } from '../realCharts.ts'
import { draftOf, harmonyOf } from './drafts.ts'

describe('an idea over another chord goes by the same scale steps, its notes from outside by the same semitones', () => {
  // Common practice: a sequence. Cmaj7 takes C major, Dm7 D dorian, G7 mixolydian, all of one key.
  const harmony = harmonyOf('Key: C\n| Cmaj7 | Dm7 | G7 | Cmaj7 |')
  const moments = planRhythm(harmony, [], { rhythm: 'eighths' })
  const from = 8
  test.each([
    ['1-2-3-1 a step higher', [60, 62, 64, 60, 67], 62, [62, 64, 65, 62, 69]],
    ['the same notes', [60, 62, 64, 60, 67], 60, [60, 62, 64, 60, 67]],
    ['a lower neighbour by semitone', [64, 63, 64, 67, 65], 65, [65, 64, 65, 69, 67]],
    ['a triad', [60, 64, 67, 64, 60], 65, [65, 69, 72, 69, 65]],
    ['beyond the range', [60, 64, 67, 64, 60], 77, null],
  ])('%s', (_, idea, first, expected) => {
    const heard = {
      harmony,
      moments,
      midis: idea,
      slotAt: () => undefined as never,
      range: [55, 80] as const,
      fits: [],
    }
    expect(fitMotif(heard, { from, origin: 0, notes: idea.length }, first)).toEqual(expected)
  })
})

test('none, some and much: more comes back, and none where none is asked for', () => {
  const count = (motif: string) =>
    [1, 2, 3, 4, 5, 6].reduce((sum, seed) => {
      const given = { rhythm: 'phrased', tempo: '180', motif, choruses: '1', seed: String(seed) }
      return sum + (draftOf(realChartTexts()[1]!, given).draft!.motifs?.length ?? 0)
    }, 0)
  const [none, some, much] = ['none', 'some', 'much'].map(count) as [number, number, number]
  expect(none).toBe(0)
  expect(some).toBeGreaterThan(6)
  expect(much).toBeGreaterThan(some)
})

test('so many ideas name a place that was played before', () => {
  const { draft } = draftOf(realChartTexts()[2]!, { rhythm: 'phrased', motif: 'much' })
  for (const { from, origin, notes } of draft!.motifs!) expect(origin + notes).toBeLessThanOrEqual(from)
})

test('targets that travel move further than smooth ones, in even eighths too', () => {
  /** The share of moves by a fourth or more, over real charts. */
  const moved = (targets: string) => {
    const moves = realChartTexts().flatMap((chart) => {
      const found = draftOf(chart, { targets }).draft!.targets.map(({ midi }) => midi)
      return found.slice(1).map((midi, i) => Math.abs(midi - found[i]!))
    })
    return moves.filter((each) => each >= 5).length / moves.length
  }
  // Players: 60 of 100 moves from downbeat to downbeat by the counted moves.
  expect(moved('travel')).toBeGreaterThan(0.55)
  expect(moved('smooth')).toBeLessThan(0.45)
})
