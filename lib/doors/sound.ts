/** The door to the band, `throughline/sound`: lines with their rhythm section as notes and as sound, in Node and in a browser alike. */
export type { Arrangement, Part } from '../sound/arrangement.ts'
export { writeBandMidi } from '../sound/bandMidi.ts'
export { arrangePass, longestRecording, playPass, recordedPasses } from '../sound/playPasses.ts'
export type { Performance } from '../sound/playTime.ts'
export {
  fileRate,
  planRecording,
  type Recording,
  recordSound,
  type SoundFormat,
  samplesOf,
  secondsOfRecording,
} from '../sound/recordSound.ts'
export type { BandSamples } from '../sound/sampledTones.ts'
