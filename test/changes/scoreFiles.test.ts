/**
 * Score files as other programs write them, each class invented here. What their elements mean: MusicXML 4.0 (W3C Music Notation
 * Community Group, w3.org/2021/06/musicxml40: harmony, offset, inversion, ending, repeat, coda, sound, swing, the MXL container) and
 * MEI 5.1 (music-encoding.org/guidelines/v5: harm, att.startId, measure/@metcon, multiRest, ending). What players make of them: common practice.
 */
import { strToU8, zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { xmlLimits } from '../../lib/changes/xml/xmlTree.ts'
import { barsText, signsText } from './chartText.ts'

const chord = (root: string, kind = 'major', more = '') =>
  `<harmony><root><root-step>${root}</root-step></root><kind>${kind}</kind>${more}</harmony>`
const note = (duration: number) =>
  `<note><pitch><step>C</step><octave>5</octave></pitch><duration>${duration}</duration></note>`
const start = (beats = 4, unit = 4) =>
  `<attributes><divisions>2</divisions><time><beats>${beats}</beats><beat-type>${unit}</beat-type></time></attributes>`
const words = (text: string) => `<direction><direction-type><words>${text}</words></direction-type></direction>`
const sign = (name: string) => `<direction><direction-type><${name}/></direction-type></direction>`
const barline = (location: string, inside: string) => `<barline location="${location}">${inside}</barline>`
const ending = (n: string, type: string) => `<ending number="${n}" type="${type}"/>`
const repeat = (direction: string) => `<repeat direction="${direction}"/>`
/** A measure's insides, or its attributes and its insides. */
type Measure = string | readonly [attributes: string, inside: string]
const part = (measures: readonly Measure[], id = 'P1') =>
  `<part id="${id}">${measures
    .map((each, i) => {
      const [attributes, inside] = typeof each === 'string' ? ['', each] : each
      return `<measure ${/number/.test(attributes) ? '' : `number="${i + 1}" `}${attributes}>${inside}</measure>`
    })
    .join('')}</part>`
const score = (...parts: readonly string[]) => `<score-partwise version="4.0">${parts.join('')}</score-partwise>`

interface Row {
  readonly name: string
  readonly xml: string
  readonly bars: string
  readonly signs?: string
  readonly order?: readonly number[]
  /** Codes of what is said, with the measure each names. */
  readonly said?: readonly string[]
}

const rows: readonly Row[] = [
  {
    name: 'chords stacked over one note share its time',
    xml: score(part([start() + chord('C') + chord('G', 'dominant') + note(8)])),
    bars: 'C:2 G7:2',
  },
  {
    name: 'chords stacked over a short note keep to it',
    xml: score(part([start() + chord('C') + chord('F') + note(4) + chord('G') + note(4)])),
    bars: 'C:1 F:1 G:2',
  },
  {
    name: 'the same chord twice over one note is one',
    xml: score(part([start() + chord('C') + chord('C') + note(8)])),
    bars: 'C:4',
  },
  {
    name: 'a chord behind the last note belongs to the next measure',
    xml: score(part([start() + chord('C') + note(8) + chord('F'), note(8)])),
    bars: 'C:4 | F:4',
  },
  {
    name: 'and is said where that has a chord of its own',
    xml: score(part([start() + chord('C') + note(8) + chord('F'), chord('G') + note(8)])),
    bars: 'C:4 | G:4',
    said: ['lost-chord: F in measure 2'],
  },
  {
    name: 'a measure longer than its meter keeps its chords',
    xml: score(part([start() + chord('C') + note(8) + chord('F') + note(4), chord('G') + note(8)])),
    bars: 'C:4 F:2 | G:4',
    signs: '6/4 / 4/4',
  },
  {
    name: 'a pickup that does not say so is no bar',
    xml: score(part([start() + note(2), chord('C') + note(8), chord('F') + note(8)])),
    bars: 'C:4 | F:4',
  },
  {
    name: 'the chords of a pickup stand at the end of its bar',
    xml: score(part([['number="0" implicit="yes"', start() + chord('G') + note(2)], chord('C') + note(8)])),
    bars: 'N.C.:3 G:1 | C:4',
  },
  {
    name: 'what a dropped pickup opens, the next bar opens',
    xml: score(
      part([
        start() + barline('left', repeat('forward')) + sign('segno') + note(2),
        chord('C') + note(8),
        chord('F') + note(8) + barline('right', repeat('backward')),
      ]),
    ),
    bars: 'C:4 | F:4',
    signs: '4/4 |: Segno / :|',
    order: [0, 1, 0, 1],
  },
  {
    name: 'a bar that a repeat sign splits is one',
    xml: score(
      part([
        start() + chord('C') + note(8),
        chord('F') + note(6) + barline('right', repeat('backward')),
        ['number="X1" implicit="yes"', chord('G') + note(2)],
        chord('A', 'minor') + note(8),
      ]),
    ),
    bars: 'C:4 | F:3 G:1 | Am:4',
    order: [0, 1, 0, 1, 2],
  },
  {
    name: 'a first-ending bracket closed before the repeat sign goes on to it',
    xml: score(
      part([
        start() + barline('left', repeat('forward')) + chord('C') + note(8),
        barline('left', ending('1', 'start')) + chord('F') + note(8) + barline('right', ending('1', 'discontinue')),
        chord('G') + note(8) + barline('right', repeat('backward')),
        barline('left', ending('2', 'start')) + chord('A') + note(8) + barline('right', ending('2', 'stop')),
        chord('D') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | G:4 | A:4 | D:4',
    signs: '4/4 |: / 1. / 1. :| / 2. / ',
    order: [0, 1, 2, 0, 3, 4],
  },
  {
    name: 'a last ending that nothing closes is as long as the first',
    xml: score(
      part([
        start() + barline('left', repeat('forward')) + chord('C') + note(8),
        barline('left', ending('1', 'start')) +
          chord('F') +
          note(8) +
          barline('right', ending('1', 'stop') + repeat('backward')),
        barline('left', ending('2', 'start')) + chord('A') + note(8),
        chord('D') + note(8),
        chord('E') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | A:4 | D:4 | E:4',
    signs: '4/4 |: / 1. :| / 2. /  / ',
    order: [0, 1, 0, 2, 3, 4],
  },
  {
    name: 'the first of two coda signs is To Coda',
    xml: score(
      part([
        start() + sign('segno') + chord('C') + note(8),
        chord('F') + note(8) + sign('coda'),
        chord('G') + note(8) + words('D.S. al Coda'),
        sign('coda') + chord('A') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | G:4 | A:4',
    signs: '4/4 Segno / To Coda / D.S. al Coda / Coda',
    order: [0, 1, 2, 0, 1, 3],
  },
  {
    name: 'To Coda in words and a sign',
    xml: score(
      part([
        start() + chord('C') + note(8),
        `${chord('F') + note(8)}<direction><direction-type><words>To </words></direction-type><direction-type><coda/></direction-type></direction>`,
        chord('G') + note(8) + words('D.C. al Coda'),
        sign('coda') + chord('A') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | G:4 | A:4',
    signs: '4/4 / To Coda / D.C. al Coda / Coda',
    order: [0, 1, 2, 0, 1, 3],
  },
  {
    name: 'signs, endings, words and chords in any part',
    xml: score(
      part(
        [
          start() + words('Chorus') + barline('left', repeat('forward')) + note(8),
          note(8) + words('Fine') + barline('right', repeat('backward')),
          chord('B', 'minor') + note(8) + words('D.C. al Fine'),
        ],
        'P1',
      ),
      part([start() + chord('C') + note(8), chord('F') + note(8), note(8)], 'P2'),
    ),
    bars: 'C:4 | F:4 | Bm:4',
    signs: '[Chorus] 4/4 |: / Fine :| / D.C. al Fine',
    order: [0, 1, 0, 1, 2, 0, 1],
  },
  {
    name: 'an inversion names the bass',
    xml: score(
      part([
        start() +
          chord('C', 'major', '<inversion>1</inversion>') +
          note(4) +
          chord('G', 'dominant', '<inversion>3</inversion>') +
          note(4),
      ]),
    ),
    bars: 'C/E:2 G7/F:2',
  },
  {
    name: 'an inversion that the chord has not is said',
    xml: score(part([start() + chord('C', 'major', '<inversion>5</inversion>') + note(8)])),
    bars: 'C:4',
    said: ['unknown-bass: C major in measure 1'],
  },
  {
    name: 'an unknown kind leaves N.C., with its measure',
    xml: score(part([start() + chord('C') + note(8), chord('D', 'quartal') + note(4) + chord('G') + note(4)])),
    bars: 'C:4 | N.C.:2 G:2',
    said: ['unknown-quality: D quartal in measure 2'],
  },
  {
    name: 'a kind said only in words',
    xml: score(part([start() + chord('C').replace('<kind>major', '<kind text="m7b5">') + note(8)])),
    bars: 'Cm7b5:4',
  },
  {
    name: 'a jump without its sign is left out and said',
    xml: score(part([start() + chord('C') + note(8), chord('F') + note(8) + words('D.S. al Fine')])),
    bars: 'C:4 | F:4',
    signs: '4/4 / ',
    said: ['missing-mark: D.S. al Fine in measure 2'],
  },
  {
    name: 'an ending without a first is left out and said',
    xml: score(
      part([
        start() + chord('C') + note(8),
        chord('F') + note(8),
        barline('left', ending('2', 'start')) + chord('G') + note(8) + barline('right', ending('2', 'stop')),
        chord('C') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | G:4 | C:4',
    said: ['unmatched-ending: 2. in measure 3'],
  },
  {
    name: 'a repeat that nothing closes is left out and said',
    xml: score(
      part([
        start() + chord('C') + note(8),
        barline('left', repeat('forward')) + chord('F') + note(8),
        chord('G') + note(8),
      ]),
    ),
    bars: 'C:4 | F:4 | G:4',
    said: ['unclosed-repeat: |: in measure 2'],
  },
  {
    name: 'a meter put together of two',
    xml: score(
      part([
        `<attributes><divisions>2</divisions><time><beats>3</beats><beat-type>8</beat-type><beats>1</beats><beat-type>4</beat-type></time></attributes>${chord('C')}${note(5)}`,
      ]),
    ),
    bars: 'C:5',
    signs: '5/8',
  },
]

describe('MusicXML as others write it', () => {
  test.each(rows)('$name', ({ xml, bars, signs, order, said = [] }) => {
    const chart = readChanges(xml)
    expect(barsText(chart)).toBe(bars)
    if (signs !== undefined) expect(signsText(chart)).toBe(signs)
    expect(chart.playOrder).toEqual(order ?? chart.bars.map((_, i) => i))
    expect(chart.problems.map(({ code, found }) => `${code}: ${found}`)).toEqual(said)
    expect(chart.problems.every(({ severity }) => severity === 'warning')).toBe(true)
  })

  test('style in words and in what is said of swing', () => {
    const styled = (inside: string) => readChanges(score(part([start() + inside + chord('C') + note(8)]))).style
    expect(styled(words('Medium swing'))).toBe('Medium swing')
    const swing = (inside: string) => `<sound><swing>${inside}</swing></sound>`
    expect(styled(swing('<first>2</first><second>1</second>'))).toBe('Swing')
    expect(styled(swing('<straight/>'))).toBe('Straight')
    expect(styled(words('dolce'))).toBeNull()
  })
})

describe('MEI as others write it', () => {
  const mei = (inside: string) =>
    `<mei xmlns="http://www.music-encoding.org/ns/mei"><music><body><mdiv><score><scoreDef meter.count="4" meter.unit="4"/><section>${inside}</section></score></mdiv></body></music></mei>`
  const layer = (inside: string) => `<staff n="1"><layer n="1">${inside}</layer></staff>`

  test.each([
    [
      'chords that start at a note',
      `<measure n="1">${layer('<note xml:id="a" dur="2"/><note xml:id="b" dur="4" dots="1"/><note xml:id="c" dur="8"/>')}<harm startid="#a">C</harm><harm startid="#b">F</harm><harm startid="#c">G</harm></measure>`,
      'C:2 F:1.5 G:0.5',
    ],
    [
      'in beams, tuplets and chords',
      `<measure n="1">${layer('<beam><note xml:id="a" dur="8"/><note dur="8"/></beam><tuplet num="3" numbase="2"><note dur="4"/><chord dur="4"><note xml:id="b"/></chord><note dur="4"/></tuplet><rest dur="4"/>')}<harm startid="#a">C</harm><harm startid="#b">F</harm></measure>`,
      'C:1.67 F:2.33',
    ],
    [
      'chords over one note share its time',
      `<measure n="1">${layer('<note xml:id="a" dur="1"/>')}<harm startid="#a">C</harm><harm startid="#a">F</harm></measure>`,
      'C:2 F:2',
    ],
    [
      'a rest for several bars stands for them all',
      `<measure n="1">${layer('<multiRest num="3"/>')}<harm tstamp="1">C</harm></measure><measure n="4">${layer('<mRest/>')}<harm tstamp="1">F</harm></measure>`,
      'C:4 | C:4 | C:4 | F:4',
    ],
    [
      'a bar in two parts',
      `<measure n="1" metcon="false" right="rptend">${layer('<note dur="2" dots="1"/>')}<harm tstamp="1">C</harm></measure><measure n="1b" metcon="false">${layer('<note dur="4"/>')}<harm tstamp="1">G</harm></measure><measure n="2">${layer('<mRest/>')}<harm tstamp="1">F</harm></measure>`,
      'C:3 G:1 | F:4',
    ],
    [
      'chords that stand only under the staff',
      '<measure n="1"><harm place="below" tstamp="1">C</harm></measure>',
      'C:4',
    ],
  ])('%s', (_, inside, bars) => {
    const chart = readChanges(mei(inside))
    expect(barsText(chart)).toBe(bars)
    expect(chart.problems).toEqual([])
  })

  test('what does not read is N.C., and said with its measure', () => {
    const chart = readChanges(mei('<measure n="7"><harm tstamp="1">C</harm><harm tstamp="3">xyz</harm></measure>'))
    expect(barsText(chart)).toBe('C:2 N.C.:2')
    expect(chart.problems).toMatchObject([{ severity: 'warning', found: 'xyz in measure 7' }])
  })
})

describe('files and archives', () => {
  const tune = score(part([start() + chord('C') + note(8)]))
  const zip = (files: Record<string, string>) =>
    zipSync(Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)])))
  const container = (path: string) => `<container><rootfiles><rootfile full-path="${path}"/></rootfiles></container>`

  test.each([
    ['an apostrophe in the path', 'Player’s "own" d\'or.xml', 'Player’s &quot;own&quot; d&apos;or.xml'],
    ['an ampersand', 'Rock & Roll.musicxml', 'Rock &amp; Roll.musicxml'],
    ['a path with percent signs', 'my tune.xml', 'my%20tune.xml'],
    ['a path from the root', 'scores/tune.xml', '/scores/tune.xml'],
    ['a name without an ending', 'tune', 'tune'],
  ])('%s', (_, name, path) => {
    const decoy = '<score-partwise><part/></score-partwise>'
    const bytes = zip({ 'META-INF/container.xml': container(path), 'another.xml': decoy, [name]: tune })
    expect(barsText(readChanges(bytes))).toBe('C:4')
  })

  test('only one score, without a container, or beside one that points elsewhere', () => {
    expect(barsText(readChanges(zip({ 'readme.txt': 'hello', 'deep/tune.xml': tune })))).toBe('C:4')
    for (const path of ['gone.xml', 'toString', 'constructor', '__proto__', '', '%E0%A4%A'])
      expect(barsText(readChanges(zip({ 'META-INF/container.xml': container(path), 'tune.xml': tune })))).toBe('C:4')
    for (const path of ['toString', '__proto__'])
      expect(readChanges(zip({ 'META-INF/container.xml': container(path) })).problems[0]!.code).toBe('unreadable-file')
  })

  test.each([
    ['UTF-16, little end first', false, true],
    ['UTF-16, big end first', true, true],
    ['UTF-16 without its mark', false, false],
  ])('%s', (_, big, mark) => {
    const codes = [...(mark ? '\ufeff' : ''), ...`<?xml version="1.0" encoding="UTF-16"?>${tune}`].map((c) =>
      c.charCodeAt(0),
    )
    const bytes = new Uint8Array(codes.flatMap((code) => (big ? [code >> 8, code & 255] : [code & 255, code >> 8])))
    expect(barsText(readChanges(bytes))).toBe('C:4')
  })

  test('Latin-1, as it says', () => {
    const text = tune.replace('<part ', '<movement-title>Pr\u00e9lude \u00c3\u00a9</movement-title><part ')
    const declared = `<?xml version="1.0" encoding="ISO-8859-1"?>${text}`
    expect(readChanges(new Uint8Array([...declared].map((c) => c.charCodeAt(0)))).title).toBe(
      'Pr\u00e9lude \u00c3\u00a9',
    )
  })

  const deep = (between: string) => `<score-partwise>${`<a>${between}`.repeat(xmlLimits.depth + 1)}`
  test.each([
    ['elements', `<score-partwise>${'<a/>'.repeat(xmlLimits.elements)}</score-partwise>`],
    [
      'attributes',
      `<score-partwise>${`<a${' b="1"'.repeat(1)} c="" d='>' e="/"/>`.repeat(xmlLimits.attributes / 4 + 1)}</score-partwise>`,
    ],
    ['depth', deep('')],
    ['depth past comments that close what is open', deep('<!-- </a></a> -->')],
    ['depth past text taken as it is', deep('<![CDATA[</a></a>]]>')],
    ['depth past instructions', deep('<?x </a></a>?>')],
    ['depth past closing tags in quotes', deep('<b c="/>/>"/>')],
  ])('more %s than any score holds', (_, xml) => {
    expect(readChanges(xml).problems.map(({ code }) => code)).toEqual(['too-large'])
  })

  test('comments and instructions of any length are no depth', () => {
    const talk = '<!-- <a><a><a> --><?x <a> ?>'.repeat(300)
    expect(barsText(readChanges(tune.replace('<part ', `${talk}<part `)))).toBe('C:4')
  })
})
