/** FLAC files, by libFLAC as mediabunny carries it; loaded only when a file is asked for. */
import { type Tags, vorbisComments } from './tags.ts'
import { pcmBytes } from './wav.ts'

/**
 * Encodes sixteen-bit stereo samples, given block by block, as a FLAC file handed on piece by piece. `frames` is how many there
 * are in all: they go into the header before the first of them, with the checksum of all samples, so these are asked for twice.
 */
export async function* writeFlac(
  blocksOf: () => Iterable<Int16Array>,
  frames: number,
  rate: number,
  tags: Tags,
): AsyncGenerator<Uint8Array, void> {
  const { AudioSample, AudioSampleSource, FlacOutputFormat, Output, registerFlacEncoder, StreamTarget } = await import(
    './flacAndOgg.ts'
  )
  registerFlacEncoder()
  const checksum = await checksumOf(blocksOf())
  const ready: Uint8Array[] = []
  const sink = new WritableStream<{ readonly data: Uint8Array }>({
    write: ({ data }) => {
      ready.push(data.slice())
    },
  })
  const output = new Output({ format: new FlacOutputFormat({ appendOnly: true }), target: new StreamTarget(sink) })
  output.setMetadataTags({ raw: vorbisComments(tags) })
  const source = new AudioSampleSource({ codec: 'flac' })
  output.addAudioTrack(source)
  await output.start()
  let told = false
  let done = 0
  function* drain(): Generator<Uint8Array> {
    while (ready.length > 0) {
      const bytes = ready.shift()!
      if (!told && bytes.length >= streamInfoEnd) {
        tellLength(bytes, frames)
        bytes.set(checksum, streamInfoEnd - checksum.length)
        told = true
      }
      yield bytes
    }
  }
  for (const data of blocksOf()) {
    const sample = new AudioSample({
      data,
      format: 's16',
      numberOfChannels: 2,
      sampleRate: rate,
      timestamp: done / rate,
    })
    await source.add(sample)
    sample.close()
    done += data.length / 2
    yield* drain()
  }
  await output.finalize()
  yield* drain()
}

/** MD5 over the samples, little end first and interleaved: what a decoder checks a whole file against (RFC 9639, 8.2). */
async function checksumOf(blocks: Iterable<Int16Array>): Promise<Uint8Array> {
  const { md5 } = await import('@noble/hashes/legacy.js')
  const sum = md5.create()
  for (const block of blocks) sum.update(pcmBytes(block))
  return sum.digest()
}

/** The marker, the head of the STREAMINFO block and the block itself. */
const streamInfoEnd = 4 + 4 + 34

/** Writes the number of frames into STREAMINFO: the last 36 bits before the checksum (RFC 9639, 8.2). */
function tellLength(bytes: Uint8Array, frames: number): void {
  const view = new DataView(bytes.buffer, bytes.byteOffset)
  bytes[21] = (bytes[21]! & 0xf0) | (Math.floor(frames / 2 ** 32) & 0x0f)
  view.setUint32(22, frames >>> 0)
}
