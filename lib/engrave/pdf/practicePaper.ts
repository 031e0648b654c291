/** A plan on paper, for a player without a screen: a box for each key at each tempo, and the days with boxes to tick. */
import { careWords } from '../../practice/care.ts'
import { type PracticePlan, temposOf } from '../../practice/plan.ts'
import type { PlanDay } from '../../practice/planDay.ts'
import { linesOfDay, sayDay, sayPlan, titleOfPlan } from '../../practice/planText.ts'
import { verdicts } from '../../practice/spacing.ts'
import { withSigns } from '../../theory/signs.ts'
import { coverHeight, drawCover, margin, millimetre, sizesFor, wrap } from './headAndFoot.ts'
import { openPdf } from './openPdf.ts'
import type { Style } from './pdfFonts.ts'
import { n } from './pdfPen.ts'
import { openPage, type Paper, thin } from './wordPage.ts'

export interface PracticePaper {
  readonly plan: PracticePlan
  readonly days: readonly PlanDay[]
  readonly paper: 'A4' | 'Letter'
  readonly large: boolean
  /** Where the plan is opened; null where that is not known. */
  readonly link: string | null
}

function put(
  { ink }: Paper,
  text: string,
  x: number,
  y: number,
  size: number,
  style: Style = 'regular',
  share = 0,
): number {
  const runs = [{ text, size, style, fill: '#000000', raise: 0 }]
  const width = ink.text.width(runs)
  ink.text.set(ink.pen, runs, x - share * width, y)
  return width
}

const rectangle = ({ ink }: Paper, x: number, y: number, width: number, height: number): void =>
  ink.pen.path(`${n(x)} ${n(y)} ${n(width)} ${n(height)} re`, thin)

/** Sets text on as many lines as it needs. */
function paragraph(paper: Paper, text: string, size: number): void {
  for (const line of wrap(paper.ink, text, size, paper.width)) {
    paper.y += 1.3 * size
    put(paper, line, margin, paper.y, size)
  }
}

/** The boxes: a row a key, a column a tempo. */
function drawGrid(paper: Paper, plan: PracticePlan): void {
  const { text } = paper.sizes
  const tempos = temposOf(plan)
  const left = margin + 14 * millimetre
  const across = Math.min(20 * millimetre, (paper.width - 14 * millimetre) / tempos.length)
  const down = Math.min(9 * millimetre, (paper.end - paper.y - 3 * text) / plan.keys.length)
  paper.y += 1.6 * text
  tempos.forEach((tempo, i) => {
    put(paper, String(tempo), left + (i + 0.5) * across, paper.y, text, 'bold', 0.5)
  })
  paper.y += 0.5 * text
  for (const key of plan.keys) {
    put(paper, withSigns(key), left - 2 * millimetre, paper.y + 0.65 * down, text, 'bold', 1)
    tempos.forEach((_, i) => {
      rectangle(paper, left + i * across, paper.y, across, down)
    })
    paper.y += down
  }
}

/** A day: its items, each with a box for how it went. */
function drawDay(paper: Paper, day: PlanDay): void {
  const { text, small } = paper.sizes
  const lines = linesOfDay(day)
  const row = 1.65 * text
  if (paper.y + (Math.min(4, lines.length) + 2) * row > paper.end) openPage(paper)
  paper.y += 1.5 * row
  const minutes = day.rest ? 'rest' : `${day.minutes} minutes`
  put(paper, `${sayDay(day.day)}, ${minutes}`, margin, paper.y, text, 'bold')
  for (const line of lines) {
    if (paper.y + row > paper.end) openPage(paper)
    paper.y += row
    put(paper, line, margin, paper.y, text)
    let x = margin + paper.width
    for (const verdict of line.startsWith('pause') ? ['taken'] : [...verdicts].reverse()) {
      x -= put(paper, verdict, x, paper.y, small, 'regular', 1) + 1.5 * small
      rectangle(paper, x, paper.y - 0.85 * small, small, small)
      x -= 1.2 * small
    }
  }
}

/** Writes a plan as PDF, the same bytes for the same plan and days. */
export async function writePracticePaper({
  plan,
  days,
  paper: sheet,
  large,
  link,
}: PracticePaper): Promise<Uint8Array> {
  const title = titleOfPlan(plan)
  const { ink, close } = openPdf({ title, language: 'en', paper: sheet, subject: sayPlan(plan) })
  const paper: Paper = { ink, sizes: sizesFor(large), width: 0, title, pages: 0, y: 0, end: 0 }
  openPage(paper)
  const { width } = ink.document.page
  const whole = { ...paper, width: width - 2 * margin }
  const cover = { words: sayPlan(plan), link }
  whole.end -= coverHeight(ink, cover, whole.sizes, width)
  drawCover(ink, cover, whole.sizes)
  whole.y += whole.sizes.title
  const shown = wrap(ink, title, whole.sizes.title, whole.width)[0] ?? title
  put(whole, shown, width / 2, whole.y, whole.sizes.title, 'regular', 0.5)
  paragraph(whole, 'A box for each key at each tempo: write the date in it once all bars hold there.', whole.sizes.text)
  paragraph(whole, careWords, whole.sizes.small)
  drawGrid(whole, plan)
  openPage(whole)
  for (const day of days) drawDay(whole, day)
  return close()
}
