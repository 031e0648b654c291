/** Recorded notes from files, for recordings made on this side: the cuts that the build leaves beside the page. Node-side. */
import { readFile } from 'node:fs/promises'
import { type BandSamples, readSamples, sampleFilesFor } from './sound/sampledTones.ts'

/** Where the build leaves recorded notes, from `dist/lib/`. */
const builtSamples = new URL('../web/browser/', import.meta.url)

/** The recordings for a band with a line on a program, from a folder; null where the build has made none. */
export async function loadSamples(program: number, folder: URL = builtSamples): Promise<BandSamples | null> {
  const files = Object.entries(sampleFilesFor(program))
  const bytes = await Promise.all(files.map(([, file]) => readFile(new URL(file, folder)).catch(() => null)))
  if (bytes.includes(null)) return null
  const { StbVorbis } = await import('stb-vorbis')
  await StbVorbis.ready
  return Object.fromEntries(
    files.map(([part], i) => [part, readSamples(bytes[i]!, (ogg) => StbVorbis.decode(ogg).channels[0]!)]),
  )
}
