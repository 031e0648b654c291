/** Rhythm before pitch: every bar exactly full, in every meter, around targets wherever they wait. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { placeTargets } from '../../lib/line/chooseTargets.ts'
import { type Moment, planRhythm, type RhythmChoices, weightAt } from '../../lib/line/planRhythm.ts'

const meters = ['2/4', '3/4', '4/4', '5/4', '6/4', '7/4', '3/8', '6/8', '7/8', '9/8', '12/8', '2/2', '3/2'] as const
const rhythms = ['eighths', 'triplets'] as const

const harmonyOf = (text: string) => {
  const chart = readChart(text)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return readHarmony(unrollChart(chart))
}
type Harmony = ReturnType<typeof harmonyOf>

const placing = { every: 'strong', on: '1', land: ['3', '7'] } as const

/** Onsets and lengths as text: `*` a target, `-` a rest, else a note; ticks where it is no eighth; bars apart by `|`. */
function spell(harmony: Harmony, moments: readonly Moment[]): string {
  const bars = harmony.bars.map(({ bar }) =>
    moments
      .filter((moment) => moment.bar === bar)
      .map(({ rest, target, ticks }) => `${rest ? '-' : target === null ? 'n' : '*'}${ticks === 12 ? '' : ticks}`)
      .join(' '),
  )
  return bars.join(' | ')
}

function plan(
  text: string,
  choices: Partial<RhythmChoices> = {},
  place: Partial<Parameters<typeof placeTargets>[1]> = {},
) {
  const harmony = harmonyOf(text)
  const slots = placeTargets(harmony, { ...placing, ...place })
  return spell(harmony, planRhythm(harmony, slots, { rhythm: 'eighths', ...choices }))
}

describe('even eighths', () => {
  // Worked by hand; a tune that ends at home holds its last landing up to a half note: common practice.
  const rows: readonly [string, string, string][] = [
    ['a chord a bar, home at the end', '| Dm7 | G7 | Cmaj7 |', '* n n n n n n n | * n n n n n n n | *48 -48'],
    ['two chords a bar', '| Dm7 G7 | Cmaj7 |', '* n n n * n n n | *48 -48'],
    ['three four', 'Time: 3/4\n| Am7 | D7 | Gmaj7 |', '* n n n n n | * n n n n n | *48 -24'],
    ['six eight', 'Time: 6/8\n| Am7 | D7 | Gmaj7 |', '* n n n n n | * n n n n n | *48 -24'],
    ['seven eight', 'Time: 7/8\n| G7 | G7 |', '* n n n n n n | * n n n n n n'],
    ['a tune that ends away from home runs on', '| Cmaj7 | G7 |', '* n n n n n n n | * n n n n n n n'],
    ['bars without a chord rest', '| N.C. | Dm7 G7 | N.C. |', '-96 | * n n n * n n n | -96'],
  ]
  test.each(rows)('%s', (_, text, expected) => {
    expect(plan(text)).toBe(expected)
  })

  test('on beat 3, and early on the and of 4, held into the bar', () => {
    expect(plan('| Dm7 | G7 | Dm7 | G7 |', {}, { on: '3' })).toBe(
      'n n n n * n n n | n n n n * n n n | n n n n * n n n | n n n n * n n n',
    )
    expect(plan('| Dm7 | G7 | Dm7 | G7 |', {}, { on: '4&' })).toBe(
      '* n n n n n n *24 | n n n n n n *24 | n n n n n n *24 | n n n n n n n',
    )
  })
})

test('triplets: three to the quarter, but eighths where a target waits on the offbeat or is held over', () => {
  const quarter = 'n8 n8 n8'
  expect(plan('| Dm7 | G7 |', { rhythm: 'triplets' })).toBe(
    `*8 n8 n8 ${quarter} ${quarter} ${quarter} | *8 n8 n8 ${quarter} ${quarter} ${quarter}`,
  )
  expect(plan('| Dm7 | G7 |', { rhythm: 'triplets' }, { on: '4&' })).toBe(
    `*8 n8 n8 ${quarter} ${quarter} n *24 | n ${quarter} ${quarter} ${quarter}`,
  )
})

describe('every bar is exactly full', () => {
  const chord = fc.constantFrom('Dm7', 'G7', 'Cmaj7', 'Bm7b5', 'E7alt', 'N.C.', 'F6', 'Ab13')
  const whole = (meter: string) => {
    const [beats, unit] = meter.split('/').map(Number)
    return (beats! * 96) / unit!
  }

  test.each(meters)('in %s, whatever the rhythm and wherever targets wait', (meter) => {
    fc.assert(
      fc.property(
        fc.array(fc.array(chord, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 8 }),
        fc.constantFrom(...rhythms),
        fc.constantFrom('strong', 'bar', 'chord', 'half' as const),
        fc.constantFrom('1', '3', '4&' as const),
        (bars, rhythm, every, on) => {
          const harmony = harmonyOf(`Time: ${meter}\n| ${bars.map((each) => each.join(' ')).join(' | ')} |`)
          const slots = placeTargets(harmony, { ...placing, every, on })
          const moments = planRhythm(harmony, slots, { rhythm })
          const end = bars.length * whole(meter)
          expect(moments.reduce((at, { start, ticks }) => (at === start && ticks > 0 ? at + ticks : -1), 0)).toBe(end)
          for (const { bar, start } of moments) {
            expect(start).toBeGreaterThanOrEqual((bar - 1) * whole(meter))
            expect(start).toBeLessThan(bar * whole(meter))
          }
          // Every target sounds at its moment, and nothing else is one.
          const sounding = moments.flatMap(({ start, target, rest }) =>
            target === null || rest ? [] : [[start, target]],
          )
          expect(sounding).toEqual(slots.map(({ start }, i) => [start, i]))
          // Nobody plays where there is no chord, unless a note is held there.
          for (const { chord: index, rest, target } of moments)
            if (!harmony.chords[index]?.chord && target === null) expect(rest).toBe(true)
        },
      ),
      { numRuns: 60, seed: 11 },
    )
  })

  test('with bars that are kept as they are', () => {
    const harmony = harmonyOf('| Dm7 | G7 | Cmaj7 | A7 |')
    const slots = placeTargets(harmony, { ...placing, on: '4&' })
    // Bar 2 kept: a half note, two eighths rest, a quarter and an eighth held into bar 3.
    const kept = [
      { start: 96, ticks: 48, midi: 60 },
      { start: 144, ticks: 24, midi: null },
      { start: 168, ticks: 36, midi: 62 },
    ]
    for (const rhythm of rhythms) {
      const moments = planRhythm(harmony, slots, { rhythm, keptBars: new Map([[2, kept]]) })
      const inside = moments.filter(({ bar }) => bar === 2).map(({ start, ticks, rest }) => ({ start, ticks, rest }))
      expect(inside).toEqual(kept.map(({ start, ticks, midi }) => ({ start, ticks, rest: midi === null })))
      expect(moments.reduce((at, { start, ticks }) => (at === start ? at + ticks : -1), 0)).toBe(384)
    }
  })
})

describe('weights', () => {
  test.each([
    ['4/4', 's o b o s o b o'],
    ['3/4', 's o b o b o'],
    ['5/4', 's o b o b o s o b o'],
    ['7/4', 's o b o b o b o s o b o b o'],
    ['6/8', 's o o s o o'],
    ['12/8', 's o o s o o s o o s o o'],
    ['7/8', 's o o s o s o'],
    ['2/2', 's o o o b o o o'],
  ])('%s', (meter, expected) => {
    // Grouping as in meter.test.ts. Common practice.
    const harmony = harmonyOf(`Time: ${meter}\n| C |`)
    const offsets = expected.split(' ').map((_, i) => weightAt(harmony, 1, 12 * i).charAt(0))
    expect(offsets.join(' ')).toBe(expected)
  })
})
