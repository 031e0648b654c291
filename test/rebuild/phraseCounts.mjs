#!/usr/bin/env node
// Writes lib/line/phraseCounts.ts anew from a folder of the counts as tables: `node test/rebuild/phraseCounts.mjs FOLDER`.
// The folder holds phrases.csv, phrases.json, moves.csv, rhythms.csv and rhythm_pairs.csv.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'

const folder = process.argv[2]
if (!folder) {
  console.error('usage: node test/rebuild/phraseCounts.mjs FOLDER')
  process.exit(2)
}
const table = (name) => {
  const [head, ...rows] = readFileSync(join(folder, name), 'utf8').trim().split(/\r?\n/)
  const columns = head.split(',')
  return rows.map((row) => Object.fromEntries(row.split(',').map((cell, i) => [columns[i], cell])))
}
const tempos = ['slow', 'medium', 'fast', 'up']
const slots = ['1', '1&', '2', '2&', '3', '3&', '4', '4&']
const add = (map, key, n = 1) => map.set(key, (map.get(key) ?? 0) + n)
const listed = (map) =>
  [...map]
    .sort(([a], [b]) => a - b)
    .map(([key, n]) => `${key}:${n}`)
    .join(' ')

// A phrase's length in eighths is counted to the nearest; where it starts and ends then decides between two as near.
const phrases = table('phrases.csv')
const spans = Object.fromEntries(tempos.map((tempo) => [tempo, slots.map(() => new Map())]))
const gaps = Object.fromEntries(tempos.map((tempo) => [tempo, slots.map(() => new Map())]))
for (const { tempo, start, eighths, end, gap_eighths: gap } of phrases) {
  const [from, to] = [slots.indexOf(start), slots.indexOf(end)]
  const odd = (((from + Number(eighths) - to) % 8) + 12) % 8 - 4
  add(spans[tempo][from], Math.max(1, Number(eighths) - (Math.abs(odd) <= 1 ? odd : 0)))
  if (gap !== '') add(gaps[tempo][to], Number(gap))
}

// What a beat holds, as a player would write it down: the pattern with as many notes whose onsets lie nearest, played late or not.
const written = {
  n: [0],
  nn: [0, 12],
  '-n': [12],
  nnn: [0, 8, 16],
  '-ss': [12, 18],
  nss: [0, 12, 18],
  ssn: [0, 6, 12],
  ssss: [0, 6, 12, 18],
  six: [0, 4, 8, 12, 16, 20],
}
const lates = [0, 2, 4, 6]
function asWritten(beat, quick) {
  if (beat === 'none') return 'none'
  const [parts, struck] = beat.split(':')
  const onsets = struck.split(' ').map((place) => ((Number(place) - 1) * 24) / Number(parts))
  const many = onsets.length >= 5 ? (quick ? 4 : 6) : onsets.length
  // Quick pairs are pairs of eighths, however late or long they swing.
  if (many === 2 && quick && onsets[0] <= 9) return 'nn'
  if (many === 6) return 'six'
  if (many === 4) return 'ssss'
  const apart = ([, places]) =>
    Math.min(...lates.map((late) => late / 3 + onsets.reduce((sum, at, i) => sum + Math.abs(at - late - places[i]), 0)))
  return Object.entries(written)
    .filter(([, places]) => places.length === many)
    .sort((a, b) => apart(a) - apart(b))[0][0]
}
const pairs = Object.fromEntries(tempos.map((tempo) => [tempo, new Map()]))
for (const { tempo, beat, next_beat: next, count } of table('rhythm_pairs.csv')) {
  const quick = tempo === 'fast' || tempo === 'up'
  add(pairs[tempo], `${asWritten(beat, quick)} ${asWritten(next, quick)}`, Number(count))
}
const moves = { bar: new Map(), half: new Map() }
for (const { apart, semitones, count } of table('moves.csv')) add(moves[apart], Number(semitones), Number(count))
const stats = JSON.parse(readFileSync(join(folder, 'phrases.json'), 'utf8'))

const byTempo = (counts, row) => tempos.map((tempo) => `  ${tempo}: '${row(counts[tempo])}',`).join('\n')
writeFileSync(
  new URL('../../lib/line/phraseCounts.ts', import.meta.url),
  `/**
 * Counts of phrases, of what a beat holds and of how lines move in real solos, as packed text, by tempo: slow under 100, medium
 * under 140, fast under 200, up from 200 beats a minute. The same 118 solos as in soloCounts.ts. Source: the event table of the Weimar Jazz
 * Database (Jazzomat Research Project, Liszt School of Music Weimar) as carried by the R data package jazzodata 0.1.4, MIT licence.
 * Facts only: counts, no titles and no players. A phrase ends where the next onset is more than 1.25 beats away.
 * Written by test/rebuild/phraseCounts.mjs; do not edit by hand.
 */

export type CountedTempo = ${tempos.map((tempo) => `'${tempo}'`).join(' | ')}
type ByTempo = Readonly<Record<CountedTempo, string>>

// biome-ignore-all format: packed tables
/** By the eighth of the bar on which phrases start (rows apart by a stroke): how many eighths later the last note sounds, and how often. */
export const packedSpans: ByTempo = {
${byTempo(spans, (rows) => rows.map(listed).join('|'))}
}

/** By the eighth of the bar on which phrases end: how many eighths later the next begins, and how often. */
export const packedGaps: ByTempo = {
${byTempo(gaps, (rows) => rows.map(listed).join('|'))}
}

/**
 * What a beat and the next hold, as a player writes it down: n an eighth's place or a triplet's, s a sixteenth, - nothing struck there;
 * six a sextuplet or quicker; none no note.
 */
export const packedBeatPairs: ByTempo = {
${byTempo(pairs, (map) => [...map].sort(([a, m], [b, n]) => n - m || (a < b ? -1 : 1)).map(([key, n]) => `${key}:${n}`).join(','))}
}

/** Signed semitones from downbeat to downbeat, and from beat 1 to 3 or 3 to 1, in runs of eighths. */
export const packedMoves = {
  bar: '${listed(moves.bar)}',
  half: '${listed(moves.half)}',
} as const
`,
)
const kept = ['start', 'end', 'span', 'gap', 'move', 'shift', 'range16', 'moveSmall', 'moveWide']
kept.push('barsEmpty', 'barsWithDownbeat', 'offbeatHeldOver', 'shapeAgain')
const facts = ['slow', 'medium', 'fast'].map((tempo) => [tempo, Object.fromEntries(kept.map((key) => [key, stats[tempo][key]]))])
writeFileSync(new URL('../data/phrases.json', import.meta.url), `${JSON.stringify(Object.fromEntries(facts), null, 2)}\n`)
