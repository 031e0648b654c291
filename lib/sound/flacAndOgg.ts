/** What writes sound as FLAC and Ogg, of a large package a little: the build puts it into this file. */
export { registerFlacEncoder } from '@mediabunny/flac-encoder'
export {
  AudioSample,
  AudioSampleSource,
  EncodedAudioPacketSource,
  EncodedPacket,
  FlacOutputFormat,
  OggOutputFormat,
  Output,
  StreamTarget,
} from 'mediabunny'
