/** Dominants that a line alters on the way to a major chord, and the note that a bebop scale adds, over keys, seeds and qualities. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import type { Harmony } from '../../lib/harmony/harmony.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { alterDominants, hearAltered } from '../../lib/line/alterDominants.ts'
import { type Draft, draftLine, harmonyFor, soundingRange } from '../../lib/line/draftLine.ts'
import type { Line } from '../../lib/line/line.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { familyOf } from '../../lib/theory/chord.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { chromaOf } from '../../lib/theory/pitch.ts'
import { scaleChromas } from '../../lib/theory/scale.ts'
import { brokenRules } from '../lineRules.ts'
import { realCharts, realChartTexts } from '../realCharts.ts'
import { briefOf, harmonyOf } from './drafts.ts'

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
const scalesOf = ({ chords }: Harmony) => chords.map(({ scale }) => scale?.name)
/** Every dominant that may be altered is. */
const allAltered = (harmony: Harmony, seed = 1) => alterDominants(harmony, 1, 'major', seed)

describe('which dominants may be altered', () => {
  // Common practice: ♭9 ♯9 ♭5 ♭13 on a V7 to major are the player's own where the symbol leaves them open.
  const kept = (changes: string) => scalesOf(allAltered(harmonyOf(changes)))[1] === scalesOf(harmonyOf(changes))[1]
  test.each([
    ['to a major seventh', '| Dm7 | G7 | Cmaj7 | Cmaj7 |', false],
    ['to a sixth', '| Dm7 | G7 | C6 | C6 |', false],
    ['to a triad', '| Dm7 | G7 | C | C |', false],
    ['round to the top', '| Cmaj7 | G7 |', false],
    ['to minor, which has scales of its own', '| Dm7b5 | G7 | Cm6 | Cm6 |', true],
    ['to another dominant', '| Am7 | D7 | G7 | C6 |', true],
    ['a ninth that the symbol says', '| Dm7 | G9 | Cmaj7 | Cmaj7 |', true],
    ['a thirteenth with its ninth', '| Dm7 | G13 | Cmaj7 | Cmaj7 |', true],
    ['written altered', '| Dm7 | G7alt | Cmaj7 | Cmaj7 |', true],
    ['suspended', '| Dm7 | G7sus4 | Cmaj7 | Cmaj7 |', true],
    ['the blues, where it stays', '| C7 | C7 | F7 | C7 |', true],
    ['a silence after it', '| Dm7 | G7 | N.C. | Cmaj7 |', true],
  ])('%s', (_, changes, stays) => {
    expect(kept(changes)).toBe(stays)
  })

  test('a scale that a person chose stays', () => {
    const harmony = harmonyOf('| Dm7 | G7 | Cmaj7 | G7 | Cmaj7 |')
    const chosen = alterDominants(harmony, 1, 'major', 1, [{ bar: 2, beat: 1, scale: 'mixolydian' }])
    expect(scalesOf(chosen)[1]).toBe('mixolydian')
    expect(scalesOf(chosen)[3]).not.toBe('mixolydian')
  })

  test('by the same scales in every key, all that the symbol says in them, and more of them the larger the share', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.nat(11),
        fc.constantFrom('7', '7(b9)', '7(b13)', '7(#11)', '7(#9)'),
        (seed, up, quality) => {
          const inKey = (key: number) => {
            const at = (semitones: number) => roots[(key + semitones) % 12]!
            return harmonyOf(`| ${`${at(2)}m7 | ${at(7)}${quality} | ${at(0)}maj7 | `.repeat(4)}${at(0)}6 |`)
          }
          const [here, there] = [allAltered(inKey(0), seed), allAltered(inKey(up), seed)]
          expect(scalesOf(there)).toEqual(scalesOf(here))
          for (const { chord, scale } of here.chords)
            for (const degree of chord!.degrees)
              if (degree !== '5') expect(scaleChromas(scale!.name)).toContain(degreeChroma(degree))
          const count = (share: number) =>
            scalesOf(alterDominants(inKey(0), share, 'major', seed)).filter((name, i) => name !== scalesOf(inKey(0))[i])
              .length
          expect(count(0)).toBe(0)
          expect(count(0.5)).toBeLessThanOrEqual(count(1))
          expect(count(1)).toBe(quality === '7' ? 4 : 0)
        },
      ),
      { seed: 41, numRuns: 40 },
    )
  })
})

/** The share of ♭9 ♯9 ♭5 ♭13 among the notes that sound on plain dominants with a major chord a fifth below next. */
function alteredShare(given: Readonly<Record<string, string>>, seeds: readonly number[]): number {
  const brief = briefOf(given)
  const range = soundingRange(instrumentOf(brief.instrument)!, brief)
  let [all, altered] = [0, 0]
  for (const chart of realCharts()) {
    const harmony = readHarmony(unrollChart(chart), brief)
    const { chords } = harmony
    for (const seed of seeds) {
      const draft = draftLine(harmony, brief, range, seed) as Draft
      for (const { moment, midi } of draft.notes) {
        const at = draft.moments[moment]!.chord
        const chord = chords[at]!
        const next = chords.slice(at).find(({ root }) => !root || chromaOf(root) !== chromaOf(chord.root!))
        if (chord.chord?.named !== '7' || !next?.root || familyOf(next.chord!) !== 'major') continue
        if ((chromaOf(next.root) - chromaOf(chord.root!) + 12) % 12 !== 5) continue
        all += 1
        if ([1, 3, 6, 8].includes((midi - chromaOf(chord.root!) + 120) % 12)) altered += 1
      }
    }
  }
  expect(all).toBeGreaterThan(500)
  return altered / all
}

describe('as many notes are altered there as in solos', () => {
  // 17.5 % of the notes of the 118 solos that lib/line/soloCounts.ts counts; the figure stands in DEVELOPERS.md.
  const solo = 'enclosure,chromatic,scale,arpeggio'
  test.each([
    ['a solo in phrases, slow', { approach: solo, rhythm: 'phrased', tempo: '72' }],
    ['a solo in phrases, fast', { approach: solo, rhythm: 'phrased', tempo: '180' }],
    ['a solo in eighths', { approach: solo }],
    ['enclosures in phrases', { rhythm: 'phrased', tempo: '180' }],
  ])('%s', (_, given) => {
    const share = alteredShare(given, [1, 2, 3])
    expect(share).toBeGreaterThan(0.135)
    expect(share).toBeLessThan(0.215)
  })
})

describe('a line that alters a dominant says so', () => {
  const brief = briefOf({ approach: 'enclosure,chromatic,scale,arpeggio', rhythm: 'phrased', tempo: '180' })
  const range = soundingRange(instrumentOf('alto-sax')!, brief)
  const harmonies = realCharts().map((chart) => readHarmony(unrollChart(chart), brief))

  test('what is heard altered was drawn so, but for ideas that bring notes of their own', () => {
    let [heardOnes, drawnSo] = [0, 0]
    for (const harmony of harmonies)
      for (const seed of [1, 2]) {
        const drawn = harmonyFor(harmony, brief, seed)
        const heard = hearAltered(harmony, draftLine(harmony, brief, range, seed) as Draft)
        heard.chords.forEach(({ scale, reason }, i) => {
          if (scale?.name === harmony.chords[i]!.scale?.name) return
          heardOnes += 1
          if (drawn.chords[i]!.scale!.name !== harmony.chords[i]!.scale!.name) drawnSo += 1
          expect(reason).toContain(`The line alters it here: ${scale!.name}.`)
        })
      }
    expect(heardOnes).toBeGreaterThan(15)
    expect(drawnSo / heardOnes).toBeGreaterThan(0.8)
  })

  test('a drill of enclosures in eighths alters nothing', () => {
    const drill = briefOf({})
    for (const harmony of harmonies)
      expect(hearAltered(harmony, draftLine(harmony, drill, range, 3) as Draft)).toBe(harmony)
  })
})

describe('the note that a bebop scale adds passes by a half step off the beat', () => {
  const added = (line: Line): number =>
    line.notes.filter(({ pitch, start, role }) => {
      const chord = line.harmony.chords.findLast((each) => each.start <= start)
      if (!pitch || !chord?.scale?.name.startsWith('bebop') || role === 'approach' || role === 'target') return false
      const degree = { 'bebop dominant': '7', 'bebop major': '#5' }[chord.scale.name as string] ?? '3'
      return (chromaOf(pitch) - chromaOf(chord.root!) + 12) % 12 === degreeChroma(degree)
    }).length
  const count = () =>
    realChartTexts()
      .slice(0, 12)
      .flatMap((changes) => writeLines(briefOf({ changes, bebop: 'yes', approach: 'scale' })).lines)
      .reduce((sum, line) => sum + added(line), 0)

  test('over keys, seeds and qualities (held by the rules of every line)', () => {
    fc.assert(
      fc.property(
        fc.nat(),
        fc.nat(11),
        fc.constantFrom('eighths', 'phrased', 'triplets'),
        fc.constantFrom('enclosure,chromatic', 'enclosure,chromatic,scale,arpeggio', 'scale'),
        fc.constantFrom('', '1-2-3-4,8-7-6-5'),
        (seed, key, rhythm, approach, cells) => {
          const at = (up: number) => roots[(key + up) % 12]!
          const changes = `| ${at(2)}m7 | ${at(7)}7 | ${at(0)}maj7 | ${at(9)}m7 ${at(2)}7 | ${at(2)}m7 ${at(7)}7 | ${at(0)}6 |`
          const brief = briefOf({ changes, bebop: 'yes', rhythm, approach, cells, seed: String(seed) })
          for (const line of writeLines(brief).lines) expect(brokenRules(line, brief)).toEqual([])
        },
      ),
      { seed: 42, numRuns: 60 },
    )
  })

  test('and runs do take it', () => {
    expect(count()).toBeGreaterThan(20)
  })
})
