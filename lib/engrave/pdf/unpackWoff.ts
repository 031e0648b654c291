/** A font file unpacked once, since the writer of paper would else unpack its tables again for every document. */
import { inflateSync } from 'node:zlib'

const headerBytes = { woff: 44, woffTable: 20, sfnt: 12, sfntTable: 16 }

/** A table's bytes are followed by room up to a multiple of four. */
const padded = (length: number): number => (length + 3) & ~3

/**
 * A WOFF as the font it was packed from (W3C WOFF File Format 1.0, sections 3 to 5; the head of a font as in OpenType, `otff`);
 * whatever is no WOFF as it is.
 */
export function unpackWoff(bytes: Buffer): Buffer {
  if (bytes.toString('latin1', 0, 4) !== 'wOFF') return bytes
  const count = bytes.readUInt16BE(12)
  const tables = Array.from({ length: count }, (_, i) => {
    const at = headerBytes.woff + i * headerBytes.woffTable
    const [offset, packed, length] = [4, 8, 12].map((field) => bytes.readUInt32BE(at + field)) as [
      number,
      number,
      number,
    ]
    const stored = bytes.subarray(offset, offset + packed)
    return {
      tag: bytes.subarray(at, at + 4),
      sum: bytes.readUInt32BE(at + 16),
      content: packed < length ? inflateSync(stored) : stored,
    }
  })
  const head = headerBytes.sfnt + count * headerBytes.sfntTable
  const font = Buffer.alloc(tables.reduce((sum, { content }) => sum + padded(content.length), head))
  const power = Math.floor(Math.log2(count))
  bytes.copy(font, 0, 4, 8)
  font.writeUInt16BE(count, 4)
  font.writeUInt16BE(2 ** power * 16, 6)
  font.writeUInt16BE(power, 8)
  font.writeUInt16BE(count * 16 - 2 ** power * 16, 10)
  let at = head
  tables.forEach(({ tag, sum, content }, i) => {
    const record = headerBytes.sfnt + i * headerBytes.sfntTable
    tag.copy(font, record)
    font.writeUInt32BE(sum, record + 4)
    font.writeUInt32BE(at, record + 8)
    font.writeUInt32BE(content.length, record + 12)
    content.copy(font, at)
    at += padded(content.length)
  })
  return font
}
