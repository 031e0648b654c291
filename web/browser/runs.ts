/** A run: what is played from one place on, where it lies on the audio clock, and where the next one may take over from it. */
import { type Part, parts } from '../../lib/sound/arrangement.ts'
import { usualMix } from '../../lib/sound/synth.ts'
import type { BarMark, ChunkNews, LitNote, Place } from './soundTalk.ts'

/** Seconds in which a run fades out under the next one, so that it makes no click. */
const fade = 0.03

export interface Run {
  readonly load: number
  readonly output: GainNode
  readonly gains: ReadonlyMap<Part, GainNode>
  /** Where it begins, once that is known. */
  place: Place
  /** The audio clock at frame 0; unknown until the first chunk is there. */
  zero: number | null
  /** The audio clock where the next run takes over; null while none does. */
  ends: number | null
  until: number
  asked: boolean
  last: boolean
  sources: AudioBufferSourceNode[]
  notes: LitNote[]
  marks: BarMark[]
  bar: BarMark | null
}

export type PlacedRun = Run & { zero: number }

export const isPlaced = (run: Run): run is PlacedRun => run.zero !== null

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
  return {
    load,
    output,
    gains,
    place: { from: null, pass: 0, climb: 0, goOn: false },
    zero: null,
    ends: null,
    until: 0,
    asked: false,
    last: false,
    sources: [],
    notes: [],
    marks: [],
    bar: null,
  }
}

/** The audio clock at a frame of a run. */
export const clockAt = (context: AudioContext, { zero }: PlacedRun, frame: number): number =>
  zero + frame / context.sampleRate

/** Puts a chunk on the audio clock, behind what is there. */
export function scheduleChunk(context: AudioContext, run: PlacedRun, chunk: ChunkNews): void {
  // Too late, after a long freeze: the rest is moved on as one.
  const late = context.currentTime + 0.02 - clockAt(context, run, chunk.at)
  if (late > 0) run.zero += Math.ceil(late * context.sampleRate) / context.sampleRate
  const when = clockAt(context, run, chunk.at)
  run.until = chunk.at + chunk.frames
  run.last = chunk.last
  run.notes.push(...chunk.notes)
  run.marks.push(...chunk.marks)
  if (run.ends !== null && when > run.ends) return
  for (const part of parts) {
    const samples = chunk.parts[part]
    if (!samples) continue
    const buffer = new AudioBuffer({ length: samples.length, numberOfChannels: 1, sampleRate: context.sampleRate })
    buffer.copyToChannel(samples, 0)
    const source = new AudioBufferSourceNode(context, { buffer })
    source.connect(run.gains.get(part)!)
    source.start(when)
    if (run.ends !== null) source.stop(run.ends + fade)
    run.sources.push(source)
    source.onended = () => {
      run.sources = run.sources.filter((each) => each !== source)
    }
  }
}

/** The ids of the notes that sound now; what is past is let go, and `bar` goes on to the bar that sounds. */
export function followRun(context: AudioContext, run: PlacedRun): readonly string[] {
  const now = (context.currentTime - (context.outputLatency || 0) - run.zero) * context.sampleRate
  while (run.marks.length > 0 && run.marks[0]!.at <= now) run.bar = run.marks.shift()!
  run.notes = run.notes.filter((note) => note.end > now)
  return run.notes.filter((note) => note.start <= now).map((note) => note.id)
}

/** Lets a run end at a moment of the audio clock: it fades out there, and what it has not begun by then never sounds. */
export function endRun({ currentTime }: AudioContext, run: Run, at: number): void {
  const end = Math.max(currentTime, at)
  if (run.ends !== null && run.ends <= end) return
  run.ends = end
  if (run.zero === null || run.zero >= end) {
    run.output.disconnect()
    for (const source of run.sources) source.stop()
    return
  }
  run.output.gain.cancelScheduledValues(currentTime)
  run.output.gain.setValueAtTime(1, end)
  run.output.gain.linearRampToValueAtTime(0, end + fade)
  for (const source of run.sources) source.stop(end + fade)
}

/** Where a change comes in: a place of the piece, and the moment of the audio clock, null for as soon as can be. */
export interface Entry {
  readonly place: Place
  readonly at: number | null
}

/**
 * Where a change can take over from a run, some seconds ahead: at the next bar line, in the same pass. While a run is still counted in it
 * is counted in anew. After the last bar comes the next pass. 'wait' while that bar line is not known yet, 'never' where none comes.
 */
export function entryAfter(
  context: AudioContext,
  run: PlacedRun,
  lead: number,
  climbsAnew: boolean,
): Entry | 'wait' | 'never' {
  const { currentTime } = context
  const soundsAt = (mark: BarMark): number => clockAt(context, run, mark.at)
  const begun =
    run.place.goOn ||
    (run.bar !== null && run.bar.bar > 0) ||
    run.marks.some((mark) => mark.bar > 0 && soundsAt(mark) <= currentTime)
  if (!begun) return { place: { ...run.place, climb: climbsAnew ? run.place.pass : run.place.climb }, at: null }
  const mark = run.marks.find((each) => each.bar > 0 && soundsAt(each) > currentTime + lead)
  if (!mark) return run.last ? 'never' : 'wait'
  const pass = mark.ending ? mark.pass : mark.pass - 1
  const place = { from: mark.ending ? null : mark.bar, pass, climb: climbsAnew ? pass : run.place.climb, goOn: true }
  return { place, at: soundsAt(mark) }
}
