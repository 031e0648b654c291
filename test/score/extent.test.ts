/** How far a part reaches, as the part tells it: against what its MEI says, and against what the engraver draws of it. */
import { describe, expect, test } from 'vitest'
import { type Brief, readBrief } from '../../lib/brief.ts'
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import { readExtent } from '../../lib/engrave/readExtent.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { extentOf } from '../../lib/score/extent.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { barLineWidth, chordWidth, labelWidth, noteWidth, startWidth } from '../../lib/score/lineWidth.ts'
import type { Score } from '../../lib/score/score.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { realChartTexts } from '../realCharts.ts'

function partOf(changes: string, given: Readonly<Record<string, string>>): { brief: Brief; score: Score } {
  const { brief } = readBrief({ changes, ...given })
  return { brief, score: layScore(writeLines(brief).lines[0]!, brief) }
}

const briefs: readonly (readonly [string, Readonly<Record<string, string>>])[] = [
  ['as usual', {}],
  ['with everything on the staff', { show: 'targets,degrees,brackets,names,analysis,scales', print: 'large' }],
  ['with nothing on the staff', { show: 'none', rhythm: 'phrased', pickup: 'yes', instrument: 'trombone' }],
  ['with a tablature', { instrument: 'guitar', tablature: 'yes', show: 'names,scales', majorSign: 'Δ' }],
]

describe.each(briefs)('a part %s', (_, given) => {
  const parts = realChartTexts().map((changes) => partOf(changes, given))

  test('reaches as far as its MEI says that it does', () => {
    expect(parts.length).toBe(24)
    for (const { brief, score } of parts)
      for (const head of [true, false]) {
        const marks = { show: brief.show, head }
        const { systems, ...whole } = extentOf(score, marks)
        const read = readExtent(writeMei(score, marks))
        expect({ ...read, systems: [] }).toEqual({ ...whole, systems: [] })
        expect(read.systems).toHaveLength(systems.length)
        systems.forEach(({ width, ...line }, at) => {
          expect(read.systems[at]).toMatchObject(line)
          expect(read.systems[at]!.width).toBeCloseTo(width, 6)
        })
      }
  })

  test('is drawn in as many lines, of as many bars each', async () => {
    const { engrave } = await loadEngraver()
    for (const { brief, score } of parts.slice(0, 4)) {
      const extent = extentOf(score, { show: brief.show })
      const [svg = ''] = engrave(writeMei(score, { show: brief.show }), { paper: 'screen' }, extent)
      const [, ...drawn] = svg.split(/class="system[ "]/)
      expect(drawn.map((system) => system.match(/class="measure[ "]/g)!.length)).toEqual(
        extent.systems.map(({ bars }) => bars),
      )
    }
  })
})

describe('a line of music', () => {
  const laid = (changes: string, given: Readonly<Record<string, string>> = {}) => {
    const { brief, score } = partOf(changes, { instrument: 'flute', show: 'none', ...given })
    return { score, ...extentOf(score, { show: brief.show }) }
  }

  test('is as wide as its notes, or as the symbols over them', () => {
    const { score, systems } = laid('| C |')
    const notes = score.bars[0]!.events.reduce((sum, { value, accidental }) => sum + noteWidth(value, accidental), 0)
    expect(systems).toMatchObject([{ bars: 1, rows: 0, twoFive: false }])
    expect(systems[0]!.width).toBeCloseTo(startWidth + notes + barLineWidth, 6)
    const bare = extentOf({ ...score, bars: score.bars.map((bar) => ({ ...bar, events: [] })) })
    expect(bare.systems[0]!.width).toBe(startWidth + chordWidth(1) + barLineWidth)
  })

  test('has the rows that an analysis says under it, and a bracket for its ii–V', () => {
    const { systems, noteRows } = laid('| Dm7 | G7 | Cmaj7 | Cmaj7 |', { show: 'analysis' })
    expect(systems).toMatchObject([{ bars: 4, rows: 1, twoFive: true }])
    expect(noteRows).toBe(0)
    expect(laid('| C |', { show: 'analysis,scales' }).systems).toMatchObject([{ rows: 2, twoFive: false }])
    expect(laid('| C |', { show: 'targets,degrees,names' }).noteRows).toBe(2)
  })

  test('is as wide as what is said under its chords, where that is more', () => {
    const { score } = laid('| C |', { show: 'scales' })
    const [{ width } = { width: 0 }] = extentOf({
      ...score,
      bars: score.bars.map((bar) => ({
        ...bar,
        events: [],
        harmony: bar.harmony.map((each) => ({ ...each, ticks: 96, scaleName: 'a scale of a long name' })),
      })),
    }).systems
    expect(width).toBe(startWidth + labelWidth('a scale of a long name'.length) + barLineWidth)
  })
})

test('what is no XML is read as far as it goes', () => {
  expect(readExtent('<mei')).toEqual({
    systems: [{ bars: 0, width: startWidth, rows: 0, twoFive: false }],
    head: false,
    noteRows: 0,
    strings: 0,
  })
})
