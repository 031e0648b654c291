/** What a person keeps stays, whatever else changes; what cannot stay is said. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { scaleOffset } from '../../lib/line/chordMasks.ts'
import { type Draft, soundingRange } from '../../lib/line/draftLine.ts'
import { approaches, cells } from '../../lib/line/figures.ts'
import { plainPitch, readPins, transposePins } from '../../lib/line/pins.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { midiOf, nameOf, readPitch } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'
import { barText, draftOf, harmonyOf } from './drafts.ts'

const tune = '| Dm7 | G7 | Cmaj7 | A7 |\n| Dm7 | G7 | Cmaj7 | Cmaj7 |'
const name = (midi: number) => nameOf(plainPitch(midi))

describe('reading', () => {
  const harmony = harmonyOf(tune)

  test('notes, approaches, cells and whole bars, by the tick that they stand at', () => {
    const { pins, problems } = readPins(
      ['1.1=F4', '1.3.5=Bb3', '2.1=+2 -1', '3.1=1-2-3-5', '4=C#5 E5/24 - Eb5/48'],
      harmony,
    )
    expect(problems).toEqual([])
    expect([...pins.notes]).toEqual([
      [0, 65],
      [60, 58],
    ])
    expect([...pins.approaches]).toEqual([[96, [2, -1]]])
    expect([...pins.cells]).toEqual([[192, [0, 1, 2, 4]]])
    expect(pins.bars.get(4)).toEqual([
      { start: 288, ticks: 12, midi: 73 },
      { start: 300, ticks: 24, midi: 76 },
      { start: 324, ticks: 12, midi: null },
      { start: 336, ticks: 48, midi: 75 },
    ])
  })

  // A bar may end with a note held into the next by an eighth; nothing else may stick out or fall short.
  test.each([
    ['9.1=F4', 'a bar from 1 to 8'],
    ['0.1=F4', 'a bar from 1 to 8'],
    ['1.5=F4', 'a beat of bar 1'],
    ['1.0=F4', 'a beat of bar 1'],
    ['1.1.1.1=F4', 'a beat of bar 1'],
    ['1.1=H4', 'a sounding note'],
    ['1.1=F', 'a sounding note'],
    ['1.1=+25', 'a sounding note'],
    ['1.1=1-9-1-9', 'a sounding note'],
    ['1.1=+1 +1 +1 +1 +1', 'a sounding note'],
    ['3=F4', 'notes that fill bar 3'],
    ['3=F4/96 E4', 'notes that fill bar 3'],
    ['3=F4/100', 'notes that fill bar 3'],
    ['3=F4/48 E4/24.5 D4', 'notes that fill bar 3'],
    ['3=F4/0 E4/96', 'notes that fill bar 3'],
    ['3=F4/48 nothing', 'notes that fill bar 3'],
  ])('%s is refused: expected %s', (text, expected) => {
    const { problems } = readPins(['1.1=F4', text], harmony)
    expect(problems.length).toBe(1)
    expect(problems[0]).toMatchObject({ code: 'bad-pin', choice: 'pins', severity: 'error', found: text })
    expect(problems[0]!.expected).toContain(expected)
    expect(problems[0]!.span).toEqual({ start: 7, end: 7 + text.length })
  })

  test.each([
    ['1.1=F4', '1.1=A4'],
    ['1.1=+2 -1', '1.1=+1 -1'],
    ['1.1=1-2-3-5', '1.1=1-2-3-4'],
    ['2=F4/96', '2=E4/96'],
  ])('%s and %s contradict', (first, second) => {
    const { problems } = readPins([first, second], harmony)
    expect(problems.map(({ expected }) => expected).join()).toMatch(/^one pin (of a kind at a place|for a bar)$/)
  })

  test('every approach and every cell of the catalogue can be pinned', () => {
    const wrong = [
      ...approaches.flat().map(({ offsets }) => `2.1=${offsets.map((o) => (o > 0 ? `+${o}` : o)).join(' ')}`),
      ...cells.map((cell) => `2.1=${cell.name}`),
    ].filter((text) => readPins([text], harmony).problems.length > 0)
    expect(wrong).toEqual([])
  })
})

test('pins moved to another key: notes move, figures go with their target', () => {
  for (let semitones = -12; semitones <= 12; semitones++) {
    const moved = transposePins(['1.1=F4', '2.1=+2 -1', '2.1=1-2-3-5', '4=Bb3 F##4/24 -'], semitones)
    const [first, second, third, fourth] = moved.map((text) => text.split('=')[1]!)
    expect(midiOf(readPitch(first!)!)).toBe(65 + semitones)
    expect([second, third]).toEqual(['+2 -1', '1-2-3-5'])
    const [low, long, rest] = fourth!.split(' ')
    expect([midiOf(readPitch(low!)!), midiOf(readPitch(long!.split('/')[0]!)!)]).toEqual([
      58 + semitones,
      67 + semitones,
    ])
    expect([long!.split('/')[1], rest]).toEqual(['24', '-'])
  }
})

/** Whether a draft keeps a pin, told from its notes alone. */
function keeps(draft: Draft, harmony: ReturnType<typeof harmonyOf>, pin: string): boolean {
  const { pins, problems } = readPins([pin], harmony)
  expect(problems).toEqual([])
  const notes = draft.notes.map(({ moment, midi }) => ({ ...draft.moments[moment]!, midi }))
  const from = (tick: number) => notes.findIndex(({ start }) => start === tick)
  for (const [tick, midi] of pins.notes) if (notes[from(tick)]?.midi !== midi) return false
  for (const [tick, offsets] of pins.approaches) {
    const target = from(tick)
    const led = notes.slice(target - offsets.length, target)
    if (led.map(({ midi }) => midi - notes[target]!.midi).join() !== offsets.join()) return false
    if (led.some(({ start, ticks }, i) => start + ticks !== (led[i + 1]?.start ?? tick))) return false
  }
  for (const [tick, steps] of pins.cells) {
    const run = notes.slice(from(tick), from(tick) + 4)
    const { chord, midi: root } = run[0]!
    if (
      run.map(({ midi }) => midi - root).join() !==
      steps.map((s) => scaleOffset(harmony.chords[chord]!, root, s)).join()
    )
      return false
  }
  for (const bar of pins.bars.keys())
    if (
      barText(draft, harmony, bar, name) !==
      pin.slice(pin.indexOf('=') + 1).replace(/[A-G][b#]*\d/g, (n) => name(midiOf(readPitch(n)!)))
    )
      return false
  return true
}

const at = (harmony: ReturnType<typeof harmonyOf>, tick: number) => {
  const bar = harmony.bars.findLast(({ start }) => start <= tick)!
  return `${bar.bar}.${Number((1 + (tick - bar.start) / 24).toFixed(3))}`
}

/** Everything of a draft that can be pinned. */
function pinsOf(draft: Draft, harmony: ReturnType<typeof harmonyOf>): readonly string[] {
  const signed = (offset: number) => (offset > 0 ? `+${offset}` : String(offset))
  return [
    ...draft.notes.map(({ moment, midi }) => `${at(harmony, draft.moments[moment]!.start)}=${name(midi)}`),
    ...draft.figures.map(
      ({ target, offsets }) => `${at(harmony, draft.targets[target]!.start)}=${offsets.map(signed).join(' ')}`,
    ),
    ...harmony.bars
      .filter(({ start }) => draft.moments.some((moment) => moment.start === start))
      .map(({ bar }) => `${bar}=${barText(draft, harmony, bar, name)}`),
  ]
}

const settings: readonly Readonly<Record<string, string>>[] = [
  {},
  { rhythm: 'phrased' },
  { rhythm: 'triplets' },
  { on: '4&' },
  { on: '3' },
  { every: 'half' },
  { level: '1' },
  { approach: 'scale', notes: '2' },
]

describe('what is pinned stays', () => {
  const charts = realChartTexts()

  test('a note, a figure or a bar of one line stands in a line of another seed, alone or with others', () => {
    let drawn = 0
    fc.assert(
      fc.property(
        fc.nat(charts.length - 1),
        fc.constantFrom(...settings),
        fc.nat(9_999),
        fc.nat(9_999),
        fc.array(fc.double({ min: 0, max: 1, maxExcluded: true, noNaN: true }), { minLength: 1, maxLength: 4 }),
        (chart, setting, seed, other, which) => {
          const changes = charts[chart]!
          const { draft, harmony } = draftOf(changes, { ...setting, seed: String(seed) })
          const all = pinsOf(draft!, harmony)
          const pins = [...new Set(which.map((share) => all[Math.floor(share * all.length)]!))]
          const again = draftOf(changes, { ...setting, seed: String(other), pins: pins.join(','), again: '2-5:7' })
          // Pins of one line can never contradict each other.
          expect(again.problems).toEqual([])
          drawn += 1
          for (const pin of pins) expect(keeps(again.draft!, harmony, pin), pin).toBe(true)
        },
      ),
      { seed: 12, numRuns: 25 },
    )
    expect(drawn).toBe(25)
  })

  test('whatever is pinned, it stands or is refused by name: never changed in silence', () => {
    const outcomes = { kept: 0, refused: 0 }
    const harmony = harmonyOf(tune)
    const pin = fc.oneof(
      fc
        .record({
          bar: fc.integer({ min: 1, max: 8 }),
          beat: fc.integer({ min: 2, max: 9 }),
          midi: fc.integer({ min: 49, max: 80 }),
        })
        .map(({ bar, beat, midi }) => `${bar}.${beat / 2}=${name(midi)}`),
      fc
        .record({
          bar: fc.integer({ min: 1, max: 8 }),
          beat: fc.integer({ min: 1, max: 4 }),
          figure: fc.constantFrom(...approaches.flat()),
        })
        .map(({ bar, beat, figure }) => `${bar}.${beat}=${figure.offsets.map((o) => (o > 0 ? `+${o}` : o)).join(' ')}`),
      fc
        .record({
          bar: fc.integer({ min: 1, max: 8 }),
          beat: fc.constantFrom(1, 1, 3),
          cell: fc.constantFrom(...cells),
        })
        .map(({ bar, beat, cell }) => `${bar}.${beat}=${cell.name}`),
    )
    fc.assert(
      fc.property(
        fc.array(pin, { minLength: 1, maxLength: 2 }),
        fc.constantFrom(...settings),
        fc.nat(999),
        (pins, setting, seed) => {
          const { draft, problems } = draftOf(tune, { ...setting, seed: String(seed), pins: pins.join(',') })
          if (draft) {
            outcomes.kept += 1
            for (const each of pins) expect(keeps(draft, harmony, each), each).toBe(true)
          } else {
            outcomes.refused += 1
            expect(problems.length).toBeGreaterThan(0)
            for (const { choice, code, expected, hint } of problems) {
              expect(choice).toBe('pins')
              expect(['bad-pin', 'pins-contradict']).toContain(code)
              expect(expected).not.toBe('')
              expect(hint).not.toBe('')
            }
          }
        },
      ),
      { seed: 6, numRuns: 40 },
    )
    expect(outcomes.kept).toBeGreaterThan(3)
    expect(outcomes.refused).toBeGreaterThan(10)
  })

  // Refusals, each for its own reason.
  test.each([
    ['a note outside the range', '1.1=C2', {}],
    ['an approach where no target waits', '1.2=+2 -1', {}],
    ['an approach into the first note', '1.1=+2 -1', {}],
    [
      'an approach longer than its room',
      '1.3=+3 +1 -2 -1',
      { every: 'half', rhythm: 'eighths', bars: '1-2', low: 'D4', high: 'D5' },
    ],
    ['a cell where no target waits', '1.2=1-2-3-5', {}],
    ['a note that falls between the ticks that a rhythm has', '1.1.3=F4', {}],
    ['neighbours more than an octave apart', '1.2=Db3,1.2.5=F5', {}],
    ['an approach and a note inside it that disagree', '2.1=+2 -1,1.4.5=F3', {}],
  ] as const)('%s is refused', (_, pins, given) => {
    const { draft, problems } = draftOf(tune, { ...given, pins })
    expect(draft).toBeNull()
    expect(problems[0]).toMatchObject({ choice: 'pins', severity: 'error' })
  })

  test('a figure that the brief would not have drawn stands, and the line says so', () => {
    const { draft } = draftOf(tune, { level: '1', pins: '3.1=+3 +1 -2 -1' })
    expect(draft!.relaxed).toContainEqual(expect.objectContaining({ rule: 'approach-kinds', bar: 3 }))
  })
})

describe('bars drawn anew', () => {
  const [chart = ''] = realChartTexts().slice(1)
  const notesOutside = (draft: Draft, from: number, to: number) =>
    draft.notes
      .map(({ moment, midi }) => ({ bar: draft.moments[moment]!.bar, start: draft.moments[moment]!.start, midi }))
      .filter(({ bar }) => bar < from || bar > to)

  test('differ, and nothing outside them does', () => {
    const first = draftOf(chart).draft!
    let different = 0
    for (let seed = 1; seed <= 10; seed++) {
      const again = draftOf(chart, { again: `5-8:${seed}` }).draft!
      expect(notesOutside(again, 5, 8)).toEqual(notesOutside(first, 5, 8))
      if (JSON.stringify(again.notes) !== JSON.stringify(first.notes)) different += 1
    }
    expect(different).toBeGreaterThanOrEqual(9)
  })

  test('once more, one after another', () => {
    const once = draftOf(chart, { again: '5-8:3' }).draft!
    const twice = draftOf(chart, { again: '5-8:3,20-22:4' }).draft!
    expect(notesOutside(twice, 20, 22)).toEqual(notesOutside(once, 20, 22))
  })
})

test('pins are kept inside the range that the brief gives', () => {
  const { brief } = draftOf(tune)
  const [low, high] = soundingRange(instrumentOf(brief.instrument)!, brief)
  expect(draftOf(tune, { pins: `1.1=${name(low + 2)}` }).draft).not.toBeNull()
  expect(draftOf(tune, { pins: `1.1.5=${name(high + 1)}` }).problems[0]).toMatchObject({
    code: 'pins-contradict',
    found: `1.1.5=${name(high + 1)}`,
  })
})
