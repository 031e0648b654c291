/** Covering and taking turns: as few places as can be, proved by trying all ways; none twice before its turn. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { coverPlaces } from '../../lib/drill/cover.ts'
import { useOnce } from '../../lib/drill/useOnce.ts'
import { writeLines } from '../../lib/lines/write.ts'

/** The most figures that can stand at once, by trying every way. */
function most(fits: readonly (readonly number[])[], used: ReadonlySet<number> = new Set()): number {
  const [first, ...rest] = fits
  if (!first) return 0
  const without = most(rest, used)
  const ways = first.filter((figure) => !used.has(figure)).map((figure) => 1 + most(rest, new Set([...used, figure])))
  return Math.max(without, ...ways)
}

const smallFits = fc.array(fc.uniqueArray(fc.nat(4), { maxLength: 4 }), { maxLength: 6 })

describe('covering', () => {
  test('stands each figure once, as many as can be, in the fewest places', () => {
    fc.assert(
      fc.property(smallFits, (fits) => {
        const { taken, unplaced } = coverPlaces(fits, 5)
        const placed = taken.filter((figure) => figure >= 0)
        expect(new Set(placed).size).toBe(placed.length)
        taken.forEach((figure, place) => {
          if (figure >= 0) expect(fits[place]).toContain(figure)
        })
        expect(placed.length).toBe(most(fits))
        expect([...placed, ...unplaced].sort()).toEqual([0, 1, 2, 3, 4])
        const fewer = fits.slice(0, Math.max(0, taken.length - 1))
        if (taken.length > 0) expect(most(fewer)).toBeLessThan(placed.length)
      }),
      { numRuns: 400 },
    )
  })
  test('the commonest as early as can be', () => {
    expect(
      coverPlaces(
        [
          [0, 1, 2],
          [0, 1, 2],
          [0, 1, 2],
        ],
        3,
      ).taken,
    ).toEqual([0, 1, 2])
    expect(coverPlaces([[2], [0, 2], [0, 1]], 3).taken).toEqual([2, 0, 1])
  })

  const cover = (given: Readonly<Record<string, string>>) => {
    const { brief, problems } = readBrief({ exact: 'yes', cover: 'yes', ...given })
    expect(problems).toEqual([])
    const { lines, choiceProblems } = writeLines(brief)
    expect(choiceProblems).toEqual([])
    return lines
  }
  test('over a scale: each figure once, and what fits nowhere is named', () => {
    const figures = ['1 -1', '-1 2', '2 -1', '2 1 -1', '3 1 -2 -1']
    const [line] = cover({ plan: '1 2 3 4 5 6 7 1', figures: [...figures, '9 -9 6 -6'].join('; ') })
    const played = line!.figures.filter(({ kind }) => kind === 'approach').map(({ offsets }) => offsets.join(' '))
    expect([...played].sort()).toEqual([...figures].sort())
    expect(line!.targets).toHaveLength(figures.length + 1)
    expect(line!.relaxed.filter(({ rule }) => rule === 'cover').map(({ why }) => why)).toEqual([
      expect.stringMatching(/^9 -9 6 -6 fits no target here/),
    ])
  })
  test('over a tune, and in several keys', () => {
    const changes = '| Dm7 | G7 | Cmaj7 | A7b9 | Dm7 | G7 | Em7 | A7 |'
    const figures = ['1 -1', '2 1 -1', '-1 2']
    for (const line of cover({ changes, figures: figures.join('; '), keys: 'C,Ab', every: 'bar' })) {
      const last = line.bars[1]
      const played = line.figures
        .filter(({ kind, target }) => kind === 'approach' && (line.targets[target]?.bar ?? 99) <= last)
        .map(({ offsets }) => offsets.join(' '))
      for (const figure of figures) expect(played).toContain(figure)
      expect(last).toBeLessThanOrEqual(figures.length + 2)
    }
  })
})

describe('taking turns', () => {
  const offers = fc.array(
    fc.uniqueArray(fc.record({ item: fc.nat(5), cost: fc.nat(9) }), { selector: ({ item }) => item, maxLength: 5 }),
    { maxLength: 7 },
  )
  test('none comes twice while one more place could have had another', () => {
    fc.assert(
      fc.property(offers, (places) => {
        const taken = useOnce(places)
        const items = places.map((offered, p) => (taken[p]! < 0 ? -1 : offered[taken[p]!]!.item))
        expect(taken.map((offer) => offer < 0)).toEqual(places.map((offered) => offered.length === 0))
        const all = new Set(places.flatMap((offered) => offered.map(({ item }) => item)))
        // In the first round, which ends when all have been used, every beginning has as many different ones as it can.
        let end = items.length
        for (let p = 1; p <= items.length; p++)
          if (new Set(items.slice(0, p).filter((i) => i >= 0)).size === all.size) {
            end = p
            break
          }
        const fits = places.slice(0, end).map((offered) => offered.map(({ item }) => item))
        const different = new Set(items.slice(0, end).filter((i) => i >= 0)).size
        expect(different).toBe(most(fits))
      }),
      { numRuns: 400 },
    )
  })
})
