/** Sound files: lines and their band as WAV or FLAC, rendered block by block so that long ones take little memory. */
import type { Brief } from '../brief.ts'
import type { Line } from '../line/line.ts'
import { keyName } from '../theory/key.ts'
import type { Part } from './arrangement.ts'
import { heardParts } from './clicks.ts'
import { writeFlac } from './flac.ts'
import { joinPerformances, type Playing, playPass, recordedPasses, usualTempo } from './playPasses.ts'
import type { Performance } from './playTime.ts'
import type { BandSamples } from './sampledTones.ts'
import { mixChunk, renderChunk, tail } from './synth.ts'
import { listInfo, type Tags } from './tags.ts'
import { interleave, pcmBytes, wavHeader, wavHeaderBytes } from './wav.ts'

/** What a recording is written as. */
export const soundFormats = ['wav', 'flac'] as const
export type SoundFormat = (typeof soundFormats)[number]

/** Samples a second of the files. */
export const fileRate = 44_100

export interface Recording {
  readonly performance: Performance
  /** The parts that are heard; the count-in always is. */
  readonly hear: readonly Part[]
  readonly samples: BandSamples
  readonly tags: Tags
  /** Frames at `fileRate`, what rings on at the end included. */
  readonly frames: number
}

/**
 * What a brief's recording holds: its passes one after another, of each key where there are several. Line and band, or the band
 * alone where `hear` leaves the line out; `remarks` say in the file what sounds otherwise than asked. Null where it would last longer than `longestRecording`.
 */
export function planRecording(
  lines: readonly Line[],
  brief: Playing & Pick<Brief, 'hear'>,
  samples: BandSamples = {},
  remarks: readonly string[] = [],
): Recording | null {
  const passes = recordedPasses(lines, brief)
  if (!passes) return null
  const performance = joinPerformances(passes.map((pass) => playPass(lines, brief, pass)))
  const tags = {
    title: lines[0]?.harmony.title ?? 'Line',
    key: [...new Set(lines.map((line) => keyName(line.key)))].join(', '),
    tempo: passes[0]?.tempo ?? usualTempo,
    remarks,
  }
  const frames = Math.ceil((performance.seconds + tail) * fileRate)
  return { performance, hear: heardParts(brief), samples, tags, frames }
}

/** Seconds of a recording, the end that rings on included. */
export const secondsOfRecording = ({ frames }: Recording): number => frames / fileRate

/** The samples of a recording, a second and a half at a time: interleaved sixteen-bit stereo, so many a second. */
export function* samplesOf(recording: Recording, rate = fileRate): Generator<Int16Array, void> {
  const { performance, hear, samples } = recording
  const frames = Math.ceil((recording.frames * rate) / fileRate)
  const size = 65_536
  for (let from = 0; from < frames; from += size) {
    const chunk = renderChunk(performance, from, Math.min(frames, from + size), rate, hear, samples)
    yield interleave(...mixChunk(chunk))
  }
}

/** The bytes of a WAV file, known before it is rendered; those of a compressed file are not. */
export const wavBytes = ({ frames, tags }: Recording): number => wavHeaderBytes + 4 * frames + listInfo(tags).length

/** Renders a recording as a file, piece by piece. The same recording gives the same bytes. */
export async function* recordSound(recording: Recording, format: SoundFormat): AsyncGenerator<Uint8Array, void> {
  if (format === 'flac') {
    yield* writeFlac(() => samplesOf(recording), recording.frames, fileRate, recording.tags)
    return
  }
  const info = listInfo(recording.tags)
  yield wavHeader(recording.frames, fileRate, info.length)
  for (const samples of samplesOf(recording)) yield pcmBytes(samples)
  yield info
}
