/** From lines to what is shown: each line laid out as a part and cut into sheets of eight systems, each engraved by itself. */
import type { Brief } from '../../lib/brief.ts'
import { engraveScore } from '../../lib/engrave/engraver.ts'
import { roomOn } from '../../lib/engrave/sheet.ts'
import type { Line } from '../../lib/line/line.ts'
import { linesOf } from '../../lib/score/extent.ts'
import { layScore } from '../../lib/score/layScore.ts'
import type { Score } from '../../lib/score/score.ts'
import type { View } from './display.ts'
import { sayPicture } from './words.ts'

/** Systems on a sheet: 32 bars of four a line. */
const systems = 8

/** A cut of a part that is engraved as one picture. */
export interface Sheet {
  readonly score: Score
  readonly first: boolean
}

/** Width of the picture in CSS pixels, so that its staves come out at a size to read; one bar of large print needs more than one of usual. */
const widths: Readonly<Record<View['across'], number>> = { '4': 980, '2': 500, '1': 290 }
const widthOf = (across: View['across'], { print }: Pick<Brief, 'print'>): number =>
  across === '1' && print === 'large' ? 400 : widths[across]

/** The part of a line for the screen. */
export function partOf(line: Line, brief: Brief, across: View['across']): Score {
  if (across === '4') return layScore(line, brief)
  const barsPerLine = Number(across)
  // What is said under chords cannot be set as close as notes can.
  const labelled = brief.show.includes('analysis') || brief.show.includes('scales')
  const room = 0.93 * roomOn({ paper: 'screen', width: widthOf(across, brief), large: brief.print === 'large' })
  return layScore(line, brief, labelled ? { barsPerLine, room } : { barsPerLine })
}

/**
 * Cuts a line's part into sheets. However many bars stand across, a sheet holds the same bars: those of eight systems of the
 * usual layout.
 *
 * @param usual - the part in the usual layout, where it is at hand
 */
export function sheetsOf(
  line: Line,
  brief: Brief,
  across: View['across'],
  usual: Score = partOf(line, brief, '4'),
): readonly Sheet[] {
  const score = across === '4' ? usual : partOf(line, brief, across)
  const starts = linesOf(usual.bars).flatMap(([first], line) => (line % systems === 0 ? [first] : []))
  return starts.map((from, index) => ({
    score: { ...score, bars: score.bars.slice(from, starts[index + 1]) },
    first: index === 0,
  }))
}

/** The picture of a sheet. */
export async function engraveSheet(sheet: Sheet, brief: Brief, across: View['across'], prefix = ''): Promise<string> {
  const marks = { show: brief.show, head: sheet.first, prefix }
  const [svg = ''] = await engraveScore(sheet.score, marks, {
    paper: 'screen',
    width: widthOf(across, brief),
    large: brief.print === 'large',
    title: sheet.score.title || 'Untitled',
    description: sayPicture(sheet.score, brief),
  })
  return svg
}
