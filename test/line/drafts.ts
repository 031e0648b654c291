/** Drafts for tests: a chart and choices in words, a line in numbers back. */
import { type Brief, readBrief } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import type { Harmony } from '../../lib/harmony/harmony.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { type Draft, draftLine, soundingRange } from '../../lib/line/draftLine.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'

/** A brief from choices as the command line has them; throws where one is wrong. */
export function briefOf(given: Readonly<Record<string, string>>): Brief {
  const { brief, problems } = readBrief(given)
  if (problems.length > 0) throw new Error(`${problems[0]!.choice}: ${problems[0]!.found}`)
  return brief
}

export function harmonyOf(changes: string): Harmony {
  const chart = readChart(changes)
  const error = chart.problems.find(({ severity }) => severity === 'error')
  if (error) throw new Error(`${error.found}; expected ${error.expected}`)
  return readHarmony(unrollChart(chart))
}

/** The draft of a brief in its own key, or the codes of its problems. */
export function draftOf(changes: string, given: Readonly<Record<string, string>> = {}) {
  const brief = briefOf({ ...given, changes })
  const harmony = harmonyOf(changes)
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  const drawn = draftLine(harmony, brief, range, brief.seed)
  const failed = 'problems' in drawn
  return { brief, harmony, range, draft: failed ? null : (drawn as Draft), problems: failed ? drawn.problems : [] }
}

/** The notes of one bar as the pin of a whole bar has them. */
export function barText(draft: Draft, harmony: Harmony, bar: number, name: (midi: number) => string): string {
  const at = new Map(draft.notes.map(({ moment, midi }) => [moment, midi]))
  return draft.moments
    .flatMap((moment, m) => (moment.bar === harmony.bars[bar - 1]!.bar ? [{ ...moment, midi: at.get(m) }] : []))
    .map(({ ticks, midi }) => `${midi === undefined ? '-' : name(midi)}${ticks === 12 ? '' : `/${ticks}`}`)
    .join(' ')
}
