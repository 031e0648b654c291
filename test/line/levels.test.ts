/** Levels of difficulty, measured over many charts, keys and seeds: each adds one kind, and nothing gets easier on the way. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { levels } from '../../lib/choices/levels.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { realCharts, realChartTexts } from '../realCharts.ts'
import { type Difficulty, difficultyOf } from '../realism/levels.ts'
import { briefOf } from './drafts.ts'

type Kind = Exclude<keyof Difficulty, 'trills'>

/** By how much a kind may fall back from one level to the next, and by how much it rises at least where it is added. */
const steps: Readonly<Record<Kind, { readonly back: number; readonly rises: number }>> = {
  enclosures: { back: 0.03, rises: 0.2 },
  range: { back: 1, rises: 5 },
  rhythm: { back: 0.1, rises: 1.5 },
  leaps: { back: 0.015, rises: 0.04 },
  chromatic: { back: 0.03, rises: 0.05 },
}

const measured = levels.map(({ level }) => difficultyOf({ level: String(level) }, realCharts(), ['1', 'b3'], [1]))

describe('every kind of difficulty climbs', () => {
  test.each(Object.entries(steps))('%s', (kind, { back }) => {
    measured.slice(1).forEach((now, i) => {
      expect(now[kind as Kind], `level ${i + 2}`).toBeGreaterThanOrEqual(measured[i]![kind as Kind] - back)
    })
  })
})

test.each(levels.slice(1))('level $level adds $kind, and rises in it further than in any other', ({ level, kind }) => {
  const rise = (each: Kind) => (measured[level - 1]![each] - measured[level - 2]![each]) / steps[each].rises
  expect(rise(kind!)).toBeGreaterThanOrEqual(1)
  for (const other of Object.keys(steps) as Kind[])
    if (other !== kind) expect(rise(other), other).toBeLessThan(rise(kind!))
})

test('each kind is added once, and the last level has more enclosures than the second', () => {
  expect(levels.flatMap(({ kind }) => kind ?? []).sort()).toEqual(Object.keys(steps).sort())
  expect(measured[5]!.enclosures).toBeGreaterThan(measured[1]!.enclosures + 0.1)
})

describe('the first level never goes back and forth between two notes', () => {
  const trills = (changes: string, given: Readonly<Record<string, string>>): readonly string[] =>
    writeLines(briefOf({ changes, level: '1', ...given })).lines.flatMap(({ notes, relaxed }) =>
      notes.flatMap(({ bar }, n) => {
        const four = notes.slice(n - 3, n + 1).map(({ pitch }) => pitch && midiOf(pitch))
        if (n < 3 || four.includes(null)) return []
        const trill = four[0] === four[2] && four[1] === four[3] && four[0] !== four[1]
        return trill && !relaxed.some((each) => each.rule === 'trill' && each.bar === bar) ? [`bar ${bar}`] : []
      }),
    )

  test('over real charts: not once, and without giving way', () => {
    expect(measured[0]!.trills).toBe(0)
  })

  test('on every instrument, in every key, by every seed', () => {
    fc.assert(
      fc.property(fc.nat(23), fc.constantFrom(...instruments), fc.nat(), (chart, { id }, seed) => {
        expect(trills(realChartTexts()[chart]!, { instrument: id, seed: String(seed), keys: 'C,F#,Bb' })).toEqual([])
      }),
      { seed: 51, numRuns: 25 },
    )
  })

  test('where pins ask for it, it gives way by name', () => {
    const pins = '2=D4 E4 D4 E4 D4 E4 D4 E4'
    const [line] = writeLines(briefOf({ changes: '| Cmaj7 | Dm7 | G7 | Cmaj7 |', level: '1', pins })).lines
    expect(line!.relaxed.map(({ rule }) => rule)).toContain('trill')
  })
})
