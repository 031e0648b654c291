/** What a program hands over of sound: how lines are played, passes, recordings. */
import type { Brief } from '../brief.ts'
import type { Line } from '../line/line.ts'
import { type Part, parts } from '../sound/arrangement.ts'
import type { Playing } from '../sound/playPasses.ts'
import type { Performance, TimedNote } from '../sound/playTime.ts'
import type { Pass } from '../sound/practise.ts'
import { type Recording, soundFormats } from '../sound/recordSound.ts'
import type { BandSamples, SampleSet } from '../sound/sampledTones.ts'
import { someChoices } from './lineShapes.ts'
import { key, midi, program, tempo } from './musicShapes.ts'
import {
  listOf,
  type Misfit,
  made,
  maybe,
  number,
  oneOf,
  options,
  orNull,
  pairOf,
  plainly,
  record,
  type Shape,
  text,
  whole,
  yesOrNo,
} from './shapes.ts'

const played = [
  'tempo',
  'feel',
  'click',
  'swing',
  'looseness',
  'countIn',
  'loop',
  'passes',
  'faster',
  'goal',
  'keyAfter',
  'lineOut',
  'build',
  'demonstration',
  'rest',
  'seed',
] as const
export const playing: Shape<Playing> = someChoices<Playing>(played)
export const heardPlaying = someChoices<Playing & Pick<Brief, 'hear'>>([...played, 'hear'])

export const pass: Shape<Pass> = record('a pass, as recordedPasses gives it', {
  index: whole(0, 1_000_000),
  bars: pairOf(whole(1, 100_000)),
  tempo,
  key,
  keyIndex: whole(0, 1_000),
  lineOut: yesOrNo,
  bandOut: yesOrNo,
  ends: yesOrNo,
  lead: whole(0, 16),
  countIn: whole(0, 16),
  round: yesOrNo,
})

/** A pass goes over one of the lines, through bars that it has. */
export function passOver(lines: readonly Line[], _: Playing, { keyIndex, bars: [from, to] }: Pass): Misfit | null {
  const line = lines[keyIndex]
  const hint = 'take a pass of these lines'
  if (!line) return { at: 'pass.keyIndex', found: keyIndex, expected: `below ${lines.length}`, hint }
  const most = line.harmony.bars.length
  return from <= to && to <= most ? null : { at: 'pass.bars', found: to, expected: `bars from 1 to ${most}`, hint }
}

const part: Shape<Part> = oneOf(...parts)
const second = number(-10, 100_000)
const timedNote: Shape<TimedNote> = record('a note as it sounds', {
  part,
  start: second,
  end: second,
  midi,
  velocity: number(0, 1),
  gain: maybe(number(0, 100)),
  id: orNull(text),
})
const performance: Shape<Performance> = record('a performance, as playPass gives it', {
  notes: listOf(timedNote),
  seconds: number(0, 100_000),
  program,
  room: yesOrNo,
})

const sampleNumber = whole(0, 1_000_000_000)
const zone: Shape<SampleSet['zones'][number]> = record('a recorded note', {
  low: midi,
  high: midi,
  root: number(0, 200),
  cents: number(-10_000, 10_000),
  rate: number(1, 200_000),
  loop: orNull(pairOf(sampleNumber)),
  gain: number(0, 1_000),
  hold: number(0, 1_000),
  decay: number(0, 1_000),
  sustain: number(0, 1),
  bend: listOf(number(-10_000, 10_000)),
  lead: number(0, 10),
  at: sampleNumber,
  bytes: sampleNumber,
  samples: made(Float32Array, 'samples, a Float32Array'),
})
const sampleSet: Shape<SampleSet> = record('recordings of an instrument', { zones: listOf(zone, 1_000) })
export const samples: Shape<BandSamples> = options<Readonly<Record<Part, SampleSet>>>({
  line: sampleSet,
  bass: sampleSet,
  chords: sampleSet,
  drums: sampleSet,
  click: sampleSet,
  count: sampleSet,
})

export const recording: Shape<Recording> = record('a recording, as planRecording gives it', {
  performance,
  hear: listOf(part, 100),
  samples,
  tags: record('what is said of the recording', { title: text, key: text, tempo, remarks: listOf(text) }),
  frames: whole(0, 1_000_000_000),
})
export const soundFormat = oneOf(...soundFormats)
export const rate: Shape<number> = plainly(
  'samples a second, from 8000 to 192000',
  'try 44100',
  (v) => Number.isInteger(v) && (v as number) >= 8_000 && (v as number) <= 192_000,
)
