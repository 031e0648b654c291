/** The doors of the package: what they hand out runs where they say, and answers whatever it is given. */
import { build } from 'esbuild'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import * as door from '../lib/doors/index.ts'

/** What a program may hand over by mistake, the types aside. */
const odd: readonly unknown[] = [
  ...[undefined, null, 42, Number.NaN, -1, 1e99, true, '', 'kazoo', '| C', '\0', {}, [], [null], () => 1, new Map()],
  ...[{ changes: 5 }, { changes: null, instrument: 'kazoo' }, { level: 3 }, { tempoo: '120' }],
  ...[
    { instrument: 'kazoo' },
    { changes: undefined },
    { pins: 7 },
    { keys: ['x'] },
    { keys: 'constructor' },
    { key: { tonic: 3 } },
    { low: 'C4' },
    { seed: -1 },
    { colour: 'red' },
  ].map((wrong) => ({ ...door.defaultBrief, changes: '| C |', ...wrong })),
]
type Brief = door.Brief

describe('wrong input is a problem or nothing, never an error of its own', () => {
  const rows: readonly [string, (value: never) => unknown][] = [
    ['readChart', door.readChart],
    ['readBrief', door.readBrief],
    ['checkBrief', door.checkBrief],
    ['writeBrief', door.writeBrief],
    ['writeLines', door.writeLines],
    ['linesJson', (value) => door.linesJson(door.writeLines(value))],
    ['alternatives', (value) => door.alternatives(value, 1, 1)],
    ['differentLines', (value) => door.differentLines(value, 3)],
    ['readKey', door.readKey],
    ['readPitch', door.readPitch],
    ['instrumentOf', door.instrumentOf as (id: never) => unknown],
  ]
  const good: Brief = { ...door.defaultBrief, changes: '| C |' }

  test.each(rows)('%s', (_, call) => {
    for (const value of odd) expect(() => call(value as never)).not.toThrow()
  })

  test('whatever stands in a brief', () => {
    const names = fc.constantFrom(...door.choiceNames)
    const brief = fc.dictionary(names, fc.anything()).map((wrong) => ({ ...good, ...wrong }))
    fc.assert(
      fc.property(brief, (made) => {
        const { lines, problems, choiceProblems } = door.writeLines(made as Brief)
        expect(lines.length > 0 || problems.length + choiceProblems.length > 0).toBe(true)
      }),
      { numRuns: 200 },
    )
  })

  test.each<[string, Partial<Record<keyof Brief | 'colour', unknown>>, string, string]>([
    ['an instrument that is none', { instrument: 'kazoo' }, 'instrument', '"kazoo"'],
    ['a number as text', { tempo: '120' }, 'tempo', '"120"'],
    ['a choice that is missing', { land: undefined }, 'land', 'nothing'],
  ])('%s is said', (_, wrong, choice, found) => {
    const { lines, choiceProblems } = door.writeLines({ ...good, ...wrong } as Brief)
    expect(lines).toEqual([])
    expect(choiceProblems).toMatchObject([{ choice, found }])
  })

  test('a name that is no choice is said', () => {
    const { choiceProblems } = door.writeLines({ ...good, colour: 'red' } as Brief)
    expect(choiceProblems).toMatchObject([{ code: 'unknown-choice', found: 'colour' }])
  })
})

test('types name what a program writes', () => {
  const id: door.InstrumentId = 'alto-sax'
  // @ts-expect-error there is no such instrument
  const none: door.InstrumentId = 'kazoo'
  const pitch: door.Pitch = { letter: 'B', alter: -1, octave: 4 }
  const key: door.Key = { tonic: { letter: 'E', alter: -1 }, mode: 'major' }
  expect([door.instrumentOf(id).name, door.instrumentOf(none as string)]).toEqual(['Alto saxophone', undefined])
  expect([door.nameOf(pitch), door.keyName(key)]).toEqual(['Bb4', 'Eb major'])
})

test.each(['index', 'sound'])('%s bundles for a browser', async (name) => {
  const { errors, metafile } = await build({
    entryPoints: [`lib/doors/${name}.ts`],
    bundle: true,
    platform: 'browser',
    format: 'esm',
    outdir: 'out',
    write: false,
    metafile: true,
    logLevel: 'silent',
  })
  expect(errors).toEqual([])
  expect(Object.keys(metafile.inputs).filter((file) => /engrave|exports|sampleFiles|opus|commands/.test(file))).toEqual(
    [],
  )
})
