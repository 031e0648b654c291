/** Cheapest and k cheapest paths, held against a linear programme and brute force. */
import { describe, expect, test } from 'vitest'
import { approachKinds, type Brief, defaultBrief, landings } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import {
  bestPath,
  drawIndex,
  flatten,
  kBestPaths,
  type Lattice,
  randomFrom,
  samplePath,
  samplePaths,
} from '../../lib/lattice/lattice.ts'
import { type LineGround, layGround } from '../../lib/line/allowedNotes.ts'
import { choicesOf } from '../../lib/line/approachFits.ts'
import { chooseTargets, placeTargets, smoothestTargets, targetLattice } from '../../lib/line/chooseTargets.ts'
import { beforeFirst, type Standing, waysOn, weighWays } from '../../lib/line/pathWeights.ts'
import { planRhythm } from '../../lib/line/planRhythm.ts'
import { lineGraph } from '../line/lineGraph.ts'
import { cheapestByProgramme, graphOf } from './programme.ts'
import { chance, everyPath, nameOfPath, randomLattice, seeds } from './smallLattices.ts'

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const qualities = [
  '',
  'm',
  '6',
  'm6',
  'maj7',
  'm7',
  '7',
  'm7b5',
  'dim7',
  '7sus4',
  '7(b9)',
  'm(maj7)',
  '13',
  '7alt',
  '5',
]

function randomHarmony({ pick, coin }: ReturnType<typeof chance>, bars: number, meters: readonly string[]) {
  const chord = () => `${pick(roots)}${pick(qualities)}`
  const text = Array.from({ length: bars }, () => (coin(0.1) ? 'N.C.' : coin(0.35) ? `${chord()} ${chord()}` : chord()))
  const chart = readChart(`Time: ${pick(meters)}\n| ${text.join(' | ')} |`)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  expect(chart.bars.length).toBe(bars)
  return readHarmony(unrollChart(chart))
}

describe('the optimum is that of a linear programme', () => {
  test('on 300 random target problems', () => {
    const by = chance(20_240_229)
    let solved = 0
    let closed = 0
    for (let n = 0; solved < 300; n++) {
      const harmony = randomHarmony(by, by.whole(1, 12), ['4/4', '4/4', '3/4', '2/4'])
      const land = landings.filter(() => by.coin(0.3))
      const slots = placeTargets(harmony, {
        every: by.pick(['strong', 'bar', 'chord', 'half']),
        on: by.pick(['1', '3', '4&']),
        land: land.length > 0 ? land : ['3', '7'],
      })
      const low = by.whole(40, 70)
      const { lattice } = targetLattice(harmony, slots, [low, low + by.whole(5, 19)])
      if (slots.length === 0) continue
      const expected = cheapestByProgramme(graphOf(lattice))
      const found = bestPath(lattice)
      expect(found === null).toBe(expected === null)
      if (!found || expected === null) closed += 1
      else {
        solved += 1
        expect(Math.abs(found.cost - expected), `problem ${n}`).toBeLessThan(1e-9)
      }
    }
    // A few ranges hold no way through: then both say so.
    expect(closed).toBeGreaterThan(5)
  })

  test('on 50 random line problems', () => {
    const by = chance(19_991_231)
    let approached = 0
    for (let n = 0; n < 50; n++) {
      const { lattice } = lineGraph(randomGround(by, n))
      const expected = cheapestByProgramme(graphOf(lattice))
      const found = bestPath(lattice)
      expect(found === null).toBe(expected === null)
      if (!found || expected === null) continue
      approached += found.steps.some(({ label }) => (label ?? -1) >= 0) ? 1 : 0
      expect(Math.abs(found.cost - expected), `problem ${n}`).toBeLessThan(1e-9)
    }
    expect(approached).toBeGreaterThan(30)
  })
})

/** What a line of some bars may be under choices drawn by chance. */
function randomGround(by: ReturnType<typeof chance>, seed: number, bars = 2): LineGround {
  for (;;) {
    const harmony = randomHarmony(by, bars, ['2/4', '3/4', '4/4'])
    const kinds = approachKinds.filter(() => by.coin(0.5))
    const low = by.whole(48, 64)
    const range = [low, low + by.whole(11, 14)] as const
    const slots = placeTargets(harmony, { ...defaultBrief, every: by.pick(['bar', 'strong', 'half']) })
    const targets = chooseTargets(harmony, slots, range, seed) ?? []
    const moments = planRhythm(harmony, targets, { rhythm: by.pick(['eighths', 'triplets']) })
    const choices = choicesOf({
      approach: kinds.length > 0 ? kinds : ['enclosure'],
      notes: by.whole(1, 4) as Brief['notes'],
      textbook: by.coin(0.5),
      cells: by.coin(0.3) ? ['1-2-3-5', '1-2-3-4', '8-7-6-5'] : [],
      compass: by.pick(['small', 'comfortable']),
    })
    const ground = layGround(harmony, moments, targets, range, choices)
    if (ground.moments.length > 0) return ground
  }
}

describe('a line drawn without writing its lattice out', () => {
  test.each([Infinity, 7.5])(
    'is the path drawn through the lattice written out, steps dearer than %d left out',
    (dearest) => {
      const by = chance(20_010_911)
      let drawn = 0
      let figures = 0
      let rescaled = 0
      for (let n = 0; n < 60; n++) {
        const ground = randomGround(by, n)
        const { lattice, nodes } = lineGraph(ground, dearest)
        const laid = flatten(lattice)
        const ways = weighWays(ground, dearest)
        rescaled += ways.scale[0] === 0 ? 0 : 1
        for (let seed = 0; seed < 8; seed++) {
          const expected = samplePath(laid, randomFrom(seed))
          const random = randomFrom(seed)
          random()
          const found: Standing[] = []
          for (let at = beforeFirst; at.layer < ground.moments.length - 1 || at.entry; ) {
            const open = waysOn(ways, at)
            const way =
              open[
                drawIndex(
                  open.map(({ weight }) => weight),
                  random,
                )
              ]
            if (!way) break
            figures += way.figure ? 1 : 0
            found.push(way)
            at = way
          }
          if (expected === null) {
            expect(found).toEqual([])
            continue
          }
          drawn += 1
          expect(found.map(({ layer, midi, bucket, entry }) => ({ layer: layer + 1, midi, bucket, entry }))).toEqual(
            expected.steps.slice(1).map(({ layer, node }) => ({ layer, ...nodes[layer]![node]! })),
          )
        }
      }
      expect(drawn).toBeGreaterThan(300)
      expect(figures).toBeGreaterThan(300)
      expect(rescaled).toBeGreaterThan(0)
    },
  )
})

describe('the k best are the k best', () => {
  test('by brute force on 200 small lattices', () => {
    let without = 0
    for (const seed of seeds(200)) {
      const lattice = randomLattice(seed)
      const all = everyPath(lattice)
      const costs = [...all.values()].sort((a, b) => a - b)
      if (all.size === 0) without += 1
      for (const k of [1, 2, 7, all.size + 3]) {
        const found = kBestPaths(lattice, k)
        expect(found.length).toBe(Math.min(k, all.size))
        found.forEach((path, i) => {
          expect(Math.abs(path.cost - costs[i]!)).toBeLessThan(1e-12)
          expect(Math.abs(path.cost - all.get(nameOfPath(path))!)).toBeLessThan(1e-12)
        })
        expect(new Set(found.map(nameOfPath)).size).toBe(found.length)
      }
      const best = bestPath(lattice)
      expect(best?.cost).toBe(kBestPaths(lattice, 5)[0]?.cost)
      expect(bestPath(flatten(lattice))).toEqual(best)
    }
    expect(without).toBeGreaterThan(0)
  })

  test('on targets: each way through the guide tones dearer than the one before, and none twice', () => {
    const chart = readChart('| Dm7 | G7 | Cmaj7 |')
    const harmony = readHarmony(unrollChart(chart))
    const slots = placeTargets(harmony, { every: 'bar', on: '1', land: ['3', '7'] })
    const { lattice } = targetLattice(harmony, slots, [60, 71])
    const ways = smoothestTargets(harmony, slots, [60, 71], 100).map((way) => way.map(({ midi }) => midi).join(' '))
    // Two guide tones in one octave, three bars.
    expect(ways.length).toBe(8)
    expect(new Set(ways).size).toBe(8)
    const costs = kBestPaths(lattice, 100).map(({ cost }) => cost)
    expect(costs).toEqual([...costs].sort((a, b) => a - b))
  })

  test('of ways as cheap, the one through lower nodes; and they cost no more time', () => {
    const layers = 400
    const even: Lattice = {
      sizes: Array(layers).fill(3),
      nodeCost: () => 0.1,
      edges: (layer) => (layer + 1 < layers ? [0, 1, 2].map((node) => ({ layer: layer + 1, node, cost: 0.2 })) : []),
    }
    expect(bestPath(even)?.steps.every(({ node }) => node === 0)).toBe(true)
    expect(kBestPaths(even, 50).length).toBe(50)
  })
})

describe('edges over several layers, and what is forbidden', () => {
  /** Two ways to the end: over every layer at a cost of 1 an edge, or straight there; a dead end lies between. */
  const straight = (cost: number): Lattice => ({
    sizes: [1, 2, 1, 1],
    nodeCost: (layer, node) => (layer === 1 && node === 1 ? -50 : 0),
    edges: (layer) =>
      [
        [
          { layer: 1, node: 0, cost: 1, label: 10 },
          { layer: 1, node: 1, cost: 1 },
          { layer: 3, node: 0, cost, label: 30 },
        ],
        [{ layer: 2, node: 0, cost: 1, label: 20 }],
        [{ layer: 3, node: 0, cost: 1, label: 31 }],
        [],
      ][layer]!,
  })
  const onlyFrom = (lattice: Lattice, node: number): Lattice => ({
    ...lattice,
    edges: (layer, from) => (layer === 1 && from !== node ? [] : lattice.edges(layer, from)),
  })

  test.each([
    [2.5, ['0', '3'], [undefined, 30], 2.5],
    [3.5, ['0', '1', '2', '3'], [undefined, 10, 20, 31], 3],
  ])('straight at %d', (cost, layers, labels, expected) => {
    const path = bestPath(onlyFrom(straight(cost), 0))!
    expect(path.steps.map(({ layer }) => String(layer))).toEqual(layers)
    expect(path.steps.map(({ label }) => label)).toEqual(labels)
    expect(path.cost).toBe(expected)
  })

  test('a tempting dead end is not entered', () => {
    const lattice = onlyFrom(straight(9), 0)
    expect(bestPath(lattice)?.cost).toBe(3)
    expect(kBestPaths(lattice, 9).length).toBe(2)
    const drawn = samplePaths(lattice, randomFrom(1), 200)
    expect(drawn.every(({ steps }) => steps.every(({ layer, node }) => layer !== 1 || node === 0))).toBe(true)
  })

  const none: readonly [string, Lattice][] = [
    ['a layer without nodes', { sizes: [1, 0, 1], nodeCost: () => 0, edges: () => [] }],
    ['a first layer without nodes', { sizes: [0, 1], nodeCost: () => 0, edges: () => [] }],
    [
      'infinite nodes',
      {
        sizes: [2, 2],
        nodeCost: (layer) => (layer === 1 ? Number.POSITIVE_INFINITY : 0),
        edges: (layer) => (layer === 0 ? [{ layer: 1, node: 0, cost: 0 }] : []),
      },
    ],
    [
      'infinite edges',
      {
        sizes: [1, 1],
        nodeCost: () => 0,
        edges: (layer) => (layer === 0 ? [{ layer: 1, node: 0, cost: Number.POSITIVE_INFINITY }] : []),
      },
    ],
    ['no edges', { sizes: [3, 3], nodeCost: () => 0, edges: () => [] }],
  ]
  test.each(none)('no path: %s', (_, lattice) => {
    expect(bestPath(lattice)).toBeNull()
    expect(kBestPaths(lattice, 3)).toEqual([])
    expect(samplePath(lattice, randomFrom(1))).toBeNull()
    expect(samplePaths(lattice, randomFrom(1), 3)).toEqual([])
  })

  test('an edge that leads back is a bug of ours, and throws', () => {
    const back: Lattice = { sizes: [1, 1], nodeCost: () => 0, edges: (layer) => [{ layer, node: 0, cost: 1 }] }
    expect(() => bestPath(back)).toThrow('an edge leads from layer 0 to 0')
  })
})
