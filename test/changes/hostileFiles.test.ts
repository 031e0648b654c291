/**
 * Files made to cost far more than they hold: each is refused, or read, in what a file of its size may take. Without their bounds most
 * of these go on for minutes or end the process, so that a test that is not over in time is the failure. Archives: PKWARE APPNOTE
 * 6.3.10, 4.3.12 to 4.3.16; MEI 5.1: expansion, multiRest, att.transposition; MusicXML 4.0: transpose; ABC 2.1: 4.5 (Z). Standard
 * MIDI Files 1.0: chunks, lengths of at most four bytes, time and key signatures.
 */
import { strToU8, zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { limits } from '../../lib/brief.ts'
import { archiveLimits, readChanges } from '../../lib/changes/readChanges.ts'
import { xmlLimits } from '../../lib/changes/xml/xmlTree.ts'
import { midiLimits } from '../../lib/mark/midiFile.ts'
import { readLine } from '../../lib/mark/readLine.ts'

const chord = '<harmony><root><root-step>C</root-step></root><kind>major</kind></harmony>'
const note = '<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>'
const musicXml = (inside: string) => `<score-partwise><part-list/>${inside}</score-partwise>`
const mei = (inside: string) => `<mei><music><body><mdiv><score>${inside}</score></mdiv></body></music></mei>`
const meiNote = '<measure><staff n="1"><layer><note pname="c" oct="4" dur="1"/></layer></staff></measure>'
const nested = (depth: number, open: (n: number) => string, inside: string, close: string) =>
  `${Array.from({ length: depth }, (_, n) => open(n)).join('')}${inside}${close.repeat(depth)}`
const line = (text: string) => readLine(strToU8(text), null)
const found = (chart: { problems: readonly { code: string; found: string }[] }) =>
  chart.problems.map(({ code, found }) => [code, found])

/** An archive of one score whose directory claims so many entries, and whose only one is followed by nothing. */
function claiming(entries: number): Uint8Array {
  const honest = zipSync({ 'a.xml': strToU8(musicXml(`<part><measure>${chord}</measure></part>`)) })
  const end = honest.length - 22
  const directory = new DataView(honest.buffer).getUint32(end + 16, true)
  const bytes = new Uint8Array(end + 56 + 20 + 22)
  bytes.set(honest.subarray(0, end))
  const view = new DataView(bytes.buffer)
  const words = (at: number, ...values: readonly number[]) => {
    for (const [i, each] of values.entries()) view.setUint32(at + 4 * i, each, true)
  }
  // A comment of 65,535 bytes that are not there leads past the end.
  view.setUint16(directory + 32, 0xffff, true)
  words(end, 0x06064b50, 44, 0, 0x002d002d, 0, 0, entries, 0, entries, 0, end - directory, 0, directory, 0)
  words(end + 56, 0x07064b50, 0, end, 0, 1)
  words(end + 76, 0x06054b50, 0, 0xffffffff, end - directory, 0xffffffff)
  return bytes
}

describe('an archive', () => {
  test('of 4,294,967,294 entries in its own word and of one in truth is refused at the 65th', () => {
    const bytes = claiming(0xfffffffe)
    expect(bytes.length).toBeLessThan(400)
    expect(found(readChanges(bytes))).toEqual([['too-large', `more than ${archiveLimits.entries} files`]])
    expect(found(readLine(bytes, null))).toEqual([['too-large', `more than ${archiveLimits.entries} files`]])
  })

  // APPNOTE 4.4.7: the CRC-32 of each file; fflate looks after none.
  test('of which any one bit was changed is read as it was, or said to be damaged', () => {
    const measure = '<note><pitch><step>C</step><octave>4</octave></pitch><duration>1</duration></note>'.repeat(4)
    const xml = strToU8(musicXml(`<part><measure>${chord}${measure}</measure></part>`))
    const whole = zipSync({ 'a.xml': xml })
    const read = (bytes: Uint8Array) => {
      const { played } = readLine(bytes, null)
      return played && JSON.stringify([played.notes, played.chart.bars])
    }
    const bits = Array.from({ length: whole.length * 8 }, (_, bit) =>
      whole.with(bit >> 3, whole[bit >> 3]! ^ (1 << (bit & 7))),
    )
    expect(bits.filter((bytes) => read(bytes) === null).length).toBeGreaterThan(bits.length / 2)
    expect(bits.map(read).filter((notes) => notes !== null && notes !== read(whole))).toEqual([])
  })
})

describe('a score', () => {
  const most = limits.barsWritten
  test.each([
    ['measures', musicXml(`<part>${'<measure/>'.repeat(most + 1)}</part>`)],
    [
      'measures of one part of a timewise score',
      `<score-timewise>${'<measure><part/></measure>'.repeat(most + 1)}</score-timewise>`,
    ],
    ['measures of MEI', mei(`<section>${'<measure/>'.repeat(most + 1)}</section>`)],
    [
      'measures that rests of MEI stand for',
      mei(`<section>${'<measure><multiRest num="256"/></measure>'.repeat(17)}</section>`),
    ],
  ])('of more %s than any has is refused', (_, xml) => {
    expect(found(readChanges(xml))).toEqual([['too-large', `more than ${most} measures`]])
  })

  test(`of ${limits.barsWritten} measures is read`, () => {
    const xml = musicXml(`<part><measure>${chord}</measure>${'<measure/>'.repeat(most - 1)}</part>`)
    expect(readChanges(xml).bars).toHaveLength(most)
  })

  test('of as many parts as measures is refused: each is looked at beside all others', () => {
    const measures = `<measure>${chord}</measure>${'<measure/>'.repeat(most - 1)}`
    const xml = musicXml(`<part>${measures}</part>${'<part/>'.repeat(100_000)}`)
    expect(found(readChanges(xml))).toEqual([['too-large', `more than ${xmlLimits.parts} parts`]])
  })

  test.each([
    ['MusicXML', musicXml(`<part><measure>${chord.repeat(xmlLimits.chords + 1)}</measure></part>`)],
    ['MEI', mei(`<section><measure>${'<harm>C</harm>'.repeat(xmlLimits.chords + 1)}</measure></section>`)],
  ])('of more chord symbols than any has is refused, in %s', (_, xml) => {
    expect(found(readChanges(xml))).toEqual([['too-large', `more than ${xmlLimits.chords} chord symbols`]])
  })

  test('of a chord with 60,000 degrees has no such chord', () => {
    const degree = '<degree><degree-value>9</degree-value></degree>'
    const xml = musicXml(
      `<part><measure>${chord}${chord.replace('</harmony>', `${degree.repeat(60_000)}</harmony>`)}</measure></part>`,
    )
    expect(readChanges(xml).problems.map(({ code }) => code)).toContain('unknown-quality')
  })

  test('of 2,720 bars played 64 times each is refused before it is played', () => {
    const measure = `<measure>${note.repeat(8)}<barline><repeat direction="backward" times="64"/></barline></measure>`
    const xml = musicXml(`<part><measure>${chord}${note}</measure>${measure.repeat(2_720)}</part>`)
    expect(line(xml).problems.map(({ code }) => code)).toEqual(['too-many-bars'])
  })

  test('of 190,000 rests for several bars in one measure is read', () => {
    const xml = mei(`<section><measure><harm>C</harm>${'<multiRest num="2"/>'.repeat(190_000)}</measure></section>`)
    expect(readChanges(xml).bars).toHaveLength(2)
  })

  test('of 60 sections, each played as the next one twice, is played by its signs', () => {
    const sections = nested(
      60,
      (n) => `<section xml:id="s${n}"><expansion plist="#s${n + 1} #s${n + 1}"/>`,
      `<section xml:id="s60"/><section><measure><harm>C</harm></measure></section>`,
      '</section>',
    )
    const { bars, problems } = readChanges(mei(sections))
    expect([bars.length, problems.map(({ code }) => code)]).toEqual([1, ['unread-order']])
  })

  test('of 30,000 parts of which one has chords, 30,000 of them, is read', () => {
    const xml = mei(
      `${'<part/>'.repeat(30_000)}<section><measure>${'<harm>C</harm>'.repeat(30_000)}</measure></section>`,
    )
    expect(readChanges(xml).bars).toHaveLength(1)
  })

  test('of MEI with a note in half an octave is read without it', () => {
    const half = meiNote.replace('oct="4"', 'oct="0.5"')
    expect(line(mei(`<staffDef n="1"/><section>${half}${meiNote}</section>`)).played?.notes).toHaveLength(1)
  })

  test('of 150 definitions of a staff, each in the one before, is read as a line', () => {
    const xml = mei(`${nested(150, () => '<staffDef n="1">', '', '</staffDef>')}<section>${meiNote}</section>`)
    expect(line(xml).played?.notes).toHaveLength(1)
  })

  test.each([
    [
      'MusicXML',
      musicXml(
        `<part><measure><attributes><transpose><diatonic>9e6</diatonic><chromatic>4e7</chromatic></transpose></attributes>${chord}</measure></part>`,
      ),
    ],
    [
      'MEI',
      mei(`<scoreDef trans.semi="40000000" trans.diat="9000000"/><section><measure><harm>C</harm></measure></section>`),
    ],
  ])('transposed by three million octaves, in %s, has no name of as many signs', (_, xml) => {
    expect(readChanges(xml).bars[0]!.chords[0]!.symbol).toBe('C')
  })
})

describe('a tune in ABC', () => {
  const rests = 'Z2000|\n'.repeat(1_000)
  test('of two million bars of rest is refused as a line', () => {
    expect(found(line(`X:1\nL:1/8\nK:C\nc8|${rests}`))).toEqual([
      ['too-large', `more than ${limits.barsWritten} measures`],
    ])
  })
  test('and as changes', () => {
    const bars = 'Z256|\n'.repeat(5_000)
    expect(found(readChanges(`X:1\nL:1/8\nK:C\n"C"c8|${bars}`))).toEqual([
      ['too-large', `more than ${limits.barsWritten} measures`],
    ])
  })
})

test('a line as text of more rows than any has is refused', () => {
  const rows = '1  Dm7  F4* A4 C5 E5 F4 A4 C5 E5\n'.repeat(limits.barsWritten + 1)
  expect(found(line(`x, C major concert, Flute, written, 4/4\n${rows}`))).toEqual([
    ['too-large', `more than ${limits.barsWritten} measures`],
  ])
})

test.each([
  ['one bar of a thousand notes', `1  Dm7  ${'C4 '.repeat(2_000)}\n`, 'a bar of 6008 characters'],
  ['notes without end', `1  Dm7  ${'C4 '.repeat(1_000)}\n`.repeat(200), '601600 characters'],
])('a line as text of %s is refused before it is read', (_, rows, what) => {
  expect(found(line(`x, C major concert, Flute, written, 4/4\n${rows}`))).toEqual([['too-large', what]])
})

test('typed changes of a file are no longer than those of a page', () => {
  const typed = '| C '.repeat(limits.changes / 4 + 1)
  expect(found(readChanges(strToU8(typed)))).toEqual([['too-large', `${typed.length} characters`]])
})

describe('a MIDI file', () => {
  const chunk = (id: string, data: readonly number[], length = data.length) => [
    ...strToU8(id),
    ...[24, 16, 8, 0].map((by) => (length >> by) & 0xff),
    ...data,
  ]
  const midi = (tracks: number, ...chunks: readonly (readonly number[])[]) =>
    Uint8Array.from([...chunk('MThd', [0, 1, tracks >> 8, tracks & 0xff, 0, 96]), ...chunks.flat()])
  const struck = [0, 0x90, 60, 64, 96, 0x80, 60, 0]
  const repeated = (count: number, event: readonly number[]) => Array.from({ length: count }, () => event).flat()
  const breaksOff = [['unreadable-file', 'a MIDI file that breaks off']]

  test('whose text is of less than no length, so that it begins again with itself, breaks off', () => {
    const again = [0, 0xff, 1, 0x8f, 0xff, 0xff, 0xff, 0x78]
    expect(found(readLine(midi(1, chunk('MTrk', [...struck, ...again])), null))).toEqual(breaksOff)
  })

  test('whose second of 65,535 tracks leads back to the first breaks off', () => {
    const long = chunk('MTrk', repeated(20_000, struck))
    const bytes = midi(0xffff, long, chunk('MTrk', [], -8 - long.length))
    expect(found(readLine(bytes, null))).toEqual(breaksOff)
  })

  test.each([
    ['meters', [0, 0xff, 0x58, 2, 4, 2]],
    ['keys', [0, 0xff, 0x59, 2, 0, 0]],
  ])('of 390,000 %s after its 2,000 bars is read', (_, event) => {
    const bars = chunk('MTrk', repeated(2_000, [0, 0x90, 60, 64, 0x83, 0, 0x80, 60, 0]))
    const after = chunk('MTrk', [0x81, 0x80, 0x80, 0, ...event.slice(1), ...repeated(390_000, event)])
    expect(readLine(midi(2, bars, after), null).played?.chart.bars).toHaveLength(2_000)
  })

  test('of more events than any song has is refused before it is taken apart', () => {
    const bytes = midi(1, chunk('MTrk', [...struck, 0, 0xc0, 1, ...repeated(midiLimits.events, [0, 1])]))
    expect(found(readLine(bytes, null))).toEqual([['too-large', `more than ${midiLimits.events} events`]])
  })

  test.each([
    ['too long for a text', midiLimits.text + 1, [['too-large', `a text of ${midiLimits.text + 1} bytes`]]],
    ['as long as a text may be', midiLimits.text, []],
  ])('with a text %s says so, and not that it breaks off', (_, length, problems) => {
    const text = [0, 0xff, 1, 0x80 | (length >> 14), 0x80 | ((length >> 7) & 0x7f), length & 0x7f]
    const bytes = midi(1, chunk('MTrk', [...struck, ...text, ...repeated(length, [65])]))
    expect(found(readLine(bytes, null))).toEqual(problems)
  })

  test('that is cut off anywhere breaks off: no part of it is read as the whole', () => {
    const bytes = midi(2, chunk('MTrk', [0, 0xff, 3, 1, 65]), chunk('MTrk', repeated(4, struck)))
    expect(readLine(bytes, null).played?.notes).toHaveLength(4)
    for (let length = 4; length < bytes.length; length++)
      expect(found(readLine(bytes.subarray(0, length), null))[0]).toEqual([
        'unreadable-file',
        expect.stringMatching(/breaks off/),
      ])
  })

  test('of more markers than any has chords is refused', () => {
    const markers = repeated(xmlLimits.chords + 1, [0, 0xff, 6, 1, 0x43])
    expect(found(readLine(midi(1, chunk('MTrk', [...struck, ...markers])), null))).toEqual([
      ['too-large', `more than ${xmlLimits.chords} markers`],
    ])
  })
})
