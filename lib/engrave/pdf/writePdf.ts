/** A book as PDF: pieces of music engraved on sheets, with heads, feet, page numbers and bookmarks. */

import type { Mark } from '../../brief.ts'
import { type Extent, extentOf } from '../../score/extent.ts'
import { writeMei } from '../../score/writeMei.ts'
import { engraveSvg } from '../engraver.ts'
import type { Sheet } from '../sheet.ts'
import { openPdf } from './openPdf.ts'
import { evenPages, sheetsOf } from './pdfSheets.ts'
import type { Layout } from './pieces.ts'

export interface Book extends Layout {
  readonly title: string
  /** The language of its words, such as `en`. */
  readonly language: string
  readonly show: readonly Mark[]
  /** The ink of targets, six-digit hex; else that of the writer of MEI. */
  readonly accent?: string
}

export interface Binding {
  /** Who engraves, where not this process's own engraver; it is told how far the music reaches. */
  readonly engrave?: (mei: string, sheet: Sheet, extent: Extent) => Promise<readonly string[]>
  /** Told after each piece. */
  readonly progress?: (done: number, of: number) => void
}

/**
 * Writes a book as PDF: a piece starts a sheet, short ones that follow each other share one, and long ones fill theirs evenly.
 * Fonts are embedded, text is text.
 *
 * @returns the bytes of the file, the same for the same book
 */
export async function writePdf(book: Book, binding: Binding = {}): Promise<Uint8Array> {
  const { engrave = engraveSvg, progress } = binding
  const { pieces } = book
  const subject = book.cover?.words ?? null
  const { ink, close } = openPdf({ title: book.title, language: book.language, paper: book.paper, subject })
  const sheets = sheetsOf(ink, book)

  const engravePiece = async (index: number): Promise<readonly string[]> => {
    const { score } = pieces[index]!
    const accent = book.accent === undefined ? {} : { accent: book.accent }
    const marks = { show: book.show, head: false, ...accent }
    const extent = extentOf(score, marks)
    const sheet = sheets.sheetFor(index)
    const engraved = await engrave(writeMei(score, marks), sheet, extent)
    const pages = evenPages(engraved)
    if (pages === null) return engraved
    return engrave(writeMei(score, { ...marks, pages }), { ...sheet, marked: true }, extent)
  }
  const going: Promise<readonly string[]>[] = []
  for (let index = 0; index < pieces.length; index++) {
    while (going.length < Math.min(pieces.length, index + 2)) going.push(engravePiece(going.length))
    sheets.put(index, await going[index]!)
    going[index] = Promise.resolve([])
    progress?.(index + 1, pieces.length)
  }
  sheets.finish()
  return close()
}
