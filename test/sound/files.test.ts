/** Files: WAV, FLAC and MIDI of a line and its band, read by programs that did not write them. */
import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type MidiEvent, parseMidi } from 'midi-file'
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { swingAt } from '../../lib/score/swing.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import { planRecording, recordSound, samplesOf, secondsOfRecording, wavBytes } from '../../lib/sound/recordSound.ts'
import { tail } from '../../lib/sound/synth.ts'
import { lineOver, tune } from './soundFixture.ts'

const lines = [0, 5].map((up) => lineOver(tune('Dm7 | G7 | Cmaj7 A7', { up })))
const one = lines.slice(0, 1)
const brief = { ...defaultBrief, tempo: 200, looseness: 'strict' as const }
/** Seconds that an ending takes after these changes, which do not come home: the last bar once more, and one that rings. */
const ending = (tempo: number) => (8 * 60) / tempo

/** A recording that is known to be short enough. */
const plan = (...given: Parameters<typeof planRecording>) => planRecording(...given)!

async function bytesOf(...given: Parameters<typeof recordSound>): Promise<Uint8Array> {
  const pieces: Uint8Array[] = []
  for await (const piece of recordSound(...given)) pieces.push(piece)
  return Buffer.concat(pieces)
}

describe('WAV', () => {
  test('has a RIFF header with its true length, and the samples', async () => {
    const recording = plan(one, brief)
    const bytes = Buffer.from(await bytesOf(recording, 'wav'))
    expect(bytes.length).toBe(wavBytes(recording))
    expect(bytes.toString('latin1', 0, 4)).toBe('RIFF')
    expect(bytes.readUInt32LE(4)).toBe(bytes.length - 8)
    expect([bytes.readUInt16LE(20), bytes.readUInt16LE(22), bytes.readUInt32LE(24), bytes.readUInt16LE(34)]).toEqual([
      1, 2, 44_100, 16,
    ])
    const [first] = samplesOf(recording)
    for (const i of [0, 1, 40_000]) expect(bytes.readInt16LE(44 + 2 * i)).toBe(first![i])
    // Four bars of four at 200, the count-in among them, the ending, and what rings on.
    expect(secondsOfRecording(recording)).toBeCloseTo((16 * 60) / 200 + ending(200) + tail, 3)
  })

  test('the band alone is what is left without the line; the count-in is always there', async () => {
    const alone = plan(one, { ...brief, hear: ['bass', 'chords', 'drums'] })
    const both = plan(one, brief)
    const [a] = samplesOf(alone)
    const [b] = samplesOf(both)
    const bar = Math.round(((4 * 60) / 200) * 44_100) * 2
    expect(a!.subarray(0, bar - 2)).toEqual(b!.subarray(0, bar - 2))
    expect(a!.subarray(0, bar).some((x) => x !== 0)).toBe(true)
    expect(a!.subarray(bar).some((x, i) => x !== b![bar + i])).toBe(true)
  })

  test('every key is played, one after another, each with its count-in', () => {
    const two = plan(lines, brief)
    expect(secondsOfRecording(two)).toBeCloseTo((2 * 16 * 60) / 200 + 2 * ending(200) + tail, 3)
    const counts = two.performance.notes.filter((note) => note.part === 'count').map((note) => note.start)
    expect(counts.map((start) => Math.round((start * 200) / 60))).toEqual([0, 1, 2, 3, 24, 25, 26, 27])
  })

  test('passes that get faster are recorded as they are practised; endless ones once', () => {
    const faster = plan(one, { ...brief, tempo: 100, passes: 3, faster: { by: 100, unit: 'beats' } })
    expect(secondsOfRecording(faster)).toBeCloseTo(
      (16 * 60) / 100 + (12 * 60) / 200 + (12 * 60) / 300 + (12 * 60) / 300 + tail,
      3,
    )
    expect(secondsOfRecording(plan(one, { ...brief, passes: 0 }))).toBeCloseTo((16 * 60) / 200 + ending(200) + tail, 3)
  })
})

test('what would last longer than half an hour is not begun', () => {
  expect(planRecording(one, { ...brief, tempo: 40, passes: 999, build: true })).toBeNull()
  expect(planRecording(one, { ...brief, tempo: 40, passes: 80 })).not.toBeNull()
  expect(planRecording(one, { ...brief, tempo: 40, passes: 101 })).toBeNull()
  expect(writeBandMidi(one, { ...brief, passes: 999 })).toBeNull()
})

const flac = spawnSync('flac', ['--version'])
describe.skipIf(flac.error)(
  `FLAC${flac.error ? ' (the flac program is not installed, so nothing decodes it)' : ''}`,
  () => {
    test('decodes bit for bit to the WAV of the same recording, by the reference decoder', async () => {
      const folder = mkdtempSync(join(tmpdir(), 'throughline-flac-'))
      try {
        const recording = plan(one, brief)
        writeFileSync(join(folder, 'line.flac'), await bytesOf(recording, 'flac'))
        const decoded = spawnSync('flac', ['-d', '-s', '-o', join(folder, 'line.wav'), join(folder, 'line.flac')])
        expect(decoded.status).toBe(0)
        const wav = Buffer.from(await bytesOf(recording, 'wav'))
        expect(readFileSync(join(folder, 'line.wav')).equals(wav)).toBe(true)
      } finally {
        rmSync(folder, { recursive: true })
      }
    })

    test('the same recording gives the same bytes, smaller than the WAV', async () => {
      const recording = plan(one, brief)
      const first = Buffer.from(await bytesOf(recording, 'flac'))
      expect(first.equals(Buffer.from(await bytesOf(recording, 'flac')))).toBe(true)
      expect(first.length).toBeLessThan(0.8 * wavBytes(recording))
    })
  },
)

describe('MIDI of the whole arrangement, read by midi-file', () => {
  const read = (...given: Parameters<typeof writeBandMidi>) => parseMidi(writeBandMidi(...given)!)
  const nameOf = (track: MidiEvent[]) => track.find((event) => event.type === 'trackName')?.text
  /** Starts of notes in quarters, with their keys. */
  const notesOf = (track: MidiEvent[], ticksPerBeat: number) => {
    let now = 0
    return track.flatMap((event) => {
      now += event.deltaTime
      return event.type === 'noteOn' && event.velocity > 0 ? [[now / ticksPerBeat, event.noteNumber] as const] : []
    })
  }

  test('has a named track for each part, the kit on its own channel', () => {
    const { tracks } = read(one, { ...brief, hear: ['line', 'bass', 'chords', 'drums', 'click'] })
    expect(tracks.slice(1).map(nameOf)).toEqual(['Alto saxophone', 'Bass', 'Chords', 'Drums', 'Click', 'Count-in'])
    const channels = tracks.slice(1).map((track) => {
      const on = track.find((event) => event.type === 'noteOn')
      return on?.type === 'noteOn' ? on.channel : null
    })
    expect(channels).toEqual([0, 1, 2, 9, 9, 9])
  })

  test('the line is there note for note, after the count-in and swung', () => {
    const { tracks, header } = read(one, brief)
    const line = notesOf(tracks[1]!, header.ticksPerBeat!)
    const ratio = swingAt(200)
    const expected = one[0]!.notes.map(({ start }) => {
      const at = start / 24
      return 4 + (at % 1 === 0.5 ? Math.floor(at) + ratio / (1 + ratio) : at)
    })
    expect(line.length).toBe(expected.length)
    for (const [i, [at]] of line.entries()) expect(Math.abs(at - expected[i]!)).toBeLessThan(0.001)
  })

  test('the bass is at its changes, markers say the chords', () => {
    const { tracks, header } = read(one, brief)
    const bass = notesOf(tracks[2]!, header.ticksPerBeat!)
    const roots = [4, 8, 12, 14].map((at) => bass.find(([start]) => start === at)![1] % 12)
    expect(roots).toEqual([2, 7, 0, 9])
    const markers = tracks[0]!.flatMap((event) => (event.type === 'marker' ? [event.text] : []))
    // Then the tag, and the chord that all come to rest on.
    expect(markers).toEqual(['Dm7', 'G7', 'Cmaj7', 'A7', 'Cmaj7', 'A7', 'Cmaj7'])
  })

  test('passes at other tempos change the tempo where they begin', () => {
    const { tracks, header } = read(one, { ...brief, tempo: 100, passes: 2, faster: { by: 20, unit: '%' } })
    let now = 0
    const tempos = tracks[0]!.flatMap((event) => {
      now += event.deltaTime
      return event.type === 'setTempo' ? [[now / header.ticksPerBeat!, event.microsecondsPerBeat]] : []
    })
    expect(tempos).toEqual([
      [0, 600_000],
      [16, 500_000],
    ])
  })
})
