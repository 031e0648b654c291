/** What the package hands out is the caller's own, or cannot be changed: no caller changes what the next is handed. */
import { createHash } from 'node:crypto'
import { expect, test } from 'vitest'
import * as engrave from '../lib/doors/engrave.ts'
import * as door from '../lib/doors/index.ts'
import * as sound from '../lib/doors/sound.ts'

const brief: door.Brief = {
  ...door.defaultBrief,
  changes: '| Dm7 | G7alt | Cmaj7 | A7/G |\n| Bm7b5 | E7 | Am6 | N.C. |',
}
const written = door.writeLines(brief)
const { lines } = written
const changes = door.unrollChart(written.chart)
const harmony = door.readHarmony(changes)
const horn = door.instrumentOf('horn')
const [pass] = sound.recordedPasses(lines, brief)!

const calls: Readonly<Record<string, () => unknown>> = {
  readChart: () => door.readChart(brief.changes),
  readBrief: () => door.readBrief({ tempo: '120', keys: 'fourths' }),
  checkBrief: () => door.checkBrief(structuredClone(brief)),
  writeBrief: () => door.writeBrief(brief),
  writeLines: () => door.writeLines(structuredClone(brief)),
  transposeChart: () => door.transposeChart(structuredClone(written.chart), { steps: 1, semitones: 2 }),
  unrollChart: () => door.unrollChart(structuredClone(written.chart), 2),
  readHarmony: () => door.readHarmony(structuredClone(changes)),
  readGuideTones: () => door.readGuideTones(structuredClone(harmony)),
  linesJson: () => door.linesJson(structuredClone(written)),
  alternatives: () => door.alternatives(brief, 1, 1),
  layScore: () => door.layScore(structuredClone(lines[0]!), brief),
  sequenceOf: () => door.sequenceOf(structuredClone(lines[0]!)),
  instrumentOf: () => door.instrumentOf('horn'),
  writtenPitch: () => door.writtenPitch(structuredClone(horn), { letter: 'B', alter: -1, octave: 3 }),
  readKey: () => door.readKey('Eb', 7),
  readPitch: () => door.readPitch('Bb3'),
  playPass: () => sound.playPass(structuredClone(lines), brief, pass!),
  lineBook: () => engrave.lineBook(structuredClone(lines), brief, { link: null, ownStaves: true }),
  exportOf: () => engrave.exportOf('pdf'),
}

type Reached = Map<object, string>

/** Everything that a value leads to, by the way there. */
function reach(value: unknown, way: string, found: Reached = new Map()): Reached {
  if (typeof value !== 'object' || value === null || ArrayBuffer.isView(value) || found.has(value)) return found
  found.set(value, way)
  for (const [name, part] of value instanceof Map ? value : Object.entries(value))
    reach(part, Array.isArray(value) ? `${way}[]` : `${way}.${String(name)}`, found)
  return found
}

test.each(Object.keys(calls))('%s hands out nothing twice that can be changed', (name) => {
  const [first, second] = [reach(calls[name]!(), name), reach(calls[name]!(), name)]
  const open = [...first].filter(([value]) => second.has(value) && !Object.isFrozen(value)).map(([, way]) => way)
  expect([...new Set(open)]).toEqual([])
})

test('a chart of 50 MB in a line and of five million bars are refused at once, and a brief that is all inherited as one that lacks its choices', () => {
  for (const text of ['x'.repeat(5e7), '| C '.repeat(5e6)])
    expect(door.readChart(text).problems.map(({ expected }) => expected)).toEqual(['at most 65536 characters'])
  const inherited = door.writeLines(Object.create(brief))
  expect(inherited.lines.length).toBe(0)
  expect(inherited.choiceProblems.length).toBe(door.choiceNames.length)
})

const { limits, choices, choiceNames, defaultBrief, instruments } = door
test.each(Object.entries({ limits, choices, choiceNames, defaultBrief, instruments }))(
  '%s cannot be changed',
  (name, table) => {
    const open = [...reach(table, name)].filter(([value]) => !Object.isFrozen(value)).map(([, way]) => way)
    expect(open).toEqual([])
  },
)

test('whoever changes all that a line holds changes no other line: 3 calls, one text', () => {
  const written = () =>
    createHash('sha256')
      .update(JSON.stringify(door.writeLines(structuredClone(brief))))
      .digest('hex')
  const before = written()
  for (const value of reach(door.writeLines(structuredClone(brief)), '').keys())
    for (const name of Object.keys(value)) Reflect.set(value, name, -99)
  expect(written()).toBe(before)
})
