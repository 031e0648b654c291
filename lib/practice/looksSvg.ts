/**
 * Pictures of what came of practising, with the numbers in them: how full a box is tells as much as its number, and no colour does.
 * Without style, script or outside link; in the colour of the text around it.
 */
import { xml } from '../score/xml.ts'
import { withSigns } from '../theory/signs.ts'
import type { Grid, GridCell, Week } from './looks.ts'

const box = { width: 44, height: 24, left: 52, top: 28 }

const text = (x: number, y: number, words: string, anchor: 'start' | 'middle' | 'end' = 'middle'): string =>
  `<text x="${x}" y="${y}" font-size="12" font-family="inherit" text-anchor="${anchor}" fill="currentColor">${xml(words)}</text>`

const picture = (width: number, height: number, title: string, said: string, inside: readonly string[]): string =>
  `<svg xmlns="http://www.w3.org/2000/svg" role="img" viewBox="0 0 ${width} ${height}" width="${width}" height="${height}"><title>${xml(title)}</title><desc>${xml(said)}</desc>${inside.join('')}</svg>`

/** What stands in a box: a dash where nothing held, the bars that do, a tick where all do. */
const cellText = ({ state, bars }: GridCell): string => ({ empty: '', tried: '–', part: String(bars), all: '✓' })[state]

/** Keys against tempos: each box filled from below by as much of the line as holds there, the number of bars in it. */
export function gridSvg(grid: Grid): string {
  const { tempos, rows, bars } = grid
  const width = box.left + tempos.length * box.width + 1
  const height = box.top + rows.length * box.height + 1
  const inside = [
    ...tempos.map((tempo, i) => text(box.left + (i + 0.5) * box.width, 18, String(tempo))),
    ...rows.flatMap(({ key, cells }, r) => {
      const y = box.top + r * box.height
      return [
        text(box.left - 8, y + 16, withSigns(key), 'end'),
        ...cells.flatMap((cell, c) => {
          const x = box.left + c * box.width
          const high = Math.round((cell.bars / bars) * box.height)
          return [
            `<rect x="${x}" y="${y + box.height - high}" width="${box.width}" height="${high}" fill="currentColor" fill-opacity="0.22"/>`,
            `<rect x="${x}" y="${y}" width="${box.width}" height="${box.height}" fill="none" stroke="currentColor" stroke-opacity="0.5"/>`,
            text(x + box.width / 2, y + 16, cellText(cell)),
          ]
        }),
      ]
    }),
  ]
  return picture(width, height, 'Keys and tempos', gridSaid(grid), inside)
}

/** The grid in words, key by key. */
export function gridSaid({ rows, bars }: Grid): string {
  const said = rows.map(({ key, cells }) => {
    const quickest = cells.findLast(({ bars: held }) => held > 0)
    return quickest
      ? `${withSigns(key)}: ${quickest.bars} of ${bars} bars at ${quickest.tempo}`
      : `${withSigns(key)}: nothing yet`
  })
  return `${said.join('; ')}.`
}

const row = { height: 24, left: 96, longest: 240 }

/** Minutes by week, a bar a week with its number beside it. */
export function weeksSvg(weeks: readonly Week[]): string {
  const most = Math.max(1, ...weeks.map(({ minutes }) => minutes))
  const inside = weeks.flatMap(({ monday, minutes }, i) => {
    const y = i * row.height
    const long = Math.round((minutes / most) * row.longest)
    return [
      text(row.left - 8, y + 16, monday, 'end'),
      `<rect x="${row.left}" y="${y + 4}" width="${long}" height="16" fill="currentColor" fill-opacity="0.4"/>`,
      text(row.left + long + 6, y + 16, String(Math.round(minutes)), 'start'),
    ]
  })
  const said = weeks.map(
    ({ monday, minutes, days }) => `Week of ${monday}: ${Math.round(minutes)} minutes on ${days} days`,
  )
  const words = said.length > 0 ? `${said.join('; ')}.` : 'Nothing yet.'
  return picture(row.left + row.longest + 50, Math.max(1, weeks.length) * row.height, 'Minutes by week', words, inside)
}
