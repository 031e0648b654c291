/** The sums that an archive holds of its files, so that one that suffered is told. PKWARE APPNOTE 6.3.10, 4.3.12 to 4.3.16, 4.4.7. */

/** CRC-32 of each byte (ISO 3309). */
const table = Uint32Array.from({ length: 256 }, (_, byte) => {
  let sum = byte
  for (let bit = 0; bit < 8; bit++) sum = sum & 1 ? (sum >>> 1) ^ 0xedb88320 : sum >>> 1
  return sum
})

/**
 * The CRC-32 of bytes.
 *
 * @example
 * sumOfBytes(new TextEncoder().encode('123456789')).toString(16) // => 'cbf43926'
 */
export function sumOfBytes(bytes: Uint8Array): number {
  let sum = 0xffffffff
  for (const byte of bytes) sum = (sum >>> 8) ^ table[(sum ^ byte) & 0xff]!
  return (sum ^ 0xffffffff) >>> 0
}

/** Where the directory of an archive begins, by the record at its end; null where there is none. */
function directoryAt(view: DataView): number | null {
  const at = (place: number) => (place >= 0 && place + 4 <= view.byteLength ? view.getUint32(place, true) : null)
  let end = view.byteLength - 22
  while (end >= 0 && at(end) !== 0x06054b50) end -= 1
  const start = at(end + 16)
  if (start !== 0xffffffff) return start
  // Longer archives say it in a record of their own, which a locator leads to.
  const long = at(end - 20) === 0x07064b50 ? at(end - 12) : null
  return long === null ? null : at(long + 48)
}

/** The sum of each of the first files that an archive's directory lists, so many at most, in their order. */
export function sumsOfArchive(bytes: Uint8Array, most: number): readonly number[] {
  const view = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
  const sums: number[] = []
  let at = directoryAt(view)
  while (at !== null && at + 46 <= bytes.length && view.getUint32(at, true) === 0x02014b50 && sums.length < most) {
    sums.push(view.getUint32(at + 16, true))
    at += 46 + [28, 30, 32].reduce((sum, place) => sum + view.getUint16(at! + place, true), 0)
  }
  return sums
}
