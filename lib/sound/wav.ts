/** WAV files: sixteen-bit stereo PCM in a RIFF header. */

/** Left and right from -1 to 1 as interleaved sixteen-bit samples. */
export function interleave(left: Float32Array, right: Float32Array): Int16Array {
  const pcm = new Int16Array(left.length * 2)
  for (let i = 0; i < left.length; i++) {
    pcm[2 * i] = Math.round(left[i]! * 32767)
    pcm[2 * i + 1] = Math.round(right[i]! * 32767)
  }
  return pcm
}

export const wavHeaderBytes = 44

/**
 * The header of a stereo file of so many frames; the samples follow it, little end first, and after them so many bytes of other
 * chunks.
 */
export function wavHeader(frames: number, rate: number, after = 0): Uint8Array {
  const header = new Uint8Array(wavHeaderBytes)
  const view = new DataView(header.buffer)
  const text = (at: number, word: string) => {
    for (let i = 0; i < word.length; i++) header[at + i] = word.charCodeAt(i)
  }
  text(0, 'RIFF')
  view.setUint32(4, 36 + frames * 4 + after, true)
  text(8, 'WAVEfmt ')
  view.setUint32(16, 16, true)
  view.setUint16(20, 1, true)
  view.setUint16(22, 2, true)
  view.setUint32(24, rate, true)
  view.setUint32(28, rate * 4, true)
  view.setUint16(32, 4, true)
  view.setUint16(34, 16, true)
  text(36, 'data')
  view.setUint32(40, frames * 4, true)
  return header
}

/** Samples as bytes, little end first on every machine. */
export function pcmBytes(pcm: Int16Array): Uint8Array {
  const bytes = new Uint8Array(pcm.length * 2)
  for (let i = 0; i < pcm.length; i++) {
    bytes[2 * i] = pcm[i]! & 0xff
    bytes[2 * i + 1] = (pcm[i]! >> 8) & 0xff
  }
  return bytes
}
