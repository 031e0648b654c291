import { describe, expect, test } from 'vitest'
import { defaultBrief, readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { noMarks } from '../../lib/score/harmonyMarks.ts'
import { layScore } from '../../lib/score/layScore.ts'
import type { Score } from '../../lib/score/score.ts'
import { breakLines } from '../../lib/score/systems.ts'
import { writtenPart } from '../../lib/score/writtenPart.ts'
import { instrumentOf, instruments } from '../../lib/theory/instrument.ts'
import { keyAt, nameOfKey, readKey, signatureOf } from '../../lib/theory/key.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'
import { intervalBetween, midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { type LineText, makeLine, transposeLine } from './lineFixture.ts'

const lay = (text: LineText, brief: Partial<typeof defaultBrief> = {}): Score =>
  layScore(makeLine(text), { ...defaultBrief, ...brief })

const written = (score: Score): string =>
  score.bars.map((bar) => bar.events.map(({ pitch }) => (pitch ? nameOf(pitch) : '-')).join(' ')).join(' | ')

const symbols = (score: Score): string =>
  score.bars.map((bar) => bar.harmony.map(({ symbol }) => symbol).join(' ')).join(' | ')

const twoFive: LineText = {
  chords: 'Dm7 | G7 | Cmaj7',
  notes: '*F4 E4 D4 C4 [A4 G4 D#4 C#4] *B4/24 A4 [C5/12 C#5 C5 D5] *E5/48',
}

describe('the written key', () => {
  /** Transpositions by the trade's rule; concert B as E flat and B flat parts: common practice. */
  test.each([
    ['C', 'alto-sax', 'A'],
    ['Eb', 'alto-sax', 'C'],
    ['B', 'alto-sax', 'Ab'],
    ['E', 'alto-sax', 'Db'],
    ['A', 'alto-sax', 'F#'],
    ['F#m', 'alto-sax', 'D#m'],
    ['G#m', 'alto-sax', 'Fm'],
    ['C', 'trumpet', 'D'],
    ['E', 'trumpet', 'F#'],
    ['B', 'trumpet', 'Db'],
    ['Gb', 'trumpet', 'Ab'],
    ['G#m', 'tenor-sax', 'Bbm'],
    ['C', 'horn', 'G'],
    ['B', 'horn', 'F#'],
    ['Gb', 'horn', 'Db'],
    ['F#', 'horn', 'Db'],
    ['Gb', 'flute', 'Gb'],
    ['B', 'guitar', 'B'],
    ['C', 'sopranino-sax', 'A'],
    ['B', 'bass-sax', 'Db'],
  ])('concert %s, %s: %s', (key, instrument, expected) => {
    expect(nameOfKey(writtenPart(readKey(key)!, instrumentOf(instrument)!, false).key)).toBe(expected)
  })

  test('no part of the twelve keys has more than six sharps or flats, and it sounds in its concert key', () => {
    for (const instrument of instruments)
      for (let chroma = 0; chroma < 12; chroma++)
        for (const mode of ['major', 'minor'] as const) {
          const key = keyAt(chroma, mode)
          const part = writtenPart(key, instrument, false)
          expect(Math.abs(signatureOf(part.key))).toBeLessThanOrEqual(6)
          const { steps, semitones } = intervalBetween(part.key.tonic, key.tonic)
          const octaves = (part.transposition.semitones - semitones) / 12
          expect(part.transposition).toEqual({ steps: steps + 7 * octaves, semitones: semitones + 12 * octaves })
        }
  })

  test.each([
    ['alto-sax', 'treble', 0],
    ['tenor-sax', 'treble-8', 0],
    ['baritone-sax', 'bass', 0],
    ['guitar', 'treble', -12],
    ['double-bass', 'bass', -12],
    ['trombone', 'bass', 0],
  ])('at concert pitch %s reads %s clef and sounds %s semitones from it', (id, clef, semitones) => {
    const part = writtenPart(readKey('F')!, instrumentOf(id)!, true)
    expect([part.clef, part.transposition.semitones, nameOfKey(part.key)]).toEqual([clef, semitones, 'F'])
  })
})

describe('notes and chords in the part', () => {
  test.each([
    ['flute', 'F4 E4 D4 C4 A4 G4 D#4 C#4 | B4 A4 C5 C#5 C5 D5 | E5 -', 'Dm7 | G7 | Cmaj7'],
    ['alto-sax', 'D5 C#5 B4 A4 F#5 E5 C5 A#4 | G#5 F#5 A5 Bb5 A5 B5 | C#6 -', 'Bm7 | E7 | Amaj7'],
    ['tenor-sax', 'G5 F#5 E5 D5 B5 A5 F5 D#5 | C#6 B5 D6 Eb6 D6 E6 | F#6 -', 'Em7 | A7 | Dmaj7'],
    ['horn', 'C5 B4 A4 G4 E5 D5 Bb4 G#4 | F#5 E5 G5 Ab5 G5 A5 | B5 -', 'Am7 | D7 | Gmaj7'],
  ])('%s', (instrument, notes, chords) => {
    const score = lay({ ...twoFive, instrument })
    expect(written(score)).toBe(notes)
    expect(symbols(score)).toBe(chords)
  })

  /** Names that players read without a second thought; common practice, from memory. */
  test.each([
    ['Db', 'F#m7 B7 | Fm7 Bb7 | B7 Bb7', 'Ebm7 Ab7 | Dm7 G7 | Ab7 G7'],
    ['Eb', 'Bm7 E7 | F#dim7 Gm7 | Em7b5 A7', 'G#m7 C#7 | D#dim7 Em7 | C#m7b5 F#7'],
    ['E', 'C#m7 F#7 | D#m7b5 G#7 | Bmaj7', 'Bbm7 Eb7 | Cm7b5 F7 | Abmaj7'],
  ])('in concert %s an alto reads %s as %s', (key, chords, expected) => {
    expect(symbols(lay({ key, chords, notes: '-/96', instrument: 'alto-sax' }))).toBe(expected)
  })

  test('concert B for alto: everything reads in A flat', () => {
    const line = transposeLine(makeLine({ ...twoFive, instrument: 'alto-sax' }), { steps: -1, semitones: -1 })
    const score = layScore(line, defaultBrief)
    expect(nameOfKey(score.key)).toBe('Ab')
    expect(symbols(score)).toBe('Bbm7 | Eb7 | Abmaj7')
    expect(written(score)).toBe('Db5 C5 Bb4 Ab4 F5 Eb5 B4 A4 | G5 F5 Ab5 A5 Ab5 Bb5 | C6 -')
  })

  test('whatever the instrument and key, written and sounding differ by the transposition', () => {
    for (const instrument of instruments)
      for (let chroma = 0; chroma < 12; chroma++) {
        const base = makeLine({ ...twoFive, instrument: instrument.id })
        const line = transposeLine(base, intervalBetween(base.key.tonic, keyAt(chroma, 'major').tonic))
        const score = layScore(line, defaultBrief)
        for (const { pitch, sounding } of score.bars.flatMap((bar) => bar.events)) {
          if (!pitch || !sounding) continue
          expect(midiOf(sounding) - midiOf(pitch)).toBe(score.transposition.semitones)
          expect(Math.abs(pitch.alter)).toBeLessThanOrEqual(1)
        }
      }
  })
})

describe('bars', () => {
  const text: LineText = {
    chords: 'A: Dm7 | G7 | Cmaj7 | C6 | B: Dm7 | G7 | Cmaj7 | C6 | (3/4) C6 | {Eb} Fm7',
    notes: '*F4 E4 D4 C4 B3/48 *B4/120 - *E4/36 D4/12 C4/48',
  }

  test('every bar is exactly full, its ids say bar and tick', () => {
    for (const bar of lay(text).bars) {
      expect(bar.events.reduce((sum, { ticks }) => sum + ticks, 0)).toBe(ticksPerBar(bar.meter))
      for (const { id, at, pitch } of bar.events) expect(id).toBe(`${pitch ? 'n' : 'r'}-${bar.number}-${at}`)
    }
  })

  test('a note over the bar line is tied, its accidental and degree said once', () => {
    const [, second, third] = lay(text).bars
    expect(second!.events.map(({ tie, ticks }) => [tie, ticks])).toEqual([['start', 96]])
    expect(third!.events[0]).toMatchObject({ tie: 'end', ticks: 24, degree: null, accidental: null })
    expect(second!.events[0]!.degree).toBe('3')
  })

  test('sections, lines, bar lines, meter and key changes', () => {
    const { bars } = lay(text)
    expect(bars.map(({ section }) => section ?? '').join('')).toBe('AB')
    expect(bars.filter(({ systemStart }) => systemStart).map(({ number }) => number)).toEqual([1, 5, 8])
    expect(bars.map(({ barline }) => barline[0]).join('')).toBe('sssdsssssf')
    expect(bars.filter(({ meterShown }) => meterShown).map(({ number }) => number)).toEqual([1, 9])
    expect(bars.map(({ signature }) => signature)).toEqual([0, 0, 0, 0, 0, 0, 0, 0, 0, -3])
  })

  test('a cut of bars starts and ends untied', () => {
    const line = { ...makeLine(text), bars: [3, 3] as const }
    const score = layScore(line, defaultBrief)
    expect(score.bars.map(({ number }) => number)).toEqual([3])
    expect(score.bars[0]!.events[0]).toMatchObject({ tie: null, degree: '3', ticks: 24 })
    expect(score.bars[0]!.barline).toBe('final')
  })

  test('what is not asked for is left out', () => {
    const bare = lay(text, { show: [] })
    expect(bare.bars.flatMap((bar) => bar.events).filter(({ degree }) => degree !== null)).toEqual([])
    expect(bare.bars[0]!.harmony[0]).toMatchObject(noMarks)
    const analysed = lay(text, { show: ['analysis'] })
    expect(analysed.bars[0]!.harmony[0]).toMatchObject({ numeral: 'ii7', newKey: 'C major', scaleName: null })
    const scales = lay(text, { show: ['scales'] })
    expect(scales.bars[0]!.harmony[0]).toMatchObject({ ...noMarks, scaleName: 'dorian' })
  })
})

describe('what is heard of the harmony', () => {
  const marks = (text: LineText, brief: Partial<typeof defaultBrief> = {}) =>
    lay(text, { show: ['analysis', 'scales'], ...brief }).bars.flatMap((bar) => bar.harmony)
  const said = (text: LineText, brief: Partial<typeof defaultBrief> = {}) =>
    marks(text, brief).map(({ numeral, newKey }) => `${newKey ? `${newKey}: ` : ''}${numeral ?? '-'}`)
  const cadence: LineText = {
    chords: 'Dm7 | G7 G7 | Cmaj7 | N.C. | Cmaj7',
    heard: 'ii V V I - I',
    notes: '-/96',
  }

  test('numerals where they are new, the key before the first, each ii–V from its start to its end', () => {
    expect(said(cadence)).toEqual(['C major: ii7', 'V7', '-', 'Imaj7', '-', 'Imaj7'])
    expect(marks(cadence).map(({ twoFive }) => twoFive)).toEqual(['start', 'middle', 'end', null, null, null])
  })

  test('a scale is said once while it goes on', () => {
    expect(marks(cadence).map(({ scaleName }) => scaleName)).toEqual([
      'dorian',
      'dorian',
      null,
      'dorian',
      null,
      'dorian',
    ])
  })

  test.each([
    ['alto-sax', 'A major'],
    ['tenor-sax', 'D major'],
    ['horn', 'G major'],
    ['guitar', 'C major'],
  ])('keys are those that %s reads: %s', (instrument, key) => {
    expect(said({ ...cadence, instrument })[0]).toBe(`${key}: ii7`)
    expect(said({ ...cadence, instrument }, { pitch: 'concert' })[0]).toBe('C major: ii7')
  })

  test('a cut begins with its key; a ii–V that it goes through is not marked', () => {
    const line = { ...makeLine(cadence), bars: [2, 5] as const }
    const cut = layScore(line, { ...defaultBrief, show: ['analysis'] }).bars.flatMap((bar) => bar.harmony)
    expect(cut[0]).toMatchObject({ numeral: 'V7', newKey: 'C major', twoFive: null })
  })

  test('whatever the key and instrument, a real tune has the same numerals and brackets', () => {
    const changes = 'Cmaj7 A7 | Dm7b5 G7(b9) | Bbm7 Eb7 | Abmaj7 | F#m7 B7 | Emaj7'
    const marksOf = (key: string, instrument: string) => {
      const { brief } = readBrief({ changes: `Key: C\n${changes}`, key, instrument, show: 'analysis,scales' })
      const { lines } = writeLines(brief)
      return layScore(lines[0]!, brief)
        .bars.flatMap((bar) => bar.harmony)
        .map(({ numeral, twoFive, scaleName, newKey }) => [numeral, twoFive, scaleName, newKey !== null])
    }
    const home = marksOf('C', 'flute')
    for (const key of ['Db', 'E', 'F#', 'Bb'])
      for (const instrument of ['flute', 'alto-sax', 'trumpet']) expect(marksOf(key, instrument)).toEqual(home)
  })
})

describe('lines', () => {
  const opens = (...sections: number[]): boolean[] =>
    sections.flatMap((bars) => Array.from({ length: bars }, (_, bar) => bar === 0))
  test.each([
    [[32], 4, '0 4 8 12 16 20 24 28'],
    [[12], 4, '0 4 8'],
    [[8, 8], 4, '0 4 8 12'],
    [[5], 4, '0 3'],
    [[6, 4], 4, '0 3 6'],
    [[2, 8], 4, '0 2 6'],
    [[2, 2, 8], 4, '0 4 8'],
    [[1, 1, 1, 1, 1, 1], 4, '0 4'],
    [[8], 2, '0 2 4 6'],
    [[3], 1, '0 1 2'],
  ])('sections of %s at %s a line start at %s', (sections, most, expected) => {
    const bars = opens(...sections)
    expect(breakLines(bars, Array(bars.length).fill(10), most, Infinity).join(' ')).toBe(expected)
  })

  test.each([
    ['one of eight lines', [0, 0, 1, 0, 0, 0, 0, 0], '0 4 8 10 12 16 20 24 28'],
    ['three of four lines', [0, 1, 1, 1], '0 2 4 6 8 10 12 14'],
  ])('%s crowded', (_, crowded, expected) => {
    const widths = crowded.flatMap((each) => Array<number>(4).fill(each ? 40 : 20))
    expect(breakLines(opens(widths.length), widths, 4, 112).join(' ')).toBe(expected)
  })

  test('crowded bars go fewer to a line', () => {
    const crowded: LineText = {
      chords: Array(8).fill('Dm7').join(' | '),
      notes: Array(8).fill('F4/8 E4 D4 C4 D4 E4 F4 E4 D4 C4 D4 E4').join(' '),
    }
    const starts = (score: Score) => score.bars.filter(({ systemStart }) => systemStart).length
    expect(starts(lay({ ...crowded, notes: 'F4/96' }))).toBe(2)
    expect(starts(lay(crowded))).toBe(4)
    expect(starts(lay({ ...crowded, notes: 'F4/12 '.repeat(64).trim() }, { print: 'large' }))).toBe(4)
  })
})

test('title, composer, style line and tempo come from brief and chart', () => {
  const plain = lay({ ...twoFive, style: null, composer: 'A. Maker' })
  expect([plain.title, plain.composer, plain.styleLine, plain.tempo]).toEqual([
    'A tune',
    'A. Maker',
    'Swing, ♩ = 140',
    140,
  ])
  expect(lay({ ...twoFive, meter: '6/8', style: null, notes: '-/72' }).styleLine).toBe('Even eighths, ♩ = 140')
  const told = lay(twoFive, { title: 'Mine', tempo: 90 })
  expect([told.title, told.styleLine]).toEqual(['Mine', 'Medium swing, ♩ = 90'])
})
