/** The renderer: from a performance to samples, chunk by chunk, the same in a worker and in Node. */
import { type Part, parts } from './arrangement.ts'
import { plainLineShare, recordedShare } from './balance.ts'
import { drumTone } from './drumTones.ts'
import type { Performance } from './playTime.ts'
import { inRoom, roomReach } from './room.ts'
import { type BandSamples, type SampledTone, type SampleSet, sampledTone } from './sampledTones.ts'
import { pitchedTone, releaseOf, type Tone, type Voice, voiceOf } from './tones.ts'

/** How loud each part is and where it sits, left -1 to right 1. */
export interface Mix {
  readonly level: number
  readonly pan: number
}

export const usualMix: Readonly<Record<Part, Mix>> = {
  line: { level: 0.535, pan: 0 },
  bass: { level: 0.62, pan: -0.08 },
  chords: { level: 0.2, pan: -0.35 },
  drums: { level: 0.5, pan: 0.3 },
  click: { level: 0.4, pan: 0 },
  count: { level: 0.45, pan: 0 },
}

/** Samples of each part, mono, all of the same length. */
export type Chunk = Readonly<Partial<Record<Part, Float32Array>>>

const isDrum = (part: Part): boolean => part === 'drums' || part === 'click' || part === 'count'

const voiceFor = (part: Part, program: number): Voice =>
  part === 'bass' ? 'bass' : part === 'chords' ? 'struck' : voiceOf(program)

/** Colours of a tone are few, so that tones can be used again. */
const shades = [0.25, 0.55, 0.85] as const
const shadeOf = (velocity: number): number => (velocity < 0.4 ? shades[0] : velocity < 0.78 ? shades[1] : shades[2])

// Tones worked out once are kept: they follow from their names alone. When there are too many, all are dropped.
const kept = new Map<string, Tone>()
const mostKept = 600

const keptSampled = new WeakMap<SampleSet, Map<string, SampledTone>>()

/** The tone of a recording, where there is one for the note. */
function sampledFor(set: SampleSet, midi: number, rate: number): SampledTone | null {
  const tones = keptSampled.get(set) ?? new Map<string, SampledTone>()
  keptSampled.set(set, tones)
  const name = `${midi} ${rate}`
  const made = tones.get(name) ?? sampledTone(set, midi, rate)
  if (made) tones.set(name, made)
  return made
}

function toneFor(part: Part, program: number, midi: number, velocity: number, rate: number): Tone {
  const shade = shadeOf(velocity)
  const voice = isDrum(part) ? 'drum' : voiceFor(part, program)
  const name = voice === 'drum' ? `drum ${midi} ${rate}` : `${voice} ${midi} ${shade} ${rate}`
  const found = kept.get(name)
  if (found) return found
  if (kept.size >= mostKept) kept.clear()
  const made = voice === 'drum' ? drumTone(midi, rate) : pitchedTone(voice, midi, shade, rate)
  kept.set(name, made)
  return made
}

/** Seconds of a recording that may lie before its beat; twice so long where it is played an octave down. */
export const earliest = 0.15

/** Seconds that anything may ring on after its end: a performance needs so much silence after it. */
export const tail = 1.8

/** Seconds in which what a recorded drum still has to say at the end of its time dies away. */
const damping = 0.3

/**
 * Renders a stretch of a performance, `from` and `to` in samples from its start, part by part at full level, in a small room where the
 * performance is in one. A sample depends on its own place alone, so chunks rendered apart join without a seam, in any order and of any
 * length. Parts that have recordings sound of them.
 */
export function renderChunk(
  performance: Performance,
  from: number,
  to: number,
  rate: number,
  wanted: readonly Part[] = parts,
  samples: BandSamples = {},
): Chunk {
  if (!performance.room) return renderDry(performance, from, to, rate, wanted, samples)
  const before = Math.min(from, Math.ceil(roomReach * rate) + 4)
  const dry = renderDry(performance, from - before, to, rate, wanted, samples)
  return Object.fromEntries(wanted.map((part) => [part, inRoom(part, dry[part]!, before, rate)]))
}

/** The same with no room around it. */
function renderDry(
  performance: Performance,
  from: number,
  to: number,
  rate: number,
  wanted: readonly Part[],
  samples: BandSamples,
): Chunk {
  const { notes, program } = performance
  const length = Math.max(0, to - from)
  const chunk: Partial<Record<Part, Float32Array>> = {}
  for (const part of wanted) chunk[part] = new Float32Array(length)
  for (const note of notes) {
    const onset = Math.round(note.start * rate)
    if (onset >= to + 2 * earliest * rate) break
    const out = chunk[note.part]
    if (!out) continue
    const drum = isDrum(note.part)
    const set = samples[note.part]
    const recorded = set ? sampledFor(set, note.midi, rate) : null
    // A slow attack begins before its time, so that the note is heard on it.
    const begin = onset - (recorded?.lead ?? 0)
    // A recorded cymbal that still rings when its time is over dies away before it; plain ones do so by themselves.
    const dies = recorded ? damping : 0
    const release = Math.round((drum ? dies : releaseOf(voiceFor(note.part, program))) * rate)
    const end = drum ? onset + Math.ceil(tail * rate) : Math.max(onset + 1, Math.round(note.end * rate)) + release
    const off = end - release
    if (end <= from || begin >= to) continue
    const tone = recorded ?? toneFor(note.part, program, note.midi, note.velocity, rate)
    const first = Math.max(from, begin)
    const last = Math.min(to, end)
    const heard = tone.samples(last - begin)
    const stop = Math.min(last, begin + heard.length)
    const plain = note.part === 'line' ? plainLineShare(voiceFor(note.part, program)) : 1
    const loud = note.velocity * (note.gain ?? 1) * (recorded ? (recordedShare[note.part] ?? 1) : plain)
    const held = Math.min(stop, off)
    let n = first
    for (; n < held; n++) out[n - from]! += loud * heard[n - begin]!
    for (; n < stop; n++) out[n - from]! += loud * (1 - (n - off) / release) * heard[n - begin]!
  }
  return chunk
}

/** Left and right shares of a pan, equal power at the sides, from square roots alone. */
const sidesOf = (pan: number): readonly [number, number] => [Math.sqrt((1 - pan) / 2), Math.sqrt((1 + pan) / 2)]

/** Keeps within -1 and 1: nothing changes below 0.7, and what is louder is bent rather than cut. */
export const soften = (x: number): number => {
  const size = Math.abs(x)
  if (size <= 0.7) return x
  const over = (size - 0.7) / 0.3
  return Math.sign(x) * (0.7 + (0.3 * over) / (1 + over))
}

/** Mixes a chunk to left and right. */
export function mixChunk(
  chunk: Chunk,
  mix: Readonly<Record<Part, Mix>> = usualMix,
): readonly [Float32Array, Float32Array] {
  const length = Object.values(chunk)[0]?.length ?? 0
  const left = new Float32Array(length)
  const right = new Float32Array(length)
  for (const part of parts) {
    const samples = chunk[part]
    if (!samples) continue
    const { level, pan } = mix[part]
    const [l, r] = sidesOf(pan).map((side) => side * level * Math.SQRT2) as [number, number]
    for (let i = 0; i < length; i++) {
      left[i]! += l * samples[i]!
      right[i]! += r * samples[i]!
    }
  }
  for (let i = 0; i < length; i++) {
    left[i] = soften(left[i]!)
    right[i] = soften(right[i]!)
  }
  return [left, right]
}
