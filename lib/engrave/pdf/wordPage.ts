/** Pages of words and boxes, filled from the top: the covers and plans that stand beside the music. */
import { drawFoot, margin, type Sizes } from './headAndFoot.ts'
import type { PdfInk } from './pdfDraw.ts'
import { penOn } from './pdfPen.ts'

/** What draws on an open page. */
export interface Paper {
  readonly ink: PdfInk
  readonly sizes: Sizes
  readonly width: number
  /** What stands at the foot of every page but the first. */
  readonly title: string
  pages: number
  /** How far down the open page is filled, and where its room ends. */
  y: number
  end: number
}

/** The line of a box. */
export const thin = { fill: null, stroke: '#000000', width: 0.6, cap: 'butt', join: 'miter', dash: '' }

/** Goes on to a new page, with its foot. */
export function openPage(paper: Paper): void {
  const { document } = paper.ink
  document.addPage()
  paper.ink.pen = penOn(document)
  paper.pages += 1
  paper.y = margin
  paper.end = document.page.height - margin
  drawFoot(paper.ink, paper.pages === 1 ? null : paper.title, paper.pages, paper.sizes)
}
