/** Files: WAV, FLAC and MIDI of a line and its band, read by programs that did not write them. */
import { spawnSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { type MidiEvent, parseMidi } from 'midi-file'
import { OggOpusDecoder } from 'ogg-opus-decoder'
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { opusRate, writeOpus } from '../../lib/opus.ts'
import { swingAt } from '../../lib/score/swing.ts'
import { writeBandMidi } from '../../lib/sound/bandMidi.ts'
import {
  planRecording,
  type Recording,
  recordSound,
  type SoundFormat,
  samplesOf,
  secondsOfRecording,
  wavBytes,
} from '../../lib/sound/recordSound.ts'
import { tail } from '../../lib/sound/synth.ts'
import { readKey } from '../../lib/theory/key.ts'
import { computeOggPageCrc } from '../../node_modules/mediabunny/dist/modules/src/ogg/ogg-misc.js'
import { lineOver, tune } from './soundFixture.ts'

const lines = [0, 5].map((up) => lineOver(tune('Dm7 | G7 | Cmaj7 A7', { up })))
const one = lines.slice(0, 1)
const brief = { ...defaultBrief, tempo: 200, looseness: 'strict' as const }
/** Seconds that an ending takes after these changes, which do not come home: the last bar once more, and one that rings. */
const ending = (tempo: number) => (8 * 60) / tempo

/** A recording that is known to be short enough. */
const plan = (...given: Parameters<typeof planRecording>) => planRecording(...given)!

async function bytesOf(recording: Recording, format: SoundFormat | 'opus'): Promise<Uint8Array> {
  const pieces: Uint8Array[] = []
  const made =
    format === 'opus' ? writeOpus(samplesOf(recording, opusRate), recording.tags) : recordSound(recording, format)
  for await (const piece of made) pieces.push(piece)
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

describe('what a file says about itself', () => {
  const tagged = (title: string) => [{ ...one[0]!, harmony: { ...one[0]!.harmony, title } }]

  test.each([
    ['Made up', 'Made up'],
    ['Ça va – ♭5', 'Ça va ? b5'],
    ['odd', 'odd'],
  ])('WAV: a LIST chunk of type INFO after the samples, %s as %s', async (title, written) => {
    const recording = plan(tagged(title), { ...brief, tempo: 132 })
    const bytes = Buffer.from(await bytesOf(recording, 'wav'))
    const list = bytes.subarray(44 + 4 * recording.frames)
    // Chunks of RIFF: four letters, a length, an even number of bytes.
    const found = new Map<string, string>()
    expect(list.toString('latin1', 0, 4) + list.toString('latin1', 8, 12)).toBe('LISTINFO')
    expect(list.readUInt32LE(4)).toBe(list.length - 8)
    for (let at = 12; at < list.length; ) {
      const size = list.readUInt32LE(at + 4)
      found.set(list.toString('latin1', at, at + 4), list.toString('latin1', at + 8, at + 7 + size))
      at += 8 + size + (size & 1)
    }
    expect([...found]).toEqual([
      ['INAM', written],
      ['ICMT', 'C major, 132 beats a minute'],
    ])
  })

  test.each(['flac', 'opus'] as const)('%s: Vorbis comments', async (format) => {
    const recording = plan(tagged('Ça va – ♭5'), { ...brief, tempo: 132 })
    const bytes = Buffer.from(await bytesOf(recording, format))
    // Each comment: its length, little end first, then name, equals sign and text in UTF-8 (RFC 9639, 8.6).
    for (const comment of ['TITLE=Ça va – ♭5', 'KEY=C major', 'BPM=132']) {
      const at = bytes.indexOf(comment)
      expect(at, comment).toBeGreaterThan(0)
      expect(bytes.readUInt32LE(at - 4)).toBe(Buffer.byteLength(comment))
    }
  })
})

test('what sounds otherwise than asked is said in every file, and nothing where all is as asked', async () => {
  const remarks = ['Flugelhorn sounds of a recorded trumpet', 'C13(b9,#9,#11) has more notes than two hands hold']
  for (const format of ['wav', 'flac', 'opus'] as const) {
    const said = Buffer.from(await bytesOf(plan(one, brief, {}, remarks), format)).toString('latin1')
    expect(said).toContain(`${format === 'wav' ? 'minute; ' : 'COMMENT='}${remarks.join('; ')}`)
    const silent = Buffer.from(await bytesOf(plan(one, brief), format)).toString('latin1')
    expect(silent).not.toMatch(/COMMENT=|minute; /)
  }
})

test('Opus: the same recording gives the same bytes, each page with its sum', async () => {
  const recording = plan(one, brief)
  const bytes = Buffer.from(await bytesOf(recording, 'opus'))
  expect(bytes.equals(Buffer.from(await bytesOf(recording, 'opus')))).toBe(true)
  const pages: number[] = []
  // What a page is: RFC 3533, section 6. The sum is worked out by mediabunny's reader of pages.
  for (let at = 0; at < bytes.length; ) {
    expect(bytes.toString('latin1', at, at + 4)).toBe('OggS')
    const segments = bytes.subarray(at + 27, at + 27 + bytes[at + 26]!)
    const page = bytes.subarray(at, at + 27 + segments.length + segments.reduce((sum, length) => sum + length, 0))
    expect(page.readUInt32LE(22)).toBe(computeOggPageCrc(page))
    expect(page.readUInt32LE(14)).toBe(bytes.readUInt32LE(14))
    pages.push(page.readUInt32LE(18))
    at += page.length
  }
  expect(pages).toEqual(pages.map((_, i) => i))
  expect(pages.length).toBeGreaterThan(3)
  const other = Buffer.from(await bytesOf({ ...recording, tags: { ...recording.tags, title: 'Another' } }, 'opus'))
  expect(other.readUInt32LE(14)).not.toBe(bytes.readUInt32LE(14))
})

test('Opus: small, and decodes to what was played', async () => {
  const recording = plan(one, brief)
  const bytes = await bytesOf(recording, 'opus')
  expect(bytes.length).toBeLessThan(0.1 * wavBytes(recording))
  const decoder = new OggOpusDecoder()
  await decoder.ready
  const { channelData, samplesDecoded, sampleRate, errors } = await decoder.decodeFile(bytes)
  decoder.free()
  expect([sampleRate, errors]).toEqual([48_000, []])
  expect(Math.abs(samplesDecoded / 48_000 - secondsOfRecording(recording))).toBeLessThan(0.03)
  // Left side against left side, as they stand: in time to a sample, and alike.
  const played = Float64Array.from(
    [...samplesOf(recording, 48_000)].flatMap((block) => [...block].filter((_, i) => i % 2 === 0)),
  )
  const alike = (shift: number): number => {
    let both = 0
    let one = 0
    let other = 0
    for (let i = 100; i < played.length - 2_000; i++) {
      const [x, y] = [played[i]!, channelData[0]![i + shift] ?? 0]
      both += x * y
      one += x * x
      other += y * y
    }
    return both / Math.sqrt(one * other)
  }
  expect(alike(0)).toBeGreaterThan(0.98)
  expect(alike(0)).toBeGreaterThan(alike(3))
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
        const data = 44 + 4 * recording.frames
        const wav = Buffer.from(await bytesOf(recording, 'wav')).subarray(44, data)
        expect(readFileSync(join(folder, 'line.wav')).subarray(44).equals(wav)).toBe(true)
        // The checksum is that of the samples, so the decoder that tests a whole file finds it sound, and one that is changed not.
        const flacBytes = readFileSync(join(folder, 'line.flac'))
        expect(flacBytes.subarray(26, 42).toString('hex')).toBe(createHash('md5').update(wav).digest('hex'))
        expect(spawnSync('flac', ['-t', '-s', join(folder, 'line.flac')]).status).toBe(0)
        flacBytes[30]! ^= 1
        writeFileSync(join(folder, 'wrong.flac'), flacBytes)
        expect(spawnSync('flac', ['-t', '-s', join(folder, 'wrong.flac')]).status).not.toBe(0)
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

  // Key signature and time signature events: Standard MIDI File 1.0, FF 59 sf mi and FF 58 nn dd cc bb.
  test('says each key and each meter of the tune where it begins, the count-in in the first', () => {
    const given = lineOver(tune('Dm7 | G7 | Fm7 | Bb7'))
    const keys = ['C major', 'C major', 'Eb major', 'C minor'].map((name) => readKey(name))
    const bars = given.harmony.bars.map((bar, i) => ({ ...bar, key: keys[i]! }))
    const { tracks, header } = read([{ ...given, harmony: { ...given.harmony, bars } }], brief)
    let now = 0
    const found = tracks[0]!.flatMap((event) => {
      now += event.deltaTime
      if (event.type === 'keySignature') return [[now / header.ticksPerBeat!, event.key, event.scale]]
      return event.type === 'timeSignature' ? [[now / header.ticksPerBeat!, event.numerator, event.denominator]] : []
    })
    expect(found).toEqual([
      [0, 4, 4],
      [0, 0, 0],
      [12, -3, 0],
      [16, -3, 1],
    ])
  })

  test.each([
    [{ beats: 1, unit: 4 }, 24],
    [{ beats: 6, unit: 8 }, 36],
    [{ beats: 15, unit: 8 }, 36],
    [{ beats: 7, unit: 8 }, 12],
  ] as const)('%o is written with its clocks to a beat', (meter, clocks) => {
    const { tracks } = read([lineOver(tune('Dm7 | G7 | Cmaj7', { meter }))], brief)
    const said = tracks[0]!.flatMap((event) => (event.type === 'timeSignature' ? [event] : []))
    expect(said.map(({ numerator, denominator, metronome }) => [numerator, denominator, metronome])).toEqual([
      [meter.beats, meter.unit, clocks],
    ])
  })

  // Programs and the percussion map of General MIDI Level 1, from 0 and from memory of its tables.
  test.each([
    ['alto-sax', 65],
    ['tenor-sax', 66],
    ['trumpet', 56],
    ['trombone', 57],
    ['clarinet', 71],
    ['flute', 73],
    ['violin', 40],
    ['cello', 42],
    ['piano', 0],
    ['vibraphone', 11],
    ['electric-bass', 33],
  ] as const)(
    '%s, bass and piano have their programs, and what is struck on channel 10 is on the map',
    (id, program) => {
      const { tracks } = read([lineOver(tune('Dm7 | G7 | Cmaj7 A7'), id)], {
        ...brief,
        looseness: 'light',
        feel: 'samba',
      })
      const channelled = tracks.slice(1).map((track) => {
        const programs = track.flatMap((event) => (event.type === 'programChange' ? [event.programNumber] : []))
        const struck = track.flatMap((event) => (event.type === 'noteOn' ? [event] : []))
        return { programs, channels: [...new Set(struck.map(({ channel }) => channel))], struck }
      })
      expect(channelled.slice(0, 3).map(({ programs, channels }) => [...programs, ...channels])).toEqual([
        [program, 0],
        [32, 1],
        [0, 2],
      ])
      for (const { channels, struck } of channelled.slice(3)) {
        expect(channels).toEqual([9])
        for (const { noteNumber } of struck) {
          expect(noteNumber).toBeGreaterThanOrEqual(35)
          expect(noteNumber).toBeLessThanOrEqual(81)
        }
      }
    },
  )

  test.each([
    ['strict', 120],
    ['light', 72],
    ['light', 300],
    ['loose', 160],
  ] as const)('%s at %d: the same notes at the same times and velocities as are recorded', (looseness, tempo) => {
    const given = { ...brief, looseness, tempo, passes: 2, hear: [...brief.hear, 'click' as const] }
    const { notes } = plan(one, given).performance
    const { tracks, header } = read(one, given)
    const partOf = { Bass: 'bass', Chords: 'chords', Drums: 'drums', Click: 'click', 'Count-in': 'count' } as const
    const order = (a: readonly number[], b: readonly number[]) => a[0]! - b[0]! || a[1]! - b[1]!
    for (const track of tracks.slice(1)) {
      const part = partOf[nameOf(track) as keyof typeof partOf] ?? 'line'
      let now = 0
      const written = track.flatMap((event) => {
        now += event.deltaTime
        return event.type === 'noteOn' && event.velocity > 0 ? [[event.noteNumber, now, event.velocity]] : []
      })
      const played = notes
        .filter((note) => note.part === part)
        .map((note) => [note.midi, (note.start * tempo * header.ticksPerBeat!) / 60, 127 * note.velocity])
      expect(written.length, part).toBe(played.length)
      expect(written.length).toBeGreaterThan(0)
      const [a, b] = [[...written].sort(order), [...played].sort(order)]
      for (const [i, [midi, at, velocity]] of a.entries()) {
        expect(midi).toBe(b[i]![0])
        expect(Math.abs(at! - b[i]![1]!), `${part} ${midi}`).toBeLessThanOrEqual(1)
        expect(Math.abs(velocity! - b[i]![2]!), `${part} ${midi}`).toBeLessThanOrEqual(1)
      }
    }
  })
})
