/** The list of figures as a written part: a bar a figure, over it its offsets and how often it is heard. */
import type { Brief } from '../brief.ts'
import type { FigureGroup } from '../drill/figureSheet.ts'
import type { ListedFigure } from '../line/figureList.ts'
import { joinScores } from './joinScores.ts'
import { layScore } from './layScore.ts'
import type { Score, ScoreBar } from './score.ts'

/** Bars a line, by how many notes stand in them. */
const barsPerLine = 6

/**
 * What stands over a figure: its offsets or its name, and its count; a dagger where recordings hardly hold it.
 *
 * @example
 * figureLabel({ kind: 'approach', class: 'enclosure', offsets: [2, -1], count: 65, dead: false }) // => '2 −1 · 65'
 */
export function figureLabel({
  kind,
  class: name,
  offsets,
  count,
  dead,
}: Pick<ListedFigure, 'kind' | 'class' | 'offsets' | 'count' | 'dead'>): string {
  const called = kind === 'cell' ? name.replaceAll('_', 'low ') : offsets.join(' ').replaceAll('-', '−')
  return `${called} · ${count}${dead ? ' †' : ''}`
}

/** The groups as one part, each under its name. */
export function figureScore(groups: readonly FigureGroup[], brief: Brief, title: string): Score {
  const names = groups.map(({ name }) => name)
  const scores = groups.map(({ line, figures }) => {
    const score = layScore(line, { ...brief, title, changes: '' }, { barsPerLine })
    const bars = score.bars.map(
      (bar, b): ScoreBar => ({
        ...bar,
        meterShown: false,
        barline: 'double',
        harmony: [labelOver(bar, figureLabel(figures[b]!))],
      }),
    )
    return { ...score, styleLine: 'Semitones from the target · how often heard in recorded solos', bars }
  })
  let next = 0
  return joinScores(scores, () => names[next++]!)
}

const labelOver = ({ harmony }: ScoreBar, symbol: string): ScoreBar['harmony'][number] => {
  // Every label is said, though its chord goes on.
  const { again: _, ...chord } = harmony[0]!
  return { ...chord, symbol, root: null, chord: null, bass: null }
}
