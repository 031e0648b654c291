/** The door to the band, `throughline/sound`: lines with their rhythm section as notes and as sound, in Node and in a browser alike. */
import * as band from '../sound/bandMidi.ts'
import * as passes from '../sound/playPasses.ts'
import * as recordings from '../sound/recordSound.ts'
import { lines } from './lineShapes.ts'
import { checked, listOf, maybe, text } from './shapes.ts'
import { heardPlaying, pass, passOver, playing, rate, recording, samples, soundFormat } from './soundShapes.ts'

export type { Arrangement, Part } from '../sound/arrangement.ts'
export { longestRecording } from '../sound/playPasses.ts'
export type { Performance } from '../sound/playTime.ts'
export { fileRate, type Recording, type SoundFormat } from '../sound/recordSound.ts'
export type { BandSamples } from '../sound/sampledTones.ts'
export { isWrongInput, type WrongInput } from './shapes.ts'

/** Line and band as MIDI; null where it would last longer than `longestRecording`. */
export const writeBandMidi = checked('writeBandMidi', band.writeBandMidi, [
  ['lines', lines],
  ['brief', heardPlaying],
])

/** One pass arranged: what each part plays, in ticks. */
export const arrangePass = checked(
  'arrangePass',
  passes.arrangePass,
  [
    ['lines', lines],
    ['brief', playing],
    ['pass', pass],
  ],
  passOver,
)

/** One pass as it sounds, in seconds. */
export const playPass = checked(
  'playPass',
  passes.playPass,
  [
    ['lines', lines],
    ['brief', playing],
    ['pass', pass],
  ],
  passOver,
)

/** The passes that a recording holds; null where they would last longer than `longestRecording`. */
export const recordedPasses = checked('recordedPasses', passes.recordedPasses, [
  ['lines', lines],
  ['brief', playing],
])

/** A recording of lines, ready to be rendered; null where it would last longer than `longestRecording`. */
export const planRecording = checked('planRecording', recordings.planRecording, [
  ['lines', lines],
  ['brief', heardPlaying],
  ['samples', maybe(samples)],
  ['remarks', maybe(listOf(text))],
])

/** The bytes of a sound file, piece by piece. */
export const recordSound = checked('recordSound', recordings.recordSound, [
  ['recording', recording],
  ['format', soundFormat],
])

/** The samples of a recording, a second and a half at a time: interleaved sixteen-bit stereo. */
export const samplesOf = checked('samplesOf', recordings.samplesOf, [
  ['recording', recording],
  ['rate', maybe(rate)],
])

/** How many seconds a recording lasts, what rings on included. */
export const secondsOfRecording = checked('secondsOfRecording', recordings.secondsOfRecording, [
  ['recording', recording],
])
