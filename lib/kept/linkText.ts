/** Bytes as the characters of an address, and the sum that tells whether any of them was lost on the way. */

/** Text of bytes in letters, digits, - and _ (RFC 4648, 5). */
export function textOf(bytes: Uint8Array): string {
  let binary = ''
  for (const byte of bytes) binary += String.fromCharCode(byte)
  return btoa(binary).replaceAll('+', '-').replaceAll('/', '_').replace(/=+$/, '')
}

/** The bytes of such a text; null where it is none. */
export function bytesOf(text: string): Uint8Array | null {
  if (!/^[\w-]+$/.test(text) || text.length % 4 === 1) return null
  const binary = atob(text.replaceAll('-', '+').replaceAll('_', '/'))
  return Uint8Array.from(binary, (sign) => sign.charCodeAt(0))
}

/** A sum over bytes that a change of any shows: CRC-16, polynomial x^16 + x^12 + x^5 + 1 (ITU-T X.25). */
export function checksum(bytes: Iterable<number>): number {
  let sum = 0xffff
  for (const byte of bytes) {
    sum ^= byte << 8
    for (let i = 0; i < 8; i++) sum = sum & 0x8000 ? ((sum << 1) ^ 0x1021) & 0xffff : (sum << 1) & 0xffff
  }
  return sum
}

/** Bytes with their sum behind them, in two bytes. */
export function withSum(bytes: Uint8Array): Uint8Array {
  const sum = checksum(bytes)
  return Uint8Array.from([...bytes, sum >> 8, sum & 0xff])
}
