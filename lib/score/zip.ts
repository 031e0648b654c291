/** Several files as one zip: the same files give the same bytes. */
import { strToU8, type Zippable, zipSync } from 'fflate'

export interface ZipEntry {
  readonly name: string
  /** Text goes in as UTF-8. */
  readonly content: string | Uint8Array
  /** Stored as it is, for what is compressed already or must be read without unpacking. */
  readonly stored?: boolean
}

/** Zips files in the order given, all of one day long ago. */
export function zipFiles(entries: readonly ZipEntry[]): Uint8Array {
  const files: Zippable = {}
  for (const { name, content, stored = false } of entries) {
    const bytes = typeof content === 'string' ? strToU8(content) : content
    files[name] = stored ? [bytes, { level: 0 }] : bytes
  }
  // Read in local time when it is written into the zip, so that it is the same day everywhere.
  return zipSync(files, { mtime: '1980-01-01T00:00:00' })
}
