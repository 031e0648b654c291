/** Whatever a program hands to a function of the package, it comes back or is refused with a problem of the project's own. */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import * as engrave from '../lib/doors/engrave.ts'
import * as door from '../lib/doors/index.ts'
import * as sound from '../lib/doors/sound.ts'
import { briefs, tunes } from './golden/cases.ts'
import { realChartTexts } from './realCharts.ts'

const brief: door.Brief = { ...door.defaultBrief, changes: '| Dm7 | G7 | Cmaj7 | A7 |' }
const written = door.writeLines(brief)
const lines = written.lines
const line = lines[0]!
const score = door.layScore(line, brief)
const changes = door.unrollChart(written.chart)
const harmony = door.readHarmony(changes)
const instrument = door.instrumentOf('trombone')
const pitch = { letter: 'B', alter: -1, octave: 3 } as const
const key = { tonic: { letter: 'E', alter: -1 }, mode: 'major' } as const
const problem = door.readChart('| Xyz |').problems[0]!
const [pass] = sound.recordedPasses(lines, brief)!
const recording = sound.planRecording(lines, brief)!
const svg = '<svg xmlns="http://www.w3.org/2000/svg" width="20" height="20"><rect width="9" height="9"/></svg>'
/** A part of one bar: what is engraved takes time. */
const short = door.layScore(door.writeLines({ ...brief, changes: '| C |' }).lines[0]!, brief)
const piece = { score: short, name: null, bookmark: null, group: null }
const book = { title: '', language: 'en', paper: 'A4', large: false, show: [], cover: null, pieces: [piece] } as const
const sheet = { paper: 'A4', large: false, head: 0, foot: 0, title: 'Line' } as const
const drawn = { engrave: async () => [svg], progress: () => {} }

/** Every function of every door with arguments that fit it; how often it is tried, where that takes long. */
const functions: Readonly<Record<string, readonly [args: readonly unknown[], runs?: number]>> = {
  readChart: [[brief.changes]],
  readBrief: [[{ tempo: '120', keys: 'fourths' }]],
  checkBrief: [[brief]],
  writeBrief: [[brief]],
  writeLines: [[brief]],
  transposeChart: [[written.chart, { steps: 1, semitones: 2 }]],
  unrollChart: [[written.chart, 2]],
  readHarmony: [[changes, { bebop: true, scales: [] }]],
  readGuideTones: [[harmony]],
  guideTonesJson: [[door.readGuideTones(harmony), harmony.bars, []]],
  linesJson: [[written, { tempo: '120' }]],
  lineText: [[line, brief]],
  alternatives: [[brief, 1, 1]],
  differentLines: [[brief, 2]],
  describeProblem: [['tune.txt', '| Xyz |', problem]],
  placeOf: [['| Xyz |', problem.span]],
  layScore: [[line, brief, { barsPerLine: 4, room: 100 }]],
  writeAbc: [[score]],
  writeMei: [[score, { show: ['targets'], accent: '#a03020', head: true, prefix: 'a-' }]],
  sequenceOf: [[line, { tempo: 120, swing: 1.5 }]],
  writeMidi: [[door.sequenceOf(line)]],
  writeMusicXml: [[score, { brackets: true }]],
  writeMxl: [[score, { brackets: true }]],
  instrumentOf: [['horn']],
  soundingPitch: [[instrument, pitch]],
  writtenPitch: [[instrument, pitch]],
  keyName: [[key]],
  nameOfKey: [[key]],
  readKey: [['Eb', 7]],
  midiOf: [[pitch]],
  nameOf: [[pitch]],
  readPitch: [['Bb3']],
  isWrongInput: [[new Error('no')]],
  writeBandMidi: [[lines, brief], 40],
  arrangePass: [[lines, brief, pass]],
  playPass: [[lines, brief, pass]],
  recordedPasses: [[lines, brief]],
  planRecording: [[lines, brief, {}, []], 40],
  recordSound: [[recording, 'wav'], 20],
  samplesOf: [[recording, 44_100], 20],
  secondsOfRecording: [[recording]],
  lineBook: [[lines, brief, { link: null, ownStaves: true }]],
  worksheetBook: [[harmony, instrument, [40, 70], brief, { answers: 'alone', link: null, ownStaves: false }]],
  classSet: [[lines, brief, [instrument], { link: null, ownStaves: false }]],
  zipClassSet: [[{ book, parts: [{ name: 'Bass', pieces: [piece], folds: [] }], unfit: [] }, drawn], 20],
  engraveSvg: [[door.writeMei(short), sheet], 40],
  writePdf: [[book, drawn], 40],
  writePng: [[svg, 100], 40],
  exportOf: [['pdf']],
  exportOfFile: [['a.pdf']],
  writeFiles: [[engrave.exportOf('mei'), written, { link: null, spread: true, typed: {} }], 60],
  loadSamples: [[65, new URL('file:///nowhere/')]],
}

const given = { ...door, ...sound, ...engrave } as Readonly<Record<string, unknown>>

test('no function of a door is left out', () => {
  const all = Object.keys(given).filter((name) => typeof given[name] === 'function')
  expect(all.length).toBeGreaterThan(45)
  expect(Object.keys(functions).sort()).toEqual(all.sort())
})

type Way = readonly (string | number)[]

/** Ways to the places of a value: all fields, of a list the first and the last. */
function waysOf(value: unknown, way: Way = []): readonly Way[] {
  if (typeof value !== 'object' || value === null || value instanceof Error || value instanceof URL) return [way]
  const inner = Array.isArray(value)
    ? [...new Set([0, value.length - 1])].filter((i) => i >= 0).map((i) => [i, value[i]] as const)
    : Object.entries(value)
  return [way, ...inner.flatMap(([name, each]) => waysOf(each, [...way, name]))]
}

const gone = Symbol('gone')

/** The same value with another at one place, or with none. */
function withOdd(value: unknown, [name, ...rest]: Way, odd: unknown): unknown {
  if (name === undefined) return odd === gone ? undefined : odd
  const copy: Record<string | number, unknown> = (Array.isArray(value) ? [...value] : { ...(value as object) }) as never
  if (rest.length === 0 && odd === gone) delete copy[name]
  else copy[name] = withOdd(copy[name], rest, odd)
  return copy
}

const odd = fc.oneof(
  fc.constantFrom<unknown>(
    ...[gone, undefined, null, 0, 1, 2, 42, -1, 0.5, Number.NaN, Number.POSITIVE_INFINITY, 1e99, 7n, Symbol('s')],
    ...['', 'kazoo', 'C4', '120', '\0', true, [], [null], ['x'], {}, { letter: 'H' }, new Map(), () => 1, new Date(0)],
  ),
  fc.anything(),
)

/** What a call comes to: what makes pieces makes its first. */
async function outcome(call: () => unknown): Promise<unknown> {
  const made = await call()
  if (typeof made === 'object' && made !== null && 'next' in made) await (made as AsyncGenerator).next()
  return made
}

test.each(Object.keys(functions))('%s', async (name) => {
  const call = given[name] as (...args: readonly unknown[]) => unknown
  const [args, runs = 300] = functions[name]!
  await outcome(() => call(...args))
  const wrong = fc.constantFrom(...args.flatMap((arg, i) => waysOf(arg, [i])))
  await fc.assert(
    fc.asyncProperty(wrong, odd, async (way, value) => {
      const changed = withOdd(args, way, value) as readonly unknown[]
      try {
        await outcome(() => call(...changed))
      } catch (error) {
        if (!door.isWrongInput(error)) throw error
        const { found, expected, hint } = error.problem
        expect(found !== '' && expected !== '' && hint !== '').toBe(true)
        expect(error.message).toMatch(new RegExp(`^${name}: [^:]+: found [^]+; expected [^]+; [^]+$`))
      }
    }),
    { numRuns: runs * Number(process.env.TIMES ?? 1) },
  )
})

test('a message says where, what was found, what was expected and what to try', () => {
  expect(() => door.nameOf({ letter: 'H', alter: 0 } as never)).toThrow(
    'nameOf: note.letter: found "H"; expected one of C, D, E, F, G, A, B; try C',
  )
  const late = { ...line, notes: line.notes.map((note, i) => (i === 3 ? { ...note, pitch: 'F4' } : note)) }
  expect(() => door.layScore(late as never, brief)).toThrow(
    'layScore: line.notes[3].pitch: found "F4"; expected a pitch, { letter, alter, octave }; give it letter, alter, octave',
  )
  expect(() => sound.arrangePass(lines, brief, { ...pass!, keyIndex: 5 })).toThrow(/pass\.keyIndex: found 5/)
})

/** Choices that reach what the golden briefs do not: pickups, motifs, tablature, part of the bars, a meter in groups. */
const further: readonly Readonly<Record<string, string>>[] = [
  { rhythm: 'phrased', pickup: 'yes', motif: 'much', articulation: 'some', choruses: '2', title: 'Ⅻ' },
  { instrument: 'guitar', tablature: 'yes', fingering: 'all', show: 'targets,degrees,brackets,names,analysis,scales' },
  { exact: 'yes', join: 'yes', keys: 'chromatic', bars: '2-3', pitch: 'concert', minorSign: '-', majorSign: 'Δ' },
]
const odder = [
  'Time: 5/4 (2+3)\n| Dm7 G7 C6 | N.C. | F#dim7/C |',
  '| Dm7 |: G7 % :| C5 Gsus4 B+ |',
  'Key: F#m\n| Cbmaj7 |',
]

test('nothing that the library made itself is refused', () => {
  const charts = [...Object.values(tunes), ...odder, ...realChartTexts()]
  const chosen = [...Object.values(briefs), ...further]
  let count = 0
  for (const [i, changes] of charts.entries()) {
    const { brief: asked } = door.readBrief({ ...chosen[i % chosen.length], changes })
    const all = door.writeLines(asked)
    const chart = door.transposeChart(door.readChart(changes), { steps: 4, semitones: 7 })
    const heard = door.readHarmony(door.unrollChart(chart))
    door.guideTonesJson(door.readGuideTones(heard), heard.bars, [])
    door.linesJson(all, { tempo: '120' })
    engrave.lineBook(all.lines, asked)
    for (const each of all.lines.slice(0, 2)) {
      const part = door.layScore(each, asked)
      door.lineText(each, asked)
      door.writeMidi(door.sequenceOf(each))
      for (const write of [door.writeAbc, door.writeMei, door.writeMxl]) write(part)
      sound.playPass([each], asked, sound.recordedPasses([each], { ...asked, passes: 1 })![0]!)
      count++
    }
  }
  expect(count).toBeGreaterThan(30)
})
