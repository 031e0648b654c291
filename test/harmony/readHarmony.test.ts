/** Keys, functions and scales of tunes: labelled by hand, on real charts, in every key, and by the person's choice. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { transposeChart } from '../../lib/changes/transposeChart.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { harmonicKind } from '../../lib/harmony/functions.ts'
import type { Harmony } from '../../lib/harmony/harmony.ts'
import { type HarmonyChoices, readHarmony, strayScales } from '../../lib/harmony/readHarmony.ts'
import { transposeHarmony } from '../../lib/harmony/transposeHarmony.ts'
import { nameOfKey, readKey, signatureOf } from '../../lib/theory/key.ts'
import { chromaOf, fifthsOf, nameOf, noteAtFifths } from '../../lib/theory/pitch.ts'
import { freshCharts } from './freshCharts.ts'
import { type HomeChart, judgedBy, keptOut } from './homeCharts.ts'
import { labelledProgressions } from './labelledProgressions.ts'
import { misleadingJudgedBy, misleadingKeptOut } from './misleadingCharts.ts'
import { teachersJudgedBy, teachersKeptOut } from './teachersCharts.ts'

function changesOf(text: string, stated?: string, choruses = 1) {
  const chart = readChart(text)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return unrollChart({ ...chart, key: stated ? readKey(stated) : chart.key }, choruses)
}

const heard = (text: string, choices: Partial<HarmonyChoices> = {}, stated?: string) =>
  readHarmony(changesOf(text, stated), choices)

/** The real charts: first choruses of 24 recordings, from the R data package jazzodata (MIT licence). */
const realCharts = readFileSync(new URL('../data/real-changes.txt', import.meta.url), 'utf8')
  .split(/\n\n+/)
  .filter((text) => !text.startsWith('#') && text.trim() !== '')

const brief = (harmony: Harmony) =>
  harmony.chords.map(({ symbol, localKey, function: numeral, scale }) =>
    [symbol, localKey && nameOfKey(localKey), numeral, scale?.name].join(' '),
  )

describe('progressions labelled by hand', () => {
  test.each(labelledProgressions.map((each) => [each.name, each] as const))('%s', (_, { bars, stated, home }) => {
    const labels = bars.split('|').map((bar) => bar.split(';').map((chord) => chord.trim()))
    const text = labels.map((bar) => bar.map((label) => label.split(' ')[0]).join(' ')).join(' | ')
    const harmony = heard(`| ${text} |`, {}, stated)
    expect(brief(harmony)).toEqual(labels.flat())
    expect(nameOfKey(harmony.key)).toBe(home)
  })

  test('there are enough of them to mean something', () => {
    const chords = labelledProgressions.flatMap(({ bars }) => bars.split(/[|;]/))
    expect(labelledProgressions.length).toBeGreaterThanOrEqual(50)
    expect(chords.length).toBeGreaterThanOrEqual(400)
  })
})

describe('real charts', () => {
  test('are all there', () => {
    expect(realCharts).toHaveLength(24)
  })

  /** Pairs of a minor seventh or half-diminished chord and a dominant a fourth above, as heard. */
  const pairs = realCharts.flatMap((text) => {
    const chords = heard(text).chords.filter(({ root }) => root !== null)
    return chords.flatMap((two, i) => {
      const five = chords[i + 1]
      if (!five || harmonicKind(five.chord!) !== 'dominant') return []
      if ((chromaOf(five.root!) - chromaOf(two.root!) + 12) % 12 !== 5) return []
      return [{ two, five, next: chords[i + 2], kind: harmonicKind(two.chord!) }]
    })
  })
  const inKeyBelow = ({ two, five }: (typeof pairs)[number]) =>
    two.function === 'ii' &&
    five.function === 'V' &&
    [two, five].every(({ localKey }) => chromaOf(localKey!.tonic) === (chromaOf(five.root!) + 5) % 12)

  test('every m7 and the dominant a fourth above are a ii–V, but for backdoor cadences and one a tritone away', () => {
    const plain = pairs.filter(({ kind }) => kind === 'm7')
    const others = plain.filter((pair) => !inKeyBelow(pair))
    expect(plain.length).toBe(149)
    const up = ({ five, next }: (typeof pairs)[number]) => (chromaOf(next!.root!) - chromaOf(five.root!) + 12) % 12
    const asHeard = others.map((pair) => [pair.two.function, pair.five.function, up(pair)].join(' ')).sort()
    const backdoor = 'iv bVII7 2'
    expect(asHeard).toEqual([backdoor, backdoor, backdoor, 'subii/ii subV/ii 11'])
  })

  test('every m7b5 and the dominant a fourth above are a minor ii–V', () => {
    const minor = pairs.filter(({ kind }) => kind === 'half-dim')
    expect(minor.length).toBe(21)
    for (const pair of minor) {
      expect(inKeyBelow(pair)).toBe(true)
      expect(pair.two.localKey!.mode).toBe('minor')
    }
  })

  test('every chord has a key, a function, a scale that holds it, and a reason', () => {
    for (const text of realCharts)
      for (const { root, chord, symbol, localKey, function: numeral, scale, reason } of heard(text).chords) {
        expect(reason.length).toBeGreaterThan(5)
        expect(reason).toMatch(/\.$/)
        if (!root || !chord) {
          expect([localKey, numeral, scale]).toEqual([null, null, null])
          continue
        }
        expect(numeral).toMatch(/^(sub)?[b#]?[ivIV]+[7°]?(\/[b#]?[ivIV]+)?$/)
        const held = scale!.notes.map(chromaOf)
        for (const note of chord.degrees) expect(held, symbol).toContain(chromaOf(noteOn(root, note)))
        expect(scale!.notes.every(({ alter }) => Math.abs(alter) < 2)).toBe(true)
      }
  })
})

const noteOn = (root: { letter: 'A' | 'B' | 'C' | 'D' | 'E' | 'F' | 'G'; alter: number }, degree: string) => {
  const scale = [0, 2, 4, -1, 1, 3, 5]
  const number = (Number(degree.replace(/\D/g, '')) - 1) % 7
  const alter = (degree.match(/#/g)?.length ?? 0) - (degree.match(/b/g)?.length ?? 0)
  return noteAtFifths(fifthsOf(root) + scale[number]! + 7 * alter)
}

describe('reasons are a teacher’s', () => {
  test.each([
    ['| Dm7 | G7 | Cmaj7 |', 0, 'ii of C major, making a ii–V with G7.'],
    ['| Dm7 | G7 | Cmaj7 |', 1, 'V of C major, going home to Cmaj7.'],
    ['| Dm7 | G7 | Cmaj7 |', 2, 'I of C major: G7 comes home.'],
    [
      '| Dm7 | Db7 | Cmaj7 |',
      1,
      'subV of C major, a half step above Cmaj7, in place of G7, whose third and seventh it shares.',
    ],
    [
      '| Cmaj7 | Abm7 Db7 | Cmaj7 |',
      1,
      'subii of C major: the ii that belongs to Db7, a tritone from the ii–V they stand in for.',
    ],
    ['| Cmaj7 | Fm7 Bb7 | Cmaj7 |', 1, 'iv of C major, borrowed from C minor, opening the backdoor with Bb7.'],
    ['| Cmaj7 | Fm7 Bb7 | Cmaj7 |', 2, 'bVII7 of C major: the backdoor, up a whole step home to Cmaj7.'],
    [
      '| Cmaj7 C#dim7 | Dm7 G7 | Cmaj7 |',
      1,
      '#i° of C major: it leads up a half step to Dm7, as A7(b9) without its root.',
    ],
    ['| Cmaj7 | Dm7b5 G7 | Cmaj7 |', 2, 'V of C minor, though Cmaj7 turns out major.'],
    ['| Cmaj7 | Cm7 F7 | Bbmaj7 | Dm7 G7 | Cmaj7 |', 1, 'Now in Bb major: ii of Bb major, making a ii–V with F7.'],
    [
      '| Gmaj7 | Bm7b5 E7 | Am7 D7 | Gmaj7 |',
      3,
      'Back in G major: where E7 arrives, and at once ii of G major, making a ii–V with D7.',
    ],
    [
      '| C6 | D7 | Dm7 G7 | C6 |',
      1,
      'V of V in C major: it leads to G7, with Dm7 in between, one more link in a chain of dominants.',
    ],
    ['| F7 | Bb7 | F7 | C7 |', 0, 'I7 of F major: a dominant seventh at rest, as in the blues.'],
  ])('%s, chord %i', (text, index, reason) => {
    expect(heard(text).chords[index]!.reason).toBe(reason)
  })
})

describe('the key of a tune', () => {
  test('is the one the chart states, if it states one', () => {
    expect(nameOfKey(heard('Key: F\n| Dm7 | G7 | Cmaj7 | Cmaj7 |').key)).toBe('F')
  })

  test.each([
    ['| G#m7 | C#7 | F#maj7 | F#maj7 |', 'F#'],
    ['| Abm7 | Db7 | Gbmaj7 | Gbmaj7 |', 'Gb'],
    ['| Abm6 | Bbm7b5 Eb7 | Abm6 | Abm6 |', 'Abm'],
    ['| G#m6 | A#m7b5 D#7 | G#m6 | G#m6 |', 'G#m'],
    ['| C7 | F7 | C7 | C7 | F7 | F7 | C7 | C7 | G7 | F7 | C7 | G7 |', 'C'],
  ])('is named as its chords are: %s', (text, key) => {
    expect(nameOfKey(heard(text).key)).toBe(key)
  })

  const named = ({ kind, home, bars }: HomeChart) => [kind, home, nameOfKey(heard(bars).key), bars]
  const asLabelled = ({ kind, home, bars }: HomeChart) => [kind, home, home, bars]

  test('is where its sections come to rest, whatever leads back to the top', () => {
    expect(judgedBy.map(named)).toEqual(judgedBy.map(asLabelled))
  })

  test('is found as often on charts that no cost was judged by', () => {
    const right = keptOut.filter(({ home, bars }) => nameOfKey(heard(bars).key) === home)
    expect(keptOut.length).toBeGreaterThanOrEqual(80)
    expect(right.length / keptOut.length).toBeGreaterThanOrEqual(0.94)
  })

  /** How many of the charts are heard in a key that a teacher names. */
  const share = (charts: readonly HomeChart[]) =>
    charts.filter(({ home, bars }) => home.split(' ').includes(nameOfKey(heard(bars).key)!)).length / charts.length

  test('is found in tunes with introductions and tags, in vamps, loops and charts of slash chords', () => {
    expect(teachersKeptOut.length).toBeGreaterThanOrEqual(100)
    expect(share(teachersJudgedBy)).toBeGreaterThanOrEqual(0.96)
    expect(share(teachersKeptOut)).toBeGreaterThanOrEqual(0.94)
  })

  test('is found where openings and endings mislead', () => {
    expect(misleadingKeptOut.length).toBeGreaterThanOrEqual(50)
    expect(share(misleadingJudgedBy)).toBeGreaterThanOrEqual(0.98)
    expect(share(misleadingKeptOut)).toBeGreaterThanOrEqual(0.92)
  })

  test('is found in tunes that were labelled before they were heard', () => {
    expect(freshCharts.length).toBeGreaterThanOrEqual(20)
    const right = freshCharts.filter(([home, bars]) => nameOfKey(heard(bars).key) === home)
    expect(right.length / freshCharts.length).toBeGreaterThanOrEqual(0.95)
  })

  test('of a vamp that moves is where it starts, and each place is a centre of its own', () => {
    const { key, chords } = heard('| Bbm7 | Eb7 | Bbm7 | Eb7 | Bm7 | E7 | Bm7 | E7 | Bbm7 | Eb7 | Bbm7 | Eb7 |')
    expect([nameOfKey(key), key.open]).toEqual(['Bbm', true])
    const parts = chords.map(({ localKey, function: part }) => `${localKey && nameOfKey(localKey)} ${part}`)
    expect([...new Set(parts)]).toEqual(['Bbm i', 'Bbm IV7', 'Bm i', 'Bm IV7'])
  })

  /** A modal tune has a centre and no signature: common practice. */
  test.each([
    ['| C7 | Bb | C7 | Bb | C7 | Bb | C7 | Bb |', 'C', true],
    ['| C | G | D | D | C | G | D | D |', 'D', true],
    ['| D7sus4 | F7sus4 | D7sus4 | F7sus4 |', 'D', true],
    ['| Dm7 | G7 | Dm7 | G7 |', 'Dm', true],
    ['| D | C | G | D | D | C | G | D |', 'D', true],
    ['| F7 | Bb7 | F7 | C7 | Bb7 | F7 |', 'F', undefined],
    ['| Dm7 | G7 | Cmaj7 | Cmaj7 |', 'C', undefined],
    ['Key: F\n| D7sus4 | F7sus4 | D7sus4 | F7sus4 |', 'F', undefined],
  ])('is open or not: %s', (text, key, open) => {
    const harmony = heard(text)
    expect([nameOfKey(harmony.key), harmony.key.open]).toEqual([key, open])
    const up = transposeHarmony(harmony, { steps: 5, semitones: 9 })
    expect(up.key.open).toBe(open)
    if (open) expect(signatureOf(up.key)).toBe(0)
  })

  test('a tune without chords is in the key it states, else in C', () => {
    expect(nameOfKey(heard('Key: Eb\n| N.C. | N.C. |').key)).toBe('Eb')
    expect(nameOfKey(readHarmony({ ...changesOf('| N.C. |'), chords: [] }).key)).toBe('C')
  })
})

describe('choices where books differ', () => {
  test('the dominant of a minor key', () => {
    const text = '| Dm7b5 | G7 | Cm6 | Cm6 |'
    expect(heard(text).chords[1]!.scale!.name).toBe('phrygian dominant')
    expect(heard(text, { minorDominant: 'half-whole diminished' }).chords[1]!.scale!.name).toBe('half-whole diminished')
    expect(heard(text, { minorDominant: 'altered' }).chords[1]!.scale!.name).toBe('altered')
  })

  test('a half-diminished chord', () => {
    expect(heard('| Dm7b5 | G7 | Cm6 |', { halfDiminished: 'locrian natural 2' }).chords[0]!.scale!.name).toBe(
      'locrian natural 2',
    )
  })

  test('a sharp ninth', () => {
    const text = '| Dm7 | G7(#9) | Cmaj7 |'
    expect(heard(text).chords[1]!.scale!.name).toBe('half-whole diminished')
    expect(heard(text, { sharpNine: 'altered' }).chords[1]!.scale!.name).toBe('altered')
  })

  test('bebop scales', () => {
    const names = heard('| Dm7 | G7 | Cmaj7 |', { bebop: true }).chords.map(({ scale }) => scale!.name)
    expect(names).toEqual(['bebop dorian with natural 3', 'bebop dominant', 'bebop major'])
  })

  test('a scale for one chord, by bar and beat, in every chorus its own', () => {
    const changes = changesOf('| Dm7 G7 | Cmaj7 |', undefined, 2)
    const harmony = readHarmony(changes, { scales: readBrief({ scales: '1.3=altered,4.1=lydian' }).brief.scales })
    expect(harmony.chords.map(({ scale }) => scale!.name)).toEqual([
      'dorian',
      'altered',
      'major',
      'dorian',
      'mixolydian',
      'lydian',
    ])
  })

  test('a scale that falls on no chord is found out', () => {
    const changes = changesOf('| Dm7 G7 | Cmaj7 | N.C. |')
    expect(
      strayScales(changes, readBrief({ scales: '1.3=altered,9.1=lydian,3.1=lydian,2.7=lydian' }).brief.scales),
    ).toEqual([1, 2, 3])
  })
})

describe('properties', () => {
  const sound = ({ chords, key }: Harmony) => ({
    home: [chromaOf(key.tonic), key.mode],
    chords: chords.map(({ localKey, function: numeral, scale }) => [
      localKey && chromaOf(localKey.tonic),
      localKey?.mode,
      numeral,
      scale?.name,
      scale?.notes.map(chromaOf),
    ]),
  })
  const raise = ({ home, chords }: ReturnType<typeof sound>, up: number): unknown => {
    const move = (n: unknown) => (typeof n === 'number' ? (n + up) % 12 : n)
    return {
      home: [move(home[0]), home[1]],
      chords: chords.map(([tonic, mode, numeral, name, notes]) => [
        move(tonic),
        mode,
        numeral,
        name,
        (notes as number[] | undefined)?.map(move),
      ]),
    }
  }
  const texts = [...realCharts, ...labelledProgressions.map(({ bars }) => chordsOnly(bars))]
  const intervals = [
    [0, 1],
    [1, 1],
    [1, 2],
    [2, 3],
    [2, 4],
    [3, 5],
    [3, 6],
    [4, 6],
    [4, 7],
    [5, 8],
    [5, 9],
    [6, 10],
    [6, 11],
    [0, -1],
  ].map(([steps = 0, semitones = 0]) => ({ steps, semitones }))

  test('analysis commutes with transposition', () => {
    fc.assert(
      fc.property(fc.constantFrom(...texts), fc.constantFrom(...intervals), (text, interval) => {
        const chart = readChart(text)
        const here = readHarmony(unrollChart(chart))
        const there = readHarmony(unrollChart(transposeChart(chart, interval)))
        expect(sound(there)).toEqual(raise(sound(here), (interval.semitones + 12) % 12))
        const carried = transposeHarmony(here, interval)
        expect(sound(carried)).toEqual(sound(there))
      }),
      { numRuns: 150 },
    )
  })

  test('other names for the roots change no pitch class', () => {
    fc.assert(
      fc.property(fc.constantFrom(...texts), fc.infiniteStream(fc.boolean()), (text, flips) => {
        const changes = unrollChart(readChart(text))
        const chords = changes.chords.map((each) => {
          if (!each.root || !flips.next().value) return each
          const fifths = fifthsOf(each.root)
          return { ...each, root: noteAtFifths(fifths + (fifths > 1 ? -12 : 12)) }
        })
        expect(sound(readHarmony({ ...changes, chords }))).toEqual(sound(readHarmony(changes)))
      }),
      { numRuns: 100 },
    )
  })

  test('later choruses are heard as the first', () => {
    for (const text of realCharts.slice(0, 8)) {
      const one = brief(readHarmony(changesOf(text)))
      expect(brief(readHarmony(changesOf(text, undefined, 3)))).toEqual([...one, ...one, ...one])
    }
  })

  test('no key needs more than seven signs, and no scale a double accidental, from any root', () => {
    for (const fifths of Array.from({ length: 21 }, (_, i) => i - 10))
      for (const quality of ['m7', '7', 'maj7', 'm7b5', 'dim7', '7alt', 'm6', '7(b9)']) {
        const root = noteAtFifths(fifths)
        const { chords } = heard(`| ${nameOf(root)}${quality} | ${nameOf(root)}${quality} |`)
        for (const note of chords[0]!.scale!.notes) expect(Math.abs(note.alter)).toBeLessThan(2)
      }
  })
})

function chordsOnly(bars: string): string {
  const text = bars.split('|').map((bar) =>
    bar
      .split(';')
      .map((label) => label.trim().split(' ')[0])
      .join(' '),
  )
  return `| ${text.join(' | ')} |`
}
