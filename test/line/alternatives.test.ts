/** What else could stand at a target: each with its cost, its count and a pin that keeps it. */
import { describe, expect, test } from 'vitest'
import { figureKind } from '../../lib/line/figures.ts'
import { alternatives, differentLines, writeLines } from '../../lib/lines/write.ts'
import { midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'
import { countedApproaches, countedCells } from '../solos.ts'
import { briefOf } from './drafts.ts'

const tune = '| Dm7 | G7 | Cmaj7 | A7 |\n| Dm7 | G7 | Cmaj7 | Cmaj7 |'
const brief = briefOf({ changes: tune })
const of = (kind: string, list = alternatives(brief, 3, 1)) => list.filter((each) => each.kind === kind)

describe('at the third bar of ii V I', () => {
  test('landings: chord tones and tensions near the last target, its guide tones cheapest', () => {
    const landings = of('landing')
    expect(new Set(landings.map(({ degree }) => degree))).toEqual(new Set(['1', '3', '5', '7', '9', '13']))
    const guide = landings.filter(({ degree }) => degree === '3' || degree === '7')
    expect(guide.map(({ cost }) => cost)).toContain(0)
  })

  test('approaches: of the kinds and lengths that the brief allows, counted as in real solos', () => {
    const approaches = of('approach')
    expect(approaches.length).toBeGreaterThan(10)
    for (const { pin, count } of approaches) {
      const offsets = pin.split('=')[1]!.split(' ').map(Number)
      expect(['enclosure', 'chromatic']).toContain(figureKind(offsets))
      expect(count).toBe(countedApproaches.get(offsets.join(' '))?.count ?? 0)
    }
  })

  test('cells, counted likewise', () => {
    const cells = of('cell')
    expect(cells.map(({ name }) => name)).toContain('1-2-3-5')
    for (const { name, count } of cells) expect(count).toBe(countedCells.get(name)!.count)
  })

  test('cheapest first from nought, and one of each kind is what stands there now', () => {
    for (const kind of ['landing', 'approach', 'cell']) {
      const costs = of(kind).map(({ cost }) => cost)
      expect(costs[0]).toBe(0)
      expect(costs).toEqual([...costs].sort((a, b) => a - b))
    }
    expect(of('landing').filter(({ now }) => now).length).toBe(1)
    const [line] = writeLines(brief).lines
    const now = of('landing').find((each) => each.now)!
    expect(nameOf(now.notes[0]!)).toBe(nameOf(line!.targets[2]!.pitch))
  })

  test('every pin keeps what it stands for', () => {
    const list = alternatives(brief, 3, 1)
    for (const each of list) {
      const { lines, choiceProblems } = writeLines({ ...brief, pins: [each.pin] })
      expect(choiceProblems, each.pin).toEqual([])
      const line = lines[0]!
      const at = line.notes.findIndex(({ bar, start }) => bar === 3 && start === 192)
      const midi = (i: number) => midiOf(line.notes[i]!.pitch!)
      if (each.kind === 'landing') expect(midi(at)).toBe(midiOf(each.notes[0]!))
      const figure = line.figures.find(
        ({ kind, bar, target }) =>
          kind === each.kind && (kind === 'cell' ? bar === 3 : line.targets[target]!.bar === 3),
      )
      if (each.kind === 'cell') expect(figure?.name).toBe(each.name)
      if (each.kind === 'approach') expect(figure?.offsets).toEqual(each.pin.split('=')[1]!.split(' ').map(Number))
    }
    expect(list.length).toBeGreaterThan(30)
  })
})

test.each([
  [3, 2],
  [99, 1],
  [0, 1],
])('at bar %d, beat %d no target waits, so nothing stands instead', (bar, beat) => {
  expect(alternatives(brief, bar, beat)).toEqual([])
})

test('a brief that cannot be written has none', () => {
  expect(alternatives(briefOf({ changes: '| Zm7 |' }), 1, 1)).toEqual([])
  expect(differentLines(briefOf({ changes: '' }), 3)).toEqual([])
})

test('at every target of real changes what stands there is among the landings', () => {
  for (const changes of realChartTexts().slice(3, 5)) {
    const own = briefOf({ changes, rhythm: 'phrased', on: '4&' })
    const [line] = writeLines(own).lines
    for (const { start, pitch } of line!.targets) {
      const bar = line!.harmony.bars.findLast((each) => each.start <= start)!
      const list = alternatives(own, bar.bar, 1 + (start - bar.start) / 24)
      expect(list.filter(({ kind, now }) => kind === 'landing' && now).map(({ notes }) => midiOf(notes[0]!))).toEqual([
        midiOf(pitch),
      ])
    }
  }
})

test('different lines differ in at least two notes of five, the own seed first', () => {
  const own = briefOf({ changes: realChartTexts()[1]!, seed: '40' })
  const seeds = differentLines(own, 5)
  expect(seeds[0]).toBe(40)
  expect(new Set(seeds).size).toBe(5)
  const notes = seeds.map((seed) =>
    writeLines({ ...own, seed }).lines[0]!.notes.map(({ start, pitch }) => `${start} ${pitch && midiOf(pitch)}`),
  )
  for (let i = 0; i < notes.length; i++)
    for (let j = 0; j < i; j++) {
      const same = notes[i]!.filter((note) => notes[j]!.includes(note)).length
      expect(same / notes[i]!.length).toBeLessThanOrEqual(0.61)
    }
})
