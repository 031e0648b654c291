/** The bytes of a file or of standard input, whole, and never without end. Node-side. */
import { closeSync, openSync, readSync } from 'node:fs'

/** The most that a file may hold, in bytes: several times the longest record, score or table that is read. */
const longestFile = 128 * 1024 * 1024

/** A file that goes on beyond the most that is read, such as a device without an end. */
export class TooLongError extends Error {
  override readonly name = 'TooLongError'
}

const piece = 1024 * 1024

/** Reads on; a pipe that is empty for now, as some programs hand one over, is waited for. */
function readOn(from: number, into: Uint8Array): number {
  for (;;) {
    try {
      return readSync(from, into, 0, into.length, null)
    } catch (error) {
      const { code } = error as NodeJS.ErrnoException
      if (code === 'EOF') return 0
      if (code !== 'EAGAIN') throw error
      Atomics.wait(new Int32Array(new SharedArrayBuffer(4)), 0, 0, 10)
    }
  }
}

/**
 * The bytes of a file, `-` being standard input.
 *
 * @throws {TooLongError} where there are more than `longestFile`
 */
export function readBytesOf(file: string): Uint8Array {
  const from = file === '-' ? 0 : openSync(file, 'r')
  try {
    const pieces: Uint8Array[] = []
    const room = new Uint8Array(piece)
    for (let total = 0; ; ) {
      const count = readOn(from, room)
      if (count === 0) return Buffer.concat(pieces)
      total += count
      if (total > longestFile) throw new TooLongError(`more than ${longestFile / 1024 / 1024} MB`)
      pieces.push(room.slice(0, count))
    }
  } finally {
    if (from !== 0) closeSync(from)
  }
}
