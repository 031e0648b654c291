/** How hard lines are to play, by kind: what levels of difficulty are measured by, apart from the levels. */
import { readBrief } from '../../lib/brief.ts'
import type { Chart } from '../../lib/changes/chart.ts'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { type Draft, draftLine, soundingRange } from '../../lib/line/draftLine.ts'
import { figureKind } from '../../lib/line/figures.ts'
import { type Degree, degreeInterval } from '../../lib/theory/degree.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { ticksPerQuarter } from '../../lib/theory/meter.ts'
import { chromaOf } from '../../lib/theory/pitch.ts'
import { runsOf } from './measure.ts'

export interface Difficulty {
  /** Share of the intervals that are wider than a third. */
  readonly leaps: number
  /** Semitones from the lowest note of a line to its highest, at the median. */
  readonly range: number
  /** Share of the notes outside the scale that the changes themselves give. */
  readonly chromatic: number
  /** How much what a beat holds varies, in bits: which of its ticks begin a note. */
  readonly rhythm: number
  /** Share of the approaches that are enclosures. */
  readonly enclosures: number
  /** Four notes in a row on two pitches by turns, for each note. */
  readonly trills: number
}

const share = <T>(list: readonly T[], test: (each: T) => boolean) => list.filter(test).length / Math.max(1, list.length)

/** Bits of a list of names by how often each comes. */
function bitsOf(names: readonly string[]): number {
  const counts = new Map<string, number>()
  for (const name of names) counts.set(name, (counts.get(name) ?? 0) + 1)
  return [...counts.values()].reduce((bits, n) => bits - (n / names.length) * Math.log2(n / names.length), 0)
}

/** What each beat of a draft holds, from its first note to its last. */
function beatsOf({ moments, notes }: Draft): readonly string[] {
  const onsets = new Map<number, number[]>()
  for (const { moment } of notes) {
    const { start } = moments[moment]!
    const beat = Math.floor(start / ticksPerQuarter)
    onsets.set(beat, [...(onsets.get(beat) ?? []), start - beat * ticksPerQuarter])
  }
  const [first = 0, last = 0] = [[...onsets.keys()][0], [...onsets.keys()].at(-1)]
  return Array.from({ length: last - first }, (_, i) => (onsets.get(first + i) ?? []).join())
}

/** The difficulty of lines as a brief draws them over charts, in so many keys and by so many seeds. */
export function difficultyOf(
  given: Readonly<Record<string, string>>,
  charts: readonly Chart[],
  keys: readonly Degree[],
  seeds: readonly number[],
): Difficulty {
  const { brief } = readBrief(given)
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  const drawn = charts.flatMap((chart) =>
    keys.flatMap((up) => {
      const moved = transposeChart(chart, degreeInterval(up))
      const plain = readHarmony(unrollChart(moved))
      const harmony = readHarmony(unrollChart(moved), brief)
      return seeds.map((seed) => ({ plain, draft: draftLine(harmony, brief, range, seed) as Draft }))
    }),
  )
  const drafts = drawn.map(({ draft }) => draft)
  const runs = drafts.flatMap(runsOf)
  const intervals = runs.flatMap((run) => run.slice(1).map((midi, i) => Math.abs(midi - run[i]!)))
  const ranges = drafts.map(({ notes }) => {
    const pitches = notes.map(({ midi }) => midi)
    return Math.max(...pitches) - Math.min(...pitches)
  })
  const outside = drawn.flatMap(({ plain, draft }) =>
    draft.notes.map(({ moment, midi }) => {
      const chord = plain.chords[draft.moments[moment]!.chord]
      return chord?.scale ? !chord.scale.notes.some((note) => chromaOf(note) === midi % 12) : false
    }),
  )
  const approaches = drafts.flatMap(({ figures }) => figures.filter(({ kind }) => kind === 'approach'))
  const trills = runs.flatMap((run) =>
    run.slice(3).map((midi, i) => run[i] === run[i + 2] && run[i + 1] === midi && run[i] !== midi),
  )
  return {
    leaps: share(intervals, (size) => size > 4),
    range: ranges.sort((a, b) => a - b)[ranges.length >> 1] ?? 0,
    chromatic: share(outside, (out) => out),
    rhythm: bitsOf(drafts.flatMap(beatsOf)),
    enclosures: share(approaches, ({ offsets }) => figureKind(offsets) === 'enclosure'),
    trills: share(trills, (trill) => trill),
  }
}
