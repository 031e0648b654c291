import { existsSync, readFileSync } from 'node:fs'
import { RelaxNGValidator, XmlDocument } from 'libxml2-wasm'
import { beforeAll, describe, expect, test } from 'vitest'
import { type Brief, defaultBrief, marks } from '../../lib/brief.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keyAt } from '../../lib/theory/key.ts'
import { intervalBetween } from '../../lib/theory/pitch.ts'
import { type LineText, makeLine, transposeLine } from './lineFixture.ts'

const schema = new URL('../../../shared/schemas/mei-CMN-5.1.rng', import.meta.url).pathname
const found = existsSync(schema)

const tune: LineText = {
  composer: 'A. Maker',
  chords: 'A: Dm7 Bb7/F | G13(#11) | N.C. | Cmaj7 | B: (3/4) F#m7b5 | (6/8) {Eb} Fm7',
  notes:
    '*F4 E4 D4 C4 [A4 G4 D#4 C#4] *B4/24 [C5/8 C#5 C5] D5/12 [E5] *G4/72 A4/12 Bb4 *E5/6 D5 C5 B4 -/96 *C5/36 A4/12 C5 [B4/12] *Ab4/24 C5/12 Eb5/36',
}
const everything = { ...defaultBrief, show: [...marks] }
const meiOf = (text: LineText, brief: Brief = everything) =>
  writeMei(layScore(makeLine(text), brief), { show: brief.show })

describe.skipIf(!found)(
  `valid against the MEI 5.1 schema${found ? '' : ' (skipped: no ../shared/schemas here)'}`,
  () => {
    let validator: RelaxNGValidator
    beforeAll(() => {
      validator = RelaxNGValidator.fromDoc(XmlDocument.fromBuffer(readFileSync(schema)))
    })
    const validate = (mei: string) => {
      const doc = XmlDocument.fromString(mei)
      try {
        validator.validate(doc)
      } finally {
        doc.dispose()
      }
    }

    test.each(instruments.map(({ id }) => id))('%s', (instrument) => {
      expect(() => validate(meiOf({ ...tune, instrument }))).not.toThrow()
    })
    test.each(['2/4', '3/4', '4/4', '5/4', '6/4', '7/4', '6/8', '9/8', '12/8', '7/8'])('%s', (meter) => {
      expect(() => validate(meiOf({ meter, chords: 'C6 | C6', notes: '*C4 E4 G4/24' }))).not.toThrow()
    })
    test.each(Array.from({ length: 24 }, (_, i) => keyAt(i % 12, i < 12 ? 'major' : 'minor')))('%o', (key) => {
      const line = makeLine({ ...tune, instrument: 'alto-sax' })
      const moved = transposeLine(line, intervalBetween(line.key.tonic, key.tonic))
      const score = layScore({ ...moved, key }, everything)
      expect(() => validate(writeMei(score, { show: marks }))).not.toThrow()
    })
    test('nothing shown, no head, ids of their own', () => {
      const score = layScore(makeLine(tune), { ...defaultBrief, show: [] })
      expect(() => validate(writeMei(score, { show: [], head: false, prefix: 'k2-' }))).not.toThrow()
    })
    test('markup, control characters and lone surrogates in the texts', () => {
      const nasty = '\u0001<b>&"\'\ud800\uffff]]>'
      const mei = meiOf({
        ...tune,
        title: nasty,
        composer: nasty,
        style: nasty,
        chords: tune.chords.replace('A:', `${nasty}:`),
      })
      expect(() => validate(mei)).not.toThrow()
      expect(mei).toContain("<title>&lt;b&gt;&amp;&quot;']]&gt;</title>")
    })
    test('bars without notes, and no bars at all', () => {
      const score = layScore(makeLine(tune), everything)
      const bars = score.bars.map((bar) => ({ ...bar, events: [] }))
      expect(() => validate(writeMei({ ...score, bars }))).not.toThrow()
    })
    test('the schema refuses what is not MEI', () => {
      expect(() =>
        validate(
          meiOf(tune)
            .replace(/<layer/g, '<lair')
            .replace(/<\/layer/g, '</lair'),
        ),
      ).toThrow()
    })
  },
)

describe('what is marked', () => {
  const lines = (mei: string, form: RegExp) => mei.match(form) ?? []
  const mei = (show: readonly (typeof marks)[number][]) => meiOf(tune, { ...defaultBrief, show: [...show] })

  test('every target has a ring, with its degree where degrees are shown', () => {
    const rings = (text: string) =>
      lines(text, /<dir type="target"[^>]*>.*?<\/dir>/g).map((dir) => dir.replace(/<[^>]*>/g, ''))
    expect(rings(mei(['targets', 'degrees']))).toEqual(['♭3', '3', '1', '•', '♭5', '♭3'])
    expect(rings(mei(['targets']))).toEqual(['•', '•', '•', '•', '•', '•'])
    expect(rings(mei(['degrees']))).toEqual([])
    expect(lines(mei(['degrees']), /<dir type="degree"/g)).toHaveLength(5)
    expect(lines(mei(['targets']), /type="target"[^>]* head\.color="#1f4e8c"/g).length).toBeGreaterThanOrEqual(6)
    expect(lines(mei([]), /color=/g)).toEqual([])
  })

  test('a bracket over each approach, from its first note to its last; over one note, for its time', () => {
    const spans = lines(mei(['brackets']), /<bracketSpan [^>]*>/g)
    expect(spans.map((span) => / startid.*(?=\/>)/.exec(span)![0].trim())).toEqual([
      'startid="#n-1-48" endid="#n-1-84"',
      'startid="#n-2-24" endid="#n-2-40"',
      'startid="#n-2-60" tstamp2="0m+3.9"',
      'startid="#n-5-60" tstamp2="0m+3.9"',
    ])
    expect(lines(mei(['targets']), /<bracketSpan/g)).toEqual([])
  })

  test('chord symbols in the part, with real accidentals and a raised suffix', () => {
    const harms = lines(meiOf({ ...tune, instrument: 'alto-sax' }), /<harm [^>]*>.*?<\/harm>/g)
    expect(harms.map((harm) => harm.replace(/<rend rend="sup"[^>]*>/, '^').replace(/<[^>]*>/g, ''))).toEqual([
      'Bm^7',
      'G^7/D',
      'E^13(♯11)',
      'N.C.',
      'Amaj^7',
      'D♯m^7(♭5)',
      'Dm^7',
    ])
    expect(harms[1]).toContain('tstamp="3"')
  })

  test('analysis, scales and note names on request', () => {
    expect(lines(mei(['analysis']), /<dir type="function"[^>]*>.*?<\/dir>/g)[0]).toContain('>C: ii<')
    expect(lines(mei(['scales']), /<dir type="scale"[^>]*>.*?<\/dir>/g)[0]).toContain('dorian')
    expect(lines(mei(['names']), /<dir type="name"[^>]*>.*?<\/dir>/g)[6]).toContain('D♯')
    expect(lines(mei([]), /<dir/g)).toEqual([])
  })
})

test('a long title is set smaller and broken, what stands beside it too, the tempo in one piece', () => {
  const words = (count: number) => Array(count).fill('word').join(' ')
  const head = (title: string, composer: string) => {
    const mei = meiOf({ chords: 'C6 | C6 | C6 | C6', notes: '-/96', title, composer, style: words(12) }, defaultBrief)
    return /<pgHead func="first">([\s\S]*?)<\/pgHead>/.exec(mei)![1]!.trim().split('\n')
  }
  const [short, left, right] = head('Short', 'A. Maker')
  expect(short).toContain('fontsize="170%">Short<')
  expect(left).toMatch(/word<lb\/>word[^<]*, ♩\u00a0=\u00a0140<\/rend>$/)
  expect(right).toContain('>A. Maker<')
  const [long, , far] = head(words(40), words(20))
  expect(long).toContain('fontsize="125%"')
  const lines = long!.replace(/^<rend[^>]*>|<\/rend>$/g, '').split('<lb/>')
  expect(lines.length).toBe(3)
  for (const line of lines) expect(line.length).toBeLessThanOrEqual(86)
  expect(far!.match(/<lb\/>/g)!.length).toBeGreaterThanOrEqual(2)
})

test('a small part, whole', () => {
  const text: LineText = {
    instrument: 'trumpet',
    chords: 'G7(b9) | C6',
    notes: '*B4 Ab4 F4 D4 [F#4/24 D4] *E4/48 -/48',
    title: 'Two bars',
  }
  expect(meiOf(text, defaultBrief)).toMatchSnapshot()
})

test('same score, same bytes; another prefix, other ids', () => {
  expect(meiOf(tune)).toBe(meiOf(tune))
  const score = layScore(makeLine(tune), everything)
  const ids = (mei: string) => [...mei.matchAll(/xml:id="([^"]*)"/g)].map(([, id]) => id!)
  const [first, second] = [ids(writeMei(score)), ids(writeMei(score, { prefix: 'k2-' }))]
  expect(second).toEqual(first.map((id) => `k2-${id}`))
  expect(new Set(first).size).toBe(first.length)
})
