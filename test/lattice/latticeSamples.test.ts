/** Paths drawn by chance, held against their exact chances. */
import { describe, expect, test } from 'vitest'
import { type Lattice, randomFrom, samplePath, samplePaths } from '../../lib/lattice/lattice.ts'
import { everyPath, nameOfPath, randomLattice, seeds } from './smallLattices.ts'

/**
 * The chance of a chi-square at least so large, for an even number of degrees of freedom, in closed form.
 * Source: Abramowitz and Stegun, *Handbook of Mathematical Functions*, 26.4.21.
 */
function chiSquareChance(chiSquare: number, degreesOfFreedom: number): number {
  expect(degreesOfFreedom % 2).toBe(0)
  let term = Math.exp(-chiSquare / 2)
  let sum = 0
  for (let i = 0; i < degreesOfFreedom / 2; i++) {
    sum += term
    term *= chiSquare / 2 / (i + 1)
  }
  return sum
}

/** How likely drawn counts as far from expected shares are; the rarest are put together, so that an odd number of kinds is left. */
function likelihood(counts: ReadonlyMap<string, number>, shares: ReadonlyMap<string, number>, draws: number): number {
  const rows = [...shares].map(([name, share]) => ({ expected: share * draws, count: counts.get(name) ?? 0 }))
  rows.sort((a, b) => b.expected - a.expected)
  while (rows.length > 1 && (rows.at(-1)!.expected < 10 || rows.length % 2 === 0)) {
    const [rarest, next] = [rows.pop()!, rows.pop()!]
    rows.push({ expected: rarest.expected + next.expected, count: rarest.count + next.count })
  }
  const chiSquare = rows.reduce((sum, { expected, count }) => sum + (count - expected) ** 2 / expected, 0)
  return chiSquareChance(chiSquare, rows.length - 1)
}

function tally(names: readonly string[]): ReadonlyMap<string, number> {
  return names.reduce((counts, name) => counts.set(name, (counts.get(name) ?? 0) + 1), new Map<string, number>())
}

const sharesOf = (costs: ReadonlyMap<string, number>): ReadonlyMap<string, number> => {
  const whole = [...costs.values()].reduce((sum, cost) => sum + Math.exp(-cost), 0)
  return new Map([...costs].map(([name, cost]) => [name, Math.exp(-cost) / whole]))
}

describe('samples have exactly the chances that the costs say', () => {
  test('the chi-square itself: 5 % and 1 in 10,000', () => {
    // Source: Abramowitz and Stegun, table 26.8.
    expect(chiSquareChance(5.99146, 2)).toBeCloseTo(0.05, 5)
    expect(chiSquareChance(18.307, 10)).toBeCloseTo(0.05, 4)
    expect(chiSquareChance(35.564, 10)).toBeCloseTo(0.0001, 6)
  })

  test('on small lattices, by chi-square at 1 in 10,000; equal chances are refused', () => {
    const draws = 20_000
    let tried = 0
    for (const seed of seeds(40)) {
      const lattice = randomLattice(seed)
      const all = everyPath(lattice)
      if (all.size < 5) continue
      tried += 1
      const drawn = samplePaths(lattice, randomFrom(seed), draws)
      expect(drawn.length).toBe(draws)
      const counts = tally(drawn.map(nameOfPath))
      expect([...counts.keys()].filter((name) => !all.has(name))).toEqual([])
      expect(likelihood(counts, sharesOf(all), draws), `lattice ${seed}`).toBeGreaterThan(1e-4)
      expect(likelihood(counts, sharesOf(new Map([...all.keys()].map((name) => [name, 0]))), draws)).toBeLessThan(1e-4)
      for (const path of drawn.slice(0, 50))
        expect(Math.abs(path.cost - all.get(nameOfPath(path))!)).toBeLessThan(1e-12)
    }
    expect(tried).toBeGreaterThan(20)
  })

  test('samplePath draws as samplePaths does', () => {
    const lattice = randomLattice(4)
    const [one, many] = [randomFrom(9), randomFrom(9)]
    const singly = Array.from({ length: 20 }, () => samplePath(lattice, one))
    expect(singly).toEqual(samplePaths(lattice, many, 20))
    expect(new Set(singly.map((path) => nameOfPath(path!))).size).toBeGreaterThan(1)
  })

  test('a leaning multiplies the weight of going on by an edge', () => {
    // Three ways on, of weights 1, 1 and 2; the last is leaned on by a quarter and the first by three: 6/2/1 of 9.
    const lattice: Lattice = {
      sizes: [1, 3, 1],
      nodeCost: (layer, node) => (layer === 1 && node === 2 ? -Math.log(2) : 0),
      edges: (layer) =>
        layer === 2
          ? []
          : (layer === 0 ? [0, 1, 2] : [0]).map((node) => ({ layer: layer + 1, node, cost: 1, label: node })),
    }
    const random = randomFrom(3)
    const draws = 20_000
    const seen: number[] = []
    const drawn = Array.from({ length: draws }, () =>
      samplePath(lattice, random, (_node, _to, label, soFar) => {
        seen.push(soFar.length)
        return soFar.length > 1 ? 1 : [3, 1, 0.25][label]!
      }),
    )
    const counts = tally(drawn.map((path) => String(path!.steps[1]!.node)))
    expect(
      likelihood(
        counts,
        new Map([
          ['0', 3 / 4.5],
          ['1', 1 / 4.5],
          ['2', 0.5 / 4.5],
        ]),
        draws,
      ),
    ).toBeGreaterThan(1e-4)
    expect(new Set(seen)).toEqual(new Set([1, 2]))
  })
})

describe('the stream of chance', () => {
  test('is the same for the same seed, from 0 up to 1, and even by chi-square', () => {
    for (const seed of [0, 1, 4_294_967_295]) {
      const [a, b] = [randomFrom(seed), randomFrom(seed)]
      const drawn = Array.from({ length: 21_000 }, () => a())
      expect(drawn.slice(0, 100)).toEqual(Array.from({ length: 100 }, () => b()))
      expect(drawn.every((n) => n >= 0 && n < 1)).toBe(true)
      const bins = Array.from({ length: 21 }, (_, i) => String(i))
      const counts = tally(drawn.map((n) => String(Math.floor(n * 21))))
      expect(likelihood(counts, new Map(bins.map((bin) => [bin, 1 / 21])), drawn.length)).toBeGreaterThan(1e-4)
    }
    expect(randomFrom(1)()).not.toBe(randomFrom(2)())
  })
})
