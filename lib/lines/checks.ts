/** What of a brief cannot stand beside its chart: ranges, bars and scales, each said with what would do. */
import { type Brief, type BriefProblem, choices, limits } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { unrollChart } from '../changes/unrollChart.ts'
import { strayScales } from '../harmony/readHarmony.ts'
import { narrowest, rangeName, soundingRange } from '../line/draftLine.ts'
import { readOwnFigures } from '../line/ownFigures.ts'
import type { Instrument } from '../theory/instrument.ts'

type Said = Pick<BriefProblem, 'found' | 'expected' | 'hint'>

function rangeProblem(brief: Brief, refused: Said): BriefProblem {
  const choice = brief.low !== null || brief.high === null ? 'low' : 'high'
  return { severity: 'error', code: 'range-too-small', span: { start: 0, end: 0 }, choice, ...refused }
}

/** What is wrong with the range asked for: too narrow for every target to have a place. */
export function checkRange(brief: Brief, instrument: Instrument): readonly BriefProblem[] {
  const [low, high] = soundingRange(instrument, brief)
  if (high - low >= narrowest) return []
  const said = rangeName(brief.low ?? instrument.comfortable[0], brief.high ?? instrument.comfortable[1])
  return [
    rangeProblem(brief, {
      found: `a written range from ${said}`,
      expected: `at least ${narrowest} semitones from low to high, so that every target has a place`,
      hint: `for ${instrument.name}, try ${rangeName(...instrument.comfortable)}`,
    }),
  ]
}

/** What is wrong with the bars asked for: too many as played, or such as are not there. */
export function checkBars(chart: Chart, brief: Brief): readonly BriefProblem[] {
  const played = chart.playOrder.length * brief.choruses
  const problem = (choice: BriefProblem['choice'], code: string, refused: Said): BriefProblem => ({
    severity: 'error',
    code,
    span: { start: 0, end: 0 },
    choice,
    ...refused,
  })
  if (played > limits.bars)
    return [
      problem(brief.choruses > 1 ? 'choruses' : 'changes', 'too-many-bars', {
        found: `${played} bars as played`,
        expected: `at most ${limits.bars}`,
        hint: brief.choruses > 1 ? 'ask for fewer choruses' : 'take a part of the tune',
      }),
    ]
  if (brief.bars && brief.bars[1] > played)
    return [
      problem('bars', 'no-such-bars', {
        found: `bars ${brief.bars[0]}-${brief.bars[1]}`,
        expected: `bars from 1 to ${played}`,
        hint: `try 1-${Math.min(played, brief.bars[1] - brief.bars[0] + 1)}`,
      }),
    ]
  const stray = brief.again.find(({ from, to }) => from < 1 || to > played || from > to)
  if (stray !== undefined)
    return [
      problem('again', 'no-such-bars', {
        found: choices.again.text([stray]),
        expected: `bars from 1 to ${played}, the first before the last, and a seed`,
        hint: `try 1-${Math.min(played, 4)}:2`,
      }),
    ]
  if (drillBars(brief, played) > mostDrilled)
    return [
      problem('each', 'too-long-a-drill', {
        found: `a fresh drill of ${played} bars in each of ${keysOf(brief)} keys`,
        expected: `at most ${mostDrilled} bars in all keys together`,
        hint: 'try --each same, fewer keys, or a part of the tune',
      }),
    ]
  if (barsAgain(brief, played) <= mostAgain) return []
  return [
    problem('again', 'too-much-again', {
      found: `${brief.again.length} stretches of new notes over ${played} bars`,
      expected: 'fewer, or fewer bars of them',
      hint: 'take out those that later ones cover, or start from another seed',
    }),
  ]
}

/** As many bars may be written anew: eight times the longest line. */
const mostAgain = 8 * limits.bars

/** An exact drill may be drawn afresh for so many bars in all: it is weighed at every pitch that each target could have. */
const mostDrilled = 3 * limits.bars

const keysOf = ({ keys }: Brief): number => (keys === null ? 1 : typeof keys === 'string' ? limits.keys : keys.length)

/** How many bars of an exact drill are drawn, all keys together. */
const drillBars = (brief: Brief, played: number): number =>
  brief.exact && brief.each === 'fresh' ? played * keysOf(brief) : 0

/** How many bars are written anew, all stretches in all keys; what stays is looked through each time, which takes a sixteenth of it. */
function barsAgain(brief: Brief, played: number): number {
  const times = brief.each === 'fresh' ? keysOf(brief) : 1
  return brief.again.reduce((sum, { from, to }) => sum + to - from + 1 + played / 16, 0) * times
}

/** Scales chosen for single chords must fall on one. */
export function checkScales(chart: Chart, brief: Brief): readonly BriefProblem[] {
  if (brief.scales.length === 0) return []
  return strayScales(unrollChart(chart, brief.choruses), brief.scales).map((stray) => {
    const start = choices.scales.text(brief.scales.slice(0, stray)).length + (stray > 0 ? 1 : 0)
    const found = choices.scales.text(brief.scales.slice(stray, stray + 1))
    return {
      severity: 'error',
      code: 'no-chord-there',
      choice: 'scales',
      span: { start, end: start + found.length },
      found,
      expected: 'a bar and a beat at which a chord starts',
      hint: `try 1.1=${brief.scales[stray]!.scale}`,
    }
  })
}

/** What is wrong with a table of one's own figures, row by row. */
export function checkOwn({ own }: Pick<Brief, 'own'>): readonly BriefProblem[] {
  const problems = own === null ? [] : readOwnFigures(own).problems
  return problems.map((each) => ({ ...each, choice: 'own' }))
}
