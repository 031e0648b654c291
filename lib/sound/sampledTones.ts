/** Sampled sound: tones from a few recorded notes of an instrument, as a cut of a sound font holds them. */
import type { Part } from './arrangement.ts'
import { bandPrograms, sampledPrograms } from './recordings.ts'
import { type Tone, toneOf } from './tones.ts'
import { decayFactor, frequencyOf } from './waves.ts'

/** The name of the file of a program or of the kit, among the page's own files. */
export const sampleFile = (program: number | 'kit'): string => `samples-${program}.bin`

/** One recorded note and the keys that it serves. */
export interface SampleZone {
  /** MIDI numbers, both included. */
  readonly low: number
  readonly high: number
  /** The MIDI number that the recording sounds as it is; cents to add. */
  readonly root: number
  readonly cents: number
  /** Samples a second. */
  readonly rate: number
  /** The stretch that is repeated while a note is held, in samples; null where it is played once. */
  readonly loop: readonly [number, number] | null
  readonly gain: number
  /** Seconds before the sound begins to fall, seconds to fall by 100 dB, and the loudness, 0 to 1, where falling stops. */
  readonly hold: number
  readonly decay: number
  readonly sustain: number
  /** Cents to add at every `bendStep` of the recording, so that it keeps its pitch from the attack through the loop. */
  readonly bend: readonly number[]
  /** Seconds of the recording before the note is heard to begin: it is started so much early. */
  readonly lead: number
  /** Where the recording, an Ogg Vorbis stream, lies in the file. */
  readonly at: number
  readonly bytes: number
}

/** Seconds of a recording from one measured pitch to the next. */
export const bendStep = 0.01

export interface SampleSet {
  readonly zones: readonly (SampleZone & { readonly samples: Float32Array })[]
}

/** The recordings that a band plays on; a part without any has its plain sound. */
export type BandSamples = Readonly<Partial<Record<Part, SampleSet>>>

/** The files that a band with a line on a program needs. */
export function sampleFilesFor(program: number): Readonly<Partial<Record<Part, string>>> {
  return {
    ...(sampledPrograms.includes(program) ? { line: sampleFile(program) } : {}),
    bass: sampleFile(bandPrograms.bass),
    chords: sampleFile(bandPrograms.chords),
    drums: sampleFile('kit'),
  }
}

/** Decodes one channel of an Ogg Vorbis stream. */
export type DecodeOgg = (bytes: Uint8Array) => Float32Array

/** Puts zones and their streams together as a file: the length of the head, the head as JSON, the streams. */
export function packSamples(zones: readonly SampleZone[], streams: Uint8Array): Uint8Array {
  const head = new TextEncoder().encode(JSON.stringify(zones))
  const file = new Uint8Array(4 + head.length + streams.length)
  new DataView(file.buffer).setUint32(0, head.length, true)
  file.set(head, 4)
  file.set(streams, 4 + head.length)
  return file
}

/** Reads such a file and decodes its recordings. */
export function readSamples(file: Uint8Array, decode: DecodeOgg): SampleSet {
  const length = new DataView(file.buffer, file.byteOffset).getUint32(0, true)
  const zones = JSON.parse(new TextDecoder().decode(file.subarray(4, 4 + length))) as readonly SampleZone[]
  const decoded = new Map<number, Float32Array>()
  return {
    zones: zones.map((zone) => {
      const from = 4 + length + zone.at
      const samples =
        decoded.get(zone.at) ?? roundLoop(decode(file.slice(from, from + zone.bytes)), zone.rate, zone.loop)
      decoded.set(zone.at, samples)
      return { ...zone, samples }
    }),
  }
}

/** Seconds at the end of a loop, a quarter of it at the most, over which what comes before its start is blended in. */
const blend = 0.02

/**
 * A recording whose loop is gone round without a step: its last moment turns into the one before its start, and for a few samples after its
 * end it goes on as the loop does, so that no neighbour is missing there.
 */
function roundLoop(samples: Float32Array, rate: number, loop: SampleZone['loop']): Float32Array {
  if (!loop) return samples
  const [from, to] = loop
  const round = new Float32Array(Math.max(samples.length, to + 3))
  round.set(samples)
  const length = Math.min(from, Math.floor((to - from) / 4), Math.round(blend * rate))
  for (let n = 1; n <= length; n++) {
    const share = 1 - (n - 0.5) / length
    round[to - n] = (1 - share) * round[to - n]! + share * samples[from - n]!
  }
  for (let at = to; at < to + 3; at++) round[at] = round[at - (to - from)]!
  return round
}

/** The ratio of a number of cents, up or down, from steps of equal temperament and a straight line between them. */
function ratioOf(cents: number): number {
  const whole = Math.floor(cents / 100)
  const part = cents / 100 - whole
  const low = frequencyOf(69 + whole) / 440
  const high = frequencyOf(70 + whole) / 440
  return low + part * (high - low)
}

/** The tone of a recorded note, and how many samples it is to be started before its time. */
export interface SampledTone extends Tone {
  readonly lead: number
}

/** Seconds over which a recording that is played once dies away at its end. */
const fade = 0.25

/** The tone of a note; null where no recording serves its key. */
export function sampledTone({ zones }: SampleSet, midi: number, rate: number): SampledTone | null {
  const zone = zones.find(({ low, high }) => midi >= low && midi <= high)
  if (!zone) return null
  const { samples, loop, gain, bend } = zone
  const step = (ratioOf(100 * (midi - zone.root) + zone.cents) * zone.rate) / rate
  const fall = zone.decay > 0 ? decayFactor(zone.decay / 11.5, rate) : 1
  const hold = zone.hold * rate
  const last = samples.length - 3
  const fading = Math.min(fade * zone.rate, samples.length / 4)
  const steps = bend.map((cents) => step * ratioOf(cents))
  let place = 0
  let n = 0
  let loud = 1
  let now = steps[0] ?? step
  const next = (): number => {
    if (place >= last && !loop) return 0
    // Re-tuned every 64 samples.
    if ((n & 63) === 0 && steps.length > 0) {
      const at = Math.min(steps.length - 1, place / (bendStep * zone.rate))
      const low = Math.floor(at)
      now = steps[low]! + (at - low) * ((steps[low + 1] ?? steps[low]!) - steps[low]!)
    }
    // A cubic through the four samples around (Catmull and Rom).
    const at = Math.floor(place)
    const x = place - at
    const a = samples[at - 1] ?? 0
    const b = samples[at]!
    const c = samples[at + 1]!
    const d = samples[at + 2]!
    const value = b + 0.5 * x * (c - a + x * (2 * a - 5 * b + 4 * c - d + x * (3 * (b - c) + d - a)))
    const edge = loop ? 1 : Math.min(1, (last - place) / fading)
    place += now
    if (loop) while (place >= loop[1]) place -= loop[1] - loop[0]
    if (n > hold && loud > zone.sustain) loud *= fall
    n += 1
    return gain * loud * edge * value
  }
  const once = loop ? 30 * rate : Math.ceil((1.1 * samples.length) / step)
  const lead = Math.round((zone.lead * zone.rate) / step)
  return { ...toneOf(next, Math.ceil(once)), lead }
}
