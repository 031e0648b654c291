/** Files that are no line, or no line over these changes: a message with its place, never a crash; and odd bytes of every kind. */
import fc from 'fast-check'
import { zipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { type FaultyFile, isFaulty, type MarkChoices, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { markJson } from '../../lib/mark/markJson.ts'
import { reportText } from '../../lib/mark/reportLine.ts'
import { describeProblem } from '../../lib/problem.ts'
import { bytesOf, formats } from './writtenLine.ts'

const encode = (text: string) => new TextEncoder().encode(text)

function refused(bytes: Uint8Array, choices: Partial<MarkChoices> = {}): FaultyFile {
  const marked = markFile({ name: 'a', bytes }, { ...usualMarking, ...choices })
  if (!isFaulty(marked)) throw new Error('was read')
  return marked
}

const note = (step: string, extra = '') =>
  `<note>${extra}<pitch><step>${step}</step><octave>4</octave></pitch><duration>4</duration><voice>1</voice><type>whole</type></note>`
const score = (measures: string, more = '') =>
  `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>A</part-name></score-part>${more ? '<score-part id="P2"><part-name>B</part-name></score-part>' : ''}</part-list><part id="P1">${measures}</part>${more}</score-partwise>`
const chord = '<harmony><root><root-step>C</root-step></root><kind>major-seventh</kind></harmony>'
const first = '<attributes><divisions>1</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>'
const bar = (inside: string, n = 1) => `<measure number="${n}">${n === 1 ? first : ''}${inside}</measure>`
const fourBars = [1, 2, 3, 4].map((n) => bar(note('C'), n)).join('')

describe('what cannot be marked says why', () => {
  test.each<[string, Uint8Array, Partial<MarkChoices>, string, RegExp]>([
    ['nothing', new Uint8Array(), {}, 'unreadable-file', /an empty file/],
    ['words', encode('a line I played yesterday'), {}, 'unreadable-file', /MusicXML, MXL, MEI, MIDI, ABC/],
    ['no changes', encode(score(bar(note('C')))), {}, 'no-chords', /--changes FILE/],
    ['no notes', encode(score(bar(`${chord}<note><rest/><duration>4</duration></note>`))), {}, 'no-notes', /no notes/],
    ['notes on each other', encode(score(bar(chord + note('C') + note('E', '<chord/>')))), {}, 'polyphony', /bar 1/],
    [
      'a part that is not there',
      encode(score(bar(chord + note('C')))),
      { part: '3' },
      'no-such-part',
      /a part from 1 to 1: A/,
    ],
    [
      'changes that end first',
      encode(score(fourBars)),
      { changes: readChart('| C | F | G |') },
      'changes-do-not-fit',
      /part after bar 3/,
    ],
    [
      'changes in another meter',
      encode(score(fourBars)),
      { changes: readChart('| C | F |\nTime: 3/4\n| G | C |') },
      'changes-do-not-fit',
      /bar \d of the line in 4\/4/,
    ],
    [
      'changes that are wrong',
      encode(score(fourBars)),
      { changes: readChart('| C | F | Gzz | C |') },
      'unknown-root',
      /Gzz/,
    ],
    ['XML that breaks off', encode('<score-partwise><part id="P1">'), {}, 'unreadable-file', /./],
    ['ten megabytes', new Uint8Array(10_000_000).fill(32), {}, 'too-large', /10000000 bytes/],
    // Where it was tried to the end, 60,000 of them took its parser 16 seconds, and four times as long at twice as many.
    [
      'ABC that opens braces for ever',
      encode(`X:1\nK:C\n${'{'.repeat(2_001)}`),
      {},
      'too-large',
      /2001 characters in one/,
    ],
    [
      'a bomb',
      zipSync({ 'a.musicxml': [new Uint8Array(15_000_000), { level: 9 }] }),
      {},
      'too-large',
      /packed more than/,
    ],
    [
      'entities of its own',
      encode('<!DOCTYPE score-partwise [<!ENTITY a "b">]><score-partwise/>'),
      {},
      'unreadable-file',
      /document type/,
    ],
    ['ABC on two strings', encode('X:1\nL:1/8\nK:C\n"C"[CE]4 z4|'), {}, 'polyphony', /bar 1/],
    [
      'a text bar that is short',
      encode('C major concert, Flute, written\n1  C  C4 D4\n'),
      {},
      'short-bar',
      /1 beats in bar 1/,
    ],
    ['a text note that is none', encode('C major concert, Flute, written\n1  C  H4:4\n'), {}, 'unknown-note', /H4/],
    [
      'a chord in text that is none',
      encode('C major concert, Flute, written\n1  Cblah  C4:4\n'),
      {},
      'unknown-quality',
      /Cblah/,
    ],
  ])('%s', (_, bytes, choices, code, said) => {
    const { problems, text } = refused(bytes, choices)
    expect(problems[0]!.code).toBe(code)
    const line = describeProblem('a', text, problems[0]!)
    expect(line).toMatch(said)
    expect(line).toMatch(/^a:\d+:\d+: found .+; expected .+; .+$/)
  })

  test('the place of a note in a text is its own', () => {
    const text = 'C major concert, Flute, written\n1  C  C4:4\n2  F  C4:2 Q4:2\n'
    const { problems } = refused(encode(text))
    expect(text.slice(problems[0]!.span.start, problems[0]!.span.end)).toBe('Q4:2')
  })
})

describe('what may be marked all the same', () => {
  const ofScore = (text: string, choices: Partial<MarkChoices> = {}) => {
    const marked = markFile({ name: 'a', bytes: encode(text) }, { ...usualMarking, ...choices })
    if (isFaulty(marked)) throw new Error(JSON.stringify(marked.problems))
    return marked
  }
  const names = (text: string, choices: Partial<MarkChoices> = {}) =>
    ofScore(text, choices).line.notes.flatMap(({ pitch }) => (pitch ? [pitch.letter] : []))

  test('the top voice of several', () => {
    const low = `<backup><duration>4</duration></backup>${note('E').replace('<voice>1<', '<voice>2<')}`
    expect(names(score(bar(chord + note('C') + low)))).toEqual(['C'])
  })

  test('the part that is asked for, by number or name', () => {
    const two = score(bar(chord + note('C')), `<part id="P2">${bar(note('G'))}</part>`)
    expect(names(two)).toEqual(['C'])
    expect(names(two, { part: '2' })).toEqual(['G'])
    expect(names(two, { part: 'b' })).toEqual(['G'])
  })

  test('a repeat, unrolled', () => {
    const open = '<barline location="left"><repeat direction="forward"/></barline>'
    const close = '<barline location="right"><repeat direction="backward"/></barline>'
    expect(names(score(bar(open + chord + note('C')) + bar(note('D') + close, 2)))).toEqual(['C', 'D', 'C', 'D'])
  })

  test('a tie over the bar line, as one note', () => {
    const tied = (type: string) =>
      note('C')
        .replace('</pitch>', '</pitch>')
        .replace('<duration>4</duration>', `<duration>4</duration><tie type="${type}"/>`)
    const { line } = ofScore(score(bar(chord + tied('start')) + bar(tied('stop'), 2)))
    expect(line.notes.map(({ ticks }) => ticks)).toEqual([192])
  })

  test('a pickup, in bar 0', () => {
    const short = `<measure number="0" implicit="yes">${first}<note><pitch><step>G</step><octave>4</octave></pitch><duration>1</duration></note></measure>`
    const { line } = ofScore(score(short + bar(chord + note('C'), 2)))
    expect(line.notes.map(({ bar: number, start }) => [number, start])).toEqual([
      [0, -24],
      [1, 0],
    ])
    expect(line.harmony.bars).toHaveLength(1)
  })

  test('a transposing part that says semitones alone', () => {
    const alto = score(bar(chord + note('A'))).replace(
      '</time>',
      '</time><transpose><chromatic>-9</chromatic></transpose>',
    )
    const { line } = ofScore(alto)
    expect(line.notes[0]!.pitch).toEqual({ letter: 'C', alter: 0, octave: 4 })
    expect(line.instrument.id).toBe('alto-sax')
  })

  test('letters are kept as they were written, and tidied on request', () => {
    const odd = score(
      bar(
        `<harmony><root><root-step>D</root-step></root><kind>dominant</kind></harmony>${note('G').replace('</step>', '</step><alter>-1</alter>')}`,
      ),
    )
    const spelled = (tidy: boolean) => ofScore(odd, { tidy }).line.notes[0]!.pitch
    expect(spelled(false)).toEqual({ letter: 'G', alter: -1, octave: 4 })
    expect(spelled(true)).toEqual({ letter: 'F', alter: 1, octave: 4 })
  })

  test('changes gone through twice under a line of two choruses', () => {
    expect(ofScore(score(fourBars), { changes: readChart('| C | F |') }).line.harmony.chords).toHaveLength(4)
  })
})

test('whatever the bytes, there is a line or a message', () => {
  const { brief } = readBrief({ changes: '| Dm7 | G7 | Cmaj7 |' })
  const line = writeLines(brief).lines[0]!
  const good = formats.map((format) => bytesOf(line, brief, format))
  const damaged = fc
    .record({
      which: fc.nat({ max: good.length - 1 }),
      cut: fc.double({ min: 0, max: 1, noNaN: true }),
      at: fc.array(fc.tuple(fc.double({ min: 0, max: 0.999, noNaN: true }), fc.nat({ max: 255 })), { maxLength: 8 }),
    })
    .map(({ which, cut, at }) => {
      const bytes = good[which]!.slice(0, cut < 0.5 ? undefined : Math.floor(good[which]!.length * cut))
      for (const [place, value] of at) if (bytes.length > 0) bytes[Math.floor(place * bytes.length)] = value
      return bytes
    })
  fc.assert(
    fc.property(fc.oneof({ weight: 4, arbitrary: damaged }, fc.uint8Array({ maxLength: 200 })), (bytes) => {
      const marked = markFile({ name: 'a', bytes }, usualMarking)
      if (isFaulty(marked)) expect(marked.problems.length).toBeGreaterThan(0)
      else {
        expect(markJson([marked], [], brief).lines).toHaveLength(1)
        expect(reportText(marked).length).toBeGreaterThan(0)
      }
    }),
    { numRuns: 400 },
  )
})
