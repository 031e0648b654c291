/** Counts of figures, and where one was found, as plain text: a bar of signs beside each number, so that it reads without colour. */
import { approachName } from '../line/figures.ts'
import type { FigureCount, Summary } from './countFigures.ts'
import { findFigure, inTheCounts, type Wanted } from './findFigure.ts'
import type { MarkedFile } from './mark.ts'

const widest = 24
const most = 40

/** The commonest figures of some lines, each with how often it was found, a bar as long, and how often recordings have it. */
export function countsText({ approaches, cells, targets, downbeats }: Summary, marked: readonly MarkedFile[]): string {
  const files = marked.length === 1 ? '' : ` in ${marked.length} files`
  const head = `${targets} targets and ${downbeats} downbeats${files}.`
  return [head, '', table('Approaches', approaches), table('Cells', cells)].join('\n')
}

function table(heading: string, counts: readonly FigureCount[]): string {
  if (counts.length === 0) return `${heading}: none.\n`
  const top = Math.max(...counts.map(({ count }) => count))
  const rows = counts.slice(0, most).map(({ kind, class: name, offsets, count, heard, bars }) => {
    const what = kind === 'cell' ? name : `${offsets.join(' ')}  ${approachName(offsets)}`
    const bar = '#'.repeat(Math.max(1, Math.round((widest * count) / top)))
    const where = bars.length > 8 ? `${bars.slice(0, 8).join(' ')} …` : bars.join(' ')
    return [what, String(count), bar, `${heard} in the counts`, `bars ${where}`]
  })
  const widths = rows[0]!.map((_, c) => Math.max(...rows.map((row) => row[c]!.length)))
  const lines = rows.map((row) =>
    row
      .map((cell, c) => cell.padEnd(widths[c]!))
      .join('  ')
      .trimEnd(),
  )
  const left = counts.length > most ? `and ${counts.length - most} more; --format csv has them all\n` : ''
  return `${heading}\n${lines.join('\n')}\n${left}`
}

/** Where a figure stands in some lines, and what the counts say of it. */
export function findText(wanted: Wanted, marked: readonly MarkedFile[]): string {
  const { name, heard } = inTheCounts(wanted)
  const places = findFigure(wanted, marked)
  const rows = places.map(({ source, bar, beat, degree, symbol, target }) => {
    const aim = degree && symbol ? ` ${wanted.kind === 'cell' ? 'from' : 'into'} the ${degree} of ${symbol}` : ''
    return `${marked[source]!.source}: bar ${bar}, beat ${Number(beat.toFixed(2))},${aim}${target ? '' : ', no target of the line'}`
  })
  const times = places.length === 1 ? 'once' : `${places.length} times`
  return `${wanted.offsets.join(' ')}, ${name}: ${times} here, ${heard} times in the counts.\n${rows.join('\n')}${rows.length > 0 ? '\n' : ''}`
}
