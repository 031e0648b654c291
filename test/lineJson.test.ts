/** The JSON of lines and guide tones: names, shapes and what they mean, as other programs rely on them. */
import { describe, expect, test } from 'vitest'
import { choiceNames, readBrief } from '../lib/brief.ts'
import { readGuideTones } from '../lib/line/guideTones.ts'
import { briefJson, briefLink, guideTonesJson, linesJson } from '../lib/lineJson.ts'
import { writeLines } from '../lib/lines/write.ts'
import { instrumentOf, writtenPitch } from '../lib/theory/instrument.ts'
import { midiOf, readPitch } from '../lib/theory/pitch.ts'
import { briefOf, harmonyOf } from './line/drafts.ts'
import { realChartTexts } from './realCharts.ts'
import { countedApproaches, countedCells } from './solos.ts'

const tune = 'Key: C\n| Dm7 | G7 | Cmaj7 | A7 |\n| Dm7 | G7 | Cmaj7 | Cmaj7 |'
type Json = ReturnType<typeof linesJson>
const jsonOf = (given: Readonly<Record<string, string>>): Json =>
  JSON.parse(JSON.stringify(linesJson(writeLines(briefOf(given)))))

const keysOf = (value: object) => Object.keys(value).sort()
const roles = ['target', 'cell', 'approach', 'connect', 'rest']
const pitchName = /^[A-G](#{1,2}|b{1,2})?-?\d$/

const settings: readonly Readonly<Record<string, string>>[] = [
  {},
  { rhythm: 'phrased', instrument: 'trombone' },
  { rhythm: 'triplets', instrument: 'tenor-sax', every: 'half' },
  { on: '4&', instrument: 'guitar', keys: 'C,F#,Bb' },
  { approach: 'enclosure,chromatic,scale,arpeggio', cells: '1-2-3-5', keys: 'minor-thirds' },
  { bars: '3-5', key: 'Db' },
]

describe.each(settings.map((given) => [JSON.stringify(given), given] as const))('a brief of %s', (_, given) => {
  const json = jsonOf({ changes: tune, ...given })

  test('has the names of the contract, and no other at the top', () => {
    expect(keysOf(json)).toEqual(['brief', 'lines', 'problems', 'relaxed'])
    for (const line of json.lines) {
      expect(keysOf(line)).toEqual(['chords', 'figures', 'instrument', 'key', 'meter', 'notes', 'targets'])
      for (const chord of line.chords)
        expect(keysOf(chord)).toEqual(
          expect.arrayContaining(['bar', 'beat', 'beats', 'function', 'localKey', 'root', 'scale', 'symbol', 'tones']),
        )
      for (const target of line.targets)
        expect(keysOf(target)).toEqual(expect.arrayContaining(['bar', 'beat', 'degree', 'midi', 'pitch']))
      for (const figure of line.figures)
        expect(keysOf(figure)).toEqual([
          'bar',
          'beat',
          'count',
          'kind',
          'name',
          'offsets',
          ...(figure.kind === 'motif' ? ['origin'] : []),
        ])
      for (const note of line.notes)
        expect(keysOf(note)).toEqual(['bar', 'beat', 'beats', 'degree', 'figure', 'midi', 'pitch', 'role', 'written'])
    }
  })

  test('every note is placed, sounds, is written and has its role as it says', () => {
    for (const line of json.lines) {
      const instrument = instrumentOf(line.instrument)!
      expect(line.notes.length).toBeGreaterThan(0)
      for (const { bar, beat, beats, pitch, midi, written, role, degree, figure } of line.notes) {
        expect(Number.isInteger(bar) && bar >= 1).toBe(true)
        expect(beat >= 1 && beat < 5 && beats > 0).toBe(true)
        expect(Math.abs(beat * 24 - Math.round(beat * 24))).toBeLessThan(1e-9)
        expect(roles).toContain(role)
        expect(role === 'rest').toBe(pitch === null)
        if (pitch === null) {
          expect([midi, written, degree, figure]).toEqual([null, null, null, null])
          continue
        }
        expect(pitch).toMatch(pitchName)
        expect(midiOf(readPitch(pitch)!)).toBe(midi)
        expect(degree).toMatch(/^(bb?|##?)?([1-9]|1[0-3])$/)
        // What the player reads sounds the note, whatever its letter.
        const asRead = midiOf(writtenPitch(instrument, readPitch(pitch)!))
        expect(midiOf(readPitch(written!)!)).toBe(asRead)
        if (figure !== null) expect(figure).toBeLessThan(line.figures.length)
        if (role === 'approach' || role === 'cell') expect(line.figures[figure!]!.kind).toBe(role)
      }
    }
  })

  test('targets are notes; figures play their offsets; counts are those of the solos', () => {
    for (const line of json.lines) {
      const noteAt = (bar: number, beat: number) => line.notes.find((note) => note.bar === bar && note.beat === beat)!
      for (const { bar, beat, pitch, midi, degree } of line.targets)
        expect(noteAt(bar, beat)).toMatchObject({ pitch, midi, degree, role: 'target' })
      line.figures.forEach((figure, f) => {
        if (figure.kind === 'motif') {
          const first = line.notes.findIndex(({ bar, beat }) => bar === figure.bar && beat === figure.beat)
          const played = line.notes.slice(first, first + figure.offsets.length).map(({ midi }) => midi!)
          expect(played.map((midi) => midi - played[0]!)).toEqual(figure.offsets)
          expect(figure.name).toBe(`motif of bar ${figure.origin!.bar}`)
          return
        }
        const notes = line.notes.filter((note) => note.figure === f)
        expect(notes[0]).toMatchObject({ bar: figure.bar, beat: figure.beat })
        const table =
          figure.kind === 'cell' ? countedCells.get(figure.name) : countedApproaches.get(figure.offsets.join(' '))
        expect(figure.count).toBe(table?.count ?? 0)
        if (figure.kind === 'cell') {
          const root = notes[0]!.midi!
          expect(notes.map(({ midi }) => midi! - root)).toEqual(figure.offsets)
          expect(notes[0]!.role).toBe('target')
        } else {
          const next = line.targets.find(
            ({ bar, beat }) => bar > notes.at(-1)!.bar || (bar === notes.at(-1)!.bar && beat > notes.at(-1)!.beat),
          )
          if (next) expect(notes.map(({ midi }) => midi! - next.midi)).toEqual(figure.offsets)
        }
      })
    }
  })

  test('only the bars asked for, all of them full', () => {
    const [from, to] = given.bars ? [3, 5] : [1, 8]
    for (const line of json.lines) {
      const bars = new Set(line.notes.map(({ bar }) => bar))
      expect(Math.min(...bars)).toBe(from)
      expect(Math.max(...bars)).toBe(to)
      for (const list of [line.chords, line.targets, line.figures])
        for (const { bar } of list) expect(bar >= from! && bar <= to!).toBe(true)
    }
  })
})

describe('what a line is written over', () => {
  test('chords with their tones, key, function and scale', () => {
    const [line] = jsonOf({ changes: tune }).lines
    expect(line!.key).toBe('C major')
    expect(line!.meter).toBe('4/4')
    expect(line!.chords[0]).toMatchObject({
      bar: 1,
      beat: 1,
      beats: 4,
      symbol: 'Dm7',
      root: 'D',
      tones: ['D', 'F', 'A', 'C'],
      localKey: 'C major',
      function: 'ii',
      scale: ['D', 'E', 'F', 'G', 'A', 'B', 'C'],
    })
  })

  test('no-chord has neither root nor tones nor scale', () => {
    const [line] = jsonOf({ changes: '| N.C. | Cmaj7 |' }).lines
    expect(line!.chords[0]).toMatchObject({ root: null, tones: [], localKey: null, function: null, scale: [] })
  })

  test('bars count as played, repeats unrolled; beats are quarters, halves of six eight at 1 and 2.5', () => {
    const [line] = jsonOf({ changes: '|: Dm7 | G7 :| Cmaj7 |' }).lines
    expect(line!.chords.map(({ bar, symbol }) => `${bar} ${symbol}`)).toEqual([
      '1 Dm7',
      '2 G7',
      '3 Dm7',
      '4 G7',
      '5 Cmaj7',
    ])
    const [compound] = jsonOf({ changes: 'Time: 6/8\n| Dm7 G7 |' }).lines
    expect(compound!.chords.map(({ beat, beats }) => [beat, beats])).toEqual([
      [1, 1.5],
      [2.5, 1.5],
    ])
    expect(compound!.meter).toBe('6/8')
  })

  test('a part at concert pitch is written as it sounds', () => {
    const [line] = jsonOf({ changes: tune, pitch: 'concert' }).lines
    for (const { pitch, midi, written } of line!.notes) if (pitch) expect(midiOf(readPitch(written!)!)).toBe(midi)
  })

  test('one line a key, in order', () => {
    const { lines } = jsonOf({ changes: tune, keys: 'C,F,Bb,F#' })
    expect(lines.map(({ key }) => key)).toEqual(['C major', 'F major', 'Bb major', 'F# major'])
  })
})

describe('the brief', () => {
  test('is every choice, defaults included; read back it gives the same bytes', () => {
    for (const given of settings) {
      const brief = briefOf({ ...given, changes: tune })
      const written = linesJson(writeLines(brief))
      const texts = Object.entries(written.brief).map(([name, value]) => [name, value === null ? '' : String(value)])
      const { brief: again, problems } = readBrief({ ...Object.fromEntries(texts), changes: tune })
      expect(problems).toEqual([])
      expect(again).toEqual(brief)
      expect(JSON.stringify(linesJson(writeLines(again)))).toBe(JSON.stringify(written))
      const named = Object.keys(written.brief)
      expect(choiceNames.filter((name) => !named.includes(name))).toEqual([])
    }
  })

  test('as a link leaves out what is as by default', () => {
    const link = new URLSearchParams(briefLink(briefOf({ changes: '| C |', seed: '7', instrument: 'flute' })))
    expect(Object.fromEntries(link)).toEqual({ changes: '| C |', seed: '7', instrument: 'flute' })
    expect(briefJson(briefOf({ seed: '7', land: '3', keys: 'C,F', textbook: 'yes' }))).toMatchObject({
      seed: 7,
      land: ['3'],
      keys: ['C', 'F'],
      textbook: true,
      key: null,
    })
  })
})

describe('problems', () => {
  test('of the changes: where, what, what to try, and no lines', () => {
    const json = JSON.parse(JSON.stringify(linesJson(writeLines({ ...briefOf({}), changes: '| Dm7 |\n| Cmja7 |' }))))
    expect(json.lines).toEqual([])
    expect(json.problems[0]).toMatchObject({
      severity: 'error',
      line: 2,
      found: expect.any(String),
      hint: expect.any(String),
    })
    expect(json.problems[0].column).toBeGreaterThanOrEqual(3)
    expect(json.problems[0].endColumn).toBeLessThanOrEqual(8)
    expect(json.problems[0]).not.toHaveProperty('span')
  })

  test('of another choice: which, and where in its own text', () => {
    const json = jsonOf({ changes: tune, plan: '3 7 x' })
    expect(json.lines).toEqual([])
    expect(json.problems).toMatchObject([
      { choice: 'plan', code: 'bad-plan', line: 1, column: 5, endColumn: 6, found: 'x' },
    ])
  })

  test('rules that gave way are named, with key, bar and why', () => {
    const json = jsonOf({ changes: realChartTexts()[1]!, keys: 'chromatic', instrument: 'piano', fingering: 'all' })
    expect(json.relaxed.length).toBeGreaterThan(0)
    for (const each of json.relaxed) {
      expect(keysOf(each)).toEqual(['bar', 'key', 'rule', 'why'])
      expect(each.rule).toMatch(/^[a-z]+(-[a-z]+)*$/)
    }
  })
})

describe('guide tones', () => {
  test('two threads, the first from the third, the second from the seventh', () => {
    const harmony = harmonyOf('| Dm7 | G7 | Cmaj7 |')
    const json = guideTonesJson(readGuideTones(harmony), harmony.bars, [])
    expect(keysOf(json)).toEqual(['problems', 'threads'])
    expect(json.threads).toEqual([
      [
        { bar: 1, beat: 1, pitch: 'F4', midi: 65, degree: 'b3' },
        { bar: 2, beat: 1, pitch: 'F4', midi: 65, degree: 'b7' },
        { bar: 3, beat: 1, pitch: 'E4', midi: 64, degree: '3' },
      ],
      [
        { bar: 1, beat: 1, pitch: 'C4', midi: 60, degree: 'b7' },
        { bar: 2, beat: 1, pitch: 'B3', midi: 59, degree: '3' },
        { bar: 3, beat: 1, pitch: 'B3', midi: 59, degree: '7' },
      ],
    ])
  })
})
