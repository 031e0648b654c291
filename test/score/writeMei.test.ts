import { readFileSync } from 'node:fs'
import { fileURLToPath } from 'node:url'
import { RelaxNGValidator, XmlDocument } from 'libxml2-wasm'
import { beforeAll, describe, expect, test } from 'vitest'
import { type Brief, defaultBrief, marks, readBrief } from '../../lib/brief.ts'
import { edition } from '../../lib/edition.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import type { Score } from '../../lib/score/score.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keyAt } from '../../lib/theory/key.ts'
import { intervalBetween } from '../../lib/theory/pitch.ts'
import { type LineText, makeLine, transposeLine } from './lineFixture.ts'

const schema = fileURLToPath(new URL('../data/schemas/mei-CMN-5.1.rng', import.meta.url))

/** A line with slurs, accents, fingerings, a pickup and ideas that come back. */
const played = {
  changes: '| Fm7 | Bb7 | Ebmaj7 | Gm7b5 C7b9 | Fm7 | Bb7 | Ebmaj7 | Ebmaj7 |',
  articulation: 'some',
  fingering: 'all',
  rhythm: 'phrased',
  approach: 'enclosure,chromatic,scale,arpeggio',
  choruses: '3',
  tempo: '90',
}

const tune: LineText = {
  composer: 'A. Maker',
  chords: 'A: Dm7 Bb7/F | G13(#11) | N.C. | Cmaj7 | B: (3/4) F#m7b5 | (6/8) {Eb} Fm7',
  notes:
    '*F4 E4 D4 C4 [A4 G4 D#4 C#4] *B4/24 [C5/8 C#5 C5] D5/12 [E5] *G4/72 A4/12 Bb4 *E5/6 D5 C5 B4 -/96 *C5/36 A4/12 C5 [B4/12] *Ab4/24 C5/12 Eb5/36',
}
const everything = { ...defaultBrief, show: [...marks] }
const meiOf = (text: LineText, brief: Brief = everything) =>
  writeMei(layScore(makeLine(text), brief), { show: brief.show })

describe('valid against the MEI 5.1 schema', () => {
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
  test.each(['alto-sax', 'guitar', 'trombone'])(
    '%s, played and fingered: every sign that a line can have',
    (instrument) => {
      const { brief } = readBrief({ ...played, instrument })
      const score = layScore(writeLines(brief).lines[0]!, brief)
      expect(() => validate(writeMei(score))).not.toThrow()
    },
  )
  test('the schema refuses what is not MEI', () => {
    expect(() =>
      validate(
        meiOf(tune)
          .replace(/<layer/g, '<lair')
          .replace(/<\/layer/g, '</lair'),
      ),
    ).toThrow()
  })
})

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
    const harms = lines(meiOf({ ...tune, instrument: 'alto-sax' }), /<harm [^>]*above[^>]*>.*?<\/harm>/g)
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
    const said = (text: string, type: string) =>
      lines(text, new RegExp(`<harm n="\\d" type="${type}"[^>]*>.*?</harm>`, 'g')).map((harm) =>
        harm.replace(/<[^>]*>/g, ''),
      )
    expect(said(mei(['analysis']), 'function')[0]).toBe('C: ii7')
    expect(said(mei(['analysis']), 'scale')).toEqual([])
    expect(said(mei(['scales']), 'scale')[0]).toBe('dorian')
    expect(said(mei(['scales']), 'function')).toEqual([])
    expect(lines(mei(['names']), /<dir type="name"[^>]*>.*?<\/dir>/g)[6]).toContain('D♯')
    expect(lines(mei([]), /<dir|place="below"/g)).toEqual([])
  })

  test('under a chord: its key before its numeral, and the scale, in two rows where chord and name are short and long', () => {
    const score = layScore(makeLine({ chords: 'Dm7 G7 | G7', notes: '*F4/48 *F4 *F4/96' }), everything)
    const named = score.bars.map((bar) => ({
      ...bar,
      harmony: bar.harmony.map((chord) => ({ ...chord, scaleName: 'mixolydian b6' })),
    }))
    const below = lines(writeMei({ ...score, bars: named }), /<harm n[^>]*>.*?<\/harm>/g)
    expect(below.map((harm) => `${/n="(\d)"/.exec(harm)![1]} ${harm.replace(/<[^>]*>/g, '')}`)).toEqual([
      ...['2 C: ii7', '3 mixolydian', '4 ♭6', '2 ii7', '3 mixolydian', '4 ♭6'],
      '3 mixolydian ♭6',
    ])
  })
})

describe('a bracket over each ii–V, higher than those of the approaches', () => {
  const brackets = (text: LineText, change: (score: Score) => Score = (score) => score) => {
    const mei = writeMei(change(layScore(makeLine(text), everything)), { show: ['brackets', 'analysis'] })
    return mei.split(/(?=<measure )/).flatMap((measure, bar) =>
      (measure.match(/<bracketSpan [^>]*>/g) ?? []).map((span) => {
        const [, type, place] = /type="([a-z-]+)" (.*)\/>/.exec(span)!
        return `${bar} ${type} ${place!.replaceAll('"', '')}`
      }),
    )
  }
  const notes = '*F4/12 E4 [D4 C4 A4 G4 D#4 C#4] *B4/24'

  test.each([
    [
      'within a bar',
      'Dm7 G7 | Cmaj7',
      'ii V I',
      '*F4/12 E4 D4 C4 B3 [A3 C4 D4] *E4',
      ['1 approach startid=#n-1-60 endid=#n-1-84', '1 two-five tstamp=1 tstamp2=0m+3.8'],
    ],
    [
      'across a bar line, written with the V',
      'Dm7 | G7 | Cmaj7',
      'ii V I',
      notes,
      ['1 approach startid=#n-1-24 endid=#n-1-84', '2 two-five startid=#n-1-0 tstamp2=0m+2.6'],
    ],
    [
      'of several bars, from a bar of rest',
      'Dm7 | Dm7 | G7 | Cmaj7',
      'ii ii V I',
      '-/96 *F4/96',
      ['1 two-five tstamp=1 tstamp2=2m+2.6'],
    ],
    [
      'from the middle of a bar, under a held note',
      'Cmaj7 Dm7 | G7',
      'I ii V',
      '*E4/72 F4/24 *B3/96',
      ['1 two-five tstamp=3 tstamp2=1m+2.6'],
    ],
    [
      'across a line break, in the first of its bars',
      'C6 | C6 | C6 | Dm7 | G7 | Cmaj7 | C6 | C6',
      'I I I ii V I I I',
      '-/288 *F4/96 *B3/48 A3',
      ['4 two-five startid=#n-4-0 endid=#n-5-0'],
    ],
    ['a blues has none', 'C7 | F7 | C7 | C7', 'I7 IV7 I7 I7', '*E4/96', []],
  ] as const)('%s', (_, chords, heard, notes, expected) => {
    expect(brackets({ chords, heard, notes })).toEqual(expected)
  })

  test('over bars that are left free to write in', () => {
    const empty = (score: Score): Score => ({ ...score, bars: score.bars.map((bar) => ({ ...bar, events: [] })) })
    expect(brackets({ chords: 'Dm7 | G7 | Cmaj7', heard: 'ii V I', notes }, empty)).toEqual([
      '2 two-five startid=#s-1-0 tstamp2=0m+2.6',
    ])
  })

  test('a sheet that ends within one ends its bracket', () => {
    const cut = (from: number, to: number) => (score: Score) => ({ ...score, bars: score.bars.slice(from, to) })
    const text = { chords: 'Dm7 | G7 | Cmaj7', heard: 'ii V I', notes: '*F4/96 *B4 *E4' }
    expect(brackets(text, cut(0, 1))).toEqual(['1 two-five tstamp=1 tstamp2=0m+2.6'])
    expect(brackets(text, cut(1, 3))).toEqual(['1 two-five tstamp=1 tstamp2=0m+2.6'])
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
  // The edition of the lines is no part of how a part is written.
  const mei = meiOf(text, defaultBrief).replace(`version="${edition}"`, 'version="today’s"')
  expect(mei).toMatchSnapshot()
})

test('same score, same bytes; another prefix, other ids', () => {
  expect(meiOf(tune)).toBe(meiOf(tune))
  const score = layScore(makeLine(tune), everything)
  const ids = (mei: string) => [...mei.matchAll(/xml:id="([^"]*)"/g)].map(([, id]) => id!)
  const [first, second] = [ids(writeMei(score)), ids(writeMei(score, { prefix: 'k2-' }))]
  expect(second).toEqual(first.map((id) => `k2-${id}`))
  expect(new Set(first).size).toBe(first.length)
})

test.each([
  ['Δ', '-', 'D-^7', 'CΔ^7'],
  ['ma7', 'mi', 'Dmi^7', 'Cma^7'],
  // Names that these had before, which links may hold.
  ['MA7', 'MI', 'Dmi^7', 'Cma^7'],
] as const)('chord symbols with %s and %s as the person likes them', (majorSign, minorSign, minor, major) => {
  const { brief } = readBrief({ changes: '| Dm7 | Cmaj7 |', instrument: 'flute', majorSign, minorSign })
  const mei = writeMei(layScore(writeLines(brief).lines[0]!, brief))
  const symbols = [...mei.matchAll(/<harm tstamp[^>]*>(.*?)<\/harm>/g)].map(([, inside = '']) =>
    inside.replace(/<rend rend="sup"[^>]*>/g, '^').replace(/<[^>]*>/g, ''),
  )
  expect(symbols).toEqual([minor, major])
})

describe('a chord symbol that goes on', () => {
  /** Common practice: once where the chord sets in, again where a line or a section starts. */
  test.each([
    ['Cmaj7 | Cmaj7 | Cmaj7 | F7 | F7 | Cmaj7 | Cmaj7 | Cmaj7', [1, 4, 5, 6]],
    ['Dm7 | Dm7 | B: Dm7 | Dm7', [1, 3]],
    ['C6 C6 | C6 A7 | A7', [1, 2]],
    ['G7 | C/E C/E | C/E | C', [1, 2, 4]],
  ])('%s', (chords, bars) => {
    const count = chords.replace(/B: /, '').split('|').length
    const notes = Array.from({ length: count }, () => '*C4 E4 G4 E4 C4 E4 G4 E4').join(' ')
    const mei = meiOf({ chords, notes }, { ...defaultBrief, show: [] })
    const said = mei
      .split('<measure')
      .slice(1)
      .map((measure) => measure.split('place="above"').length - 1)
    expect(said.flatMap((times, i) => (times > 0 ? [i + 1] : []))).toEqual(bars)
  })
})
