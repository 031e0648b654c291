/** Recorded notes: cut from the sound font, in tune, in time, small, and with their licence. */
import { existsSync, mkdtempSync, readFileSync, rmSync, statSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { pathToFileURL } from 'node:url'
import { StbVorbis } from 'stb-vorbis'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { loadSamples } from '../../lib/sampleFiles.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { drum } from '../../lib/sound/bandStyle.ts'
import { playTime } from '../../lib/sound/playTime.ts'
import { sampledPrograms } from '../../lib/sound/recordings.ts'
import {
  packSamples,
  readSamples,
  type SampleZone,
  sampledTone,
  sampleFile,
  sampleFilesFor,
} from '../../lib/sound/sampledTones.ts'
import { renderChunk } from '../../lib/sound/synth.ts'
import { instrumentOf, instruments, soundingPitch } from '../../lib/theory/instrument.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { buildSamples } from '../../web/buildSamples.ts'
import { cents, growth, hertz, onsetNear, pitchNear } from './listen.ts'
import { lineOver, tune } from './soundFixture.ts'

const rate = 44_100

describe('a recorded note of our own', () => {
  const zone: SampleZone = {
    low: 60,
    high: 72,
    root: 69,
    cents: 0,
    rate: 22_050,
    loop: [4_410, 8_820],
    gain: 1,
    hold: 0,
    decay: 0,
    sustain: 1,
    bend: [],
    lead: 0,
    at: 0,
    bytes: 1,
  }
  // A at 440, 200 ms of it: 4,410 samples are 88 periods.
  const sound = Float32Array.from({ length: 9_000 }, (_, i) => 0.5 * Math.sin((2 * Math.PI * 440 * i) / 22_050))
  const set = readSamples(packSamples([zone], new Uint8Array(1)), () => sound)

  test.each([60, 64, 69, 72])('is played at the pitch of key %d, and goes on as long as it is held', (midi) => {
    const samples = sampledTone(set, midi, rate)!.samples(2 * rate)
    expect(Math.abs(cents(pitchNear(samples.subarray(60_000, 75_000), rate, hertz(midi)), hertz(midi)))).toBeLessThan(2)
  })

  test('serves no key outside its zone', () => {
    expect(sampledTone(set, 59, rate)).toBeNull()
    expect(sampledTone(set, 73, rate)).toBeNull()
  })

  test('falls in its time to where it stays; without a loop it ends', () => {
    const falling = { ...set.zones[0]!, decay: 1, sustain: 0.5 }
    const samples = sampledTone({ zones: [falling] }, 69, rate)!.samples(rate)
    const peak = (from: number) =>
      samples.subarray(from, from + 500).reduce((most, x) => Math.max(most, Math.abs(x)), 0)
    expect(peak(0)).toBeGreaterThan(0.47)
    expect(peak(30_000)).toBeCloseTo(0.25, 1)
    const once = sampledTone({ zones: [{ ...set.zones[0]!, loop: null }] }, 69, rate)!.samples(rate)
    expect(once.length).toBeLessThanOrEqual(19_801)
  })
})

describe('the cuts of the sound font', () => {
  let folder = ''
  beforeAll(async () => {
    folder = mkdtempSync(join(tmpdir(), 'throughline-samples-'))
    await buildSamples(folder)
  }, 60_000)
  afterAll(() => rmSync(folder, { recursive: true }))
  const read = (name: string) =>
    readSamples(readFileSync(join(folder, name)), (ogg) => StbVorbis.decode(ogg).channels[0]!)

  test('are small, and bring their licence', () => {
    for (const program of sampledPrograms) {
      const files = Object.values(sampleFilesFor(program))
      const bytes = files.reduce((sum, file) => sum + statSync(join(folder, file)).size, 0)
      expect(bytes, `a band with program ${program}`).toBeLessThan(2_000_000)
    }
    expect(readFileSync(join(folder, 'samples-licence.txt'), 'utf8')).toMatch(/MIT/)
  })

  test('every instrument on offer has every key of its range', () => {
    for (const instrument of instruments) {
      const set = read(sampleFilesFor(instrument.program).line!)
      const [low, high] = instrument.range.map((pitch) => midiOf(soundingPitch(instrument, pitch))) as [number, number]
      for (let midi = low; midi <= high; midi++)
        expect(sampledTone(set, midi, rate), `${instrument.id} ${midi}`).not.toBeNull()
    }
  })

  /** Cents off over a note that is held, in fifths of a second: soon after it is struck, through its loop and round it again. */
  const offOver = (set: ReturnType<typeof read>, midi: number): readonly number[] => {
    const samples = sampledTone(set, midi, rate)!.samples(2.2 * rate)
    return [0.1, 0.2, 0.3, 0.45, 0.7, 1, 1.4, 1.9].map((at) => {
      const stretch = samples.subarray(Math.round(at * rate), Math.round((at + 0.2) * rate))
      return cents(pitchNear(stretch, rate, hertz(midi)), hertz(midi))
    })
  }

  test.each(sampledPrograms)('program %d is in tune and stays within 5 cents over a held note', (program) => {
    const set = read(sampleFile(program))
    for (const { low, high } of set.zones)
      for (const midi of new Set([low, high]))
        expect(Math.max(...offOver(set, midi).map(Math.abs)), `${midi}`).toBeLessThan(5)
  })

  test('the listener hears what is put right: recordings as they come drift by more than 10 cents', () => {
    const set = read(sampleFile(65))
    const raw = { zones: set.zones.map((zone) => ({ ...zone, bend: [] })) }
    const spread = raw.zones.map(({ low }) => {
      const off = offOver(raw, low)
      return Math.max(...off) - Math.min(...off)
    })
    expect(Math.max(...spread)).toBeGreaterThan(10)
  })

  // Slow attacks: bowed, sung, blown low. Heard to begin: within 10 dB of the loudest of its first quarter second.
  test.each(
    [...new Set(instruments.map(({ program }) => program))].map(
      (program) => instruments.find((each) => each.program === program)!.id,
    ),
  )('%s is heard within 10 ms of the beat', async (id) => {
    const line = lineOver(tune('C | C'), id)
    const samples = await loadSamples(instrumentOf(id).program, pathToFileURL(`${folder}/`))
    const one = line.notes.filter(({ start }) => start % 96 === 0).map((note) => ({ ...note, ticks: 36 }))
    const performance = playTime(arrange({ ...line, notes: one }, { tempo: 90, looseness: 'strict', ends: false }))
    const heard = renderChunk(performance, 0, Math.ceil(performance.seconds * rate), rate, ['line'], samples!).line!
    const notes = performance.notes.filter(({ part }) => part === 'line')
    expect(notes.length).toBe(2)
    for (const { start } of notes) {
      const levels = Array.from({ length: 100 }, (_, i) => {
        const from = Math.round((start - 0.15 + 0.004 * i) * rate)
        return Math.sqrt(heard.subarray(from, from + 220).reduce((sum, x) => sum + x * x, 0) / 220)
      })
      const begun = levels.findIndex((level) => level >= Math.max(...levels) * 10 ** (-10 / 20))
      expect(Math.abs(0.004 * begun - 0.15)).toBeLessThan(0.0101)
    }
  })

  test('every recording is heard within 10 ms of its time at both ends of its keys, three of some four hundred within 20', () => {
    const off = sampledPrograms.flatMap((program) => {
      const set = read(sampleFile(program))
      return set.zones.flatMap(({ low, high }) =>
        [low, high].map((midi) => {
          const tone = sampledTone(set, midi, rate)!
          const heard = tone.samples(rate / 2)
          const levels = Array.from({ length: 100 }, (_, i) => {
            const from = Math.round(tone.lead + (0.004 * i - 0.15) * rate)
            let sum = 0
            for (let n = Math.max(0, from); n < from + 220; n++) sum += heard[n]! ** 2
            return Math.sqrt(sum / 220)
          })
          const begun = levels.findIndex((level) => level >= Math.max(...levels) * 10 ** (-10 / 20))
          return Math.abs(0.004 * begun - 0.15)
        }),
      )
    })
    expect(off.length).toBeGreaterThan(400)
    expect(off.filter((each) => each > 0.0101).length).toBeLessThanOrEqual(3)
    expect(Math.max(...off)).toBeLessThan(0.02)
  })

  test('a band plays on them: every bass note within 15 cents and 20 ms, chunks without a seam', async () => {
    const line = lineOver(tune('Dm7 | G7 | Cmaj7 A7'), 'trumpet')
    const samples = await loadSamples(instrumentOf('trumpet')!.program, pathToFileURL(`${folder}/`))
    const performance = playTime(arrange(line, { tempo: 160 }))
    const length = Math.round(performance.seconds * rate)
    const { bass, line: melody } = renderChunk(performance, 0, length, rate, ['bass', 'line'], samples!)
    const plain = renderChunk(performance, 0, length, rate, ['bass']).bass!
    expect(Buffer.from(bass!.buffer).equals(Buffer.from(plain.buffer))).toBe(false)
    expect(melody!.some((x) => x !== 0)).toBe(true)
    const grown = growth(bass!, rate)
    // Ghosts, and notes touched again at once, are too short for their pitch.
    const long = performance.notes.filter(({ part, start, end }) => part === 'bass' && end - start > 0.15)
    for (const { start, end, midi } of long) {
      expect(1000 * Math.abs(onsetNear(grown, start, 0.045).time - start), `${midi}`).toBeLessThan(20)
      const stretch = bass!.subarray(Math.round((start + 0.04) * rate), Math.round((end - 0.01) * rate))
      expect(Math.abs(cents(pitchNear(stretch, rate, hertz(midi)), hertz(midi))), `${midi}`).toBeLessThan(15)
    }
    const cut = renderChunk(performance, 50_001, 60_007, rate, ['bass'], samples!).bass!
    expect(Buffer.from(cut.buffer).equals(Buffer.from(bass!.slice(50_001, 60_007).buffer))).toBe(true)
  })

  test.each(['plain', 'recorded'])('%s: no stroke of the kit is cut off while it is heard', async (kind) => {
    const samples = kind === 'plain' ? {} : (await loadSamples(65, pathToFileURL(`${folder}/`)))!
    for (const [name, midi] of Object.entries(drum)) {
      const note = { part: 'drums', start: 0, end: 0.1, midi, velocity: 0.6, id: null } as const
      const performance = { notes: [note], seconds: 1, program: 65, room: false }
      const heard = renderChunk(performance, 0, 2 * rate, rate, ['drums'], samples).drums!.map(Math.abs)
      const last = heard.findLastIndex((x) => x > 0)
      const end = Math.max(...heard.subarray(last - 100, last + 1))
      // 60 dB under its loudest a sound is gone, by the definition of reverberation time (ISO 3382).
      expect(20 * Math.log10(end / Math.max(...heard)), name).toBeLessThan(-60)
    }
  })

  test('where there are none, nothing is loaded', async () => {
    expect(existsSync(join(folder, 'none'))).toBe(false)
    expect(await loadSamples(65, pathToFileURL(`${folder}/none/`))).toBeNull()
  })
})
