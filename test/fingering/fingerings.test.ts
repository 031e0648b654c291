/** Fingerings against what a handbook says: charts and textbook cases are common practice, from memory, unless a source is named. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import {
  chooseFingerings,
  costOfFingerings,
  type FingeredNote,
  fingeringTableOf,
  fingeringTables,
} from '../../lib/fingering/chooseFingerings.ts'
import { partialsOf } from '../../lib/fingering/harmonics.ts'
import type { Lattice } from '../../lib/lattice/lattice.ts'
import { linesJson } from '../../lib/lineJson.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { writeMusicXml } from '../../lib/score/writeMusicXml.ts'
import { instrumentOf, instruments, soundingPitch } from '../../lib/theory/instrument.ts'
import { midiOf, readPitch } from '../../lib/theory/pitch.ts'
import { cheapestByProgramme, graphOf } from '../lattice/programme.ts'

/** Notes as the player reads them, so many seconds each. */
function read(instrument: string, names: string, seconds: number): readonly FingeredNote[] {
  return names.split(' ').map((name) => {
    const pitch = readPitch(name)!
    return { written: midiOf(pitch), sounding: midiOf(soundingPitch(instrumentOf(instrument)!, pitch)), seconds }
  })
}

const labels = (instrument: string, names: string, seconds = 0.2) =>
  chooseFingerings(instrument, read(instrument, names, seconds)).map((each) => each?.fingering.label)

describe('textbook cases (common practice, from memory)', () => {
  test.each([
    ['alto-sax', 'B4 Bb4 A4', ['1', 'side', '12']],
    ['alto-sax', 'A4 Bb4 B4', ['12', 'side', '1']],
    ['tenor-sax', 'G4 Bb4 G4 A4 Bb4 G4', ['123', 'bis', '123', '12', 'bis', '123']],
    ['alto-sax', 'B4 C5 B4', ['1', 'side', '1']],
    ['alto-sax', 'A4 C5 A4', ['12', '2', '12']],
    ['alto-sax', 'F4 F#4 F4', ['123|1', 'fork', '123|1']],
    ['alto-sax', 'E4 F#4 G4', ['123|12', '123|2', '123']],
    ['soprano-sax', 'B5 C6 E6 F6 C6', ['1', '2', 'front', 'front', '2']],
    ['clarinet', 'B4 C#5 D#5', ['R', 'L', 'R']],
    ['clarinet', 'D#5 C#5 B4', ['R', 'L', 'R']],
    ['clarinet', 'C5 Eb5 C5', ['L', 'R', 'L']],
    ['flute', 'A4 Bb4 B4 Bb4', ['12 Eb', '1+1', '1 Eb', '1+1']],
    ['trombone', 'D4 C4 Bb3', ['1', '3', '1']],
    ['guitar', 'G3 A3 B3 C4 D4 E4 F#4 G4', ['2', '4', '1', '2', '4', '1', '3', '4']],
  ])('%s: %s', (instrument, names, expected) => {
    expect(labels(instrument, names)).toEqual(expected)
  })

  test('in haste a trombone keeps its direction: D C B flat from the fourth position', () => {
    expect(labels('trombone', 'D4 C4 Bb3', 0.1)).toEqual(['4', '3', '1'])
  })

  test('the octave of G on a guitar stays in the second position', () => {
    const chosen = chooseFingerings('guitar', read('guitar', 'G3 A3 B3 C4 D4 E4 F#4 G4', 0.25))
    expect(chosen.map((each) => each?.fingering.hold)).toMatchObject(Array(8).fill({ position: 2 }))
    expect(chosen.map((each) => each?.mark)).toEqual(['II', ...Array(7).fill(null)])
  })
})

/** The usual fingerings of a trumpet, F sharp below the staff to C above it: common practice, from memory. */
const trumpetChart = `F#3 1-2-3, G3 1-3, Ab3 2-3, A3 1-2, Bb3 1, B3 2, C4 0, C#4 1-2-3, D4 1-3, Eb4 2-3, E4 1-2, F4 1, F#4 2, G4 0,
Ab4 2-3, A4 1-2, Bb4 1, B4 2, C5 0, C#5 1-2, D5 1, Eb5 2, E5 0, F5 1, F#5 2, G5 0, Ab5 2-3, A5 1-2, Bb5 1`
/** The usual positions of a tenor trombone: common practice, from memory. */
const tromboneChart = `E2 7, F2 6, F#2 5, G2 4, Ab2 3, A2 2, Bb2 1, B2 7, C3 6, C#3 5, D3 4, Eb3 3, E3 2, F3 1, F#3 5, G3 4, Ab3 3, A3 2,
Bb3 1, B3 4, C4 3, C#4 2, D4 1, Eb4 3, E4 2, F4 1, G4 2, Bb4 1`

describe('usual fingerings', () => {
  const rows = (chart: string) => chart.split(/,\s+/).map((row) => row.trim().split(' ') as [string, string])
  test.each(rows(trumpetChart))('trumpet %s is %s', (note, label) => {
    expect(fingeringTableOf('trumpet')!.fingeringsOf(midiOf(readPitch(note)!), 'trumpet')[0]!.label).toBe(label)
  })
  test.each(rows(tromboneChart))('trombone %s is %s', (note, label) => {
    expect(fingeringTableOf('trombone')!.fingeringsOf(midiOf(readPitch(note)!), 'trombone')[0]!.label).toBe(label)
  })

  test('partials lie where the harmonic series puts them (Helmholtz: 5/4 is 14 cents under, 7/4 31, 3/2 2 over)', () => {
    const series = partialsOf(34, 8).map(({ midi, cents }) => [midi - 34, cents])
    expect(series).toEqual([
      [12, 0],
      [19, 2],
      [24, 0],
      [28, -14],
      [31, 2],
      [34, -31],
      [36, 0],
    ])
  })
})

describe('every table', () => {
  test.each(fingeringTables.flatMap((table) => table.instruments.map((id) => [id, table] as const)))(
    'has every note of the range of %s, and says where it comes from',
    (id, table) => {
      const instrument = instrumentOf(id)!
      const [low, high] = instrument.range.map((pitch) =>
        midiOf(table.pitch === 'written' ? pitch : soundingPitch(instrument, pitch)),
      )
      for (let midi = low!; midi <= high!; midi++) {
        const found = table.fingeringsOf(midi, id)
        expect(found.length, `${id} ${midi}`).toBeGreaterThan(0)
        for (const { label, name, cost } of found) {
          expect(label).not.toBe('')
          expect(name.length).toBeGreaterThan(3)
          expect(cost).toBeGreaterThanOrEqual(0)
        }
      }
      expect(table.source).toMatch(/from memory|worked out/)
    },
  )

  test('costs nothing to stay and something to move, alike there and back', () => {
    for (const table of fingeringTables) {
      const id = table.instruments[0]!
      const all = Array.from({ length: 60 }, (_, i) => table.fingeringsOf(36 + i, id)).flat()
      for (const a of all) expect(table.move(a.hold, a.hold)).toBe(0)
      for (const [i, a] of all.entries()) {
        const b = all[(i * 7 + 3) % all.length]!
        expect(table.move(a.hold, b.hold)).toBeCloseTo(table.move(b.hold, a.hold), 9)
        expect(table.move(a.hold, b.hold)).toBeGreaterThanOrEqual(0)
      }
    }
  })

  test('stops a string where it sounds', () => {
    const open: Record<string, readonly number[]> = {
      guitar: [64, 59, 55, 50, 45, 40],
      'electric-bass': [43, 38, 33, 28],
      'double-bass': [43, 38, 33, 28],
    }
    for (const [id, strings] of Object.entries(open))
      for (let midi = strings.at(-1)!; midi < strings[0]! + 12; midi++)
        for (const { hold } of fingeringTableOf(id)!.fingeringsOf(midi, id)) {
          if (hold.kind !== 'string') throw new Error('no string')
          expect(strings[hold.string - 1]! + hold.stop).toBe(midi)
          if (hold.finger > 0) expect(Math.abs(hold.stop - hold.position - (hold.finger - 1))).toBeLessThanOrEqual(1)
        }
  })

  test('what no table serves, or no instrument has, is left without', () => {
    expect(instruments.filter(({ id }) => !fingeringTableOf(id)).map(({ id }) => id)).toEqual(
      expect.arrayContaining(['piano', 'vibraphone', 'alto-voice', 'oboe', 'bassoon', 'violin']),
    )
    expect(chooseFingerings('piano', read('piano', 'C4 D4', 0.2))).toEqual([null, null])
    expect(labels('alto-sax', 'A4 C7 B4')).toEqual(['12', undefined, '1'])
    expect(labels('alto-sax', 'A3 Bb3')).toEqual([undefined, expect.any(String)])
    expect(labels('baritone-sax', 'A3 Bb3')[0]).toBeDefined()
  })
})

describe('the choice is the cheapest there is', () => {
  const melody = (length: number) =>
    fc.record({
      id: fc.constantFrom('alto-sax', 'clarinet', 'flute', 'trumpet', 'horn', 'trombone', 'guitar', 'double-bass'),
      steps: fc.array(fc.integer({ min: -5, max: 5 }), { minLength: length, maxLength: length }),
      seconds: fc.constantFrom(0.08, 0.2, 0.5),
    })
  const notesOf = ({ id, steps, seconds }: { id: string; steps: readonly number[]; seconds: number }) => {
    const instrument = instrumentOf(id)!
    const [low, high] = instrument.comfortable.map(midiOf) as [number, number]
    let written = Math.round((low + high) / 2)
    const down = midiOf(soundingPitch(instrument, instrument.range[0])) - midiOf(instrument.range[0])
    return steps.map((step) => {
      written = Math.min(high, Math.max(low, written + step))
      return { written, sounding: written + down, seconds }
    })
  }

  test('of all ways through a short phrase', () => {
    fc.assert(
      fc.property(melody(4), (given) => {
        const notes = notesOf(given)
        const table = fingeringTableOf(given.id)!
        const layers = notes.map((note) => table.fingeringsOf(note[table.pitch], given.id))
        let least = Number.POSITIVE_INFINITY
        const walk = (at: number, soFar: Parameters<typeof costOfFingerings>[2]): void => {
          if (at === layers.length) least = Math.min(least, costOfFingerings(table, notes, soFar))
          else for (const each of layers[at]!) walk(at + 1, [...soFar, each])
        }
        walk(0, [])
        const chosen = chooseFingerings(given.id, notes).map((each) => each!.fingering)
        expect(costOfFingerings(table, notes, chosen)).toBeCloseTo(least, 6)
      }),
      { numRuns: 40 },
    )
  })

  test('of all ways through fifty longer ones, by HiGHS (https://highs.dev)', () => {
    fc.assert(
      fc.property(melody(24), (given) => {
        const notes = notesOf(given)
        const table = fingeringTableOf(given.id)!
        const layers = notes.map((note) => table.fingeringsOf(note[table.pitch], given.id))
        const lattice: Lattice = {
          sizes: layers.map((layer) => layer.length),
          nodeCost: (layer, node) => layers[layer]![node]!.cost,
          edges: (layer, node) =>
            (layers[layer + 1] ?? []).map((to, n) => ({
              layer: layer + 1,
              node: n,
              cost:
                costOfFingerings(table, notes.slice(layer, layer + 2), [layers[layer]![node]!, to]) -
                layers[layer]![node]!.cost -
                to.cost,
            })),
        }
        const chosen = chooseFingerings(given.id, notes).map((each) => each!.fingering)
        expect(costOfFingerings(table, notes, chosen)).toBeCloseTo(cheapestByProgramme(graphOf(lattice))!, 5)
      }),
      { numRuns: 50 },
    )
  })
})

describe('on the part', () => {
  const written = (instrument: string, fingering: string, more: Record<string, string> = {}) => {
    const { brief } = readBrief({ changes: '| Bbmaj7 | Gm7 | Cm7 | F7 |', instrument, fingering, ...more })
    const { lines } = writeLines(brief)
    return { brief, lines, score: layScore(lines[0]!, brief), json: linesJson(writeLines(brief), {}) }
  }
  const marked = ({ score }: ReturnType<typeof written>) =>
    score.bars.flatMap(({ events }) => events.flatMap(({ fingering }) => (fingering ? [fingering] : [])))

  test.each(['alto-sax', 'trombone', 'guitar'])(
    'all marks every note of %s, choices fewer, and no note moves',
    (id) => {
      const [none, some, all] = ['none', 'choices', 'all'].map((fingering) => written(id, fingering))
      expect(marked(none!)).toEqual([])
      expect(marked(some!).length).toBeLessThan(marked(all!).length)
      const notes = all!.lines[0]!.notes.filter(({ pitch }) => pitch !== null)
      expect(marked(all!)).toHaveLength(notes.length)
      for (const other of [some!, all!]) expect(other.lines[0]!.notes).toEqual(none!.lines[0]!.notes)
    },
  )

  test('in MEI as fing (MEI 5.1, fingering), in MusicXML as technical (MusicXML 4.0), in JSON by the note', () => {
    const all = written('guitar', 'all')
    const mei = writeMei(all.score)
    expect(mei.match(/<fing startid="#n-\d+-\d+" place="above">[0-4]<\/fing>/g)).toHaveLength(marked(all).length)
    const xml = writeMusicXml(all.score)
    const technical = [
      ...xml.matchAll(/<technical><fingering>(\d)<\/fingering><string>(\d)<\/string><fret>(\d+)<\/fret>/g),
    ]
    expect(technical).toHaveLength(marked(all).length)
    expect(all.json.lines[0]!.notes.map((note) => (note as { fingering?: unknown }).fingering)).toContain('1')
    expect(written('guitar', 'none').json.lines[0]!.notes[0]).not.toHaveProperty('fingering')
  })

  test('an instrument without a table, and a note beyond one, are said', () => {
    const [piano] = written('piano', 'all').lines
    expect(piano!.relaxed).toContainEqual({
      rule: 'fingering',
      bar: 1,
      why: 'there is no table of fingerings for Piano, right hand',
    })
    const high = written('clarinet', 'all', { low: 'C6', high: 'F7' })
    expect(high.lines[0]!.relaxed.map(({ why }) => why).join()).toMatch(
      /the table for Clarinet in B♭ has no written [A-G]/,
    )
    expect(written('piano', 'none').lines[0]!.relaxed).toEqual([])
  })
})
