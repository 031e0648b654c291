import { parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import type { HarmonyChord } from '../../lib/harmony/harmony.ts'
import type { Line, LineNote } from '../../lib/line/line.ts'
import { swingAt, swingNotes } from '../../lib/score/swing.ts'
import { type MidiSequence, sequenceOf, writeMidi } from '../../lib/score/writeMidi.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { readKey } from '../../lib/theory/key.ts'
import { type Meter, ticksPerBar } from '../../lib/theory/meter.ts'
import { midiOf, readPitch } from '../../lib/theory/pitch.ts'
import { notesOfMidi } from './soundingNotes.ts'

/** A line given bar by bar, each note as `pitch:ticks`, `-` a rest; sounding. Invented. */
function lineOf(bars: readonly { notes: string; chords: string; meter?: Meter; key?: string }[]): Line {
  let barStart = 0
  let noteStart = 0
  const notes: LineNote[] = []
  const chords: HarmonyChord[] = []
  const played = bars.map(({ notes: text, chords: symbols, meter = { beats: 4, unit: 4 }, key }, index) => {
    const ticks = ticksPerBar(meter)
    for (const item of text.split(' ')) {
      const [name = '', length] = item.split(':')
      const pitch = readPitch(name)
      notes.push({
        bar: index + 1,
        start: noteStart,
        ticks: Number(length),
        pitch,
        role: pitch ? 'connect' : 'rest',
        degree: null,
        figure: null,
      })
      noteStart += Number(length)
    }
    const each = symbols.split(' ')
    each.forEach((symbol, place) => {
      const share = ticks / each.length
      chords.push({
        symbol,
        bar: index + 1,
        start: barStart + place * share,
        ticks: share,
        root: null,
        chord: null,
        bass: null,
        span: { start: 0, end: 0 },
        localKey: null,
        function: null,
        scale: null,
        reason: '',
      })
    })
    const bar = {
      bar: index + 1,
      written: index,
      chorus: 1,
      start: barStart,
      ticks,
      meter,
      section: null,
      key: key ? readKey(key) : null,
    }
    barStart += ticks
    return bar
  })
  const key = readKey('Eb')!
  return {
    key,
    instrument: instrumentOf('alto-sax')!,
    harmony: { title: 'Für zwölf', composer: null, style: null, tempo: 200, key, bars: played, chords },
    bars: [1, bars.length],
    targets: [],
    figures: [],
    notes,
    relaxed: [],
  }
}

const line = lineOf([
  { notes: 'C4:12 Eb4:12 G4:12 Bb4:12 D5:8 C5:8 Bb4:8 A4:24', chords: 'Cm7 F7(b9)' },
  { notes: 'Ab4:36 -:12 G4:24 G4:24', chords: 'Bb7' },
  { notes: 'F4:12 G4:12 -:48', chords: 'N.C.', meter: { beats: 3, unit: 4 }, key: 'F#m' },
  { notes: 'F#4:12 A4:12 C#5:12 B4:12 A4:12 F#4:12', chords: 'F#m', meter: { beats: 6, unit: 8 }, key: 'F#m' },
])

describe('midi-file reads it back', () => {
  test('straight: every note tick for tick at sounding pitch, rests left out', () => {
    const expected = line.notes.flatMap(({ pitch, start, ticks }) =>
      pitch ? [{ start, ticks, midi: midiOf(pitch) }] : [],
    )
    expect(notesOfMidi(writeMidi(sequenceOf(line, { swing: 1 })))).toEqual(expected)
  })

  test('swung two to one: second eighths at 16 of 24, triplets and 6/8 as written', () => {
    const starts = notesOfMidi(writeMidi(sequenceOf(line, { swing: 2 }))).map((note) => [note.start, note.ticks])
    expect(starts.slice(0, 8)).toEqual([
      [0, 16],
      [16, 8],
      [24, 16],
      [40, 8],
      [48, 8],
      [56, 8],
      [64, 8],
      [72, 24],
    ])
    // The dotted quarter ends late too, so that nothing overlaps; 6/8 from tick 264 stays even.
    expect(starts[8]).toEqual([96, 40])
    expect(starts.slice(-6).map(([start]) => start)).toEqual([264, 276, 288, 300, 312, 324])
  })

  test('tempo, meters, keys, markers, names and the sound', () => {
    const file = parseMidi(writeMidi(sequenceOf(line)))
    expect(file.header).toMatchObject({ format: 1, numTracks: 2, ticksPerBeat: 480 })
    const at = (type: string) => {
      let now = 0
      return file.tracks[0]!.flatMap((event) => {
        now += event.deltaTime
        const { deltaTime, meta, type: own, ...rest } = event as unknown as Record<string, unknown>
        return own === type ? [{ at: now / 20, ...rest }] : []
      })
    }
    // 200 quarters a minute are 300,000 microseconds each.
    expect(at('setTempo')).toEqual([{ at: 0, microsecondsPerBeat: 300_000 }])
    expect(
      at('timeSignature').map(({ at, numerator, denominator, metronome }: Record<string, unknown>) => [
        at,
        numerator,
        denominator,
        metronome,
      ]),
    ).toEqual([
      [0, 4, 4, 24],
      [192, 3, 4, 24],
      [264, 6, 8, 36],
    ])
    expect(at('keySignature')).toEqual([
      { at: 0, key: -3, scale: 0 },
      { at: 192, key: 3, scale: 1 },
    ])
    expect(at('marker').map(({ at, text }: Record<string, unknown>) => [at, text])).toEqual([
      [0, 'Cm7'],
      [48, 'F7(b9)'],
      [96, 'Bb7'],
      [192, 'N.C.'],
      [264, 'F#m'],
    ])
    expect(file.tracks[1]![0]).toMatchObject({ type: 'trackName', text: 'Alto saxophone' })
    expect(file.tracks[1]![1]).toMatchObject({ type: 'programChange', channel: 0, programNumber: 65 })
    // Both tracks end with the last bar.
    for (const track of file.tracks) {
      expect(track.at(-1)!.type).toBe('endOfTrack')
      expect(track.reduce((sum, event) => sum + event.deltaTime, 0)).toBe((96 + 96 + 72 + 72) * 20)
    }
  })

  test('only the bars written out, from tick 0', () => {
    const part = sequenceOf({ ...line, bars: [2, 3] }, { swing: 1 })
    expect(part.ticks).toBe(96 + 72)
    expect(part.markers.map(({ start, text }) => [start, text])).toEqual([
      [0, 'Bb7'],
      [96, 'N.C.'],
    ])
    expect(notesOfMidi(writeMidi(part))).toEqual([
      { start: 0, ticks: 36, midi: 68 },
      { start: 48, ticks: 24, midi: 67 },
      { start: 72, ticks: 24, midi: 67 },
      { start: 96, ticks: 12, midi: 65 },
      { start: 108, ticks: 12, midi: 67 },
    ])
  })

  test('several tracks, each on its channel, and a note struck again as it ends', () => {
    const sequence: MidiSequence = {
      ...sequenceOf(line),
      tracks: [
        {
          name: 'Bass',
          channel: 1,
          program: 32,
          notes: [
            { start: 0, ticks: 24, midi: 40, velocity: 80 },
            { start: 24, ticks: 24, midi: 40, velocity: 80 },
          ],
        },
        { name: 'Kit', channel: 9, program: null, notes: [{ start: 0, ticks: 6, midi: 51, velocity: 127 }] },
      ],
    }
    const file = parseMidi(writeMidi(sequence))
    const kinds = file.tracks[1]!.map((event) => event.type)
    expect(kinds).toEqual(['trackName', 'programChange', 'noteOn', 'noteOff', 'noteOn', 'noteOff', 'endOfTrack'])
    expect(file.tracks[2]!.map((event) => event.type)).toEqual(['trackName', 'noteOn', 'noteOff', 'endOfTrack'])
    expect(file.tracks[2]![1]).toMatchObject({ channel: 9, noteNumber: 51, velocity: 127 })
  })

  test('a note that is struck again while it is held is let go first, so that its end cuts off no other', () => {
    const notes = [
      { start: 0, ticks: 30, midi: 60, velocity: 80 },
      { start: 24, ticks: 24, midi: 60, velocity: 80 },
      { start: 12, ticks: 24, midi: 64, velocity: 80 },
    ]
    const sequence = { ...sequenceOf(line), tracks: [{ name: 'Chords', channel: 2, program: 0, notes }] }
    let now = 0
    const struck = parseMidi(writeMidi(sequence)).tracks[1]!.flatMap((event) => {
      now += event.deltaTime
      return event.type === 'noteOn' || event.type === 'noteOff' ? [[event.type, event.noteNumber, now / 20]] : []
    })
    expect(struck).toEqual([
      ['noteOn', 60, 0],
      ['noteOn', 64, 12],
      ['noteOff', 60, 24],
      ['noteOn', 60, 24],
      ['noteOff', 64, 36],
      ['noteOff', 60, 48],
    ])
  })
})

test('the same line gives the same bytes; times over 127 ticks take more bytes than one', () => {
  expect(writeMidi(sequenceOf(line))).toEqual(writeMidi(sequenceOf(line)))
  const long = { ...sequenceOf(line), ticks: 3_000_000 / 20, tracks: [] }
  expect(parseMidi(writeMidi(long)).tracks[0]!.at(-1)!.deltaTime).toBe(3_000_000 - 264 * 20)
})

describe('swing', () => {
  const bars = [
    { start: 0, meter: { beats: 7, unit: 8 } },
    { start: 84, meter: { beats: 4, unit: 4 } },
  ]
  const starts = (notes: number[], ratio = 2) =>
    swingNotes(
      notes.map((start) => ({ start, ticks: 1 })),
      bars,
      ratio,
    ).map((n) => n.start)
  test.each<[string, number[], number[]]>([
    ['counted from its own bar', [84, 96, 108], [84, 100, 108]],
    ['sixteenths as written', [84, 90, 96, 102], [84, 90, 96, 102]],
    ['triplets as written', [84, 92, 100], [84, 92, 100]],
    ['meters in eighths as written', [0, 12, 24, 36], [0, 12, 24, 36]],
  ])('%s', (_, notes, expected) => expect(starts(notes)).toEqual(expected))
  test('the ratio goes by the tempo', () => {
    expect([60, 120, 165, 300, 320].map(swingAt)).toEqual([2, 2, 1.75, 1, 1])
    expect(starts([84, 96], 3)).toEqual([84, 102])
  })
})
