/** Marked lines in the shape that other programs rely on: that of `line`, with what was counted and what there is to say. */
import type { Brief } from '../brief.ts'
import { problemJson } from '../changes/chartJson.ts'
import { lineJson } from '../lineJson.ts'
import { keyName } from '../theory/key.ts'
import { countFigures, type FigureCount, type Summary } from './countFigures.ts'
import { findFigure, inTheCounts, type Wanted } from './findFigure.ts'
import type { FaultyFile, MarkedFile } from './mark.ts'
import { pinsOf } from './pinsOf.ts'
import { remarksOn } from './reportLine.ts'

/** The lines, in the order of their files; problems name theirs. `wanted` is a figure to be found. */
export function markJson(
  marked: readonly MarkedFile[],
  faulty: readonly FaultyFile[],
  brief: Brief,
  wanted: Wanted | null = null,
) {
  return {
    lines: marked.map((file) => ({
      source: file.source,
      part: file.played.name,
      parts: file.played.parts,
      ...lineJson(file.line, brief),
      report: remarksOn(file),
      pins: pinsOf(file.line),
    })),
    summary: summaryJson(countFigures(marked), marked),
    ...(wanted ? { find: findJson(wanted, marked) } : {}),
    relaxed: marked.flatMap(({ line }) => line.relaxed.map((each) => ({ key: keyName(line.key), ...each }))),
    problems: faulty.flatMap(({ source, text, problems }) =>
      problems.map((each) => ({ source, ...problemJson(text, each) })),
    ),
  }
}

function summaryJson({ targets, downbeats, approaches, cells, windows }: Summary, marked: readonly MarkedFile[]) {
  return {
    targets,
    downbeats,
    approaches: approaches.map((each) => figureJson(each, marked)),
    cells: cells.map((each) => ({ name: each.class, ...figureJson(each, marked) })),
    windows,
  }
}

/** A figure with where it was found; the file is said where there are several. */
function figureJson(figure: FigureCount, marked: readonly MarkedFile[]) {
  const { offsets, class: name, count, windows, heard, verdict, bars, places, degrees } = figure
  const several = marked.length > 1
  return {
    offsets,
    class: name,
    count,
    windows,
    heard,
    dead: verdict === 'dead',
    degrees,
    bars,
    ...(several ? { places: places.map(({ source, bar }) => ({ source: marked[source]!.source, bar })) } : {}),
  }
}

function findJson(wanted: Wanted, marked: readonly MarkedFile[]) {
  return {
    ...wanted,
    ...inTheCounts(wanted),
    places: findFigure(wanted, marked).map(({ source, ...place }) => ({ source: marked[source]!.source, ...place })),
  }
}
