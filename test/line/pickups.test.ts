/** Where a phrased line begins and where its last phrase goes: pickups as often as players, and an end that aims. */
import { describe, expect, test } from 'vitest'
import { pickupEighths } from '../../lib/line/planPhrases.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { chromaOf, midiOf } from '../../lib/theory/pitch.ts'
import { brokenRules } from '../lineRules.ts'
import { realChartTexts } from '../realCharts.ts'
import { apart, solosBy } from '../realism/phrases.ts'
import { briefOf } from './drafts.ts'

const solo = { rhythm: 'phrased', approach: 'enclosure,chromatic,scale,arpeggio' }
const lineOf = (changes: string, given: Readonly<Record<string, string>>) => {
  const brief = briefOf({ ...solo, ...given, changes })
  const { lines, choiceProblems } = writeLines(brief)
  expect(choiceProblems).toEqual([])
  for (const line of lines) expect(brokenRules(line, brief)).toEqual([])
  return lines[0]!
}

describe('a pickup asked for in phrases is as long as players begin them early (test/data/phrases.json)', () => {
  test.each([
    ['slow', 72],
    ['medium', 120],
    ['fast', 180],
  ] as const)('%s', (name, tempo) => {
    const drawn = Array.from({ length: 4_000 }, (_, seed) => pickupEighths(tempo, seed, 4))
    const own = [1, 2, 3, 4].map((eighths) => drawn.filter((each) => each === eighths).length)
    expect(own.reduce((a, b) => a + b, 0)).toBe(4_000)
    expect(
      apart(
        own,
        [1, 2, 3, 4].map((eighths) => solosBy[name].start[8 - eighths]!),
      ),
    ).toBeLessThan(0.01)
  })

  test('stands before bar 1 of real charts, where the first phrase begins, and every rule holds', () => {
    realChartTexts().forEach((changes, i) => {
      const line = lineOf(changes, { tempo: '180', pickup: 'yes', seed: String(i + 1) })
      if (line.relaxed.some(({ rule }) => rule === 'pickup')) return
      expect(line.notes.filter(({ bar }) => bar === 0).length, `chart ${i + 1}`).toBeGreaterThan(0)
      expect(line.notes.find(({ bar }) => bar === 1)!.role).toBe('target')
    })
  })
})

describe('where it has no place', () => {
  const changes = '| Dm7 | G7 | Cmaj7 | Cmaj7 |'
  test.each([
    ['where none is asked for', changes, {}],
    ['before a silence', '| N.C. | Dm7 | G7 | Cmaj7 |', { pickup: 'yes' }],
  ])('none %s', (_, text, given) => {
    for (let seed = 1; seed <= 12; seed++)
      expect(lineOf(text, { ...given, seed: String(seed) }).notes.filter(({ bar }) => bar === 0)).toEqual([])
  })
})

describe('later choruses', () => {
  test('phrases lead into the top of a later chorus as often as into any bar', () => {
    // A note that sounds in the last half bar before the top, in the phrase that goes over it: players 41 % and more.
    let [over, all] = [0, 0]
    for (const [i, changes] of realChartTexts().entries()) {
      const line = lineOf(changes, { tempo: '180', choruses: '3', seed: String(i + 1) })
      const tops = line.harmony.bars.filter(
        ({ bar, chorus }) => bar > 1 && chorus !== line.harmony.bars[bar - 2]!.chorus,
      )
      for (const { start } of tops) {
        all += 1
        const before = line.notes.find((note) => note.start < start && note.start + note.ticks >= start)
        if (before?.pitch) over += 1
      }
    }
    expect(all).toBeGreaterThan(40)
    expect(over / all).toBeGreaterThan(0.3)
  })
})

describe('the last phrase aims', () => {
  const lastOf = (changes: string, seed: number) =>
    lineOf(changes, { seed: String(seed), tempo: '160' }).targets.at(-1)!
  const bars = 8

  test('at the tonic, where the tune comes home', () => {
    for (let seed = 1; seed <= 20; seed++)
      expect(lastOf('Key: C\n| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | C6 | C6 |', seed).bar).toBeGreaterThanOrEqual(
        bars - 1,
      )
  })

  test('into the next chorus, where the tune goes round: in the last bar, a step or less from a guide tone of the top', () => {
    for (let seed = 1; seed <= 20; seed++) {
      const { bar, pitch } = lastOf('Key: C\n| Cmaj7 | A7 | Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 |', seed)
      expect(bar).toBe(bars)
      const away = [4, 11].map((goal) => Math.abs(((midiOf(pitch) - goal + 18) % 12) - 6))
      expect(Math.min(...away), `${chromaOf(pitch)}`).toBeLessThanOrEqual(2)
    }
  })
})
