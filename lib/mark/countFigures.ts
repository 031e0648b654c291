/** How often figures occur in marked lines, beside the project's own counts: as a table by offsets, and as rows by degree and quality. */
import type { HarmonyChord } from '../harmony/harmony.ts'
import {
  approachCount,
  type CountedQuality,
  cellOf,
  countedQuality,
  type FigureKind,
  figureKind,
  nameOfSteps,
  type Verdict,
  verdictOf,
} from '../line/figures.ts'
import { isChordTone, offsetsInto, runInto, stepsFrom, strongPlaces } from '../line/recognise.ts'
import { degreeChroma, numberOf } from '../theory/degree.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import type { MarkedLine } from './markLine.ts'

/** Where a figure was found: the file by its place in the list, the played bar and the tick of the target. */
export interface Occurrence {
  readonly source: number
  readonly bar: number
  readonly start: number
  /** The degree of the target by its number, 1 to 7, and the quality of its chord; null where the counts know no such quality. */
  readonly degree: number
  readonly quality: CountedQuality | null
}

interface Found extends Occurrence {
  readonly kind: 'approach' | 'cell'
  readonly name: string
  /** Semitones from the target; a cell's, scale steps. */
  readonly offsets: readonly number[]
}

/** A figure with how often it was found. */
export interface FigureCount {
  readonly kind: 'approach' | 'cell'
  /** The kind of an approach; the name of a cell. */
  readonly class: FigureKind | string
  readonly offsets: readonly number[]
  /** How often it is the approach of a target, or the cell that starts there. */
  readonly count: number
  /** How often exactly these notes lead in, whatever stands before them: what the project's own counts count. */
  readonly windows: number
  /** How often the project's own counts have it. */
  readonly heard: number
  readonly verdict: Verdict | null
  readonly bars: readonly number[]
  readonly places: readonly Occurrence[]
  /** How often each degree was the target, by its number. */
  readonly degrees: Readonly<Record<string, number>>
}

/** What lines hold, counted as the corpus was: eighths into, or from, a chord tone on a strong beat. */
export interface Summary {
  readonly targets: number
  /** Bars, each with a downbeat. */
  readonly downbeats: number
  readonly approaches: readonly FigureCount[]
  readonly cells: readonly FigureCount[]
  /** Every run of one to four eighths into a target by itself, the longer with the shorter that end it. */
  readonly windows: readonly WindowCount[]
}

export interface WindowCount {
  readonly offsets: readonly number[]
  readonly class: FigureKind
  readonly count: number
  readonly heard: number
}

const eighth = ticksPerQuarter / 2

/**
 * Counts the figures of marked lines. An approach is counted once a target, as the longest that leads in; `windows` counts every
 * length by itself. Both hold only eighths into a chord tone on a strong beat, as the corpus was counted. A cell is such a
 * target and the next three eighths, all of its chord's scale.
 */
export function countFigures(lines: readonly MarkedLine[]): Summary {
  const approaches: Found[] = []
  const windows = new Map<string, number>()
  const cells: Found[] = []
  for (const [source, marked] of lines.entries()) {
    const { line, tones, targets, figures } = marked
    const strong = strongPlaces(line.harmony)
    const longest = new Map(
      figures.flatMap((figure) => (figure.kind === 'approach' ? [[figure.target, figure.notes]] : [])),
    )
    for (const [t, { tone, chord }] of targets.entries()) {
      const heard = line.harmony.chords[chord]!
      const { start, bar, midi } = tones[tone]!
      if (!strong.has(start) || midi === null || !isChordTone(heard, midi)) continue
      const place = {
        source,
        bar,
        start,
        degree: degreeNumber(heard, midi),
        quality: heard.chord && countedQuality(heard.chord),
      }
      const run = start - (tones[tone - 1]?.start ?? 0) === eighth ? runInto(tones, tone).length : 0
      for (let k = 1; k <= run; k++) {
        const key = offsetsInto(tones, tone, k).join(' ')
        windows.set(key, (windows.get(key) ?? 0) + 1)
      }
      const notes = longest.get(t) ?? 0
      if (notes > 0 && notes <= run) {
        const offsets = offsetsInto(tones, tone, notes)
        approaches.push({ ...place, kind: 'approach', name: figureKind(offsets), offsets })
      }
      const steps = stepsFrom(tones, tone, heard)
      if (steps) cells.push({ ...place, kind: 'cell', name: cellOf(steps)?.name ?? nameOfSteps(steps), offsets: steps })
    }
  }
  return {
    targets: lines.reduce((sum, { targets }) => sum + targets.length, 0),
    downbeats: lines.reduce((sum, { line }) => sum + line.harmony.bars.length, 0),
    approaches: tabulate(approaches, windows),
    cells: tabulate(cells, null),
    windows: [...windows].map(([key, count]): WindowCount => {
      const offsets = key.split(' ').map(Number)
      return { offsets, class: figureKind(offsets), count, heard: approachCount(offsets) }
    }),
  }
}

function tabulate(found: readonly Found[], windows: ReadonlyMap<string, number> | null): readonly FigureCount[] {
  const groups = new Map<string, Found[]>()
  for (const each of found) {
    const key = each.offsets.join(' ')
    const group = groups.get(key) ?? []
    groups.set(key, group)
    group.push(each)
  }
  const counts = [...groups].map(([key, group]): FigureCount => {
    const { kind, name, offsets } = group[0]!
    const degrees: Record<string, number> = {}
    for (const { degree } of group) degrees[degree] = (degrees[degree] ?? 0) + 1
    return {
      kind,
      class: name,
      offsets,
      count: group.length,
      windows: windows?.get(key) ?? group.length,
      heard: kind === 'cell' ? (cellOf(offsets)?.count ?? 0) : approachCount(offsets),
      verdict: kind === 'cell' ? null : verdictOf(offsets),
      bars: [...new Set(group.map(({ bar }) => bar))],
      places: group.map(({ source, bar, start, degree, quality }) => ({ source, bar, start, degree, quality })),
      degrees,
    }
  })
  return counts.sort((a, b) => b.count - a.count || b.heard - a.heard || a.offsets.length - b.offsets.length)
}

/** The number of the chord tone that a pitch is, 1 to 7. */
function degreeNumber({ root, chord }: Pick<HarmonyChord, 'root' | 'chord'>, midi: number): number {
  const above = modulo(midi - chromaOf(root!), 12)
  const degree = chord!.degrees.find((each) => degreeChroma(each) === above) ?? '1'
  return ((numberOf(degree) - 1) % 7) + 1
}

/**
 * The counts as CSV, a row a figure on a degree of a quality: `kind,class,offsets,degree,quality,count`. Offsets are semitones
 * from the target in playing order; a cell's are scale steps from the note it starts on.
 */
export function countsCsv({ approaches, cells }: Summary): string {
  const rows = new Map<string, number>()
  for (const { kind, class: name, offsets, places } of [...approaches, ...cells])
    for (const { degree, quality } of places) {
      const row = [kind, name, offsets.join(' '), degree, quality ?? ''].join(',')
      rows.set(row, (rows.get(row) ?? 0) + 1)
    }
  return ['kind,class,offsets,degree,quality,count', ...[...rows].map(([row, count]) => `${row},${count}`), ''].join(
    '\n',
  )
}
