/** Several files as one zip: the same files give the same bytes. */
import { strToU8, Zip, ZipDeflate, type Zippable, zipSync } from 'fflate'

export interface ZipEntry {
  readonly name: string
  /** Text goes in as UTF-8. */
  readonly content: string | Uint8Array
  /** Stored as it is, for what is compressed already or must be read without unpacking. */
  readonly stored?: boolean
}

/** Read in local time when it is written into a zip, so that it is the same day everywhere. */
const oneDay = '1980-01-01T00:00:00'

/** Zips files in the order given, all of one day long ago. */
export function zipFiles(entries: readonly ZipEntry[]): Uint8Array {
  const files: Zippable = {}
  for (const { name, content, stored = false } of entries) {
    const bytes = typeof content === 'string' ? strToU8(content) : content
    files[name] = stored ? [bytes, { level: 0 }] : bytes
  }
  return zipSync(files, { mtime: oneDay })
}

/** A file whose bytes come piece by piece. */
export interface EntryInPieces {
  readonly name: string
  readonly pieces: Iterable<Uint8Array> | AsyncIterable<Uint8Array>
}

/** Zips files as they come, piece by piece, so that a long archive takes little memory. What comes is taken for compressed already. */
export async function* zipInPieces(entries: AsyncIterable<EntryInPieces>): AsyncGenerator<Uint8Array, void> {
  let ready: Uint8Array[] = []
  const zip = new Zip((error, bytes) => {
    if (error) throw error
    ready.push(bytes)
  })
  const taken = () => {
    const all = ready
    ready = []
    return all
  }
  for await (const { name, pieces } of entries) {
    // Blocks as they are, in deflate's own frame: sizes that follow their bytes are read by all only there (PKWARE APPNOTE, 4.4.4).
    const file = new ZipDeflate(name, { level: 0 })
    file.mtime = oneDay
    zip.add(file)
    for await (const piece of pieces) {
      file.push(piece)
      yield* taken()
    }
    file.push(new Uint8Array(0), true)
    yield* taken()
  }
  zip.end()
  yield* taken()
}
