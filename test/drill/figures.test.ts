/** The list of figures: counts beside the table, filters, and the same figures as notes in every key and for every instrument. */
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import type { Outside } from '../../lib/commands/command.ts'
import { runCommand } from '../../lib/commands/commands.ts'
import { groupFigures } from '../../lib/drill/figureSheet.ts'
import { soundingRange } from '../../lib/line/draftLine.ts'
import { type ListChoices, listFigures } from '../../lib/line/figureList.ts'
import { figureScore } from '../../lib/score/figureScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keysInOrder, readKey } from '../../lib/theory/key.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { countedApproaches, countedCells, verdicts } from '../solos.ts'

const every: ListChoices = { kind: null, classes: null, notes: null, heard: 0, textbook: true }

test('every figure of the table is there with its count, and every textbook enclosure with its verdict', () => {
  const listed = new Map(listFigures(every).map((each) => [`${each.kind} ${each.offsets.join(' ')}`, each]))
  for (const [offsets, { kind, count }] of countedApproaches) {
    if (count === 0) continue
    const figure = listed.get(`approach ${offsets}`)!
    expect([figure.count, figure.class]).toEqual([count, kind === 'scalar' ? 'scale' : kind])
  }
  for (const [name, { kind: steps, count }] of countedCells) {
    const figure = listed.get(`cell ${steps}`)
    if (count > 0) expect([figure!.class, figure!.count]).toEqual([name.replaceAll('.', '-'), count])
  }
  for (const [offsets, verdict] of verdicts) {
    expect(listed.get(`approach ${offsets}`)).toMatchObject({ verdict, dead: verdict === 'dead' })
  }
  // Degrees are of all solos of the table, counts of the core of them.
  for (const { count, degrees } of listed.values()) {
    const landed = Object.values(degrees).reduce((a, b) => a + b, 0)
    if (count > 0) expect(landed).toBeGreaterThanOrEqual(count)
  }
})

test('commonest first, and what was asked for alone', () => {
  const two = listFigures({ ...every, kind: 'approach', classes: ['enclosure'], notes: 2, heard: 1, textbook: false })
  expect(two.map(({ count }) => count)).toEqual(two.map(({ count }) => count).sort((a, b) => b - a))
  expect(two.every(({ class: name, offsets, dead }) => name === 'enclosure' && offsets.length === 2 && !dead)).toBe(
    true,
  )
  expect(two[0]!.offsets).toEqual([1, -1])
})

describe('as music', () => {
  const common = listFigures({ ...every, heard: 12 })
  for (const { id } of instruments)
    test(`plays its offsets, in range, for ${id}`, () => {
      for (const key of keysInOrder('chromatic', readKey('C')!).filter((_, i) => i % 5 === 0)) {
        const brief = { ...defaultBrief, instrument: id, key }
        for (const { line, figures } of groupFigures(common, brief)) {
          figures.forEach(({ kind, offsets }, f) => {
            const bar = line.notes.filter((note) => note.bar === f + 1).map(({ pitch }) => midiOf(pitch!))
            if (kind === 'approach') expect(bar.slice(0, -1).map((midi) => midi - bar.at(-1)!)).toEqual(offsets)
            else expect(line.figures.filter((figure) => figure.bar === f + 1)[0]?.name).toBe(figures[f]!.class)
          })
          const [low, high] = soundingRange(line.instrument, { ...brief, compass: 'full' })
          for (const { pitch } of line.notes) {
            expect(midiOf(pitch!)).toBeGreaterThanOrEqual(low)
            expect(midiOf(pitch!)).toBeLessThanOrEqual(high)
          }
        }
      }
    })
  test('stands under its offsets and its count', () => {
    const score = figureScore(groupFigures(common, defaultBrief), defaultBrief, 'Figures')
    expect(score.bars).toHaveLength(common.length)
    const said = score.bars.map(({ harmony }) => harmony[0]!.symbol)
    expect(said).toContain('2 −1 · 65')
    expect(said).toContain('1-2-3-5 · 37')
    // Each is printed, though all stand over one chord.
    expect(writeMei(score).match(/<harm /g)).toHaveLength(common.length)
  })
})

async function run(...args: string[]) {
  let [out, err] = ['', '']
  const outside: Partial<Outside> = {
    out: (bytes) => {
      out += typeof bytes === 'string' ? bytes : new TextDecoder('latin1').decode(bytes)
    },
    err: (text) => {
      err += text
    },
    watched: false,
  }
  return { code: await runCommand(['figures', ...args], outside as Outside), out, err }
}

describe('throughline figures', () => {
  test('as JSON', async () => {
    const { code, out } = await run('--kind', 'approach', '--approach', 'enclosure', '--notes', '2')
    const { figures, problems } = JSON.parse(out)
    expect([code, problems]).toEqual([0, []])
    expect(figures.find(({ offsets }: { offsets: number[] }) => offsets.join(' ') === '2 -1')).toEqual({
      kind: 'approach',
      class: 'enclosure',
      offsets: [2, -1],
      count: 65,
      dead: false,
      degrees: expect.objectContaining({ 3: expect.any(Number), 7: expect.any(Number) }),
      verdict: 'common',
      why: null,
    })
  })
  test('as text, as SVG and as PDF', async () => {
    expect((await run('--format', 'text', '--heard', '60')).out).toMatch(/^ 468 {2}-1 +chromatic approach/m)
    expect((await run('--format', 'svg', '--heard', '100')).out).toMatch(/^<svg/)
    expect((await run('--format', 'pdf', '--heard', '100')).out).toMatch(/^%PDF/)
  })
  test('dead ones are left out unless textbook figures are asked for, and then say why', async () => {
    const dead = async (...more: string[]) =>
      JSON.parse((await run(...more)).out).figures.filter((figure: { dead: boolean }) => figure.dead)
    expect(await dead()).toEqual([])
    const marked = await dead('--textbook', 'yes')
    expect(marked).toHaveLength([...verdicts.values()].filter((verdict) => verdict === 'dead').length)
    expect(marked[0].why).toMatch(/books teach it.*fewer than 1 target in 1,000/)
  })
  test('refuses kinds that are none', async () => {
    expect(await run('--kind', 'lick')).toMatchObject({
      code: 2,
      err: expect.stringMatching(/one of approach, cell; try cell/),
    })
    const { code, err } = await run('--approach', 'spiral')
    expect([code, /found spiral; expected any of enclosure/.test(err)]).toEqual([1, true])
  })
})
