/** Practising: the order, tempo, key and rests of passes. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { limits, readBrief, writeBrief } from '../../lib/brief.ts'
import { practiceOf, recordedPasses } from '../../lib/sound/playPasses.ts'
import { type Pass, type Practice, passAt, stretchesOf, tempoOfPass } from '../../lib/sound/practise.ts'
import { keyName, keysInOrder, readKey } from '../../lib/theory/key.ts'
import { lineOver, tune } from './soundFixture.ts'

const keys = keysInOrder('fourths', readKey('C')!)
const plain: Practice = {
  tempo: 100,
  bars: [1, 8],
  passes: null,
  faster: null,
  goal: null,
  keys: keys.slice(0, 1),
  keyAfter: 0,
  lineOut: false,
  build: false,
  demonstration: false,
  rest: 0,
  countIn: 1,
}
const passes = (practice: Practice, most = 200): readonly Pass[] => {
  const found: Pass[] = []
  for (let pass = passAt(practice, 0); pass && found.length < most; pass = passAt(practice, found.length))
    found.push(pass)
  return found
}

test('without any choice it is played once, after a count-in', () => {
  expect(passes(plain)).toEqual([
    {
      index: 0,
      bars: [1, 8],
      tempo: 100,
      key: keys[0],
      keyIndex: 0,
      lineOut: false,
      bandOut: false,
      ends: true,
      lead: 1,
      countIn: 1,
      round: false,
    },
  ])
})

test.each<[string, Partial<Practice>, number[]]>([
  ['up by per cent', { faster: { by: 10, unit: '%' }, passes: 4 }, [100, 110, 121, 133.1]],
  ['up by beats', { faster: { by: 8, unit: 'beats' }, passes: 4 }, [100, 108, 116, 124]],
  ['down by beats', { faster: { by: -10, unit: 'beats' }, passes: 3 }, [100, 90, 80]],
  ['down by per cent', { faster: { by: -50, unit: '%' }, passes: 4 }, [100, 50, 40, 40]],
  ['up to the goal and no further', { faster: { by: 8, unit: 'beats' }, goal: 110, passes: 4 }, [100, 108, 110, 110]],
  ['a goal behind the start is none', { faster: { by: 8, unit: 'beats' }, goal: 90, passes: 2 }, [100, 108]],
  ['never past what a metronome has', { faster: { by: 50, unit: '%' }, tempo: 280, passes: 3 }, [280, 320, 320]],
])('tempo: %s', (_, given, expected) => {
  const tempos = passes({ ...plain, ...given }).map((pass) => pass.tempo)
  expect(tempos.length).toBe(expected.length)
  for (const [i, tempo] of tempos.entries()) expect(tempo).toBeCloseTo(expected[i]!, 9)
})

describe('keys', () => {
  test('the next key after so many passes, through all of them in their order', () => {
    const found = passes({ ...plain, keys, keyAfter: 2 })
    expect(found.length).toBe(24)
    expect(found.slice(0, 5).map((pass) => keyName(pass.key))).toEqual([
      'C major',
      'C major',
      'F major',
      'F major',
      'Bb major',
    ])
    expect(found.map((pass) => pass.keyIndex)).toEqual(Array.from({ length: 24 }, (_, i) => i >> 1))
  })

  test('goes round the keys for as long as it is played', () => {
    const pass = passAt({ ...plain, keys: keys.slice(0, 3), keyAfter: 1, passes: 0 }, 1000)!
    expect(pass.keyIndex).toBe(1)
  })

  test('the last pass of a key does not lead back to its own first bar', () => {
    const rounds = passes({ ...plain, keys: keys.slice(0, 2), keyAfter: 2 }).map((pass) => pass.round)
    expect(rounds).toEqual([true, false, true, false])
  })
})

test('the line rests on every second pass', () => {
  expect(passes({ ...plain, lineOut: true, passes: 4 }).map((pass) => pass.lineOut)).toEqual([false, true, false, true])
})

test('rests stand before every pass but the first, their last bar counted', () => {
  const found = passes({ ...plain, rest: 2, passes: 3 })
  expect(found.map((pass) => [pass.lead, pass.countIn])).toEqual([
    [1, 1],
    [2, 1],
    [2, 1],
  ])
  expect(found.every((pass) => !pass.round)).toBe(true)
})

describe('one bar, then two, then four, then all', () => {
  test.each<[readonly [number, number], string]>([
    [[1, 1], '1-1'],
    [[3, 4], '3-3 4-4 3-4'],
    [[1, 6], '1-1 2-2 3-3 4-4 5-5 6-6 1-2 3-4 5-6 1-4 5-6 1-6'],
  ])('%o', (bars, expected) => {
    expect(
      stretchesOf(bars)
        .map((stretch) => stretch.join('-'))
        .join(' '),
    ).toBe(expected)
  })

  test('each stretch takes the passes, its tempo and its rests of the line starting afresh', () => {
    const found = passes({
      ...plain,
      bars: [1, 2],
      build: true,
      passes: 2,
      lineOut: true,
      faster: { by: 10, unit: 'beats' },
    })
    expect(found.map((pass) => [pass.bars.join('-'), pass.tempo, pass.lineOut])).toEqual([
      ['1-1', 100, false],
      ['1-1', 110, true],
      ['2-2', 100, false],
      ['2-2', 110, true],
      ['1-2', 100, false],
      ['1-2', 110, true],
    ])
  })

  test('the next key comes after the whole of it', () => {
    const found = passes({ ...plain, bars: [1, 2], build: true, keys: keys.slice(0, 2), keyAfter: 1 })
    expect(found.map((pass) => [pass.bars.join('-'), pass.keyIndex])).toEqual([
      ['1-1', 0],
      ['2-2', 0],
      ['1-2', 0],
      ['1-1', 1],
      ['2-2', 1],
      ['1-2', 1],
    ])
  })
})

const anyPractice: fc.Arbitrary<Practice> = fc.record({
  tempo: fc.integer({ min: 40, max: 320 }),
  bars: fc.tuple(fc.integer({ min: 1, max: 20 }), fc.nat(12)).map(([from, more]) => [from, from + more] as const),
  passes: fc.option(fc.nat(9)),
  faster: fc.option(fc.record({ by: fc.integer({ min: -50, max: 50 }), unit: fc.constantFrom('beats', '%') })),
  goal: fc.option(fc.integer({ min: 40, max: 320 })),
  keys: fc.integer({ min: 1, max: 12 }).map((n) => keys.slice(0, n)),
  keyAfter: fc.nat(4),
  lineOut: fc.boolean(),
  build: fc.boolean(),
  demonstration: fc.boolean(),
  rest: fc.nat(8),
  countIn: fc.nat(2),
})

test('any choice: tempos stay within a metronome, bars within the loop, the count within its lead', () => {
  fc.assert(
    fc.property(anyPractice, (practice) => {
      for (const pass of passes(practice, 100)) {
        expect(pass.tempo).toBeGreaterThanOrEqual(limits.tempo[0])
        expect(pass.tempo).toBeLessThanOrEqual(limits.tempo[1])
        expect(pass.bars[0]).toBeGreaterThanOrEqual(practice.bars[0])
        expect(pass.bars[1]).toBeLessThanOrEqual(practice.bars[1])
        expect(pass.bars[0]).toBeLessThanOrEqual(pass.bars[1])
        expect(pass.countIn).toBeLessThanOrEqual(pass.lead)
        expect(pass.key).toBe(practice.keys[pass.keyIndex])
        expect(passAt(practice, pass.index)).toEqual(pass)
      }
      if (practice.passes === 0 && !practice.demonstration) expect(passAt(practice, 5000)).not.toBeNull()
      expect(passAt(practice, -1)).toBeNull()
    }),
    { numRuns: 200 },
  )
})

test('a demonstration: the line alone and slow, with the band, the band alone, each counted in; so in each key', () => {
  const shown = passes({ ...plain, demonstration: true, countIn: 0 })
  expect(shown.map(({ tempo, bandOut, lineOut, countIn, ends }) => [tempo, bandOut, lineOut, countIn, ends])).toEqual([
    [60, true, false, 1, false],
    [100, false, false, 1, true],
    [100, false, true, 1, true],
  ])
  const keyed = passes({ ...plain, demonstration: true, keyAfter: 1, keys: keys.slice(0, 2) })
  expect(keyed.map((pass) => pass.keyIndex)).toEqual([0, 0, 0, 1, 1, 1])
  expect(passes({ ...plain, tempo: 50, demonstration: true })[0]!.tempo).toBe(limits.tempo[0])
})

test('the tempo of a pass does not depend on how it is asked', () => {
  expect(tempoOfPass({ tempo: 60, faster: { by: 1, unit: '%' }, goal: null }, 10)).toBeCloseTo(60 * 1.01 ** 10, 9)
})

describe('the brief', () => {
  test('what is practised is part of the link', () => {
    const given = {
      tempo: '90',
      feel: 'even',
      looseness: 'loose',
      swing: '1.5',
      countIn: '2',
      hear: 'bass,drums',
      loop: '3-6',
      passes: '0',
      faster: '-4',
      goal: '60',
      keyAfter: '3',
      lineOut: 'yes',
      build: 'yes',
      demonstration: 'yes',
      rest: '1',
    }
    const { brief, problems } = readBrief(given)
    expect(problems).toEqual([])
    expect(writeBrief(brief)).toEqual(given)
  })

  test.each([
    ['faster', 'quickly'],
    ['faster', '0'],
    ['faster', '90%'],
    ['swing', '4'],
    ['swing', '0.5'],
    ['feel', 'polka'],
    ['looseness', 'sloppy'],
    ['hear', 'trumpets'],
    ['hear', ''],
    ['rest', '9'],
    ['countIn', '3'],
    ['loop', '8-2'],
    ['tempo', '321'],
    ['goal', '39'],
    ['passes', '-1'],
  ] as const)('%s=%s is refused with a hint', (choice, text) => {
    const { problems } = readBrief({ [choice]: text })
    expect(problems.map((problem) => problem.choice)).toEqual([choice])
    expect(problems[0]!.hint).not.toBe('')
  })

  test('bars that the tune does not have are left out', () => {
    const lines = [lineOver(tune('Dm7 | G7 | Cmaj7'))]
    const loop = (text: string) => practiceOf(lines, readBrief({ loop: text }).brief).bars
    expect(loop('2-9')).toEqual([2, 3])
    expect(loop('7-9')).toEqual([1, 3])
  })

  test('a recording of several keys takes each once, whatever comes first', () => {
    const lines = [0, 5, 10].map((up) => lineOver(tune('Dm7 | G7 | Cmaj7', { up })))
    const indexes = (text: Record<string, string>) =>
      recordedPasses(lines, readBrief(text).brief)!.map((pass) => pass.keyIndex)
    expect(indexes({})).toEqual([0, 1, 2])
    expect(indexes({ passes: '2' })).toEqual([0, 0, 1, 1, 2, 2])
    expect(indexes({ keyAfter: '1' })).toEqual([0, 1, 2])
  })
})
