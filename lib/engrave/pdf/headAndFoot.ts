/** What stands on a sheet besides the music: title, part and style above; the brief, its link and code, the page number below. */
import { encode } from 'uqr'
import type { Score } from '../../score/score.ts'
import type { PdfInk } from './pdfDraw.ts'
import type { Style } from './pdfFonts.ts'
import { n } from './pdfPen.ts'
import type { Run } from './pdfText.ts'
import type { Cover } from './pieces.ts'

/** Points in a millimetre. */
export const millimetre = 72 / 25.4

/** Free on every side of a sheet. */
export const margin = 15 * millimetre

/** The sizes of words on a sheet, in points. */
export interface Sizes {
  readonly title: number
  readonly text: number
  readonly small: number
}

export const sizesFor = (large: boolean): Sizes =>
  large ? { title: 21, text: 14, small: 11 } : { title: 17, text: 11, small: 8.5 }

/** Room for the head, from the top margin to the music. */
export const headHeight = ({ title, text }: Sizes): number => 0.8 * title + 4 * text

const run = (text: string, size: number, style: Style = 'regular', fill = '#000000'): Run => ({
  text,
  size,
  style,
  fill,
  raise: 0,
})

/** Title in the middle with a name under it, part and style on the left, composer on the right. */
export function drawHead(ink: PdfInk, score: Score, name: string | null, sizes: Sizes): void {
  const { width } = ink.document.page
  const wide = width - 2 * margin
  const first = margin + 0.8 * sizes.title
  const second = first + 1.45 * sizes.text
  const third = second + 1.25 * sizes.text
  const part = score.concert ? `${score.instrument.name}, concert pitch` : score.instrument.name
  line(ink, fitted(ink, score.title, sizes.title, 'regular', wide), margin, first, wide, 0.5)
  line(ink, fitted(ink, part, sizes.text, 'bold', 0.45 * wide), margin, second, wide, 0)
  if (name !== null) line(ink, fitted(ink, name, sizes.text, 'bold', 0.3 * wide), margin, second, wide, 0.5)
  if (score.composer !== null)
    line(ink, fitted(ink, score.composer, sizes.text, 'regular', 0.3 * wide), margin, second, wide, 1)
  line(ink, fitted(ink, score.styleLine, sizes.text, 'regular', wide), margin, third, wide, 0)
}

/** Room for a heading over a piece that shares its sheet with others. */
export const nameHeight = ({ text }: Sizes): number => 1.6 * text

/** Draws that heading and returns its height. */
export function drawName(ink: PdfInk, name: string, y: number, sizes: Sizes): number {
  const wide = ink.document.page.width - 2 * margin
  line(ink, fitted(ink, name, sizes.text, 'bold', wide), margin, y + 0.9 * sizes.text, wide, 0)
  return nameHeight(sizes)
}

/** Sets a line at its share of the free width: 0 left, 0.5 in the middle, 1 right. */
function line(ink: PdfInk, runs: readonly Run[], x: number, y: number, width: number, share: number): void {
  ink.text.set(ink.pen, runs, x + share * (width - ink.text.width(runs)), y)
}

/** Words made to fit a width: smaller down to three fifths, then cut short. */
export function fitted(ink: PdfInk, text: string, size: number, style: Style, width: number): readonly Run[] {
  const whole = ink.text.width([run(text, size, style)])
  if (whole <= width) return [run(text, size, style)]
  const least = 0.6 * size
  if ((whole * least) / size <= width) return [run(text, (size * width) / whole, style)]
  return [run(shorten(ink, text, least, style, width), least, style)]
}

function shorten(ink: PdfInk, text: string, size: number, style: Style, width: number): string {
  const letters = [...text]
  let [from, to] = [0, letters.length]
  while (from < to) {
    const middle = (from + to + 1) >> 1
    const short = `${letters.slice(0, middle).join('').trimEnd()}…`
    if (ink.text.width([run(short, size, style)]) <= width) from = middle
    else to = middle - 1
  }
  return from === letters.length ? text : `${letters.slice(0, from).join('').trimEnd()}…`
}

/** The code for a link: squares of a third of a millimetre and more, 33 mm at most; null for a link that needs more. */
interface Code {
  readonly rows: readonly (readonly boolean[])[]
  readonly square: number
}

function codeFor(link: string | null): Code | null {
  // A code of version 21 holds 929 characters (ISO/IEC 18004) on 101 squares.
  if (link === null || new TextEncoder().encode(link).length > 929) return null
  const { data } = encode(link, { ecc: 'L', border: 0 })
  return { rows: data, square: Math.max(0.33, Math.min(0.45, 24 / data.length)) * millimetre }
}

const footLine = 9 * millimetre

/** Room that the first sheet's foot takes above the bottom margin. */
export function coverHeight(ink: PdfInk, cover: Cover | null, sizes: Sizes, pageWidth: number): number {
  if (cover === null) return 0
  const { high } = coverBox(ink, cover, sizes, pageWidth)
  return Math.max(0, footLine + high + 4 * millimetre - margin)
}

function coverBox(ink: PdfInk, cover: Cover, sizes: Sizes, pageWidth: number) {
  const code = codeFor(cover.link)
  const side = code ? code.rows.length * code.square : 0
  const left = margin + (code ? side + 4 * millimetre : 0)
  const width = pageWidth - margin - left - 12 * millimetre
  const words = wrap(ink, cover.words, sizes.small, width).slice(0, 5)
  const lines = words.length + (cover.link === null ? 0 : 1)
  return { code, side, left, width, words, high: Math.max(side, lines * 1.3 * sizes.small) }
}

/** The foot of the first sheet: the code, and beside it the brief and its link. */
export function drawCover(ink: PdfInk, cover: Cover, sizes: Sizes): void {
  const { document, pen } = ink
  const bottom = document.page.height - footLine
  const { code, side, left, width, words, high } = coverBox(ink, cover, sizes, document.page.width)
  if (code) {
    const squares = code.rows.flatMap((row, y) =>
      stretches(row).map(([from, to]) => square(code, bottom, side, y, from, to)),
    )
    pen.write(`q ${squares.join(' ')} f Q`)
    if (cover.link !== null) document.link(margin, bottom - side, side, side, cover.link)
  }
  let y = bottom - high + sizes.small
  for (const words_ of words) {
    ink.text.set(pen, [run(words_, sizes.small)], left, y)
    y += 1.3 * sizes.small
  }
  if (cover.link === null) return
  const shown = shorten(ink, cover.link.replace(/^https?:\/\//, ''), sizes.small, 'regular', width)
  const runs = [run(shown, sizes.small, 'regular', '#1f4e8c')]
  ink.text.set(pen, runs, left, y)
  document.link(left, y - sizes.small, ink.text.width(runs), 1.3 * sizes.small, cover.link)
}

/** The stretches of dark squares in a row of the code. */
function stretches(row: readonly boolean[]): readonly (readonly [number, number])[] {
  const found: [number, number][] = []
  row.forEach((dark, x) => {
    const last = found.at(-1)
    if (!dark) return
    if (last && last[1] === x) last[1] = x + 1
    else found.push([x, x + 1])
  })
  return found
}

const square = ({ square }: Code, bottom: number, side: number, y: number, from: number, to: number): string =>
  `${n(margin + from * square)} ${n(bottom - side + y * square)} ${n((to - from) * square)} ${n(square)} re`

/** Page number on the right; on later sheets the title on the left, so that a loose sheet can be told. */
export function drawFoot(ink: PdfInk, words: string | null, page: number, sizes: Sizes): void {
  const { width, height } = ink.document.page
  const wide = width - 2 * margin
  const y = height - footLine
  line(ink, [run(String(page), sizes.small)], margin, y, wide, 1)
  if (words !== null) line(ink, fitted(ink, words, sizes.small, 'regular', 0.85 * wide), margin, y, wide, 0)
}

/** Text broken into lines of a width, at its spaces. */
export function wrap(ink: PdfInk, text: string, size: number, width: number): readonly string[] {
  const lines: string[] = []
  for (const word of text.split(/\s+/).filter((each) => each !== '')) {
    const longer = lines.length === 0 ? word : `${lines.at(-1)} ${word}`
    if (lines.length > 0 && ink.text.width([run(longer, size)]) <= width) lines[lines.length - 1] = longer
    else lines.push(word)
  }
  return lines
}
