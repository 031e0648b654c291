/** Ladders: every bar alone ending on what it leads to, then two by two, then all; and the drill with one to four notes. */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { drillNamed } from '../../lib/drill/drills.ts'
import { ladderBook } from '../../lib/engrave/book.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { ladderOfBars } from '../../lib/score/ladderScore.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { nameOf } from '../../lib/theory/pitch.ts'

const { brief } = readBrief({ ...drillNamed('scale-targets')!.choices, keys: '', join: 'no' })
const { lines } = writeLines(brief)
const score = layScore(lines[0]!, brief)
const notes = (bar: { readonly events: readonly { readonly pitch: Parameters<typeof nameOf>[0] | null }[] }) =>
  bar.events.map(({ pitch }) => (pitch ? nameOf(pitch) : '-')).join(' ')

describe('bar by bar', () => {
  const ladder = ladderOfBars(score)
  test('each bar stands alone with its landing, then in pairs, then in the line', () => {
    const named = ladder.bars.flatMap(({ section }, b) => (section === null ? [] : [[b, section]]))
    // Sixteen bars and fifteen landings; eight pairs and seven landings; sixteen bars.
    expect(named).toEqual([
      [0, 'Each bar alone, into its target'],
      [31, 'Two bars at a time'],
      [54, 'The line'],
    ])
    expect(ladder.bars).toHaveLength(70)
    expect(ladder.bars.slice(54).map(notes)).toEqual(score.bars.map(notes))
    for (let b = 0; b < 15; b++) {
      expect(notes(ladder.bars[2 * b]!)).toBe(notes(score.bars[b]!))
      expect(notes(ladder.bars[2 * b + 1]!)).toBe(notes(score.bars[b + 1]!).split(' ')[0])
    }
  })
  test('bars are numbered on, filled, and known apart', () => {
    expect(ladder.bars.map(({ number }) => number)).toEqual(ladder.bars.map((_, b) => b + 1))
    const ids = ladder.bars.flatMap(({ events }) => events.map(({ id }) => id))
    expect(new Set(ids).size).toBe(ids.length)
    for (const { events } of ladder.bars) expect(events.reduce((sum, { ticks }) => sum + ticks, 0)).toBe(96)
  })
})

test('with one, two, three and four notes, each under its name', () => {
  const book = ladderBook(lines, { ...brief, ladder: 'notes' })
  expect(book.pieces.map(({ name }) => name)).toEqual([
    'One note into each target',
    'Two notes',
    'Three notes',
    'Four notes',
  ])
  book.pieces.forEach(({ score: rung }, r) => {
    const lengths = rung.figures.filter(({ kind }) => kind === 'approach').map(({ offsets }) => offsets.length)
    expect(new Set(lengths)).toEqual(new Set([r + 1]))
  })
})
