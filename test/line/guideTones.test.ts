/** The two bare threads, against worked progressions and the rule that they come from. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { soundingRange } from '../../lib/line/draftLine.ts'
import { readGuideTones, type Thread, threadInRange, threadLine } from '../../lib/line/guideTones.ts'
import { guideDegrees } from '../../lib/theory/chord.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { instrumentOf, instruments } from '../../lib/theory/instrument.ts'
import { intervalToKey, keyAt } from '../../lib/theory/key.ts'
import { chromaOf, midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'

interface Progression {
  readonly name: string
  readonly chords: readonly string[]
  readonly threads: readonly (readonly { readonly note: string; readonly degree: string }[])[]
  readonly moves: readonly (readonly number[])[]
}

/** Worked threads; their source stands in the file. */
const worked = JSON.parse(readFileSync('test/data/guideTones.json', 'utf8')) as {
  readonly progressions: readonly Progression[]
  readonly majorTwoFiveOne: readonly {
    readonly key: string
    readonly chords: readonly string[]
    readonly thread3: readonly string[]
    readonly thread7: readonly string[]
  }[]
}

const harmonyOf = (chords: readonly string[], up = 0) => {
  const chart = readChart(`| ${chords.join(' | ')} |`)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  const moved = up === 0 ? chart : transposeChart(chart, intervalToKey(keyAt(0, 'major'), keyAt(up, 'major')))
  return readHarmony(unrollChart(moved))
}
const threadsOf = (chords: readonly string[], up = 0) => readGuideTones(harmonyOf(chords, up))
const letters = (thread: Thread) => thread.map(({ pitch }) => nameOf(pitch).replace(/-?\d+$/, ''))
const plain = (degree: string) => degree.replace(/^[b#]+/, '')
const moves = (thread: Thread) => thread.slice(1).map((tone, i) => midiOf(tone.pitch) - midiOf(thread[i]!.pitch))

describe('worked progressions', () => {
  test.each(worked.progressions.map((each) => [each.name, each] as const))(
    '%s',
    (_, { chords, threads, moves: stated }) => {
      const found = threadsOf(chords)
      expect(found.map(letters)).toEqual(threads.map((thread) => thread.map(({ note }) => note)))
      expect(found.map((thread) => thread.map(({ degree }) => plain(degree)))).toEqual(
        threads.map((thread) => thread.map(({ degree }) => degree)),
      )
      expect(found.map(moves)).toEqual(stated)
    },
  )

  test.each(worked.majorTwoFiveOne.map((each) => [each.key, each] as const))(
    'ii V I in %s',
    (_, { chords, thread3, thread7 }) => {
      expect(threadsOf(chords).map(letters)).toEqual([thread3, thread7])
    },
  )

  test.each(worked.progressions.map((each) => [each.name, each] as const))('%s moves alike in every key', (_, each) => {
    for (let up = 0; up < 12; up++) {
      const found = threadsOf(each.chords, up)
      expect(found.map(moves)).toEqual(each.moves)
      expect(found.map((thread) => thread.map(({ degree }) => plain(degree)))).toEqual(
        each.threads.map((thread) => thread.map(({ degree }) => degree)),
      )
    }
  })
})

// Root down a fifth: semitones from the third to the next seventh, and from the seventh to the next third. Source: Ligon,
// Connecting Chords with Linear Harmony (1996); Hutchinson, Music Theory for the 21st-Century Classroom.
describe('links of roots a fifth down', () => {
  test.each([
    ['Dm7', 'G7', 0, -1],
    ['Dm7b5', 'G7', 0, -1],
    ['G7', 'Cmaj7', 0, -1],
    ['G7', 'C6', -2, -1],
    ['G7', 'CmMaj7', 0, -2],
    ['G7', 'Cm6', -2, -2],
    ['G7', 'Cm7', -1, -2],
    ['G7', 'C7', -1, -1],
    ['Am7', 'Dm7', 0, -2],
  ])('%s to %s', (from, to, third, seventh) => {
    const [first, second] = threadsOf([from, to])
    expect([plain(first[0]!.degree), plain(second[0]!.degree)]).toEqual(['3', '7'])
    expect(moves(first)).toEqual([third])
    expect(moves(second)).toEqual([seventh])
    expect(plain(second[1]!.degree)).toBe('3')
  })

  test('dominants a tritone apart share their guide tones, swapped', () => {
    const [first, second] = threadsOf(['G7', 'Db7'])
    expect([moves(first), moves(second)]).toEqual([[0], [0]])
    expect([first[1]!.degree, second[1]!.degree]).toEqual(['b7', '3'])
  })
})

describe('the rule itself', () => {
  const chord = fc.constantFrom(
    'C7',
    'Fm7',
    'Bbmaj7',
    'Ebm7b5',
    'A7alt',
    'Dsus4',
    'G6',
    'Abm6',
    'F#dim7',
    'B',
    'E5',
    'N.C.',
    'Cm',
  )

  test('the voices move least in all: no sharing of the guide tones moves less, by brute force', () => {
    fc.assert(
      fc.property(fc.array(chord, { minLength: 2, maxLength: 7 }), (chords) => {
        const harmony = harmonyOf(chords)
        const threads = readGuideTones(harmony)
        const sounding = harmony.chords.filter(({ root }) => root !== null)
        const total = threads.flatMap(moves).reduce((sum, move) => sum + Math.abs(move), 0)
        const pairs = sounding.map(({ root, chord: read }) =>
          guideDegrees(read!).map((degree) => (chromaOf(root!) + degreeChroma(degree)) % 12),
        )
        const apart = (a: number, b: number) => Math.min((a - b + 12) % 12, (b - a + 12) % 12)
        let least = Number.POSITIVE_INFINITY
        for (let ways = 0; ways < 2 ** Math.max(0, pairs.length - 1); ways++) {
          let sum = 0
          for (let i = 1, turned = 0; i < pairs.length; i++) {
            const next = (ways >> (i - 1)) & 1
            for (const voice of [0, 1]) sum += apart(pairs[i - 1]![voice ^ turned]!, pairs[i]![voice ^ next]!)
            turned = next
          }
          least = Math.min(least, sum)
        }
        if (pairs.length > 0) expect(total).toBe(least)
      }),
      { seed: 3, numRuns: 200 },
    )
  })

  test('a note a chord, the first in the octave from middle C, no voice further than a tritone', () => {
    fc.assert(
      fc.property(fc.array(chord, { minLength: 1, maxLength: 12 }), (chords) => {
        const harmony = harmonyOf(chords)
        const sounding = harmony.chords.flatMap(({ root }, i) => (root ? [i] : []))
        for (const [voice, thread] of readGuideTones(harmony).entries()) {
          expect(thread.map((tone) => tone.chord)).toEqual(sounding)
          const first = thread[0]
          if (!first) continue
          expect(first.degree).toBe(guideDegrees(harmony.chords[first.chord]!.chord!)[voice])
          expect(midiOf(first.pitch)).toBeGreaterThanOrEqual(60)
          expect(midiOf(first.pitch)).toBeLessThan(72)
          expect(Math.max(0, ...moves(thread).map(Math.abs))).toBeLessThanOrEqual(6)
          for (const { chord: index, degree, pitch } of thread)
            expect(chromaOf(pitch)).toBe((chromaOf(harmony.chords[index]!.root!) + degreeChroma(degree)) % 12)
        }
      }),
      { seed: 4 },
    )
  })

  test('of ways as smooth, the higher', () => {
    // B and F lie a minor third from A flat and D, both ways round.
    expect(threadsOf(['G7', 'Fdim7']).map(moves)).toEqual([[3], [3]])
  })

  test('a tune without chords has two empty threads', () => {
    expect(threadsOf(['N.C.', 'N.C.'])).toEqual([[], []])
  })
})

test('as a line for the page: every chord its whole length, octaves moved into the range, rests where there is no chord', () => {
  const harmony = harmonyOf(['Dm7', 'N.C.', 'G7', 'Cmaj7'])
  const [first] = readGuideTones(harmony)
  const range = [40, 58] as const
  const line = threadLine(harmony, first, instrumentOf('trombone')!, range)
  expect(line.notes.map(({ role, start, ticks }) => [role, start, ticks])).toEqual([
    ['target', 0, 96],
    ['rest', 96, 96],
    ['target', 192, 96],
    ['target', 288, 96],
  ])
  expect(line.targets.map(({ pitch }) => nameOf(pitch))).toEqual(['F3', 'F3', 'E3'])
})

describe('inside a range', () => {
  const midis = (thread: Thread) => thread.map(({ pitch }) => midiOf(pitch))

  test('a thread that is there stays as it is', () => {
    for (const thread of threadsOf(['Dm7', 'G7', 'Cmaj7'])) expect(threadInRange(thread, [55, 85])).toEqual(thread)
  })

  test('the whole thread moves by octaves, its intervals its own', () => {
    for (const thread of threadsOf(['Dm7', 'G7', 'Cmaj7', 'Cm7', 'F7', 'Bbmaj7'])) {
      const moved = threadInRange(thread, [28, 52])
      expect(moves(moved)).toEqual(moves(thread))
      for (const midi of midis(moved)) expect(midi >= 28 && midi <= 52).toBe(true)
    }
  })

  test('a thread wider than the range turns by an octave where it would leave, however long it falls', () => {
    // Down by half steps, 300 chords: without a turn it fell below the lowest MIDI note.
    const falling = Array.from(
      { length: 300 },
      (_, i) => `${['C', 'B', 'Bb', 'A', 'Ab', 'G', 'Gb', 'F', 'E', 'Eb', 'D', 'Db'][i % 12]}7`,
    )
    for (const thread of threadsOf(falling)) {
      expect(Math.min(...midis(thread))).toBeLessThan(0)
      const kept = threadInRange(thread, [49, 81])
      for (const midi of midis(kept)) expect(midi >= 49 && midi <= 81).toBe(true)
      const turns = moves(kept).filter((move, i) => move !== moves(thread)[i])
      expect(turns.length).toBeGreaterThan(0)
      expect(kept.every(({ pitch }, i) => (midiOf(pitch) - midis(thread)[i]!) % 12 === 0)).toBe(true)
    }
  })

  test('threads of any tune in any key stay in the range of every instrument, moved as a whole where they fit', () => {
    const charts = realChartTexts()
    fc.assert(
      fc.property(
        fc.constantFrom(...charts),
        fc.integer({ min: 0, max: 11 }),
        fc.constantFrom(...instruments),
        fc.constantFrom('full' as const, 'comfortable' as const),
        (text, up, instrument, compass) => {
          const chart = readChart(text)
          const home = readHarmony(unrollChart(chart)).key
          const to = keyAt((chromaOf(home.tonic) + up) % 12, home.mode)
          const range = soundingRange(instrument, { low: null, high: null, compass })
          const harmony = readHarmony(unrollChart(transposeChart(chart, intervalToKey(home, to))))
          for (const thread of readGuideTones(harmony)) {
            const kept = midis(threadInRange(thread, range))
            for (const midi of kept) expect(midi >= range[0] && midi <= range[1], instrument.id).toBe(true)
            const wide = Math.max(...midis(thread)) - Math.min(...midis(thread))
            const shifts = new Set(kept.map((midi, i) => midi - midis(thread)[i]!))
            for (const shift of shifts) expect(Math.abs(shift % 12)).toBe(0)
            // A span that leaves an octave to spare fits somewhere.
            if (wide + 11 <= range[1] - range[0]) expect(shifts.size).toBe(1)
          }
        },
      ),
      { numRuns: 200 },
    )
  })
})
