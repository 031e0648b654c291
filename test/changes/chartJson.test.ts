/** The chart as other programs get it: the shape is an interface. */
import { expect, test } from 'vitest'
import { chartJson } from '../../lib/changes/chartJson.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'

const json = (text: string) => chartJson(readChart(text), text)

test('bars, chords and their pitch classes above the root', () => {
  expect(json('Key: Eb\n[A]\n| Fm7/Bb | N.C. |')).toEqual({
    title: null,
    key: 'Eb major',
    meter: '4/4',
    bars: [
      {
        index: 0,
        section: 'A',
        meter: '4/4',
        ending: null,
        repeatStart: false,
        repeatEnd: false,
        chords: [{ symbol: 'Fm7/Bb', root: 'F', pitchClasses: [0, 3, 7, 10], bass: 'Bb', beats: 4 }],
      },
      {
        index: 1,
        section: 'A',
        meter: '4/4',
        ending: null,
        repeatStart: false,
        repeatEnd: false,
        chords: [{ symbol: 'N.C.', root: null, pitchClasses: [], bass: null, beats: 4 }],
      },
    ],
    playOrder: [0, 1],
    problems: [],
  })
})

test('an ending is a number, or a list where it is for several passes', () => {
  expect(json('|: C |1,2. D :|3. E |').bars.map((bar) => bar.ending)).toEqual([null, [1, 2], 3])
})

test('bars that cannot be known are said to be so, and only then', () => {
  expect(json('[C]la [G]la')).toMatchObject({ barsKnown: false })
  expect(json('| C | G |')).not.toHaveProperty('barsKnown')
})

test('a problem has its line and columns, and what to put there', () => {
  expect(json('| C |\n| Cmja7 |').problems).toEqual([
    {
      severity: 'error',
      code: 'unknown-quality',
      line: 2,
      column: 3,
      endColumn: 8,
      found: 'Cmja7',
      expected: 'a quality or number after Cm',
      hint: 'Cmaj7',
      replacement: 'Cmaj7',
    },
  ])
  expect(json('| C7 | Csus |').problems).toMatchObject([
    { severity: 'warning', code: 'ambiguous-symbol', hint: 'Csus4' },
  ])
})
