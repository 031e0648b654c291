/**
 * Scores whose meters and order are not plain: signatures in turn, side by side, put together, within a measure and none; sections in an order of
 * their own; signs and chords in other parts. What they mean: MusicXML 4.0 (time, senza-misura, interchangeable, offset), MEI 5.1 (meterSigGrp,
 * expansion, att.plist); what players make of them: common practice. Each is read whole, or said with its measure.
 */
import { expect, test } from 'vitest'
import type { Chart } from '../../lib/changes/chart.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { meterText } from '../../lib/theory/meter.ts'
import { barsText } from './chartText.ts'

const chord = (root: string, more = '') =>
  `<harmony><root><root-step>${root}</root-step></root><kind>major</kind>${more}</harmony>`
const note = (duration: number) =>
  `<note><pitch><step>C</step><octave>5</octave></pitch><duration>${duration}</duration></note>`
const attributes = (inside: string) => `<attributes><divisions>2</divisions>${inside}</attributes>`
const time = (...pairs: readonly (readonly [beats: string, unit: number])[]) =>
  `<time>${pairs.map(([beats, unit]) => `<beats>${beats}</beats><beat-type>${unit}</beat-type>`).join('')}</time>`
const words = (text: string) => `<direction><direction-type><words>${text}</words></direction-type></direction>`
const sign = (name: string) => `<direction><direction-type><${name}/></direction-type></direction>`
const part = (...measures: readonly string[]) =>
  `<part id="P1">${measures.map((inside, i) => `<measure number="${i + 1}">${inside}</measure>`).join('')}</part>`
const score = (...parts: readonly string[]) =>
  `<score-partwise version="4.0">${parts.map((each, i) => each.replace('P1', `P${i + 1}`)).join('')}</score-partwise>`
const four = attributes(time(['4', 4]))

const mei = (signature: string, ...body: readonly string[]) =>
  `<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef>${signature}<staffGrp><staffDef n="1" lines="5"/></staffGrp></scoreDef><section>${body.join('')}</section></score></mdiv></body></music></mei>`
const measure = (n: number, quarters: number, ...harms: readonly (readonly [symbol: string, at: number])[]) =>
  `<measure n="${n}"><staff n="1"><layer n="1">${'<note dur="4" pname="c" oct="5"/>'.repeat(quarters)}</layer></staff>${harms.map(([symbol, at]) => `<harm tstamp="${at}">${symbol}</harm>`).join('')}</measure>`
const section = (id: string, ...measures: readonly string[]) => `<section xml:id="${id}">${measures.join('')}</section>`
const ending = (id: string, n: number, inside: string) => `<ending xml:id="${id}" n="${n}">${inside}</ending>`
const expansion = (plist: string) => `<expansion plist="${plist}"/>`
const common = '<meterSig count="4" unit="4"/>'
const group = (func: string, ...signs: readonly (readonly [number, number])[]) =>
  `<meterSigGrp func="${func}">${signs.map(([count, unit]) => `<meterSig count="${count}" unit="${unit}"/>`).join('')}</meterSigGrp>`
const [C, F, G] = [measure(1, 4, ['C', 1]), measure(2, 4, ['F', 1]), measure(3, 4, ['G', 1])]

/** The meter of each bar, its ending, its marks and its repeat. */
const signsText = ({ bars }: Chart) =>
  bars
    .map(({ meter, ending, marks = [], repeatEnd }) =>
      [meterText(meter), ending ? `[${ending}]` : [], marks, repeatEnd ? ':|' : []].flat().join(' '),
    )
    .join(' / ')

/** A score, its bars, the meter of each with its signs, and what is said. */
const rows: readonly (readonly [
  name: string,
  file: string,
  bars: string,
  signs: string,
  ...said: readonly string[],
])[] = [
  [
    'MEI: alternating meters take turns',
    mei(
      group('alternating', [3, 4], [2, 4]),
      measure(1, 3, ['C', 1], ['F', 3]),
      measure(2, 2, ['G', 1], ['A', 2]),
      measure(3, 3, ['C', 1]),
      measure(4, 2, ['F', 1]),
    ),
    'C:2 F:1 | G:1 A:1 | C:3 | F:2',
    '3/4 / 2/4 / 3/4 / 2/4',
  ],
  [
    'MEI: alternating meters out of turn go by their music',
    mei(
      group('alternating', [3, 4], [2, 4]),
      measure(1, 3, ['C', 1]),
      measure(2, 3, ['G', 1], ['F', 3]),
      measure(3, 2, ['C', 1]),
    ),
    'C:3 | G:2 F:1 | C:2',
    '3/4 / 3/4 / 2/4',
  ],
  [
    'MEI: interchanging meters of one length stay the first',
    mei(group('interchanging', [3, 4], [6, 8]), measure(1, 3, ['C', 1], ['F', 3]), measure(2, 3, ['G', 1])),
    'C:2 F:1 | G:3',
    '3/4 / 3/4',
  ],
  [
    'MEI: a section that an expansion plays again is written out',
    mei(common, expansion('#A #B #A'), section('A', C, F), section('B', G)),
    'C:4 | F:4 | G:4 | C:4 | F:4',
    '4/4 / 4/4 / 4/4 / 4/4 / 4/4',
  ],
  [
    'MEI: an expansion in the order of the page changes nothing',
    mei(common, expansion('#A #B'), section('A', C), section('B', F)),
    'C:4 | F:4',
    '4/4 / 4/4',
  ],
  [
    'MEI: an expansion that says what its endings say keeps them',
    mei(common, expansion('#A #e1 #A #e2'), section('A', C), ending('e1', 1, F), ending('e2', 2, G)),
    'C:4 | F:4 | G:4',
    '4/4 / 4/4 [1] :| / 4/4 [2]',
  ],
  [
    'MEI: an expansion within another',
    mei(
      common,
      expansion('#A #B'),
      section('A', expansion('#a #b #a'), section('a', C), section('b', F)),
      section('B', G),
    ),
    'C:4 | F:4 | C:4 | G:4',
    '4/4 / 4/4 / 4/4 / 4/4',
  ],
  [
    'MEI: an expansion that names nothing is said',
    mei(common, expansion('#A #Z'), section('A', C)),
    'C:4',
    '4/4',
    'unread-order: #Z in measure 1',
  ],
  [
    'MEI: a section with endings of its own is said',
    mei(common, expansion('#A #A'), section('A', C, ending('e1', 1, F), ending('e2', 2, G))),
    'C:4 | F:4 | G:4',
    '4/4 / 4/4 [1] :| / 4/4 [2]',
    'unread-order: #A in measure 1',
  ],
  [
    'beats put together',
    score(part(attributes(time(['3+2', 8])) + chord('C') + note(3) + chord('F') + note(2), chord('G') + note(5))),
    'C:3 F:2 | G:5',
    '5/8 (3+2) / 5/8 (3+2)',
  ],
  [
    'signatures put together of different beats',
    score(part(attributes(time(['3', 8], ['1', 4])) + chord('C') + note(3) + chord('F') + note(2))),
    'C:3 F:2',
    '5/8 (3+2)',
  ],
  [
    'two signatures: each measure has the one of its length',
    score(
      part(
        attributes(time(['4', 4]) + time(['3', 4])) + chord('C') + note(6) + chord('F') + note(2),
        chord('G') + note(6),
        chord('A') + note(8),
      ),
    ),
    'C:3 F:1 | G:3 | A:4',
    '4/4 / 3/4 / 4/4',
  ],
  [
    'a signature within a measure divides it',
    score(
      part(
        attributes(time(['3', 4])) +
          chord('C') +
          note(6) +
          `<attributes>${time(['2', 4])}</attributes>` +
          chord('F') +
          note(4),
        chord('G') + note(4),
      ),
    ),
    'C:3 F:2 | G:2',
    '5/4 (3+2) / 2/4',
  ],
  [
    'a signature at the end of a measure counts from the next',
    score(
      part(
        `${four}${chord('C')}${note(4)}${chord('F')}${note(4)}<attributes>${time(['3', 4])}</attributes>`,
        chord('G') + note(6),
      ),
    ),
    'C:2 F:2 | G:3',
    '4/4 / 3/4',
  ],
  [
    'without measure, a bar is as long as its music',
    score(
      part(
        four + chord('C') + note(8),
        `<attributes><time><senza-misura/></time></attributes>${chord('F')}${note(3)}${chord('G')}${note(2)}`,
        `<attributes>${time(['4', 4])}</attributes>${chord('A')}${note(8)}`,
      ),
    ),
    'C:4 | F:3 G:2 | A:4',
    '4/4 / 5/8 / 4/4',
  ],
  [
    'chords in the second part alone',
    score(part(four + note(8), note(8)), part(four + chord('C') + note(8), chord('F') + note(8))),
    'C:4 | F:4',
    '4/4 / 4/4',
  ],
  [
    'chords beside those of the leading part are said',
    score(
      part(four + chord('C') + note(8), chord('F') + note(8), chord('G') + note(8)),
      part(four + chord('C') + note(4) + chord('D') + note(4), note(8), note(8)),
    ),
    'C:4 | F:4 | G:4',
    '4/4 / 4/4 / 4/4',
    'lost-chord: D in measure 1',
  ],
  [
    'a part in a key of its own says the same chords',
    score(
      part(four + chord('C') + note(8)),
      part(
        attributes(`${time(['4', 4])}<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>`) +
          chord('D') +
          note(8),
      ),
    ),
    'C:4',
    '4/4',
  ],
  [
    'offsets forward and back',
    score(
      part(
        four + chord('C') + note(4) + chord('F', '<offset>-2</offset>') + chord('G', '<offset>2</offset>') + note(4),
        chord('A') + note(8),
      ),
    ),
    'C:1 F:2 G:1 | A:4',
    '4/4 / 4/4',
  ],
  [
    'an offset past the end belongs to the next measure',
    score(part(four + chord('C') + note(4) + chord('F', '<offset>6</offset>') + note(4), note(8))),
    'C:4 | F:4',
    '4/4 / 4/4',
  ],
  [
    'signs in another part',
    score(
      part(four + chord('C') + note(8), chord('F') + note(8), chord('G') + note(8), chord('A') + note(8)),
      part(
        four + note(8),
        sign('segno') + note(8) + words('To Coda'),
        note(8) + words('D.S. al Coda'),
        sign('coda') + note(8),
      ),
    ),
    'C:4 | F:4 | G:4 | A:4',
    '4/4 / 4/4 Segno To Coda / 4/4 D.S. al Coda / 4/4 Coda',
  ],
]

test.each(rows)('%s', (_, file, bars, signs, ...said) => {
  const chart = readChanges(file)
  expect(barsText(chart)).toBe(bars)
  expect(signsText(chart)).toBe(signs)
  expect(chart.problems.map(({ code, found }) => `${code}: ${found}`)).toEqual(said)
  const typed = readChart(printChart(chart))
  expect([barsText(typed), signsText(typed), typed.playOrder]).toEqual([bars, signs, chart.playOrder])
})
