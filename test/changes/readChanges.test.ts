/** Score files as changes: MusicXML, compressed MusicXML, MEI; what they say, what is refused, and our own files read back. */
import { strToU8, zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { defaultBrief, readBrief } from '../../lib/brief.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { archiveLimits, readChanges } from '../../lib/changes/readChanges.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { writeMusicXml, writeMxl } from '../../lib/score/writeMusicXml.ts'
import { nameOfKey } from '../../lib/theory/key.ts'
import { barsText, signsText, withoutPlaces } from './chartText.ts'

const doctype =
  '<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 4.0 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">'
const rest = (duration: number) => `<note><rest/><duration>${duration}</duration></note>`
const harmony = (root: string, kind: string, more = '') => {
  const alter = root.endsWith('b') ? -1 : root.endsWith('#') ? 1 : 0
  return `<harmony><root><root-step>${root[0]}</root-step>${alter ? `<root-alter>${alter}</root-alter>` : ''}</root><kind>${kind}</kind>${more}</harmony>`
}
const degree = (value: number, alter: number, type: string) =>
  `<degree><degree-value>${value}</degree-value><degree-alter>${alter}</degree-alter><degree-type>${type}</degree-type></degree>`
const attributes = (more = '') =>
  `<attributes><divisions>2</divisions><key><fifths>-3</fifths></key><time><beats>4</beats><beat-type>4</beat-type></time>${more}</attributes>`
const partwise = (measures: readonly string[], head = '') =>
  `<?xml version="1.0" encoding="UTF-8"?>\n${doctype}\n<score-partwise version="4.0">${head}<part-list><score-part id="P1"><part-name>x</part-name></score-part></part-list><part id="P1">${measures.map((measure, i) => `<measure number="${i + 1}">${measure}</measure>`).join('')}</part></score-partwise>`
const barline = (location: string, inside: string) => `<barline location="${location}">${inside}</barline>`

describe('MusicXML', () => {
  test('roots, kinds, degrees, basses and where they stand', () => {
    const chart = readChanges(
      partwise([
        attributes() +
          harmony('F', 'minor-seventh') +
          rest(4) +
          harmony('Bb', 'dominant', degree(9, -1, 'add')) +
          rest(4),
        harmony('Eb', 'major-seventh', '<bass><bass-step>G</bass-step></bass>') +
          rest(6) +
          harmony('C', 'half-diminished') +
          rest(2),
        rest(8),
        `<harmony><root><root-step>C</root-step></root><kind>none</kind></harmony>${rest(8)}`,
      ]),
    )
    expect(barsText(chart)).toBe('Fm7:2 Bb7(b9):2 | Ebmaj7/G:3 Cm7b5:1 | Cm7b5:4 | N.C.:4')
    expect(nameOfKey(chart.key!)).toBe('Eb')
    expect(chart.problems).toEqual([])
  })

  test('offsets, voices and chords of notes keep their time', () => {
    const chart = readChanges(
      partwise([
        `${attributes() + harmony('C', 'major', '<offset>4</offset>')}<note><chord/><rest/><duration>8</duration></note>${rest(8)}<backup><duration>8</duration></backup>${harmony('F', 'major')}<forward><duration>8</duration></forward>`,
      ]),
    )
    expect(barsText(chart)).toBe('F:2 C:2')
  })

  test('repeats, endings, sections, jumps, tempo and names', () => {
    const words = (text: string) => `<direction><direction-type><words>${text}</words></direction-type></direction>`
    const head =
      '<work><work-title>Invented</work-title></work><identification><creator type="composer">N. N.</creator></identification>'
    const reh = (text: string) =>
      `<direction><direction-type><rehearsal>${text}</rehearsal></direction-type><sound tempo="140"/></direction>`
    const chart = readChanges(
      partwise(
        [
          attributes() + reh('A') + barline('left', '<repeat direction="forward"/>') + harmony('C', 'major') + rest(8),
          barline('left', '<ending number="1" type="start"/>') +
            harmony('G', 'dominant') +
            rest(8) +
            barline('right', '<ending number="1" type="stop"/><repeat direction="backward"/>'),
          barline('left', '<ending number="2" type="start"/>') +
            harmony('F', 'major') +
            words('Fine') +
            rest(8) +
            barline('right', '<ending number="2" type="stop"/>'),
          reh('B') + harmony('D', 'minor') + rest(8) + words('D.C. al Fine'),
        ],
        head,
      ),
    )
    expect(chart).toMatchObject({ title: 'Invented', composer: 'N. N.', tempo: 140 })
    expect(signsText(chart)).toBe('[A] 4/4 |: / 1. :| / 2. Fine / [B] D.C. al Fine')
    expect(chart.playOrder).toEqual([0, 1, 0, 2, 3, 0, 2])
  })

  test('a count, meters and keys that change, and bars that repeat bars', () => {
    const chart = readChanges(
      partwise([
        attributes() +
          barline('left', '<repeat direction="forward"/>') +
          harmony('C', 'major') +
          rest(8) +
          barline('right', '<repeat direction="backward" times="3"/>'),
        `<attributes><key><fifths>2</fifths><mode>minor</mode></key><time><beats>3</beats><beat-type>4</beat-type></time></attributes>${harmony('B', 'minor')}${rest(6)}`,
        `<attributes><measure-style><measure-repeat type="start">1</measure-repeat></measure-style></attributes>${rest(6)}`,
      ]),
    )
    expect(signsText(chart)).toBe('4/4 |: :|3 / 3/4 key Bm / ')
    expect(barsText(chart)).toBe('C:4 | Bm:3 | Bm:3')
    expect(chart.playOrder).toEqual([0, 0, 0, 1, 2])
  })

  test('a transposing part is brought to concert pitch, its key too', () => {
    const alto = '<transpose><diatonic>-5</diatonic><chromatic>-9</chromatic></transpose>'
    const chart = readChanges(
      partwise([attributes(alto).replace('<fifths>-3', '<fifths>0') + harmony('A', 'minor-seventh') + rest(8)]),
    )
    expect(barsText(chart)).toBe('Cm7:4')
    expect(nameOfKey(chart.key!)).toBe('Eb')
  })

  test('a pickup without chords is no bar; the part with the most chords speaks', () => {
    const silent = `<part id="P0"><measure number="1">${attributes()}${rest(8)}</measure></part>`
    const pickup = partwise([attributes() + rest(2), harmony('C', 'major') + rest(8)]).replace(
      'number="1"',
      'number="0" implicit="yes"',
    )
    expect(barsText(readChanges(pickup))).toBe('C:4')
    expect(barsText(readChanges(pickup.replace('<part id="P1">', `${silent}<part id="P1">`)))).toBe('C:4')
  })

  test('timewise scores, numerals, and kinds in words', () => {
    const timewise = `<score-timewise><measure number="1"><part id="P1">${attributes()}${harmony('C', 'major')}${rest(8)}</part></measure></score-timewise>`
    expect(barsText(readChanges(timewise))).toBe('C:4')
    const numeral = '<harmony><numeral><numeral-root>5</numeral-root></numeral><kind>dominant</kind></harmony>'
    expect(barsText(readChanges(partwise([attributes() + numeral + rest(8)])))).toBe('Bb7:4')
    const other = '<harmony><root><root-step>C</root-step></root><kind text="7alt">other</kind></harmony>'
    expect(barsText(readChanges(partwise([attributes() + other + rest(8)])))).toBe('C7alt:4')
  })

  test('a harmony that names nothing is said, at its place, and the rest is read', () => {
    const xml = partwise([attributes() + harmony('C', 'major') + rest(8), `${harmony('D', 'unheard-of')}${rest(8)}`])
    const chart = readChanges(xml)
    expect(chart.problems).toMatchObject([
      { severity: 'warning', code: 'unknown-quality', found: 'D unheard-of in measure 2' },
    ])
    expect(xml.slice(chart.problems[0]!.span.start, chart.problems[0]!.span.end)).toMatch(
      /^<harmony>.*unheard-of.*<\/harmony>$/,
    )
    expect(barsText(chart)).toBe('C:4 | N.C.:4')
  })
})

describe('MEI', () => {
  const mei = (score: string) =>
    `<?xml version="1.0"?><mei xmlns="http://www.music-encoding.org/ns/mei" meiversion="5.1"><meiHead><fileDesc><titleStmt><title>Study</title><composer>N. N.</composer></titleStmt><pubStmt/></fileDesc></meiHead><music><body><mdiv><score>${score}</score></mdiv></body></music></mei>`

  test('chord symbols as they are engraved, meters, repeats, endings, rehearsal marks', () => {
    const chart = readChanges(
      mei(
        '<scoreDef meter.count="3" meter.unit="4" keysig="3f" midi.bpm="120"><staffGrp><staffDef n="1" lines="5"/></staffGrp></scoreDef><section><measure n="1" left="rptstart"><staff n="1"/><reh>A</reh><harm tstamp="1">Fm<rend rend="sup">7</rend></harm><harm tstamp="3">B♭<rend rend="sup">7(♭9)</rend></harm></measure><ending n="1"><measure n="2" right="rptend"><harm tstamp="1">E♭△7</harm></measure></ending><ending n="2"><measure n="3"><harm tstamp="1">E♭6</harm><dir>D.C. al Fine</dir></measure></ending></section>',
      ),
    )
    expect(chart).toMatchObject({ title: 'Study', composer: 'N. N.', tempo: 120 })
    expect(barsText(chart)).toBe('Fm7:2 Bb7(b9):1 | Ebmaj7:3 | Eb6:3')
    expect(signsText(chart)).toBe('[A] 3/4 |: / 1. :| / 2.')
    expect(chart.problems).toMatchObject([
      { severity: 'warning', code: 'missing-mark', found: 'D.C. al Fine in measure 3' },
    ])
    expect(nameOfKey(chart.key!)).toBe('Eb')
    expect(chart.playOrder).toEqual([0, 1, 0, 2])
  })

  test('analysis under the staff is no chord', () => {
    const chart = readChanges(
      mei(
        '<scoreDef meter.count="4" meter.unit="4"/><section><measure><harm tstamp="1" place="above">Dm7</harm><harm tstamp="1" place="below">C: ii7</harm></measure></section>',
      ),
    )
    expect(barsText(chart)).toBe('Dm7:4')
    expect(chart.problems).toEqual([])
  })

  test('a transposing staff is brought to concert pitch', () => {
    const chart = readChanges(
      mei(
        '<scoreDef meter.count="4" meter.unit="4"><staffGrp><staffDef n="1" keysig="0" trans.diat="-5" trans.semi="-9"/></staffGrp></scoreDef><section><measure><harm tstamp="1">Am7</harm></measure></section>',
      ),
    )
    expect(barsText(chart)).toBe('Cm7:4')
    expect(nameOfKey(chart.key!)).toBe('Eb')
  })
})

describe('our own files read back', () => {
  const text =
    'Title: Study\nKey: Eb\n[A]\n| Fm7 Bb7(b9) | Ebmaj7 | Gm7b5 C7alt | Fm7/Bb |\n[B]\n| Abmaj7(#11) / Db9 / | Gm(maj7) | F#dim7 B13 | Bb7sus4 Bb7 |'
  const chart = readChart(text)
  const score = (instrument: string, key: string) => {
    const { brief } = readBrief({ changes: text, instrument, key })
    const { lines } = writeLines(brief)
    return layScore(lines[0]!, brief)
  }
  const symbolsOf = (read: typeof chart) =>
    read.bars.map((bar) => bar.chords.map(({ symbol, beats }) => [symbol, beats]))

  test.each(['alto-sax', 'tenor-sax', 'trumpet', 'flute', 'trombone', 'guitar', 'double-bass', 'baritone-sax'])(
    '%s: MusicXML, compressed and plain, and MEI',
    (instrument) => {
      const part = score(instrument, 'Eb')
      expect(defaultBrief.pitch).toBe('written')
      for (const file of [writeMusicXml(part), writeMxl(part), writeMei(part)])
        expect(symbolsOf(readChanges(file))).toEqual(symbolsOf(chart))
    },
  )

  test('sections and the key come along', () => {
    const read = readChanges(writeMusicXml(score('alto-sax', 'Eb')))
    expect(read.bars.map((bar) => bar.section)).toEqual(chart.bars.map((bar) => bar.section))
    expect(nameOfKey(read.key!)).toBe('Eb')
    expect(read.title).toBe('Study')
  })

  test('and print as text that reads to the same chart', () => {
    const read = readChanges(writeMusicXml(score('alto-sax', 'Eb')))
    expect(withoutPlaces(readChart(printChart(read)))).toEqual(withoutPlaces(read))
  })
})

describe('typed text and bytes', () => {
  test.each([
    ['text', '| Dm7 | G7 |'],
    ['UTF-8', new TextEncoder().encode('| Dm7 | G7♭9 |')],
    ['UTF-8 with its mark', new Uint8Array([0xef, 0xbb, 0xbf, ...new TextEncoder().encode('| Dm7 | G7 |')])],
    [
      'UTF-16, little end first',
      new Uint8Array([0xff, 0xfe, ...[...'| Dm7 | G7 |'].flatMap((c) => [c.charCodeAt(0), 0])]),
    ],
    [
      'UTF-16, big end first',
      new Uint8Array([0xfe, 0xff, ...[...'| Dm7 | G7 |'].flatMap((c) => [0, c.charCodeAt(0)])]),
    ],
    [
      'an old code page',
      new Uint8Array(
        [...'| D']
          .map((c) => c.charCodeAt(0))
          .concat(
            [0xb0],
            [...'7 | G7 |'].map((c) => c.charCodeAt(0)),
          ),
      ),
    ],
  ])('%s', (_, input) => {
    expect(readChanges(input).bars).toHaveLength(2)
  })
})

describe('refused, without a throw', () => {
  const codes = (input: string | Uint8Array) => readChanges(input).problems.map((problem) => problem.code)
  const zip = (files: Record<string, string>) =>
    zipSync(Object.fromEntries(Object.entries(files).map(([name, text]) => [name, strToU8(text)])))
  const container = '<container><rootfiles><rootfile full-path="score.xml"/></rootfiles></container>'
  const score = partwise([attributes() + harmony('C', 'major') + rest(8)])

  test('an archive is read by its container, or by its only score', () => {
    expect(barsText(readChanges(zip({ 'META-INF/container.xml': container, 'score.xml': score })))).toBe('C:4')
    expect(barsText(readChanges(zip({ 'tune.musicxml': score })))).toBe('C:4')
  })

  test.each([
    ['XML that is not well formed', '<score-partwise><part>', 'unreadable-file'],
    [
      'entities of its own',
      '<!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;">]><score-partwise><part>&b;</part></score-partwise>',
      'unreadable-file',
    ],
    ['an entity that is not defined', '<score-partwise><part>&b;</part></score-partwise>', 'unreadable-file'],
    ['elements without end', `<score-partwise>${'<part>'.repeat(10_000)}`, 'too-large'],
    ['a score without chords', partwise([attributes() + rest(8)]), 'no-chords'],
    ['an MEI file without a score', '<mei xmlns="http://www.music-encoding.org/ns/mei"/>', 'no-chords'],
    ['another kind of XML score', '<opus><title>x</title></opus>', 'unreadable-file'],
    ['an archive without a score', zip({ 'readme.txt': 'hello' }), 'unreadable-file'],
    ['a container that points nowhere', zip({ 'META-INF/container.xml': container }), 'unreadable-file'],
    ['an archive cut short', zip({ 'score.xml': score }).slice(0, 60), 'unreadable-file'],
    ['a file that packs too well', zip({ 'score.xml': ' '.repeat(3_000_000) }), 'too-large'],
    [
      'too many files',
      zip(Object.fromEntries(Array.from({ length: archiveLimits.entries + 1 }, (_, i) => [`${i}.xml`, 'x']))),
      'too-large',
    ],
    ['too many bytes', new Uint8Array(archiveLimits.packed + 1).fill(0x4b).fill(0x50, 0, 1), 'too-large'],
    ['a PDF', new TextEncoder().encode('%PDF-1.7 ...'), 'unreadable-file'],
    ['no bytes', new Uint8Array(), 'no-chords'],
    ['noise', new Uint8Array(300).map((_, i) => (i * 97) % 256), 'no-chords'],
  ])('%s', (_, input, code) => {
    expect(codes(input)).toEqual([code])
    const [problem] = readChanges(input).problems
    expect([problem!.found, problem!.expected, problem!.hint]).not.toContain('')
  })
})
