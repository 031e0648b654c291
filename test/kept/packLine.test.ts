import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Brief, readBrief } from '../../lib/brief.ts'
import { exportOf, writeFiles } from '../../lib/exports.ts'
import { bytesOf, checksum, textOf } from '../../lib/kept/linkText.ts'
import { packLine, unpackLine } from '../../lib/kept/packLine.ts'
import type { Draft } from '../../lib/line/draftLine.ts'
import { keepLine } from '../../lib/lines/kept.ts'
import { draftHome, writeLines } from '../../lib/lines/write.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'

const charts = realChartTexts()
const changes = '| Fmaj7 | Gm7 C7 | Am7b5 D7b9 | Gm7 C7 | Fmaj7 | Eb9 | F6 D7 | Gm7 C7 |'

const briefOf = (given: Record<string, string>): Brief => {
  const { brief, problems } = readBrief({ changes, ...given })
  expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return brief
}
const homeOf = (brief: Brief) => draftHome(brief)!
const keptOf = (brief: Brief): string => {
  const { draft, harmony } = homeOf(brief)
  return keepLine(draft, harmony)!
}
/** What sounds and what it is, without what is worked out anew. */
const matter = ({ moments, notes, targets, figures }: Draft) => ({ moments, notes, targets, figures })
const sounding = (brief: Brief) =>
  writeLines(brief).lines.map(({ notes }) =>
    notes.map(({ start, ticks, pitch }) => [start, ticks, pitch && midiOf(pitch)].join(' ')),
  )

/** Choices that change what is drawn. */
const drawing = fc.record({
  seed: fc.integer({ min: 0, max: 4_294_967_295 }).map(String),
  instrument: fc.constantFrom(...instruments.map(({ id }) => id)),
  rhythm: fc.constantFrom('eighths', 'phrased', 'triplets'),
  land: fc.constantFrom('3,7', '1,3,5,7', '9,13,3'),
  approach: fc.constantFrom('enclosure,chromatic', 'enclosure,chromatic,scale,arpeggio', 'scale'),
  every: fc.constantFrom('strong', 'bar', 'half'),
  compass: fc.constantFrom('small', 'comfortable', 'full'),
  choruses: fc.constantFrom('1', '2'),
})

describe('a line that is kept', () => {
  test('comes back as it was, over every instrument, rhythm and chart', () => {
    fc.assert(
      fc.property(drawing, fc.constantFrom(...charts, changes), (given, tune) => {
        const home = draftHome(readBrief({ ...given, changes: tune }).brief)
        if (!home) return
        const packed = packLine(home.draft, home.harmony)
        expect(packed).toMatch(/^[\w-]+$/)
        const unpacked = unpackLine(packed!, home.harmony)
        if (typeof unpacked === 'string') throw new Error(unpacked)
        expect(unpacked.up).toBe(0)
        expect(matter(unpacked.draft)).toEqual(matter(home.draft))
        expect(packLine(unpacked.draft, home.harmony)).toBe(packed)
      }),
      { numRuns: Number(process.env.RUNS ?? 60) },
    )
  })

  test('takes some 400 characters at the most for 32 bars', () => {
    for (const given of [
      {},
      { rhythm: 'phrased', approach: 'enclosure,chromatic,scale,arpeggio' },
      { rhythm: 'triplets' },
    ]) {
      let [characters, bars] = [0, 0]
      for (const tune of charts) {
        const { draft, harmony } = homeOf(readBrief({ changes: tune, ...given }).brief)
        characters += packLine(draft, harmony)!.length
        bars += harmony.bars.length
      }
      expect((32 * characters) / bars).toBeLessThan(400)
    }
  })

  test.each(['1', '7', '4294967295'])('gives the same notes whatever would be drawn by then: seed %s', (seed) => {
    const kept = keptOf(briefOf({ seed: '5', rhythm: 'phrased' }))
    const then = sounding(briefOf({ seed: '5', rhythm: 'phrased' }))
    // Another seed, other rules: a drawing of today has nothing in common with what was kept.
    expect(sounding(briefOf({ kept, seed, land: '9', approach: 'scale', notes: '1' }))).toEqual(then)
  })

  test('is carried to every key and instrument, and named where a range folds it', () => {
    const kept = keptOf(briefOf({ seed: '5' }))
    const { lines } = writeLines(briefOf({ kept, keys: 'chromatic' }))
    expect(lines).toHaveLength(12)
    const classes = lines.map((line, up) =>
      line.notes.map(({ pitch }) => pitch && (midiOf(pitch) - up + 120) % 12).join(),
    )
    expect(new Set(classes).size).toBe(1)
    const own = sounding(briefOf({ kept }))[0]!
    const inG = sounding(briefOf({ kept, key: 'G' }))[0]!
    const [a, b] = [own, inG].map((notes) => notes.map((note) => note.split(' ')[2]).filter((midi) => midi !== ''))
    const moves = new Set(a!.map((midi, i) => (Number(b![i]) - Number(midi) + 120) % 12))
    expect([...moves]).toEqual([2])
    for (const { id } of instruments) {
      const [line] = writeLines(briefOf({ kept, instrument: id })).lines
      const [low, high] = [line!.instrument.range[0], line!.instrument.range[1]].map(midiOf) as [number, number]
      const written = line!.notes.flatMap(({ pitch }) =>
        pitch ? [midiOf(pitch) - line!.instrument.transposition.semitones] : [],
      )
      expect(Math.min(...written)).toBeGreaterThanOrEqual(low)
      expect(Math.max(...written)).toBeLessThanOrEqual(high)
      const steps = written.slice(1).map((midi, i) => midi - written[i]!)
      const folded = line!.relaxed.filter(({ rule }) => rule === 'same-octave').length
      const plain = a!.slice(1).map((midi, i) => Number(midi) - Number(a![i]))
      if (folded === 0) expect(steps).toEqual(plain)
    }
  })

  test('can be chosen in: what is pinned changes, the rest stays', () => {
    const kept = keptOf(briefOf({ seed: '5' }))
    const before = sounding(briefOf({ kept }))[0]!
    const after = sounding(briefOf({ kept, pins: '3.1=C5' }))[0]!
    expect(after.filter((note, i) => note !== before[i]).length).toBeLessThan(12)
    expect(after).toContain('192 12 72')
  })
})

describe('a link that suffered', () => {
  const kept = keptOf(briefOf({}))
  const said = (given: Record<string, string>) =>
    writeLines(briefOf(given)).lines[0]!.relaxed.filter(({ rule }) => rule === 'kept-line')

  test.each([
    ['cut short', kept.slice(0, -3), /part of the link is missing or changed/],
    ['cut to nothing much', kept.slice(0, 4), /part of the link is missing or changed/],
    [
      'with one letter changed',
      `${kept.slice(0, 40)}${kept[40] === 'A' ? 'B' : 'A'}${kept.slice(41)}`,
      /missing or changed/,
    ],
    ['that is no such thing', 'hello-there', /missing or changed/],
    ['with signs of no link', 'a b', /missing or changed/],
  ])('%s is said, and a line is drawn in its place', (_, text, words) => {
    expect(said({ kept: text })).toMatchObject([{ why: expect.stringMatching(words) }])
    expect(sounding(briefOf({ kept: text }))).toEqual(sounding(briefOf({})))
  })

  test('for other changes is said', () => {
    expect(said({ kept, changes: '| Dm7 | G7 | Cmaj7 |' })).toMatchObject([
      { why: expect.stringMatching(/other changes/) },
    ])
    expect(said({ kept })).toEqual([])
  })

  test('by a later version is said', () => {
    const bytes = Uint8Array.from(atob(kept.replaceAll('-', '+').replaceAll('_', '/')), (sign) => sign.charCodeAt(0))
    bytes[0] = 9
    const later = btoa(String.fromCharCode(...bytes))
      .replaceAll('+', '-')
      .replaceAll('/', '_')
      .replace(/=+$/, '')
    expect(said({ kept: later })).toMatchObject([{ why: expect.stringMatching(/later version/) }])
  })

  test('whatever stands there, nothing breaks', () => {
    fc.assert(
      fc.property(fc.uint8Array({ maxLength: 200 }), (bytes) => {
        const text = btoa(String.fromCharCode(...bytes))
          .replaceAll('+', '-')
          .replaceAll('/', '_')
          .replace(/=+$/, '')
        expect(['damaged', 'unknown', 'other-changes']).toContain(unpackLine(text, homeOf(briefOf({})).harmony))
      }),
    )
  })
})

describe('a packed line that someone made up', () => {
  test('of a chord that these changes have not is damaged, whatever its sums say', () => {
    const { draft, harmony } = homeOf(briefOf({ changes: '| Dm7 | G7 |' }))
    const more = { ...harmony, chords: [...harmony.chords, { ...harmony.chords[0]!, start: 100_000 }] }
    const chord = harmony.chords.length
    const other = bytesOf(packLine({ ...draft, moments: draft.moments.map((each) => ({ ...each, chord })) }, more)!)!
    const body = [...bytesOf(packLine(draft, harmony)!)!.subarray(3, 6), ...other.subarray(6)]
    const sum = checksum(body)
    const forged = textOf(Uint8Array.from([other[0]!, sum >> 8, sum & 0xff, ...body]))
    expect(unpackLine(forged, harmony)).toBe('damaged')
    expect(writeLines(briefOf({ changes: '| Dm7 | G7 |', kept: forged })).lines[0]!.relaxed[0]!.rule).toBe('kept-line')
  })

  const whole = (draft: Draft, ticks: readonly number[]): Draft => {
    const starts = ticks.map((_, i) => ticks.slice(0, i).reduce((sum, each) => sum + each, 0))
    const moments = ticks.map((each, i) => ({
      ...draft.moments[0]!,
      ...{
        bar: Math.min(2, Math.floor(starts[i]! / 96) + 1),
        start: starts[i]!,
        ticks: each,
        target: null,
        rest: false,
      },
      ...{ chord: Math.min(1, Math.floor(starts[i]! / 96)) },
    }))
    const notes = moments.map((_, moment) => ({ moment, midi: 60 + (moment % 12), figure: null }))
    return { ...draft, moments, notes, targets: [], figures: [] }
  }
  const changed = <K extends 'moments' | 'targets' | 'figures'>(
    draft: Draft,
    of: K,
    by: Partial<Draft[K][number]>,
  ) => ({
    ...draft,
    [of]: draft[of].map((each, i) => (i === draft[of].length - 1 ? { ...each, ...by } : each)),
  })

  test.each<[string, (draft: Draft) => Draft]>([
    ['notes on ticks that no value has', (draft) => whole(draft, [5, 91, 96])],
    ['a note on every tick', (draft) => whole(draft, Array(192).fill(1))],
    ['notes that end before the last bar does', (draft) => whole(draft, [96, 48])],
    ['notes that go on after the last bar', (draft) => whole(draft, [96, 96, 48])],
    ['a moment in another bar than its own', (draft) => changed(draft, 'moments', { bar: 1 })],
    ['a moment on a chord that does not sound there', (draft) => changed(draft, 'moments', { chord: -1 })],
    ['a target that waits elsewhere', (draft) => changed(draft, 'targets', { start: 7 })],
    ['a target of another pitch than is played', (draft) => changed(draft, 'targets', { midi: 5_000 })],
    ['a target of markup for a degree', (draft) => changed(draft, 'targets', { degree: '<b>x' })],
    ['a target of a degree without a number', (draft) => changed(draft, 'targets', { degree: 'bb' })],
    [
      'an approach to a target that is not there',
      (draft) => changed(draft, 'figures', { kind: 'approach', target: 100 }),
    ],
    [
      'an approach of other notes than are played',
      (draft) => changed(draft, 'figures', { kind: 'approach', offsets: [-90_000] }),
    ],
  ])('of %s is damaged: it is said, and each file is written of a line that is drawn', async (_, made) => {
    const given = { changes: '| Dm7 | G7 |', seed: '3' }
    const { draft, harmony } = homeOf(briefOf(given))
    const kept = packLine(made(draft), harmony)!
    expect(unpackLine(kept, harmony)).toHaveProperty('draft')
    const written = writeLines(briefOf({ ...given, kept }))
    expect(written.lines[0]!.relaxed).toMatchObject([{ rule: 'kept-line', why: expect.stringMatching(/changed/) }])
    for (const id of ['mei', 'musicxml', 'midi', 'abc', 'json'])
      expect(await writeFiles(exportOf(id)!, written)).toHaveLength(1)
  })

  test('of ticks as they can be written is read, though no drawing gives it', () => {
    const given = { changes: '| Dm7 | G7 |', seed: '3' }
    const { draft, harmony } = homeOf(briefOf(given))
    const kept = packLine(whole(draft, [6, 6, 36, 16, 16, 16, 8, 8, 8, 72]), harmony)!
    expect(writeLines(briefOf({ ...given, kept })).lines[0]!.relaxed).toEqual([])
  })

  test('of 90,000 notes, each a figure of its own, is read: each figure looked at all notes', () => {
    const { draft, harmony } = homeOf(briefOf({}))
    const bars = Array.from({ length: 2_048 }, (_, i) => ({ ...harmony.bars[0]!, bar: i + 1, start: 96 * i }))
    const long = { ...harmony, bars }
    const moments = Array.from({ length: 90_000 }, (_, i) => ({
      ...draft.moments[0]!,
      ...{ bar: Math.floor(i / 48) + 1, start: 2 * i, ticks: 2, chord: 0, rest: false, target: null },
    }))
    const packed = packLine(
      {
        ...draft,
        moments,
        targets: [],
        notes: moments.map((_, moment) => ({ moment, midi: 60, figure: moment })),
        figures: moments.map(() => ({ kind: 'cell' as const, target: 0, offsets: [60], forced: false })),
      },
      long,
    )!
    const unpacked = unpackLine(packed, long)
    expect(typeof unpacked === 'string' ? unpacked : unpacked.draft.figures.length).toBe(90_000)
  }, 15_000)
})
