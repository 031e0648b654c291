/** Small files: Opus in Ogg, by libopus in WebAssembly and mediabunny; loaded only when a file is asked for. Node-side. */
import { type Tags, vorbisComments } from './sound/tags.ts'

/** Samples a second that Opus works at. */
export const opusRate = 48_000

/** Frames of a packet, 20 ms. */
const size = 960
/** Bits a second: what stereo music is transparent at, by and large (RFC 7845's authors' own advice is 96 to 128 thousand). */
const bitrate = 96_000

/** The identification header (RFC 7845, 5.1): two channels, and how much to leave out at the start. */
function headOf(skip: number): Uint8Array {
  const head = new Uint8Array(19)
  head.set(new TextEncoder().encode('OpusHead'))
  const view = new DataView(head.buffer)
  view.setUint8(8, 1)
  view.setUint8(9, 2)
  view.setUint16(10, skip, true)
  view.setUint32(12, opusRate, true)
  return head
}

/** Blocks of interleaved stereo as packets of 20 ms, the last filled up with silence. */
function* packetsOf(blocks: Iterable<Int16Array>): Generator<Int16Array, void> {
  let packet = new Int16Array(2 * size)
  let filled = 0
  for (const block of blocks)
    for (let at = 0; at < block.length; ) {
      const part = block.subarray(at, at + packet.length - filled)
      packet.set(part, filled)
      filled += part.length
      at += part.length
      if (filled < packet.length) continue
      yield packet
      packet = new Int16Array(2 * size)
      filled = 0
    }
  yield packet
}

/** What each byte does to the sum of an Ogg page: CRC-32 of polynomial 0x04c11db7, from 0, the highest bit first (RFC 3533, section 6). */
const crcTable = Uint32Array.from({ length: 256 }, (_, byte) => {
  let sum = byte << 24
  for (let bit = 0; bit < 8; bit++) sum = sum & 0x80000000 ? (sum << 1) ^ 0x04c11db7 : sum << 1
  return sum
})

function oggSum(bytes: Uint8Array): number {
  let sum = 0
  for (const byte of bytes) sum = (sum << 8) ^ crcTable[(sum >>> 24) ^ byte]!
  return sum >>> 0
}

/** Pages of Ogg under a serial number: mediabunny draws one by chance, and the same recording is to have the same bytes. */
function numbered(pages: Uint8Array, serial: number): Uint8Array {
  const bytes = pages.slice()
  for (let at = 0; at < bytes.length; ) {
    const segments = bytes.subarray(at + 27, at + 27 + bytes[at + 26]!)
    const end = at + 27 + segments.length + segments.reduce((sum, length) => sum + length, 0)
    const page = new DataView(bytes.buffer, at, end - at)
    page.setUint32(14, serial, true)
    page.setUint32(22, 0, true)
    page.setUint32(22, oggSum(bytes.subarray(at, end)), true)
    at = end
  }
  return bytes
}

/** Encodes sixteen-bit stereo samples at `opusRate`, given block by block, as an Ogg file handed on piece by piece. */
export async function* writeOpus(blocks: Iterable<Int16Array>, tags: Tags): AsyncGenerator<Uint8Array, void> {
  const { EncodedAudioPacketSource, EncodedPacket, OggOutputFormat, Output, StreamTarget } = await import(
    './sound/flacAndOgg.ts'
  )
  const { Application, createEncoder, Signal } = await import('./opusEncoder.ts')
  const encoder = await createEncoder({
    channels: 2,
    sampleRate: opusRate,
    application: Application.Audio,
    signal: Signal.Music,
    bitrate,
  })
  const comments = vorbisComments(tags)
  const serial = oggSum(new TextEncoder().encode(JSON.stringify(comments)))
  const ready: Uint8Array[] = []
  const sink = new WritableStream<{ readonly data: Uint8Array }>({
    write: ({ data }) => {
      ready.push(numbered(data, serial))
    },
  })
  const output = new Output({ format: new OggOutputFormat(), target: new StreamTarget(sink) })
  output.setMetadataTags({ raw: comments })
  const source = new EncodedAudioPacketSource('opus')
  output.addAudioTrack(source)
  await output.start()
  const config = { codec: 'opus', numberOfChannels: 2, sampleRate: opusRate }
  const description = headOf(encoder.getLookahead())
  try {
    let done = 0
    for (const pcm of packetsOf(blocks)) {
      const packet = new EncodedPacket(encoder.encode(pcm), 'key', (done * size) / opusRate, size / opusRate)
      await source.add(packet, done === 0 ? { decoderConfig: { ...config, description } } : undefined)
      done += 1
      while (ready.length > 0) yield ready.shift()!
    }
    await output.finalize()
    while (ready.length > 0) yield ready.shift()!
  } finally {
    encoder.free()
  }
}
