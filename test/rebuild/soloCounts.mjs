#!/usr/bin/env node
// Writes lib/line/soloCounts.ts anew from a folder of the counts as tables: `node test/rebuild/soloCounts.mjs FOLDER`.
// The folder holds approaches.csv, approaches_by_target.csv, cells.csv, textbook_enclosures.csv and line.json.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const folder = process.argv[2]
if (!folder) {
  console.error('usage: node test/rebuild/soloCounts.mjs FOLDER')
  process.exit(2)
}
const table = (name) => {
  const [head, ...rows] = readFileSync(join(folder, name), 'utf8').trim().split(/\r?\n/)
  const columns = head.split(',')
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [columns[i], cell])))
}
const summed = (pairs) => {
  const sums = new Map()
  for (const [key, count] of pairs) sums.set(key, (sums.get(key) ?? 0) + count)
  return [...sums].filter(([, count]) => count > 0).sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1))
}
const list = (pairs) => pairs.map(([key, count]) => `${key}:${count}`).join(',')

const approaches = summed(table('approaches.csv').map((r) => [r.offsets, Number(r.count_core)]))
const byTarget = summed(
  table('approaches_by_target.csv').map((r) => [`${r.quality} ${r.degree} ${r.offsets}`, Number(r.count_core)]),
)
const cells = summed(table('cells.csv').map((r) => [`${r.as_if_root.replaceAll('.', '-')}=${r.steps}`, Number(r.count_core)]))
// The degree that was landed on, over all solos and both beats: `2 -1=3:40;7:31`, commonest first.
const degreesOf = (rows, key) => {
  const sums = new Map()
  for (const row of rows)
    for (const entry of row.target_degree_counts.split(';')) {
      const [degree, count] = entry.split(':')
      const own = sums.get(row[key]) ?? new Map()
      sums.set(row[key], own.set(degree, (own.get(degree) ?? 0) + Number(count)))
    }
  const said = (own) => [...own].sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1)).map(([d, n]) => `${d}:${n}`)
  return [...sums].map(([name, own]) => `${name}=${said(own).join(';')}`).join(',')
}
const approachDegrees = degreesOf(table('approaches.csv'), 'offsets')
const cellDegrees = degreesOf(table('cells.csv'), 'steps')
const textbook = table('textbook_enclosures.csv').map((r) => [r.offsets, r.verdict])
const line = JSON.parse(readFileSync(join(folder, 'line.json'), 'utf8'))
const intervals = Object.entries(line.interval_signed.counts)
const bigrams = line.interval_bigrams_top200.counts.map(([a, b, n]) => [`${a} ${b}`, n])

const text = (name, doc, value) => `/** ${doc} */\nexport const ${name} =\n  '${value}'\n`
const wide = (s) => s
writeFileSync(
  new URL('../../lib/line/soloCounts.ts', import.meta.url),
  `/**
 * Counts of figures and intervals in real solos, as packed text: 118 solos in swing, bebop, cool and hard bop styles with swing
 * feel in 4/4. Source: the event table of the Weimar Jazz Database (Jazzomat Research Project, Liszt School of Music Weimar) as
 * carried by the R data package jazzodata 0.1.4, MIT licence. Facts only: counts, no titles and no players.
 * Written by test/rebuild/soloCounts.mjs; do not edit by hand.
 */

// biome-ignore-all format: packed tables
${text('packedApproaches', 'Notes that lead into a chord tone on beat 1 or 3: semitones from it in playing order, and how often.', wide(list(approaches)))}
${text('packedApproachesByTarget', 'The same by chord quality and degree of the target.', wide(list(byTarget)))}
${text('packedCells', 'A chord tone on beat 1 or 3 and the next three eighths, all diatonic: name as if from the root, scale steps, how often.', wide(list(cells)))}
${text('packedApproachDegrees', 'Approaches by the degree that they landed on, over all solos of the table (222), both beats: offsets, degrees, how often.', wide(approachDegrees))}
${text('packedCellDegrees', 'The same for cells by the degree that they start on: scale steps, degrees, how often.', wide(cellDegrees))}
${text('packedTextbook', 'All ordered enclosures of two to four notes within three semitones, and how much recordings use them.', wide(list(textbook)))}
${text('packedIntervals', 'Signed semitones between neighbouring eighths.', wide(list(intervals)))}
${text('packedBigrams', 'Pairs of intervals that follow each other, the two hundred commonest.', wide(list(bigrams)))}
`,
)
