/** Reads a table of figures before it is kept; fetched when one is first opened, since it brings the counts with it. */
import { readOwnFigures } from '../../lib/line/ownFigures.ts'

/** How many figures a table holds, or in words what is wrong with it and where. */
export function checkTable(csv: string): number | string {
  const { figures, problems } = readOwnFigures(csv)
  const [first] = problems
  if (!first) return figures.length === 0 ? 'There are no figures in that file. Nothing was kept.' : figures.length
  const line = csv.slice(0, first.span.start).split('\n').length
  return `Line ${line}: found ${first.found}; expected ${first.expected}; ${first.hint}. Nothing was kept.`
}
