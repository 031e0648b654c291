/** The faces of print: a Times-like serif for words, one for flats, sharps and notes among them, one for what else there is. */
import { existsSync, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { unpackWoff } from './unpackWoff.ts'

const require = createRequire(import.meta.url)

export type Style = 'regular' | 'bold' | 'italic' | 'bold italic'

/** Tinos comes cut up by script, in the order to be asked; Verovio reckons with widths like these. */
const scripts = [
  'latin',
  'latin-ext',
  'greek',
  'greek-ext',
  'cyrillic',
  'cyrillic-ext',
  'vietnamese',
  'hebrew',
] as const
const cuts: Record<Style, string> = {
  regular: '400-normal',
  bold: '700-normal',
  italic: '400-italic',
  'bold italic': '700-italic',
}
const files = new Map<string, Buffer>()

function file(path: string): Buffer {
  const known = files.get(path)
  if (known) return known
  const built = new URL(path.split('/').at(-1)!, import.meta.url)
  const bytes = unpackWoff(readFileSync(existsSync(built) ? built : require.resolve(path)))
  files.set(path, bytes)
  return bytes
}

/** The last face, which has almost every character: of its large package the build keeps these two beside this file. */
const widest = { regular: 'dejavu-fonts-ttf/ttf/DejaVuSans.ttf', bold: 'dejavu-fonts-ttf/ttf/DejaVuSans-Bold.ttf' }

/** The files of faces that the build copies, their licence with them. */
export const facesToKeep: readonly string[] = [...Object.values(widest), 'dejavu-fonts-ttf/LICENSE']

/** Noto Music's flats and sharps are drawn for a staff, small beside letters: they are set so much larger. */
export const musicScale = 1.3

/** A face by a name of ours, which also says its place among those to be asked. */
export interface Face {
  readonly name: string
  /** The font file, unpacked. */
  readonly bytes: () => Buffer
  /** How much larger it is set than the words around it. */
  readonly scale: number
}

/** The faces for a style, in the order in which they are asked for a character. */
export function facesOf(style: Style): readonly Face[] {
  const own = scripts.map((script) => ({
    name: `Tinos ${script} ${style}`,
    bytes: () => file(`@fontsource/tinos/files/tinos-${script}-${cuts[style]}.woff`),
    scale: 1,
  }))
  const music = {
    name: 'Noto Music',
    bytes: () => file('@fontsource/noto-music/files/noto-music-music-400-normal.woff'),
    scale: musicScale,
  }
  const bold = style.startsWith('bold')
  const path = bold ? widest.bold : widest.regular
  const rest = { name: bold ? 'DejaVuSans-Bold' : 'DejaVuSans', bytes: () => file(path), scale: 1 }
  return [...own, music, rest]
}
