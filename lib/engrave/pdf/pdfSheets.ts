/** Puts engraved pieces on the sheets of a book: long ones on sheets of their own, short neighbours together. */
import { linesOf } from '../../score/extent.ts'
import type { Score } from '../../score/score.ts'
import { readDrawn } from '../readDrawn.ts'
import { type Sheet, smallestUnit } from '../sheet.ts'
import {
  coverHeight,
  drawCover,
  drawFoot,
  drawHead,
  drawName,
  headHeight,
  margin,
  millimetre,
  nameHeight,
  sizesFor,
} from './headAndFoot.ts'
import { drawSvg, type PdfInk } from './pdfDraw.ts'
import { penOn } from './pdfPen.ts'
import type { Layout, Piece } from './pieces.ts'

/** Systems that fill a sheet, about. */
const systemsOnSheet = (large: boolean): number => (large ? 5 : 8)

/** How many times a piece goes on a sheet. */
export const timesOnSheet = (score: Score, large: boolean): number =>
  Math.floor(systemsOnSheet(large) / Math.max(1, linesOf(score.bars).length))

/** Whether two pieces may stand on one sheet, under one head. */
function together(a: Piece | undefined, b: Piece | undefined, large: boolean): boolean {
  if (!a || !b || a.group !== b.group || a.score.instrument !== b.score.instrument) return false
  if (a.score.title !== b.score.title || a.score.concert !== b.score.concert) return false
  return [a, b].every(({ score }) => timesOnSheet(score, large) > 1)
}

/** Room between two pieces on a sheet, at least and at most. */
const gap = { least: 3 * millimetre, most: 20 * millimetre }
const papers = { A4: [595.28, 841.89], Letter: [612, 792] } as const

export interface Sheets {
  /** How a piece is to be engraved. */
  readonly sheetFor: (index: number) => Sheet
  /** Puts the next piece, as engraved for its sheet. */
  readonly put: (index: number, engraved: readonly string[]) => void
  /** Puts what still waits for others to share its sheet. */
  readonly finish: () => void
}

/** A short piece that waits for its neighbours. */
interface Waiting {
  readonly piece: Piece
  readonly svg: string
  readonly high: number
}

export function sheetsOf(ink: PdfInk, { paper, large, cover, pieces }: Layout): Sheets {
  const { document } = ink
  const [width, height] = papers[paper]
  const sizes = sizesFor(large)
  const head = headHeight(sizes)
  const groups = new Map<string, PDFKit.PDFOutline>()
  let pages = 0
  let waiting: Waiting[] = []

  const footOf = (page: number) => (page === 1 ? coverHeight(ink, cover, sizes, width) : 0)
  const roomOf = (page: number) => height - 2 * margin - head - footOf(page)
  const shares = (index: number) =>
    together(pieces[index - 1], pieces[index], large) || together(pieces[index], pieces[index + 1], large)

  const openSheet = ({ score, name }: Piece, shared: boolean) => {
    pages += 1
    document.addPage()
    ink.pen = penOn(document)
    drawHead(ink, score, shared ? null : name, sizes)
    if (pages === 1 && cover) drawCover(ink, cover, sizes)
    const running = [score.title, score.instrument.name, shared ? null : name].filter((words) => words)
    drawFoot(ink, pages === 1 && cover ? null : running.join(' · '), pages, sizes)
  }
  const mark = ({ group, bookmark }: Piece) => {
    const { outline } = document
    if (group !== null && !groups.has(group)) groups.set(group, outline.addItem(group))
    if (bookmark !== null) (group === null ? outline : groups.get(group)!).addItem(bookmark)
  }
  const putTogether = (some: readonly Waiting[]) => {
    openSheet(some[0]!.piece, true)
    const spare = (roomOf(pages) - some.reduce((sum, each) => sum + needOf(each), 0)) / some.length
    let y = margin + head
    for (const { piece, svg, high } of some) {
      mark(piece)
      if (piece.name !== null) y += drawName(ink, piece.name, y, sizes)
      drawSvg(ink, svg, 0, y, width)
      y += high + Math.min(gap.most, gap.least + spare)
    }
  }
  const needOf = ({ piece, high }: Waiting) => high + gap.least + (piece.name === null ? 0 : nameHeight(sizes))
  const finish = () => {
    const blocks: Waiting[][] = []
    for (const each of waiting) {
      if (each.piece.under && blocks.length > 0) blocks.at(-1)!.push(each)
      else blocks.push([each])
    }
    const needs = blocks.map((block) => block.reduce((sum, each) => sum + needOf(each), 0))
    let from = 0
    for (const count of share(needs, (sheet) => roomOf(pages + 1 + sheet))) {
      putTogether(blocks.slice(from, from + count).flat())
      from += count
    }
    waiting = []
  }
  return {
    sheetFor: (index) => {
      // Staves of one size under one head, whatever the keys.
      if (shares(index)) return { paper, large, short: true, unit: smallestUnit }
      const tenths = (points: number) => Math.round((10 * points) / millimetre)
      return { paper, large, head: tenths(head), foot: tenths(index === 0 ? footOf(1) : 0) }
    },
    put: (index, engraved) => {
      const piece = pieces[index]!
      if (!together(waiting.at(-1)?.piece, piece, large)) finish()
      if (shares(index) && engraved.length === 1) {
        const svg = engraved[0]!
        const page = readDrawn(svg)
        waiting.push({ piece, svg, high: (width * page.height) / page.width })
        return
      }
      engraved.forEach((svg, page) => {
        openSheet(piece, false)
        if (page === 0) mark(piece)
        drawSvg(ink, svg, 0, 0, width)
      })
    },
    finish,
  }
}

/** How many blocks each sheet takes: as few sheets as can be, and the blocks shared out evenly where that fits. */
function share(needs: readonly number[], room: (sheet: number) => number): readonly number[] {
  const full: number[] = []
  let used = 0
  for (const need of needs) {
    if (full.length > 0 && used + need <= room(full.length - 1)) {
      full[full.length - 1]! += 1
      used += need
    } else {
      full.push(1)
      used = need
    }
  }
  const even = full.map(
    (_, sheet) =>
      Math.ceil((needs.length * (sheet + 1)) / full.length) - Math.ceil((needs.length * sheet) / full.length),
  )
  let from = 0
  const fits = even.every((count, sheet) => {
    const sum = needs.slice(from, from + count).reduce((a, b) => a + b, 0)
    from += count
    return sum <= room(sheet)
  })
  return fits ? even : full
}

/**
 * The lines that begin a page where pages are to hold as many lines each; null where the last page is filled well enough as it is.
 */
export function evenPages(engraved: readonly string[]): readonly number[] | null {
  const counts = engraved.map((svg) => readDrawn(svg).systems)
  const systems = counts.reduce((a, b) => a + b, 0)
  if (counts.length < 2 || counts.at(-1)! >= 0.7 * Math.max(...counts)) return null
  return counts.map((_, page) => Math.ceil((systems * page) / counts.length))
}
