/** Where targets wait, what may sound there, and the voice leading through them. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Brief, landings } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import {
  choicesOn,
  chooseTargets,
  chordIndexAt,
  landingDegrees,
  motionCost,
  placeTargets,
  smoothestTargets,
} from '../../lib/line/chooseTargets.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { chromaOf, nameOf, pitchAt } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'

const harmonyOf = (text: string) => {
  const chart = readChart(text)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return readHarmony(unrollChart(chart))
}
const usual = { every: 'strong', on: '1', land: ['3', '7'] } as const satisfies Partial<Brief>

describe('what a landing stands for', () => {
  // Third and seventh, the sixth where there is no seventh, the fourth where there is no third: Ligon, Connecting Chords with
  // Linear Harmony (1996). A 9, #11 or 13 is the chord's own, else its scale's: our own choice.
  const rows: readonly [string, (typeof landings)[number], string][] = [
    ['Dm7', '3', 'b3'],
    ['Dm7', '7', 'b7'],
    ['Dm7', '1', '1'],
    ['Dm7', '5', '5'],
    ['C6', '7', '6'],
    ['Cm6', '7', '6'],
    ['G7sus4', '3', '4'],
    ['Csus2', '3', '2'],
    ['C', '7', '1 5'],
    ['Cm', '3', 'b3'],
    ['C5', '3', '5'],
    ['Bm7b5', '5', 'b5'],
    ['Bdim7', '7', 'bb7'],
    ['C7#5', '5', '#5'],
    ['Dm7', '9', '9'],
    ['Dm7 | G7 | C', '13', '13'],
    ['Dm7 | G7 | C', '#11', ''],
    ['C7(b9)', '9', 'b9'],
    ['C13', '13', '13'],
    ['C7(b13)', '13', 'b13'],
    ['Cmaj7(#11)', '#11', '#11'],
    ['C69', '9', '9'],
    ['C6', '13', '6'],
    ['Csus2', '9', '2'],
    ['C7(b9,#9)', '9', 'b9 #9'],
  ]
  test.each(rows)('on %s, %s is %j', (symbol, landing, expected) => {
    const [chord] = harmonyOf(`| ${symbol} |`).chords
    expect(landingDegrees(chord!.chord!, chord!.scale, landing).join(' ')).toBe(expected)
  })

  test('where a chord has none of what was asked for, its guide tones stand in', () => {
    const [chord] = harmonyOf('| Dm7 |').chords
    expect(choicesOn(chord!, ['#11']).map(({ degree }) => degree)).toEqual(['b3', 'b7'])
    expect(choicesOn(chord!, ['#11', '9']).map(({ degree }) => degree)).toEqual(['9'])
  })

  test('each pitch class once, each sounding its degree, on every chord of the real charts', () => {
    for (const text of realChartTexts())
      for (const chord of harmonyOf(text).chords) {
        if (!chord.root) continue
        for (const land of [['3', '7'], ['9', '#11', '13'], ['1', '5'], [...landings]] as Brief['land'][]) {
          const choices = choicesOn(chord, land)
          expect(choices.length).toBeGreaterThan(0)
          expect(new Set(choices.map(({ chroma }) => chroma)).size).toBe(choices.length)
          for (const { degree, chroma } of choices)
            expect(chroma).toBe((chromaOf(chord.root) + degreeChroma(degree)) % 12)
        }
      }
  })
})

describe('where targets wait', () => {
  // Ticks from the start, 24 to the quarter; worked by hand.
  const tune = '| Dm7 | G7 C7 | Fmaj7 |'
  const rows: readonly [string, string, Partial<typeof usual> | object, string][] = [
    ['strong changes', tune, {}, '0 96 144 192'],
    ['once a bar', tune, { every: 'bar' }, '0 96 192'],
    ['twice a bar', tune, { every: 'half' }, '0 48 96 144 192 240'],
    ['every chord', '| Dm7 / / G7 | C |', { every: 'chord' }, '0 72 96'],
    ['a change on beat 4 is not strong', '| Dm7 / / G7 | C |', {}, '0 96'],
    ['on beat 3', tune, { on: '3', every: 'bar' }, '48 144 240'],
    ['on beat 3, strong changes', tune, { on: '3' }, '48 144 240'],
    ['on the and of 4 before', tune, { on: '4&', every: 'bar' }, '0 84 180'],
    ['on the and of 4, strong changes', tune, { on: '4&' }, '0 84 144 180'],
    ['three four', 'Time: 3/4\n| Am7 D7 / | G |', {}, '0 72'],
    ['three four, every chord', 'Time: 3/4\n| Am7 D7 / | G |', { every: 'chord' }, '0 24 72'],
    ['three four, twice a bar', 'Time: 3/4\n| Am7 | G |', { every: 'half' }, '0 48 72 120'],
    ['six eight, twice a bar', 'Time: 6/8\n| Am7 | G |', { every: 'half' }, '0 36 72 108'],
    ['two four, twice a bar has no second half', 'Time: 2/4\n| Am7 | G |', { every: 'half' }, '0 48'],
    ['bars without a chord have none', '| N.C. | Dm7 | N.C. |', { every: 'half' }, '96 144'],
    ['a chord held over several bars', '| Dm7 | % | % |', {}, '0 96 192'],
    [
      'chords that share a bar of five, by its beat groups of three and two',
      'Time: 5/4\n| Dm7 G7 | C |',
      { every: 'chord' },
      '0 72 120',
    ],
  ]
  test.each(rows)('%s', (_, text, placing, expected) => {
    const slots = placeTargets(harmonyOf(text), { ...usual, ...placing })
    expect(slots.map(({ start }) => start).join(' ')).toBe(expected)
  })

  test('an early target lands on the chord of its own bar', () => {
    const harmony = harmonyOf('| Dm7 | G7 |')
    const [, early] = placeTargets(harmony, { ...usual, on: '4&' })
    expect(early).toMatchObject({ bar: 2, start: 84 })
    expect(harmony.chords[early!.chord]!.symbol).toBe('G7')
  })

  test('targets come in time order, none twice at a place, whatever the meter', () => {
    fc.assert(
      fc.property(
        fc.array(fc.array(fc.constantFrom('Dm7', 'G7', 'C', 'N.C.'), { minLength: 1, maxLength: 8 }), {
          minLength: 1,
          maxLength: 6,
        }),
        fc.constantFrom('1/8', '2/4', '3/8', '4/4', '5/8', '7/4', '12/8', '2/16'),
        fc.constantFrom('strong', 'bar', 'chord', 'half' as const),
        fc.constantFrom('1', '3', '4&' as const),
        (bars, meter, every, on) => {
          const harmony = harmonyOf(`Time: ${meter}\n| ${bars.map((bar) => bar.join(' ')).join(' | ')} |`)
          const starts = placeTargets(harmony, { ...usual, every, on }).map(({ start }) => start)
          expect(starts).toEqual([...new Set(starts)].sort((a, b) => a - b))
          expect(starts.every((start) => start >= 0)).toBe(true)
        },
      ),
      { seed: 8, numRuns: 300 },
    )
  })

  test('the chord that sounds at a tick', () => {
    const harmony = harmonyOf('| Dm7 G7 | C |')
    expect([0, 47, 48, 95, 96, 999].map((tick) => chordIndexAt(harmony, tick))).toEqual([0, 0, 1, 1, 2, 2])
    expect(chordIndexAt(harmony, -1)).toBe(-1)
    expect(chordIndexAt({ ...harmony, chords: [] }, 0)).toBe(-1)
  })
})

describe('voice leading', () => {
  const names = (targets: readonly { readonly midi: number }[]) =>
    targets.map(({ midi }) => nameOf(pitchAt({ letter: 'C', alter: 0 }, midi - (midi % 12))).slice(1) && midi)

  test('common tone and half step cheapest, then whole step, then growing: the order taught (Nettles)', () => {
    const costs = Array.from({ length: 20 }, (_, semitones) => motionCost(semitones))
    expect(costs[0]).toBeLessThanOrEqual(costs[1]!)
    for (let i = 2; i < costs.length; i++) expect(costs[i]).toBeGreaterThan(costs[i - 1]!)
    expect(motionCost(-5)).toBe(motionCost(5))
  })

  test('the smoothest way round ii V I in the middle of a range: by step and common tone', () => {
    const harmony = harmonyOf('| Dm7 | G7 | Cmaj7 |')
    const slots = placeTargets(harmony, usual)
    const [best] = smoothestTargets(harmony, slots, [55, 72], 1)
    const notes = best!.map(({ midi }) => midi)
    expect(notes.slice(1).every((midi, i) => Math.abs(midi - notes[i]!) <= 2)).toBe(true)
  })

  const anyTune = fc.constantFrom(...realChartTexts())
  test('drawn targets are allowed degrees in range, one a slot, the same for the same seed; drawn anew by another', () => {
    let different = 0
    fc.assert(
      fc.property(
        anyTune,
        fc.integer({ min: 40, max: 70 }),
        fc.integer({ min: 11, max: 30 }),
        fc.nat(),
        fc.subarray([...landings], { minLength: 1 }),
        (text, low, size, seed, land) => {
          const harmony = harmonyOf(text)
          const slots = placeTargets(harmony, { ...usual, land })
          const range = [low, low + size] as const
          const targets = chooseTargets(harmony, slots, range, seed)!
          expect(targets.length).toBe(slots.length)
          targets.forEach(({ bar, start, chord, degree, midi }, i) => {
            const slot = slots[i]!
            expect({ bar, start, chord }).toEqual({ bar: slot.bar, start: slot.start, chord: slot.chord })
            expect(midi).toBeGreaterThanOrEqual(range[0])
            expect(midi).toBeLessThanOrEqual(range[1])
            expect(slot.choices).toContainEqual({ degree, chroma: midi % 12 })
          })
          expect(chooseTargets(harmony, slots, range, seed)).toEqual(targets)
          if (names(chooseTargets(harmony, slots, range, seed + 1)!).join() !== names(targets).join()) different += 1
        },
      ),
      { seed: 2, numRuns: 60 },
    )
    expect(different).toBeGreaterThan(50)
  })

  test('a pinned pitch stands, whether or not the brief allows its degree', () => {
    const harmony = harmonyOf('| Dm7 | G7 | Cmaj7 |')
    const slots = placeTargets(harmony, usual).map((slot, i) => (i === 1 ? { ...slot, pinned: 62 } : slot))
    for (const seed of [1, 2, 3]) expect(chooseTargets(harmony, slots, [55, 76], seed)![1]!.midi).toBe(62)
    expect(chooseTargets(harmony, slots, [64, 76], 1)).toBeNull()
  })

  test.each([
    ['| Cmaj7 |', 60, 63],
    ['| Cmaj7 | Dm7 |', 64, 64],
    ['| Dm7 |', 61, 60],
  ])('no way through: %s from %d to %d', (text, low, high) => {
    const harmony = harmonyOf(text)
    expect(chooseTargets(harmony, placeTargets(harmony, usual), [low, high], 1)).toBeNull()
    expect(smoothestTargets(harmony, placeTargets(harmony, usual), [low, high], 3)).toEqual([])
  })

  test('nothing to land on is no failure', () => {
    const harmony = harmonyOf('| N.C. |')
    expect(chooseTargets(harmony, [], [60, 72], 1)).toEqual([])
  })

  test('a chord that lasts moves between its tones: seldom the same pitch twice running, almost never three times', () => {
    const harmony = harmonyOf(`| ${Array(64).fill('Dm7').join(' | ')} |`)
    const slots = placeTargets(harmony, usual)
    const drawn = [1, 2, 3, 4, 5].map((seed) => chooseTargets(harmony, slots, [57, 76], seed)!.map(({ midi }) => midi))
    const runs = (length: number) =>
      drawn.flatMap((notes) =>
        notes.map((midi, i) => i >= length - 1 && notes.slice(i - length + 1, i).every((other) => other === midi)),
      )
    const share = (list: readonly boolean[]) => list.filter(Boolean).length / list.length
    expect(share(runs(2))).toBeLessThan(0.2)
    expect(share(runs(3))).toBeLessThan(0.01)
  })

  test('over real changes half of the moves are by step or common tone, and few are wide', () => {
    const moves = realChartTexts().flatMap((text, i) => {
      const harmony = harmonyOf(text)
      const notes = chooseTargets(harmony, placeTargets(harmony, usual), [55, 76], i)!.map(({ midi }) => midi)
      return notes.slice(1).map((midi, j) => Math.abs(midi - notes[j]!))
    })
    expect(moves.filter((size) => size <= 2).length / moves.length).toBeGreaterThan(0.45)
    expect(moves.filter((size) => size > 7).length / moves.length).toBeLessThan(0.05)
  })

  test('over real changes fewer than 3 in 100 of four targets in a row stand on two pitches', () => {
    const fours = realChartTexts().flatMap((text) => {
      const harmony = harmonyOf(text)
      const slots = placeTargets(harmony, usual)
      return [1, 2, 3].flatMap((seed) => {
        const notes = chooseTargets(harmony, slots, [51, 77], seed)!.map(({ midi }) => midi)
        return notes.slice(3).map((_, j) => new Set(notes.slice(j, j + 4)).size)
      })
    })
    expect(fours.length).toBeGreaterThan(500)
    expect(fours.filter((size) => size <= 2).length / fours.length).toBeLessThan(0.03)
  })
})
