/** A page of music as a picture: PNG, in the same faces as on paper. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { initWasm, Resvg } from '@resvg/resvg-wasm'
import { musicScale } from './pdf/pdfFonts.ts'

const require = createRequire(import.meta.url)
const file = (path: string): Uint8Array => readFileSync(require.resolve(path))

/** Words, and flats, sharps and notes among them; resvg reads WOFF2 and bare TrueType. */
const faces = [
  '@fontsource/tinos/files/tinos-latin-400-normal.woff2',
  '@fontsource/tinos/files/tinos-latin-700-normal.woff2',
  '@fontsource/tinos/files/tinos-latin-400-italic.woff2',
  '@fontsource/noto-music/files/noto-music-music-400-normal.woff2',
]
/** Read only where a title needs them. */
const otherLetters = ['latin-ext', 'greek', 'cyrillic'].map(
  (script) => `@fontsource/tinos/files/tinos-${script}-400-normal.woff2`,
)

let loading: Promise<void> | undefined
const buffers = new Map<string, Uint8Array>()

function face(path: string): Uint8Array {
  const known = buffers.get(path) ?? file(path)
  buffers.set(path, known)
  return known
}

/**
 * One engraved page as a PNG on white, so many pixels wide.
 *
 * @param svg - a page as the engraver gives it
 * @returns the bytes of the file, the same for the same page and width
 */
export async function writePng(svg: string, width: number): Promise<Uint8Array> {
  loading ??= initWasm(file('@resvg/resvg-wasm/index_bg.wasm'))
  await loading
  const letters = /[\u0100-\u024f\u0370-\u052f]/.test(svg) ? otherLetters : []
  const picture = new Resvg(readyForResvg(svg), {
    font: { fontBuffers: [...faces, ...letters].map(face), defaultFontFamily: 'Tinos', serifFamily: 'Tinos' },
    fitTo: { mode: 'width', value: width },
    background: '#ffffff',
  })
  const image = picture.render()
  const bytes = image.asPng()
  image.free()
  picture.free()
  return bytes
}

/**
 * Resvg settles the current colour where it is named, browsers where it is used. Flats, sharps and notes among words are set as
 * large as in print.
 */
const readyForResvg = (svg: string): string =>
  svg
    .replace(/<(ellipse|path|polygon|polyline|rect) (?![^>]*\bstroke=)/g, '<$1 stroke="currentColor" ')
    .replace(/<tspan font-size="(\d+)px">([^<]*[♭♮♯♩♪][^<]*)<\/tspan>/g, (_, size: string, words: string) => {
      const signs = `<tspan font-size="${Math.round(Number(size) * musicScale)}px">$&</tspan>`
      return `<tspan font-size="${size}px">${words.replace(/[♭♮♯♩♪]+/g, signs)}</tspan>`
    })
