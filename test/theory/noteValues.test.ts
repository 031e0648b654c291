import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Meter, ticksPerBar } from '../../lib/theory/meter.ts'
import { beamValues, type Piece, writeValues } from '../../lib/theory/noteValues.ts'

const meters = ['2/4', '3/4', '4/4', '5/4', '6/4', '7/4', '3/8', '5/8', '6/8', '7/8', '9/8', '12/8', '2/2', '3/2']
const meterOf = (name: string): Meter => {
  const [beats, unit] = name.split('/').map(Number)
  return { beats: beats!, unit: unit! }
}

/** Pieces from where they start, rests marked `r`; the last runs to the end of the bar. */
function pieces(meter: Meter, text: string): readonly Piece[] {
  const words = text.split(' ')
  const starts = words.map((word) => Number(word.replace('r', '')))
  return words.map((word, i) => ({
    from: starts[i]!,
    to: starts[i + 1] ?? ticksPerBar(meter),
    rest: word.startsWith('r'),
  }))
}

/** What is written, as `4.` for a dotted quarter, `r8` a rest, `8~` held on, `8/3` in a triplet, `(8 8)` beamed. */
function write(name: string, text: string): string {
  const meter = meterOf(name)
  const values = writeValues(meter, pieces(meter, text))
  const beams = beamValues(meter, values)
  return values
    .map(({ value, dots, rest, tuplet, piece }, i) => {
      const held = !rest && values[i + 1]?.piece === piece ? '~' : ''
      const word = `${rest ? 'r' : ''}${value}${'.'.repeat(dots)}${tuplet ? `/${tuplet.actual}` : ''}${held}`
      return beams[i] === 'start' ? `(${word}` : beams[i] === 'end' ? `${word})` : word
    })
    .join(' ')
}

/** Common practice as Gould, *Behind Bars* (2011), gives it; from memory. Beams by half bar: Trinity grade syllabus. */
const tables: Readonly<Record<string, readonly (readonly [string, string])[]>> = {
  '4/4': [
    ['0', '1'],
    ['0 72', '2. 4'],
    ['0 24 72', '4 4~ 4 4'],
    ['0 36', '4. 8~ 2'],
    ['0 12 24 36 48 60 72 84', '(8 8 8 8) (8 8 8 8)'],
    ['0 12 36 48', '8 4 8 2'],
    ['0 60', '2~ 8 4.'],
    ['r0', 'r1'],
    ['0 r24', '4 r4 r2'],
    ['0 r12', '8 r8 r4 r2'],
    ['r0 12', 'r8 4.~ 2'],
    ['r0 12 24 36 48', 'r8 (8 8 8) 2'],
    ['0 6 12 24 36 42 48', '(16 16 8) (8 16 16) 2'],
    ['0 8 16 24 36 48', '(8/3 8/3 8/3) (8 8) 2'],
    ['0 16 32 48', '4/3 4/3 4/3 2'],
    ['0 16 24 48', '4/3 8/3 4 2'],
    ['0 18 24 48', '(8. 16) 4 2'],
    ['0 84', '2~ 4. 8'],
  ],
  '3/4': [
    ['0', '2.'],
    ['0 12 24 36 48 60', '(8 8 8 8 8 8)'],
    ['0 24 36 48 60', '4 (8 8) (8 8)'],
    ['0 12 48', '(8 8~) 4 4'],
    ['0 r24', '4 r4 r4'],
    ['0 60', '2~ (8 8)'],
    ['r0', 'r1'],
  ],
  '6/8': [
    ['0', '2.'],
    ['0 12 24 36 48 60', '(8 8 8) (8 8 8)'],
    ['0 24 36 60', '4 8 4 8'],
    ['0 36', '4. 4.'],
    ['0 48', '4.~ 8 4'],
    ['0 12 60', '8 4~ 4 8'],
    ['0 r12', '8 r8 r8 r4.'],
    ['r0 24', 'r4 8~ 4.'],
    ['0 18', '(8. 8.~) 4.'],
  ],
  '5/4': [
    ['0', '2.~ 2'],
    ['0 96', '2.~ 4 4'],
    ['0 12 24 36 48 60 72 84 96 108', '(8 8 8 8 8 8) (8 8 8 8)'],
    ['0 r72', '2. r2'],
  ],
  '7/4': [
    ['0', '1~ 2.'],
    ['0 96 108 120 132 144 156', '1 (8 8 8 8 8 8)'],
  ],
  '2/4': [
    ['0', '2'],
    ['0 12 24 36', '(8 8 8 8)'],
    ['0 r12', '8 r8 r4'],
  ],
  '12/8': [
    ['0', '1.'],
    ['0 108', '4.~ 2. 4.'],
  ],
  '7/8': [['0', '4.~ 2']],
}

describe.each(Object.entries(tables))('%s', (meter, rows) => {
  test.each(rows)('%s is written %s', (given, expected) => {
    expect(write(meter, given)).toBe(expected)
  })
})

/** A bar cut anywhere on a grid, written. */
const writtenBar = fc
  .record({
    meter: fc.constantFrom(...meters).map(meterOf),
    grid: fc.constantFrom(3, 4, 6, 8, 12, 24),
    cuts: fc.array(fc.nat({ max: 60 }), { maxLength: 20 }),
    rests: fc.array(fc.boolean(), { minLength: 21, maxLength: 21 }),
  })
  .map(({ meter, grid, cuts, rests }) => {
    const bar = ticksPerBar(meter)
    const starts = [...new Set([0, ...cuts.map((cut) => cut * grid)])].filter((at) => at < bar).sort((a, b) => a - b)
    const cut = starts.map((from, i) => ({ from, to: starts[i + 1] ?? bar, rest: rests[i]! }))
    return { meter, bar, values: writeValues(meter, cut) }
  })

test('in every meter and on every grid the values fill the bar in order, each one that can be written', () => {
  fc.assert(
    fc.property(writtenBar, ({ bar, values }) => {
      let at = 0
      for (const value of values) {
        expect(value.at).toBe(at)
        const plain = (96 / value.value) * [1, 1.5, 1.75][value.dots]!
        const whole = value.rest && value.ticks === bar && value.value === 1
        if (!whole) expect(value.ticks).toBe(value.tuplet ? (plain * value.tuplet.normal) / value.tuplet.actual : plain)
        at += value.ticks
      }
      expect(at).toBe(bar)
      expect(values.map(({ piece }) => piece)).toEqual([...values.map(({ piece }) => piece)].sort((a, b) => a - b))
    }),
  )
})

/** MEI nests what stands in it: a beam lies within a tuplet or a tuplet within a beam. Source: MEI 5.1, elements beam and tuplet. */
test('in every meter and on every grid a beam lies within its tuplet', () => {
  fc.assert(
    fc.property(writtenBar, ({ meter, values }) => {
      beamValues(meter, values).forEach((beam, i) => {
        if (beam === 'middle' || beam === 'end')
          expect(values[i]!.tuplet?.from ?? null).toBe(values[i - 1]!.tuplet?.from ?? null)
      })
    }),
  )
})

test.each([
  ['7/8', '0 8 12 24 36 48 60 72'],
  ['6/8', '0 8 12 24 36 48 60'],
])('in %s an eighth after a triplet within its group has a beam of its own', (meter, given) => {
  const signature = meterOf(meter)
  const values = writeValues(signature, pieces(signature, given))
  expect(beamValues(signature, values).slice(0, 4)).toEqual(['start', 'end', 'start', 'end'])
})

test('no beam of eighths crosses the middle of 4/4', () => {
  fc.assert(
    fc.property(fc.subarray([12, 24, 36, 48, 60, 72, 84]), (cuts) => {
      const meter = meterOf('4/4')
      const values = writeValues(meter, pieces(meter, [0, ...cuts].join(' ')))
      const beams = beamValues(meter, values)
      let open = -1
      values.forEach(({ at }, i) => {
        if (beams[i] === 'start') open = at
        if (beams[i] === 'end') expect(Math.floor(open / 48)).toBe(Math.floor(at / 48))
      })
      expect(beams.filter((beam) => beam === 'start').length).toBe(beams.filter((beam) => beam === 'end').length)
    }),
  )
})
