/** Figures of one's own: a table of approaches and cells with their counts, as `mark --format csv` writes it. */
import { approachKinds } from '../brief.ts'
import type { Problem } from '../problem.ts'
import { type Approach, approaches, type Cell, cellOf, figureKind, nameOfSteps } from './figures.ts'

export interface OwnFigure {
  readonly kind: 'approach' | 'cell'
  /** Semitones from the target in playing order; a cell's, scale steps from the note it starts on. */
  readonly offsets: readonly number[]
  readonly count: number
  /** How often on each degree of each quality: `dom 3`; the quality empty where the counts know none. */
  readonly places: ReadonlyMap<string, number>
}

const columns = ['kind', 'class', 'offsets', 'degree', 'quality', 'count'] as const
const classes: readonly string[] = [...approachKinds, 'scalar', 'mixed']
/** The most rows that are read. */
const mostRows = 5_000

/**
 * Reads a table of figures, a row a figure on a degree of a quality; rows of one figure are added up. The first row may name the
 * columns. A bad row is refused by its place.
 *
 * @example
 * readOwnFigures('approach,enclosure,2 -1,3,dom,4\napproach,enclosure,2 -1,7,dom,1').figures[0].count // => 5
 * readOwnFigures('approach,enclosure,2 x,3,dom,4').problems[0].found // => '2 x'
 */
export function readOwnFigures(csv: string): {
  readonly figures: readonly OwnFigure[]
  readonly problems: readonly Problem[]
} {
  const problems: Problem[] = []
  const found = new Map<
    string,
    { kind: OwnFigure['kind']; offsets: readonly number[]; count: number; places: Map<string, number> }
  >()
  let at = 0
  let rows = 0
  for (const line of csv.replace(/^\ufeff/, ' ').split('\n')) {
    const row = line.replace(/\r$/, '')
    const from = at
    at += line.length + 1
    if (row.trim() === '' || row.trim() === columns.join(',')) continue
    const cells = cellsOf(row, from)
    const refuse = (cell: number, expected: string, hint: string) => {
      const { text, start } = cells[cell] ?? { text: row.trim(), start: from }
      const span = { start, end: start + text.length }
      problems.push({ severity: 'error', code: 'bad-own', span, found: text || 'nothing', expected, hint })
    }
    if (++rows > mostRows) {
      refuse(0, `at most ${mostRows} rows`, 'leave out what is rarest')
      break
    }
    const [kind = '', name = '', offsetText = '', degree = '', quality = '', countText = ''] = cells.map(
      ({ text }) => text,
    )
    if (cells.length !== columns.length) {
      refuse(-1, columns.join(','), 'approach,enclosure,2 -1,3,dom,4')
      continue
    }
    const offsets = /^-?\d{1,2}( -?\d{1,2}){0,3}$/.test(offsetText) ? offsetText.split(' ').map(Number) : []
    const approach = kind === 'approach'
    if (!approach && kind !== 'cell') refuse(0, 'approach or cell', 'approach')
    else if (offsets.length === 0 || offsets.some((offset) => Math.abs(offset) > 24))
      refuse(2, approach ? 'one to four offsets in semitones' : 'four scale steps', approach ? '2 -1' : '0 1 2 4')
    else if (!approach && (offsets.length !== 4 || offsets[0] !== 0)) refuse(2, 'four scale steps from 0', '0 1 2 4')
    else if (approach && !classes.includes(name)) refuse(1, classes.join(', '), figureKind(offsets))
    else if (approach && figureKind(offsets) !== name.replace('scalar', 'scale'))
      refuse(1, `${figureKind(offsets)}, as ${offsetText} is`, figureKind(offsets))
    else if (!/^([1-7]|)$/.test(degree)) refuse(3, 'a degree from 1 to 7', '3')
    else if (!['dom', 'major', 'minor', 'hdim', ''].includes(quality))
      refuse(4, 'dom, major, minor, hdim or nothing', 'dom')
    else if (!/^[1-9]\d{0,8}$/.test(countText)) refuse(5, 'a count of 1 or more', '1')
    else {
      const key = `${kind} ${offsetText}`
      const figure = found.get(key) ?? { kind: approach ? 'approach' : 'cell', offsets, count: 0, places: new Map() }
      found.set(key, figure)
      const place = `${quality} ${degree}`.trim()
      figure.count += Number(countText)
      figure.places.set(place, (figure.places.get(place) ?? 0) + Number(countText))
    }
  }
  const figures = [...found.values()].sort((a, b) => b.count - a.count)
  return { figures: problems.length > 0 ? [] : figures, problems }
}

/** The cells of a row, trimmed, each with where it stands. */
function cellsOf(row: string, from: number): readonly { readonly text: string; readonly start: number }[] {
  let at = from
  return row.split(',').map((cell) => {
    const start = at + cell.length - cell.trimStart().length
    at += cell.length + 1
    return { text: cell.trim().replace(/^"(.*)"$/, '$1'), start }
  })
}

/** The approaches by their number of notes, and the cells, that a table of one's own holds. */
export interface OwnCatalogue {
  readonly approaches: readonly (readonly Approach[])[]
  readonly cells: readonly Cell[]
}

let last: { readonly csv: string; readonly catalogue: OwnCatalogue } | null = null

/**
 * A table of one's own as a catalogue to draw from: shares are those among approaches of as many notes, whatever their kind. Null
 * where there is no table.
 */
export function ownCatalogue(csv: string | null): OwnCatalogue | null {
  if (csv === null) return null
  if (last?.csv === csv) return last.catalogue
  const { figures } = readOwnFigures(csv)
  const lists = approaches.map((_, notes): Approach[] => {
    const here = figures.filter(({ kind, offsets }) => kind === 'approach' && offsets.length === notes)
    const all = here.reduce((sum, { count }) => sum + count, 0)
    return here.map(({ offsets, count }) => ({ offsets, kind: figureKind(offsets), count, share: count / all }))
  })
  const cells = figures
    .filter(({ kind }) => kind === 'cell')
    .map(({ offsets, count }): Cell => ({ name: cellOf(offsets)?.name ?? nameOfSteps(offsets), steps: offsets, count }))
  const catalogue = { approaches: lists, cells }
  last = { csv, catalogue }
  return catalogue
}
