/** A run: what is played from one load on, its place on the audio clock, and what of it is to sound. */
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { usualMix } from '../../lib/sound/synth.ts'
import type { BarMark, ChunkNews, LitNote } from './soundTalk.ts'

/** Seconds that a change is given to be ready for the next bar. */
const ready = 0.3

export interface Run {
  readonly load: number
  readonly output: GainNode
  readonly gains: ReadonlyMap<Part, GainNode>
  /** The audio clock at frame 0; unknown until the first chunk is there. */
  zero: number | null
  until: number
  asked: boolean
  last: boolean
  notes: LitNote[]
  marks: BarMark[]
  bar: BarMark | null
}

/** The gain of a part at a level chosen by hand, beside its place in the mix. */
export const loudness = (part: Part, level: number): number => Math.SQRT2 * usualMix[part].level * level

/** A run that has nothing to sound yet: a gain and a place from left to right for each part. */
export function startRun(
  context: AudioContext,
  master: AudioNode,
  load: number,
  levels: ReadonlyMap<Part, number>,
): Run {
  const output = new GainNode(context, { gain: 1 })
  output.connect(master)
  const gains = new Map(
    parts.map((part) => {
      const gain = new GainNode(context, { gain: loudness(part, levels.get(part)!) })
      gain.connect(new StereoPannerNode(context, { pan: usualMix[part].pan })).connect(output)
      return [part, gain]
    }),
  )
  return { load, output, gains, zero: null, until: 0, asked: false, last: false, notes: [], marks: [], bar: null }
}

/** Puts a chunk on the audio clock, behind what is there; `zero` must be known. */
export function scheduleChunk(context: AudioContext, run: Run & { zero: number }, chunk: ChunkNews): void {
  // Too late, after a long freeze: the rest is moved on as one.
  const late = context.currentTime + 0.02 - (run.zero + chunk.at / context.sampleRate)
  if (late > 0) run.zero += Math.ceil(late * context.sampleRate) / context.sampleRate
  const when = run.zero + chunk.at / context.sampleRate
  for (const part of parts) {
    const samples = chunk.parts[part]
    if (!samples) continue
    const buffer = new AudioBuffer({ length: samples.length, numberOfChannels: 1, sampleRate: context.sampleRate })
    buffer.copyToChannel(samples, 0)
    const source = new AudioBufferSourceNode(context, { buffer })
    source.connect(run.gains.get(part)!)
    source.start(when)
  }
  run.until = chunk.at + chunk.frames
  run.last = chunk.last
  run.notes.push(...chunk.notes)
  run.marks.push(...chunk.marks)
}

/** The ids of the notes that sound now; what is past is let go, and `bar` goes on to the bar that sounds. */
export function followRun(context: AudioContext, run: Run & { zero: number }): readonly string[] {
  const now = (context.currentTime - (context.outputLatency || 0) - run.zero) * context.sampleRate
  while (run.marks.length > 0 && run.marks[0]!.at <= now) run.bar = run.marks.shift()!
  run.notes = run.notes.filter((note) => note.end > now)
  return run.notes.filter((note) => note.start <= now).map((note) => note.id)
}

/** The first bar that begins late enough for a change to be ready by then. */
export function barAhead(
  { currentTime, sampleRate }: AudioContext,
  { zero, marks }: Run,
): { readonly at: number; readonly mark: BarMark } | null {
  if (zero === null) return null
  const mark = marks.find(({ at, bar }) => bar > 0 && zero + at / sampleRate > currentTime + ready)
  return mark ? { at: zero + mark.at / sampleRate, mark } : null
}

/** Fades a run out at a moment of the audio clock, so that it makes no click. */
export function fadeOut({ currentTime }: AudioContext, { output }: Run, at: number): void {
  output.gain.setValueAtTime(1, Math.max(currentTime, at))
  output.gain.linearRampToValueAtTime(0, Math.max(currentTime, at) + 0.03)
  window.setTimeout(() => output.disconnect(), 1000 * Math.max(0, at - currentTime) + 120)
}

export const isPlaced = (run: Run): run is Run & { zero: number } => run.zero !== null
