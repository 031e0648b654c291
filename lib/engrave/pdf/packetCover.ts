/** The cover of a class packet: the tune, its changes bar by bar, what the packet holds, and the link with its code. */
import type { Brief } from '../../brief.ts'
import type { Bar, Chart } from '../../changes/chart.ts'
import { printBeats } from '../../changes/printChart.ts'
import { styleWith } from '../../changes/symbol/printSymbol.ts'
import { homeOf } from '../../lines/write.ts'
import { keyName } from '../../theory/key.ts'
import { meterText } from '../../theory/meter.ts'
import { withSigns } from '../../theory/signs.ts'
import { briefInWords } from '../briefInWords.ts'
import { coverHeight, drawCover, fitted, margin, millimetre, sizesFor } from './headAndFoot.ts'
import { openPdf } from './openPdf.ts'
import type { Style } from './pdfFonts.ts'
import { n } from './pdfPen.ts'
import { openPage, type Paper, thin } from './wordPage.ts'

export interface PacketCover {
  readonly chart: Chart
  readonly brief: Brief
  readonly link: string | null
  /** The names of all files, folders before them. */
  readonly files: readonly string[]
}

const barsPerLine = 4
const thick = { ...thin, width: 2 }

/** Sets words on one line, made smaller where they are too wide, at their share of the room: 0 left, 0.5 in the middle, 1 right. */
function put(
  { ink }: Paper,
  text: string,
  [x, y, width]: readonly [x: number, y: number, width: number],
  size: number,
  style: Style = 'regular',
  share = 0,
): void {
  const runs = fitted(ink, text, size, style, width)
  ink.text.set(ink.pen, runs, x + share * (width - ink.text.width(runs)), y)
}

/** A line of its own, over the whole width. */
function putLine(paper: Paper, text: string, size: number, style: Style = 'regular', share = 0): void {
  if (paper.y + 1.4 * size > paper.end) openPage(paper)
  paper.y += 1.4 * size
  put(paper, text, [margin, paper.y, paper.width], size, style, share)
}

/** The bars that stand on each line: four, and a new line where a section begins. */
function linesOf(bars: readonly Bar[]): readonly (readonly Bar[])[] {
  const lines: Bar[][] = []
  for (const bar of bars) {
    const last = lines.at(-1)
    if (last && last.length < barsPerLine && last.at(-1)!.section === bar.section) last.push(bar)
    else lines.push([bar])
  }
  return lines
}

/** What stands over a bar: its section where that is new, its meter where that changes, its ending, and the signs of its way. */
function overBar(bar: Bar, before: Bar | undefined, meter: string): string {
  const ending = bar.ending && bar.ending.join() !== before?.ending?.join() ? `${bar.ending.join(', ')}.` : ''
  const key = bar.key && withSigns(keyName(bar.key))
  const time = meterText(bar.meter) === meter ? '' : meterText(bar.meter)
  return [key ?? '', time, ending, ...(bar.marks ?? [])].filter((each) => each !== '').join('  ')
}

/** The changes as boxes, a bar each. */
function drawBars(paper: Paper, { bars, meter: usual }: Chart, brief: Brief): void {
  const { ink, sizes } = paper
  const style = styleWith(brief.majorSign, brief.minorSign)
  const across = paper.width / barsPerLine
  const high = 2.2 * sizes.text
  let before: Bar | undefined
  let meter = meterText(usual)
  for (const line of linesOf(bars)) {
    const opens = line[0]!.section !== null && line[0]!.section !== before?.section
    const over = line.map((bar, i) =>
      overBar(bar, i === 0 ? before : line[i - 1], i === 0 ? meter : meterText(line[i - 1]!.meter)),
    )
    const head = (opens ? 1.5 * sizes.text : 0) + (over.some((each) => each !== '') ? 1.3 * sizes.small : 0)
    if (paper.y + head + high > paper.end) openPage(paper)
    if (opens) putLine(paper, line[0]!.section!, sizes.text, 'bold')
    if (over.some((each) => each !== '')) paper.y += 1.3 * sizes.small
    line.forEach((bar, i) => {
      const x = margin + i * across
      put(paper, over[i]!, [x + 2, paper.y - 2, across - 4], sizes.small, 'italic')
      ink.pen.path(`${n(x)} ${n(paper.y)} ${n(across)} ${n(high)} re`, thin)
      const chords = printBeats(bar.chords, bar.meter, style)
      put(paper, chords, [x + 7, paper.y + 1.4 * sizes.text, across - 14], sizes.text)
      if (bar.repeatStart) drawRepeat(paper, x, high, 1)
      if (bar.repeatEnd) drawRepeat(paper, x + across, high, -1, bar.times)
    })
    paper.y += high
    before = line.at(-1)
    meter = meterText(before!.meter)
  }
}

/** A repeat at a side of a bar: the thick stroke and its two dots, and how often where that is said. */
function drawRepeat(paper: Paper, x: number, high: number, side: 1 | -1, times?: number): void {
  const { pen } = paper.ink
  pen.path(`${n(x + side)} ${n(paper.y)} m ${n(x + side)} ${n(paper.y + high)} l`, thick)
  for (const at of [0.38, 0.62])
    pen.path(`${n(x + side * 4 - 0.7)} ${n(paper.y + at * high - 0.7)} 1.4 1.4 re`, {
      ...thin,
      fill: '#000000',
      stroke: null,
    })
  if (times !== undefined) put(paper, `${times} times`, [x - 60, paper.y - 2, 58], paper.sizes.small, 'italic', 1)
}

/** The files, folder by folder, in two columns. */
function drawFiles(paper: Paper, files: readonly string[]): void {
  const { small } = paper.sizes
  const folders = new Map<string, string[]>()
  for (const file of files) {
    const [folder, name] = file.includes('/') ? (file.split('/') as [string, string]) : ['', file]
    folders.set(folder, [...(folders.get(folder) ?? []), name])
  }
  const across = paper.width / 2
  for (const [folder, names] of folders) {
    if (folder !== '') {
      if (paper.y + 4.2 * small > paper.end) openPage(paper)
      paper.y += 0.5 * small
      putLine(paper, `${folder}/`, small, 'bold')
    }
    const rows = Math.ceil(names.length / 2)
    for (let row = 0; row < rows; row++) {
      if (paper.y + 1.3 * small > paper.end) openPage(paper)
      paper.y += 1.3 * small
      for (const [column, name] of [names[row], names[row + rows]].entries())
        if (name !== undefined) put(paper, name, [margin + column * across, paper.y, across - 6], small)
    }
  }
}

/** Writes the cover, the same bytes for the same packet. */
export async function writePacketCover({ chart: read, brief, link, files }: PacketCover): Promise<Uint8Array> {
  const { chart, harmony } = homeOf(read, brief)
  const title = brief.title ?? chart.title ?? 'Lines'
  const words = briefInWords(brief)
  const { ink, close } = openPdf({
    title: `${title}, class packet`,
    language: 'en',
    paper: brief.paper,
    subject: words,
  })
  const sizes = sizesFor(brief.print === 'large')
  const paper: Paper = { ink, sizes, width: 0, title: `${title} · Class packet`, pages: 0, y: 0, end: 0 }
  openPage(paper)
  const page = { ...paper, width: ink.document.page.width - 2 * margin }
  page.end -= coverHeight(ink, { words, link }, sizes, ink.document.page.width)
  drawCover(ink, { words, link }, sizes)
  page.y += 0.4 * sizes.title
  putLine(page, title, 1.3 * sizes.title, 'regular', 0.5)
  const facts = [
    chart.composer,
    'Class packet',
    `${withSigns(keyName(harmony.key))} (concert pitch)`,
    meterText(chart.meter),
  ]
  putLine(page, facts.filter((each) => each !== null).join(' · '), sizes.text, 'regular', 0.5)
  page.y += 3 * millimetre
  drawBars(page, chart, brief)
  page.y += 4 * millimetre
  putLine(page, `What is in it: ${files.length} files`, sizes.text, 'bold')
  drawFiles(page, files)
  return close()
}
