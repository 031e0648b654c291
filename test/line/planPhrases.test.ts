/** Phrases before their notes: an exact sample from the counts, in every meter and around whatever must sound. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { placeTargets } from '../../lib/line/chooseTargets.ts'
import { readPins } from '../../lib/line/pins.ts'
import { placePhrased } from '../../lib/line/placePhrased.ts'
import { drawPhrases, planPhrases, slotsOf, soundingStretches } from '../../lib/line/planPhrases.ts'
import { harmonyOf } from './drafts.ts'

const usual = { every: 'strong', on: '1', land: ['3', '7'] } as const
const phrasedOf = (text: string, tempo: number | null, seed: number, pins: readonly string[] = []) => {
  const harmony = harmonyOf(text)
  const read = readPins(pins, harmony)
  expect(read.problems).toEqual([])
  const brief = { land: ['3', '7'], tempo, notes: 4, pickup: false } as const
  const plan = placePhrased(harmony, placeTargets(harmony, usual), [], read.pins, brief, seed)
  return { harmony, plan }
}

describe('phrases over a small stretch, beside their shares worked out one by one', () => {
  // Six eighths; phrases of one or two eighths, silences of three: every plan is listed, its weight multiplied out.
  const harmony = harmonyOf('Time: 3/4\n| Cmaj7 |')
  const slots = slotsOf(harmony)
  const row = (shares: Readonly<Record<number, number>>) => Float64Array.from({ length: 5 }, (_, i) => shares[i] ?? 0)
  const spans = Array.from({ length: 8 }, () => row({ 1: 0.3, 2: 0.7 }))
  const gaps = Array.from({ length: 8 }, () => row({ 3: 0.6, 4: 0.4 }))
  const tails = gaps.map(() => Float64Array.from([1, 1, 1, 1, 0.4, 0]))
  const starts = Float64Array.from({ length: 8 }, () => 1)
  const tables = { spans, gaps, tails, starts }

  test('chi-square', () => {
    const weights = new Map<string, number>()
    const walk = (from: number, so: readonly string[], weight: number) => {
      for (const [n, share] of [
        [1, 0.3],
        [2, 0.7],
      ] as const) {
        const end = from + n
        if (end > 5) continue
        const path = [...so, `${from}-${end}`]
        const stop = weight * share * tails[0]![Math.min(6 - end, 5)]!
        if (stop > 0) weights.set(path.join(' '), stop)
        for (const [g, silence] of [
          [3, 0.6],
          [4, 0.4],
        ] as const)
          if (end + g < 6) walk(end + g, path, weight * share * silence)
      }
    }
    for (let from = 0; from < 6; from++) walk(from, [], 1)
    const total = [...weights.values()].reduce((a, b) => a + b, 0)
    const draws = 20_000
    const drawn = new Map<string, number>()
    for (let seed = 1; seed <= draws; seed++) {
      const phrases = drawPhrases(slots, [0, 5], [], 0, tables, seed)!
      const key = phrases.map(({ first, last }) => `${first}-${last}`).join(' ')
      drawn.set(key, (drawn.get(key) ?? 0) + 1)
    }
    const stray = [...drawn.keys()].filter((key) => !weights.has(key))
    expect(stray).toEqual([])
    const common = [...weights].filter(([, weight]) => (draws * weight) / total >= 5)
    const chi = common.reduce((sum, [key, weight]) => {
      const expected = (draws * weight) / total
      return sum + ((drawn.get(key) ?? 0) - expected) ** 2 / expected
    }, 0)
    expect(common.length).toBeGreaterThan(5)
    // The 99.9th percentile of chi-square is below n + 4.5 sqrt(n) + 6 for so few degrees of freedom: from memory.
    expect(chi).toBeLessThan(common.length + 4.5 * Math.sqrt(common.length) + 6)
  })

  test('a silence never covers what must sound', () => {
    for (let seed = 1; seed <= 200; seed++) {
      const phrases = drawPhrases(slots, [0, 5], [[2, 3]], 0, tables, seed)!
      expect(phrases.some(({ first, last }) => first <= 2 && last >= 3)).toBe(true)
    }
  })
})

const meters = [
  '2/4',
  '3/4',
  '4/4',
  '5/4',
  '6/4',
  '7/4',
  '3/8',
  '6/8',
  '7/8',
  '9/8',
  '12/8',
  '2/2',
  '3/2',
  '1/4',
] as const

test.each(meters)('every bar is exactly full in %s, at every tempo, and nothing sounds without a chord', (meter) => {
  const chord = fc.constantFrom('Dm7', 'G7', 'Cmaj7', 'Bm7b5', 'E7alt', 'N.C.', 'F6')
  const [beats = 4, unit = 4] = meter.split('/').map(Number)
  fc.assert(
    fc.property(
      fc.array(fc.array(chord, { minLength: 1, maxLength: 2 }), { minLength: 1, maxLength: 9 }),
      fc.constantFrom(60, 120, 180, 240, null),
      fc.nat(),
      (bars, tempo, seed) => {
        const text = `Time: ${meter}\n| ${bars.map((each) => each.join(' ')).join(' | ')} |`
        const { harmony, plan } = phrasedOf(text, tempo, seed)
        const whole = (beats * 96) / unit
        let at = 0
        for (const { start, ticks, bar, rest, target, chord: index } of plan.moments) {
          expect(start).toBe(at)
          expect(ticks).toBeGreaterThan(0)
          expect(Math.floor(start / whole)).toBe(bar - 1)
          if (!harmony.chords[index]?.chord) expect(rest).toBe(true)
          if (target !== null) expect(plan.slots[target]!.start).toBe(start)
          at += ticks
        }
        expect(at).toBe(bars.length * whole)
        expect(plan.moments.filter(({ target }) => target !== null).length).toBe(plan.slots.length)
      },
    ),
    { numRuns: 40, seed: 31 },
  )
})

describe('what is asked for', () => {
  const changes = `| ${Array(16).fill('Dm7 | G7').join(' | ')} |`

  test('pinned notes begin where they are pinned, approaches and cells have their room', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { plan } = phrasedOf(
        changes,
        180,
        seed,
        ['3.2.5=F4', '9.1=+2 -1 -2 -1', '12.1=1-2-3-5'].map((pin) => pin),
      )
      const onsets = new Set(plan.moments.flatMap(({ rest, start }) => (rest ? [] : [start])))
      const wanted = [2 * 96 + 36, 8 * 96 - 48, 8 * 96 - 36, 8 * 96 - 24, 8 * 96 - 12, 8 * 96]
      for (const at of [...wanted, 11 * 96, 11 * 96 + 12, 11 * 96 + 24, 11 * 96 + 36]) expect(onsets.has(at)).toBe(true)
      expect(plan.relaxed).toEqual([])
    }
  })

  test('where pins leave no room to breathe the rule that gave way is named, and the pins stand', () => {
    const everywhere = Array.from({ length: 32 }, (_, i) => [1, 2, 3, 4].map((b) => `${i + 1}.${b}=F4`)).flat()
    const { plan } = phrasedOf(changes, 180, 1, everywhere)
    expect(plan.relaxed).toEqual([{ rule: 'phrases', bar: 1, why: expect.stringContaining('no room to breathe') }])
    for (let tick = 0; tick < 32 * 96; tick += 24) expect(plan.moments.some(({ start }) => start === tick)).toBe(true)
  })

  test('a tune too short for a phrase says so', () => {
    const { plan } = phrasedOf('Time: 1/4\n| C7 |', 180, 1)
    expect(plan.relaxed).toEqual([{ rule: 'phrases', bar: 1, why: expect.stringContaining('no room for a phrase') }])
    expect(plan.moments.some(({ rest }) => !rest)).toBe(true)
  })

  test('kept bars stay as they are', () => {
    const kept = ['2=F4/48 -/24 G4/36', '3=-/12 A4/84']
    const { plan } = phrasedOf('| Dm7 | G7 | Cmaj7 | A7 |', 180, 5, kept)
    const inside = plan.moments.filter(({ bar }) => bar === 2 || bar === 3)
    expect(inside.map(({ start, ticks, rest }) => [start - 96, ticks, rest])).toEqual([
      [0, 48, false],
      [48, 24, true],
      [72, 24, false],
      [96, 12, true],
      [108, 84, false],
    ])
  })
})

test('phrases far from where something is asked mostly stay where they are', () => {
  const harmony = harmonyOf(`| ${Array(16).fill('Dm7 | G7').join(' | ')} |`)
  const slots = slotsOf(harmony)
  let same = 0
  let all = 0
  for (let seed = 1; seed <= 40; seed++) {
    const before = planPhrases(harmony, slots, [], 180, seed).phrases
    const after = planPhrases(harmony, slots, [[24, 30]], 180, seed).phrases
    const far = after.filter(({ first }) => first >= 128)
    all += far.length
    same += far.filter(({ first, last }) => before.some((each) => each.first === first && each.last === last)).length
  }
  // By chance one in four or so would.
  expect(same / all).toBeGreaterThan(0.4)
})

test('a stretch is what lies between bars without a chord', () => {
  const harmony = harmonyOf('| N.C. | Dm7 | G7 | N.C. | C6 |')
  expect(soundingStretches(harmony, slotsOf(harmony))).toEqual([
    [8, 23],
    [32, 39],
  ])
})
