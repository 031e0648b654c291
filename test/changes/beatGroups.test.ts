/**
 * How bars are felt where the chart says it: `5/4 (2+3)` is our own way beside a meter, `2+3/4` that of MusicXML 4.0 (`beats`: "3+2"), of
 * MEI 5.1 (`meter.count`) and, in parentheses, of ABC 2.1 (`M:(2+3+2)/8`).
 */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { chartJson } from '../../lib/changes/chartJson.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { writeLines } from '../../lib/lines/write.ts'

/** Bars as their chords' beats, and the groups that bars tell. */
const beatsOf = (text: string) => {
  const { bars } = chartJson(readChart(text), text)
  return bars.map(({ meter, groups, chords }) => [meter, groups, chords.map(({ beats }) => beats)])
}

test.each([
  ['Time: 5/4 (2+3)\n| Dm7 G7 | C |', [2, 3], [2, 3]],
  ['5/4 (2+3)\n| Dm7 G7 | C |', [2, 3], [2, 3]],
  ['2+3/4\n| Dm7 G7 | C |', [2, 3], [2, 3]],
  ['{time: 5/4 (2+3)}\n| Dm7 G7 | C |', [2, 3], [2, 3]],
  ['| 5/4 (2+3) Dm7 G7 | C |', [2, 3], [2, 3]],
  ['| (2+3)/4 Dm7 G7 | C |', [2, 3], [2, 3]],
  ['| [5/4 (2+3)] Dm7 G7 | C |', [2, 3], [2, 3]],
  ['Time: 7/8 (2+2+3)\n| Dm7 G7 C6 | C |', [2, 2, 3], [2, 2, 3]],
  ['Time: 7/8 (2+2+3)\n| Dm7 G7 | C |', [2, 2, 3], [4, 3]],
  ['Time: 7/4 (3+4)\n| Dm7 G7 | C |', [3, 4], [3, 4]],
  ['Time: 9/8 (2+2+2+3)\n| Dm7 G7 C6 A7 | Dm |', [2, 2, 2, 3], [2, 2, 2, 3]],
  ['Time: 8/8 (3+3+2)\n| Dm7 G7 C6 | Dm |', [3, 3, 2], [3, 3, 2]],
])('%j', (text, groups, beats) => {
  expect(readChart(text).problems.filter(({ severity }) => severity === 'error')).toEqual([])
  expect(beatsOf(text)[0]!.slice(1)).toEqual([groups, beats])
  const printed = printChart(readChart(text))
  expect(beatsOf(printed)).toEqual(beatsOf(text))
  expect(printChart(readChart(printed))).toBe(printed)
})

test.each([
  ['Time: 5/4 (2+4)\n| Dm7 | G7 |', '5/4 (2+4)', '5/4'],
  ['| 5/4 (0+5) Dm7 | G7 |', '5/4 (0+5)', '5/4'],
  ['2+3/5\n| Dm7 | G7 |', '3/5', '5/4'],
])('refused: %j', (text, found, hint) => {
  const [problem] = readChart(text).problems
  expect([problem?.code, problem?.found, problem?.hint]).toEqual(['unknown-meter', found, hint])
  expect(readChart(text).bars.map(({ chords }) => chords[0]!.symbol)).toEqual(['Dm7', 'G7'])
})

test('scores and tunes in ABC tell groups as their standards do', () => {
  const time = (beats: string) =>
    `<score-partwise><part-list><score-part id="P"/></part-list><part id="P"><measure number="1"><attributes><divisions>1</divisions><time>${beats}</time></attributes><harmony><root><root-step>C</root-step></root><kind>major</kind></harmony><note><rest/><duration>5</duration></note></measure></part></score-partwise>`
  const grouped = (text: string) => readChanges(text).bars[0]!.meter
  const { groups } = grouped(time('<beats>2+3</beats><beat-type>4</beat-type>'))
  expect(groups).toEqual([2, 3])
  expect(
    grouped(time('<beats>2</beats><beat-type>4</beat-type><beats>3</beats><beat-type>4</beat-type>')).groups,
  ).toEqual([2, 3])
  expect(grouped('X:1\nT:t\nM:(2+3+2)/8\nL:1/8\nK:C\n"C"c7|\n').groups).toEqual([2, 3, 2])
})

describe('lines over groups as stated', () => {
  const sizes = fc.array(fc.integer({ min: 2, max: 4 }), { minLength: 2, maxLength: 4 })
  test('every chord has a note, and targets wait where groups start', () => {
    fc.assert(
      fc.property(sizes, fc.constantFrom(4, 8), fc.integer({ min: 1, max: 99 }), (groups, unit, seed) => {
        const beats = groups.reduce((sum, size) => sum + size, 0)
        const chords = ['Dm7', 'G7', 'Cmaj7', 'A7'].slice(0, groups.length)
        const bar = chords.join(' ')
        const changes = `Time: ${beats}/${unit} (${groups.join('+')})\n| ${bar} | ${bar} | Cmaj7 |`
        const line = writeLines({ ...defaultBrief, changes, seed }).lines[0]!
        const starts = groups.map((_, i) => (groups.slice(0, i).reduce((sum, size) => sum + size, 0) * 4) / unit + 1)
        const { harmony, targets, notes } = line
        for (const [i, { start, ticks }] of harmony.chords.entries()) {
          const end = start + ticks
          expect(
            notes.some((note) => note.pitch && note.start < end && note.start + note.ticks > start),
            `chord ${i}`,
          ).toBe(true)
        }
        for (const { start } of targets) {
          const played = harmony.bars.findLast((each) => each.start <= start)!
          expect(starts).toContain((start - played.start) / 24 + 1)
        }
      }),
      { numRuns: 60 },
    )
  })
})
