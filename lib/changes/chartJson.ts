/** A chart in the shape that other programs rely on. */
import { type Place, type Problem, placeFinder, type Span } from '../problem.ts'
import { pitchClassesOf } from '../theory/chord.ts'
import { keyName } from '../theory/key.ts'
import { meterName } from '../theory/meter.ts'
import { nameOf } from '../theory/pitch.ts'
import type { Chart } from './chart.ts'

/** A problem as the JSON shows it: its place as line and column instead of a span. */
export type ProblemJson = Omit<Problem, 'span'> & Place & { readonly choice?: string }

/** Places a problem in the text it is about; `find` serves where many problems of one text are placed. */
export function problemJson(
  text: string,
  problem: Problem & { readonly choice?: string },
  find: (span: Span) => Place = placeFinder(text),
): ProblemJson {
  const { severity, code, span, found, expected, hint, replacement, choice } = problem
  const place = {
    severity,
    code,
    ...find(span),
    found,
    expected,
    hint,
    ...(replacement === undefined ? {} : { replacement }),
  }
  return choice === undefined ? place : { ...place, choice }
}

/**
 * The chart as the `chart` command prints it. `pitchClasses` count from the root, ascending, the bass apart; `ending` is the pass
 * an ending is for, or a list of them; `groups` are there where the chart says how beats are grouped; `barsKnown` is there, and false, only where the text shows chords without bars.
 */
export function chartJson(chart: Chart, text: string) {
  const find = placeFinder(text)
  return {
    title: chart.title,
    key: chart.key && keyName(chart.key),
    meter: meterName(chart.meter),
    ...(chart.barsKnown ? {} : { barsKnown: false }),
    bars: chart.bars.map((bar) => ({
      index: bar.index,
      section: bar.section,
      meter: meterName(bar.meter),
      ...(bar.meter.groups ? { groups: bar.meter.groups } : {}),
      ending: bar.ending?.length === 1 ? bar.ending[0]! : bar.ending,
      repeatStart: bar.repeatStart,
      repeatEnd: bar.repeatEnd,
      chords: bar.chords.map(({ symbol, root, chord, bass, beats }) => ({
        symbol,
        root: root && nameOf(root),
        pitchClasses: chord ? pitchClassesOf(chord) : [],
        bass: bass && nameOf(bass),
        beats,
      })),
    })),
    playOrder: chart.playOrder,
    problems: chart.problems.map((problem) => problemJson(text, problem, find)),
  }
}
