/** A staff of strings and frets: what it sounds, against the tuning; what it is in MEI 5.1 and MusicXML 4.0, against their schemas. */
import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { RelaxNGValidator, XmlDocument, XsdValidator } from 'libxml2-wasm'
import { xmlRegisterFsInputProviders } from 'libxml2-wasm/lib/nodejs.mjs'
import { Note } from 'tonal'
import { beforeAll, describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { engraveSvg } from '../../lib/engrave/engraver.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { readLine } from '../../lib/mark/readLine.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { writeMusicXml } from '../../lib/score/writeMusicXml.ts'
import { midiOf } from '../../lib/theory/pitch.ts'

/** Open strings by their usual names (common practice), the highest first; what they sound by tonal 6.4.3. */
const tunings: Readonly<Record<string, readonly string[]>> = {
  guitar: ['E4', 'B3', 'G3', 'D3', 'A2', 'E2'],
  'electric-bass': ['G2', 'D2', 'A1', 'E1'],
}
const tunes = [
  ['Time: 4/4\n| Dm7 G7 | Cmaj7 | Bm7b5 E7(b9) | Am6 |', 'phrased'],
  ['Time: 3/4\n| Ebmaj7 | Cm7 | Fm7 | Bb7 |', 'triplets'],
  ['Time: 5/4\n| F#m7 | B7 | Emaj7 | C#7 |\nTime: 4/4\n| F#m7 | B7 |', 'eighths'],
] as const

const write = (instrument: string, changes: string, rhythm: string, more: Readonly<Record<string, string>> = {}) => {
  const { brief, problems } = readBrief({ changes, instrument, rhythm, tablature: 'yes', ...more })
  expect(problems).toEqual([])
  const { lines } = writeLines(brief)
  return { brief, lines, line: lines[0]!, score: layScore(lines[0]!, brief) }
}

const cases = Object.keys(tunings).flatMap((instrument) =>
  tunes.map(([changes, rhythm]) => [instrument, rhythm, changes] as const),
)
const data = (name: string) => fileURLToPath(new URL(`../data/schemas/${name}`, import.meta.url))

let mei: RelaxNGValidator
let musicXml: XsdValidator
beforeAll(() => {
  xmlRegisterFsInputProviders()
  mei = RelaxNGValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(data('mei-CMN-5.1.rng'))))
  const url = data('musicxml.xsd')
  musicXml = XsdValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(url), { url }))
})

describe.each(cases)('%s, %s', (instrument, rhythm, changes) => {
  test('every note stands once, on a string and fret that sound it', () => {
    const { line, score } = write(instrument, changes, rhythm)
    const frets = score.bars.flatMap(({ events }) =>
      events.flatMap(({ stop }) => (stop ? [Note.midi(tunings[instrument]![stop.string - 1]!)! + stop.fret] : [])),
    )
    expect(frets).toEqual(line.notes.flatMap(({ pitch }) => (pitch ? [midiOf(pitch)] : [])))
  })

  test('the frets are engraved in their order, and the chords with them', async () => {
    const { score } = write(instrument, changes, rhythm)
    const pages = await engraveSvg(writeMei(score), { paper: 'screen', width: 900 })
    const drawn = [...pages.join('').matchAll(/class="note"[^>]*><text[^>]*>(?:<tspan[^>]*>)+(\d+)/g)].map(([, n]) =>
      Number(n),
    )
    const frets = score.bars.flatMap(({ events }) => events.flatMap(({ stop }) => (stop ? [stop.fret] : [])))
    expect(drawn).toEqual(frets)
    expect(pages.join('').match(/class="harm"/g)).toHaveLength(score.bars.flatMap(({ harmony }) => harmony).length)
  })

  test('is valid MEI and MusicXML, and comes back from both as the same line', () => {
    const { line, score } = write(instrument, changes, rhythm)
    const files = { mei: writeMei(score), musicxml: writeMusicXml(score) }
    mei.validate(XmlDocument.fromString(files.mei))
    musicXml.validate(XmlDocument.fromString(files.musicxml))
    const drawn = line.notes.flatMap(({ pitch, start }) => (pitch ? [[start, midiOf(pitch)]] : []))
    for (const [ending, text] of Object.entries(files)) {
      const { played, problems } = readLine(new TextEncoder().encode(text), null)
      expect(problems, ending).toEqual([])
      expect(
        played!.notes.map(({ pitch, start }) => [start, midiOf(pitch)]),
        ending,
      ).toEqual(drawn)
    }
  })
})

describe('tablature on request', () => {
  test('moves no note, and is not there unasked', () => {
    const asked = write('guitar', tunes[0][0], 'phrased')
    const not = write('guitar', tunes[0][0], 'phrased', { tablature: 'no' })
    expect(asked.line.notes).toEqual(not.line.notes)
    expect(writeMei(not.score)).not.toMatch(/tab/)
    expect(writeMusicXml(not.score)).not.toMatch(/TAB|<staff>/)
  })

  test.each([
    ['alto-sax', {}, 'players of Alto saxophone read no tablature; guitar and electric bass do'],
    ['double-bass', {}, 'players of Double bass read no tablature; guitar and electric bass do'],
    ['guitar', { low: 'B5', high: 'E7' }, 'a note here lies beyond the frets of Guitar'],
  ])('%s: what cannot be written is said', (instrument, more, why) => {
    const { line } = write(instrument, '| Dm7 | G7 | Cmaj7 | Cmaj7 |', 'eighths', more)
    expect(line.relaxed.filter(({ rule }) => rule === 'tablature').map((each) => each.why)).toContain(why)
  })
})
