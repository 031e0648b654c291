/** A PDF document to draw into: tagged with what it is, its faces at hand, the same bytes for the same drawing. */
import PDFDocument from 'pdfkit'
import { edition } from '../../edition.ts'
import type { PdfInk } from './pdfDraw.ts'
import { penOn } from './pdfPen.ts'
import { textIn } from './pdfText.ts'

/** One day for every document, so that the same document has the same bytes. */
const everyDay = new Date(Date.UTC(2000, 0, 1))

export interface PdfFacts {
  readonly title: string
  /** The language of its words, such as `en`. */
  readonly language: string
  readonly paper: 'A4' | 'Letter'
  /** What it is about; null where the title says it. */
  readonly subject: string | null
}

/** A document without pages, and how to close it and have its bytes. */
export function openPdf({ title, language, paper, subject }: PdfFacts): {
  readonly ink: PdfInk
  readonly close: () => Promise<Uint8Array>
} {
  const document = new PDFDocument({
    autoFirstPage: false,
    size: paper === 'A4' ? 'A4' : 'LETTER',
    margin: 0,
    pdfVersion: '1.7',
    lang: language,
    displayTitle: true,
    info: {
      Title: title,
      Creator: 'Throughline',
      Producer: `Throughline, edition ${edition}`,
      CreationDate: everyDay,
      ...(subject === null ? {} : { Subject: subject }),
    },
  })
  const chunks: Buffer[] = []
  document.on('data', (chunk: Buffer) => chunks.push(chunk))
  const ended = new Promise<void>((resolve) => document.on('end', () => resolve()))
  return {
    ink: { document, pen: penOn(document), text: textIn(document), signs: new Map() },
    close: async () => {
      document.end()
      await ended
      return Buffer.concat(chunks)
    },
  }
}
