/** Whole lines from briefs: the rules that every line keeps, over every key, all qualities, every option and real charts. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { approachKinds, type Brief, defaultBrief, landings } from '../../lib/brief.ts'
import { figureKind } from '../../lib/line/figures.ts'
import { plainPitch } from '../../lib/line/pins.ts'
import { linesJson } from '../../lib/lineJson.ts'
import { keysOf } from '../../lib/lines/keys.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { keyName, keyOrders, nameOfKey, readKey } from '../../lib/theory/key.ts'
import { midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { scaleDegrees } from '../../lib/theory/scale.ts'
import { briefOf } from '../line/drafts.ts'
import { brokenRules } from '../lineRules.ts'
import { realChartTexts } from '../realCharts.ts'

/** Qualities in use, in canonical spelling; each has one meaning. */
const qualities = [
  ...[
    '',
    'm',
    'dim',
    'aug',
    '5',
    'sus4',
    'sus2',
    '6',
    'm6',
    '69',
    'm69',
    'maj7',
    'maj9',
    'maj13',
    'maj7(#11)',
    'maj7(#5)',
  ],
  ...[
    '7',
    '9',
    '13',
    '7(b9)',
    '7(#9)',
    '7(#11)',
    '13(#11)',
    '7(b13)',
    '7(b5)',
    '7(#5)',
    '7alt',
    '7sus4',
    '9sus4',
    '13sus4',
  ],
  ...[
    '7(b9,b13)',
    '13(b9)',
    '7sus4(b9)',
    'm7',
    'm9',
    'm11',
    'm13',
    'm(maj7)',
    'm9(maj7)',
    'm7b5',
    'dim7',
    'add9',
    'm(add9)',
  ],
]
/** Names of the twelve, flats and sharps as charts have them. */
const rootNames = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']

interface Symbol {
  readonly root: number
  readonly quality: string
}
type Tune = readonly (readonly (Symbol | null)[])[]

const symbol = fc.record({ root: fc.nat(11), quality: fc.constantFrom(...qualities) })
const tunes = fc.array(fc.array(fc.option(symbol, { freq: 12 }), { minLength: 1, maxLength: 2 }), {
  minLength: 1,
  maxLength: 10,
})

/** A tune as text, moved up by semitones. */
const textOf = (tune: Tune, up = 0, head = ''): string =>
  `${head}| ${tune
    .map((bar) => bar.map((each) => (each ? rootNames[(each.root + up) % 12]! + each.quality : 'N.C.')).join(' '))
    .join(' | ')} |`

const written = (brief: Brief) => {
  const lines = writeLines(brief)
  expect(lines.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return lines
}

/** Everything a person may choose about the notes, in the words of the command line. */
const choices = fc.record(
  {
    land: fc.subarray([...landings], { minLength: 1 }).map((list) => list.join(',')),
    every: fc.constantFrom('strong', 'bar', 'chord', 'half'),
    on: fc.constantFrom('1', '3', '4&'),
    approach: fc.subarray([...approachKinds], { minLength: 1 }).map((list) => list.join(',')),
    notes: fc.constantFrom('1', '2', '3', '4'),
    textbook: fc.constantFrom('yes', 'no'),
    cells: fc.constantFrom('', '1-2-3-5', '1-2-3-4,8-7-6-5'),
    rhythm: fc.constantFrom('eighths', 'phrased', 'triplets'),
    level: fc.constantFrom('', '1', '2', '3', '4', '5', '6'),
    compass: fc.constantFrom('small', 'comfortable', 'full'),
    instrument: fc.constantFrom(...instruments.map(({ id }) => id)),
    spelling: fc.constantFrom('easy', 'strict'),
    minorDominant: fc.constantFrom('phrygian dominant', 'half-whole diminished', 'altered'),
    halfDiminished: fc.constantFrom('locrian', 'locrian natural 2'),
    sharpNine: fc.constantFrom('half-whole diminished', 'altered'),
    bebop: fc.constantFrom('yes', 'no'),
    choruses: fc.constantFrom('1', '2'),
    keys: fc.constantFrom('', 'C,F#', 'shuffled', 'minor-thirds'),
    each: fc.constantFrom('same', 'fresh'),
    again: fc.constantFrom('', '1-1:9', '1-1:1,1-1:2'),
    seed: fc.nat().map(String),
  },
  { requiredKeys: ['seed'] },
)

const meters = ['4/4', '4/4', '4/4', '3/4', '2/4', '5/4', '6/4', '7/4', '6/8', '12/8', '7/8']

describe('the rules themselves can be broken', () => {
  const brief = briefOf({ changes: '| Dm7 | G7 | Cmaj7 | A7 |', seed: '3' })
  const [line] = writeLines(brief).lines
  type Note = (typeof line & object)['notes'][number]
  const up = (semitones: number) => (note: Note) =>
    note.pitch && { ...note, pitch: plainPitch(midiOf(note.pitch) + semitones) }
  const first = (role: Note['role']) => line!.notes.findIndex((note) => note.role === role)
  const changed = (index: number, change: (note: Note) => Note | null) => ({
    ...line!,
    notes: line!.notes.map((note, i) => (i === index ? (change(note) ?? note) : note)),
  })
  const rows: readonly [string, typeof line, RegExp][] = [
    ['a short note', changed(4, (note) => ({ ...note, ticks: 6 })), /something at/],
    ['a note in another bar', changed(4, (note) => ({ ...note, bar: 2 })), /does not hold/],
    ['an approach moved', changed(first('approach'), up(1)), /plays/],
    ['a target moved', changed(first('target'), up(1)), /does not sound/],
    ['a leap', changed(first('connect'), up(14)), /a leap/],
    ['out of range', changed(first('approach'), up(40)), /outside/],
    ['another degree', changed(first('approach'), (note) => ({ ...note, degree: '##4' })), /is not/],
    ['a target missing', { ...line!, targets: line!.targets.slice(0, -1) }, /expected at/],
    ['another count', { ...line!, figures: line!.figures.map((figure) => ({ ...figure, count: 1_000 })) }, /counted/],
    [
      'one pitch for all',
      { ...line!, notes: line!.notes.map((note) => ({ ...note, pitch: line!.notes[0]!.pitch })) },
      /three times running/,
    ],
  ]
  test.each(rows)('%s', (_, broken, said) => {
    expect(brokenRules(line!, brief)).toEqual([])
    expect(brokenRules(broken!, brief).join('\n')).toMatch(said)
  })

  test('a note that a bebop scale adds, stood on', () => {
    const bebop = briefOf({ changes: '| Cmaj7 | Cmaj7 |', bebop: 'yes', seed: '3' })
    const [whole] = writeLines(bebop).lines
    const on = whole!.notes.findIndex(({ role }, i) => i % 2 === 0 && (role === 'connect' || role === 'cell'))
    const stood = whole!.notes.map((note, i) => (i === on ? { ...note, pitch: plainPitch(68) } : note))
    expect(brokenRules(whole!, bebop)).toEqual([])
    expect(brokenRules({ ...whole!, notes: stood }, bebop).join('\n')).toMatch(/does not pass/)
  })

  // What a motif is drawn around kept notes of an approach that led elsewhere then: 18 of 4,950 lines.
  test.each([
    ['| C | C | C | C13(#11) | F |', 'trombone', ['183', '204', '19', '293']],
    ['| Dm7 | G7 | Cmaj7 | A7 |', 'alto-sax', ['1', '8', '15', '22']],
    ['| F6 | Bb7 | F6 | Cm7 F7 | Bb6 | Bdim7 | F6 D7 | Gm7 C7 |', 'trombone', ['99', '1', '8', '15']],
  ])('and in phrases over %s none is left by a leap', (changes, instrument, seeds) => {
    for (const seed of seeds) {
      const brief = briefOf({ changes, instrument, bebop: 'yes', rhythm: 'phrased', tempo: '180', seed })
      expect(writeLines(brief).lines.flatMap((line) => brokenRules(line, brief))).toEqual([])
    }
  })

  test('choices that were not asked for', () => {
    expect(brokenRules(line!, { ...brief, land: ['1'] }).join('\n')).toMatch(/allowed/)
    expect(brokenRules(line!, { ...brief, every: 'half' }).join('\n')).toMatch(/expected at/)
    expect(brokenRules(line!, { ...brief, notes: 1 }).join('\n')).toMatch(/more than 1 notes/)
    expect(brokenRules(line!, { ...brief, approach: ['arpeggio'] }).join('\n')).toMatch(/a (enclosure|chromatic)/)
    expect(brokenRules(line!, { ...brief, high: plainPitch(72) }).join('\n')).toMatch(/outside/)
  })
})

describe('every line keeps the rules', () => {
  test('whatever the tune, the meter and the choices', () => {
    let lines = 0
    let targets = 0
    fc.assert(
      fc.property(tunes, fc.constantFrom(...meters), choices, (tune, meter, given) => {
        const brief = briefOf({ ...given, changes: textOf(tune, 0, `Time: ${meter}\n`) })
        const result = written(brief)
        expect(result.choiceProblems).toEqual([])
        for (const line of result.lines) {
          expect(brokenRules(line, brief)).toEqual([])
          lines += 1
          targets += line.targets.length
        }
      }),
      { seed: 21, numRuns: 100 },
    )
    expect(lines).toBeGreaterThan(150)
    expect(targets).toBeGreaterThan(1_000)
  })

  test.each(qualities)('on C%s, in every key, as a tune of that one chord', (quality) => {
    for (let root = 0; root < 12; root++) {
      const brief = briefOf({ changes: textOf([[{ root, quality }], [{ root, quality }], [{ root, quality }]]) })
      const [line] = written(brief).lines
      expect(brokenRules(line!, brief)).toEqual([])
      expect(line!.targets.length).toBe(3)
    }
  })
})

describe('transposing the chart and the range transposes the line', () => {
  test('targets, notes, roles, degrees and figures, by every interval', () => {
    fc.assert(
      fc.property(tunes, fc.integer({ min: 1, max: 11 }), fc.nat(11), choices, (tune, up, key, given) => {
        const { level, keys, compass, choruses, ...rest } = given
        const inKey = (semitones: number) => {
          const low = 55 + semitones
          return briefOf({
            ...rest,
            changes: textOf(tune, semitones, `Key: ${rootNames[(key + semitones) % 12]}\n`),
            instrument: 'flute',
            low: nameOf(plainPitch(low)),
            high: nameOf(plainPitch(low + 22)),
          })
        }
        const [here, there] = [written(inKey(0)), written(inKey(up))]
        expect(there.lines.length).toBe(1)
        const [first, second] = [here.lines[0]!, there.lines[0]!]
        const moved = (pitch: Parameters<typeof midiOf>[0] | null, by: number) => pitch && midiOf(pitch) + by
        expect(second.targets.map((t) => [t.start, moved(t.pitch, 0), t.degree, t.chord])).toEqual(
          first.targets.map((t) => [t.start, moved(t.pitch, up), t.degree, t.chord]),
        )
        expect(second.notes.map((n) => [n.start, n.ticks, moved(n.pitch, 0), n.role, n.figure])).toEqual(
          first.notes.map((n) => [n.start, n.ticks, moved(n.pitch, up), n.role, n.figure]),
        )
        expect(second.figures).toEqual(first.figures)
      }),
      { seed: 22, numRuns: 60 },
    )
  })

  test('carried to a key, the line is the same but for octaves, letter names aside', () => {
    const brief = briefOf({ changes: realChartTexts()[1]!, instrument: 'flute', keys: 'chromatic' })
    const { lines } = written(brief)
    const home = lines[0]!
    // Where a target is put into another octave, the notes after it may become a cell or cease to be one.
    const placeOf = ({ role }: { readonly role: string }) => (role === 'connect' ? 'cell' : role)
    lines.forEach((line, up) => {
      line.notes.forEach((note, i) => {
        const own = home.notes[i]!
        expect([note.start, note.ticks, placeOf(note)]).toEqual([own.start, own.ticks, placeOf(own)])
        if (note.pitch) expect((midiOf(note.pitch) - midiOf(own.pitch!) - up + 240) % 12).toBe(0)
      })
      expect(line.figures.filter(({ kind }) => kind === 'approach')).toEqual(
        home.figures
          .filter(({ kind }) => kind === 'approach')
          .map((figure) => ({ ...figure, target: expect.any(Number) })),
      )
    })
  })
})

describe('real charts', () => {
  // First choruses of 24 recordings, chords only; source and licence stand in test/data/real-changes.txt.
  test.each(['alto-sax', 'trombone', 'flute'])(
    'give lines in all twelve keys for %s that keep every rule',
    (instrument) => {
      let lines = 0
      realChartTexts().forEach((changes, i) => {
        const brief = briefOf({ changes, instrument, keys: 'chromatic', seed: String(i + 1) })
        const result = written(brief)
        expect(result.choiceProblems).toEqual([])
        for (const line of result.lines)
          expect(brokenRules(line, brief), `chart ${i + 1} in ${keyName(line.key)}`).toEqual([])
        lines += result.lines.length
        expect(new Set(result.lines.map(({ key }) => keyName(key))).size).toBe(12)
      })
      expect(lines).toBe(24 * 12)
    },
  )
})

test.each(['72', '180'])('solos in phrases at %s over real charts keep every rule', (tempo) => {
  realChartTexts().forEach((changes, i) => {
    const approach = approachKinds.join()
    const brief = briefOf({ changes, tempo, rhythm: 'phrased', approach, seed: String(i + 1) })
    for (const line of written(brief).lines) expect(brokenRules(line, brief), `chart ${i + 1}`).toEqual([])
  })
})

describe('the same brief gives the same bytes', () => {
  test('whatever it chooses', () => {
    fc.assert(
      fc.property(tunes, choices, (tune, given) => {
        const brief = briefOf({ ...given, changes: textOf(tune) })
        const bytes = JSON.stringify(linesJson(writeLines(brief)))
        expect(JSON.stringify(linesJson(writeLines(briefOf({ ...given, changes: textOf(tune) }))))).toBe(bytes)
      }),
      { seed: 23, numRuns: 40 },
    )
  })

  test('another seed gives another line', () => {
    const lines = [1, 2, 3, 4, 5, 6, 7, 8].map((seed) =>
      JSON.stringify(written(briefOf({ changes: realChartTexts()[1]!, seed: String(seed) })).lines[0]!.notes),
    )
    expect(new Set(lines).size).toBe(8)
  })
})

describe('any text gives a result', () => {
  const sign = fc.constantFrom(
    ...'|:%/[](){}.,;x123456789#b♭♯Δø°-+ \n\t\r ABCDEFGHNZmMajdiusltv&"'.split(''),
    'N.C.',
    '|:',
    ':|',
    'D.S. al Coda',
    'Key: ',
    'Time: ',
    '7/8',
    '%%',
    'maj7',
    '\u2028',
    '𝄎',
    '\0',
    '<b>',
    'x99',
  )
  const text = fc.oneof(
    { weight: 3, arbitrary: fc.array(sign, { maxLength: 80 }).map((signs) => signs.join('')) },
    { weight: 1, arbitrary: fc.string({ unit: 'binary', maxLength: 200 }) },
    {
      weight: 1,
      arbitrary: fc
        .tuple(tunes, fc.array(sign, { maxLength: 6 }))
        .map(([tune, noise]) => `${textOf(tune)}${noise.join('')}`),
    },
  )

  test('lines that keep the rules, or errors that say where, what and what to try', () => {
    const outcomes = { lines: 0, errors: 0 }
    fc.assert(
      fc.property(text, (changes) => {
        const result = writeLines({ ...defaultBrief, changes })
        const json = JSON.parse(JSON.stringify(linesJson(result)))
        const errors = result.problems.filter(({ severity }) => severity === 'error')
        if (result.lines.length > 0) {
          outcomes.lines += 1
          for (const line of result.lines) expect(brokenRules(line, result.brief)).toEqual([])
          expect(errors).toEqual([])
        } else {
          outcomes.errors += 1
          expect(errors.length + result.choiceProblems.length).toBeGreaterThan(0)
        }
        for (const { span, found, expected, hint } of result.problems) {
          expect(span.start).toBeGreaterThanOrEqual(0)
          expect(span.end).toBeLessThanOrEqual(changes.length)
          expect(span.end).toBeGreaterThanOrEqual(span.start)
          expect([found, expected, hint].every((part) => part.trim() !== '')).toBe(true)
        }
        for (const { line, column, endColumn } of json.problems) {
          expect(line).toBeGreaterThanOrEqual(1)
          expect(column).toBeGreaterThanOrEqual(1)
          expect(endColumn).toBeGreaterThanOrEqual(column)
        }
      }),
      { seed: 24, numRuns: 300 },
    )
    expect(outcomes.lines).toBeGreaterThan(10)
    expect(outcomes.errors).toBeGreaterThan(50)
  })

  test('in any other choice, likewise', () => {
    fc.assert(
      fc.property(fc.string({ unit: 'binary', maxLength: 60 }), (noise) => {
        for (const odd of [{ plan: noise }, { pins: [noise] }, { pins: [`1.1=${noise}`] }]) {
          const result = writeLines({ ...defaultBrief, changes: '| Dm7 | G7 |', ...odd })
          expect(result.lines.length > 0 || result.choiceProblems.length > 0).toBe(true)
        }
      }),
      { seed: 25 },
    )
  })
})

describe('choices', () => {
  const changes = '| Dm7 | G7 | Cmaj7 | A7 |'

  test.each(Object.keys(keyOrders))('keys in the order %s', (order) => {
    const { lines } = written(briefOf({ changes, keys: order }))
    expect(lines.map(({ key }) => keyName(key))).toEqual(
      keysOf({ keys: order as never, seed: 1 }, readKey('C')!).map(keyName),
    )
    expect(lines.length).toBe(12)
  })

  test('keys of a list, a shuffle of all twelve by the seed, one key', () => {
    const names = (given: Record<string, string>) =>
      written(briefOf({ changes, ...given })).lines.map(({ key }) => nameOfKey(key))
    expect(names({ keys: 'C,F,Bb' })).toEqual(['C', 'F', 'Bb'])
    expect(names({ key: 'Gb' })).toEqual(['Gb'])
    expect(names({ key: 'F#' })).toEqual(['F#'])
    const shuffled = names({ keys: 'shuffled', seed: '5' })
    expect(new Set(shuffled).size).toBe(12)
    expect(names({ keys: 'shuffled', seed: '5' })).toEqual(shuffled)
    expect(names({ keys: 'shuffled', seed: '6' })).not.toEqual(shuffled)
  })

  test('a fresh line in each key is another line', () => {
    const { lines } = written(briefOf({ changes, keys: 'C,D,E,F', each: 'fresh' }))
    const shapes = lines.map(({ notes }) =>
      notes.map(({ pitch }, i) => pitch && notes[i - 1]?.pitch && midiOf(pitch) - midiOf(notes[i - 1]!.pitch!)).join(),
    )
    expect(new Set(shapes).size).toBe(4)
  })

  test('a pin moves with the key', () => {
    for (const each of ['same', 'fresh']) {
      const { lines } = written(briefOf({ changes, keys: 'C,D,Bb,F#', each, pins: '2.1=B4', instrument: 'flute' }))
      const landing = lines.map(({ targets }) => [targets[1]!.degree, midiOf(targets[1]!.pitch) % 12])
      expect(landing).toEqual([
        ['3', 11],
        ['3', 1],
        ['3', 9],
        ['3', 5],
      ])
    }
  })

  // Common practice: over a chord with a seventh extensions count on from the octave, over others they do not.
  test.each([
    ['G7', 'A4', '9'],
    ['G7', 'E5', '13'],
    ['G7', 'B4', '3'],
    ['Cmaj7', 'F5', '11'],
    ['Gm7', 'C5', '11'],
    ['C6', 'A4', '6'],
    ['C', 'D5', '2'],
    ['G7sus4', 'C5', '4'],
  ])('a note pinned on %s: %s is landed on as its %s', (symbol, pin, degree) => {
    expect(landedOn(symbol, pin).degree).toBe(degree)
  })

  // Spelled by where it goes on (Ligon 1996): up as a sharp eleventh, C#, down as a flat fifth, Db.
  test('a tritone pinned on G7 is landed on as a #11 or as a b5, as it is spelled', () => {
    const found = Array.from({ length: 12 }, (_, seed) => landedOn('G7', 'C#5', seed + 1))
    expect(new Set(found.map(({ degree, pitch }) => `${degree} ${nameOf(pitch)}`))).toEqual(
      new Set(['#11 C#5', 'b5 Db5']),
    )
  })

  function landedOn(symbol: string, pin: string, seed = 1) {
    const changes = `| Dm7 | ${symbol} |`
    const given = { changes, every: 'bar', pins: `2.1=${pin}`, instrument: 'flute', seed: String(seed) }
    return written(briefOf(given)).lines[0]!.targets[1]!
  }

  test('each level keeps to what it says', () => {
    for (let level = 1; level <= 6; level++) {
      const brief = briefOf({ changes: realChartTexts()[1]!, level: String(level) })
      const [line] = written(brief).lines
      expect(brokenRules(line!, brief)).toEqual([])
      const midis = line!.notes.flatMap(({ pitch }) => (pitch ? [midiOf(pitch)] : []))
      if (level <= 2) expect(Math.max(...midis) - Math.min(...midis)).toBeLessThanOrEqual(16)
      const approaches = line!.figures.filter(({ kind }) => kind === 'approach')
      const most = [1, 2, 2, 2, 3, 4][level - 1]!
      expect(Math.max(...approaches.map(({ offsets }) => offsets.length))).toBe(most)
      if (level === 1) expect(approaches.some(({ offsets }) => figureKind(offsets) === 'enclosure')).toBe(false)
      else expect(approaches.some(({ offsets }) => figureKind(offsets) === 'enclosure')).toBe(true)
    }
  })

  test('a scale chosen for one chord is the one that its line takes', () => {
    for (const scale of ['altered', 'whole tone', 'lydian dominant'] as const) {
      const brief = briefOf({ changes, scales: `2.1=${scale}` })
      const [line] = written(brief).lines
      expect(line!.harmony.chords[1]!.scale!.degrees).toEqual(scaleDegrees[scale])
      expect(brokenRules(line!, brief)).toEqual([])
    }
  })

  test('bars asked for are the bars to write out, the line itself whole', () => {
    const whole = written(briefOf({ changes })).lines[0]!
    const part = written(briefOf({ changes, bars: '2-3' })).lines[0]!
    expect(part).toEqual({ ...whole, bars: [2, 3] })
  })
})

describe('enclosures, as books spell them', () => {
  // Source: Ligon, Connecting Chords with Linear Harmony (1996): upper neighbour diatonic, lower chromatic. The target over C7 in
  // F major and in F minor as a degree; the enclosure in semitones; the letters it must have.
  test.each([
    ['F', 'F', '1', '+2 -1', 'D B C'],
    ['F', 'F', '3', '+1 -1', 'F D# E'],
    ['F', 'F', '5', '+2 -1', 'A F# G'],
    ['Fm', 'Fm', '1', '+1 -1', 'Db B C'],
    ['Fm', 'Fm', '3', '+1 -1', 'F D# E'],
    ['Fm', 'Fm', '5', '+1 -1', 'Ab F# G'],
  ])('in %s, into the %s', (key, tonic, degree, offsets, letters) => {
    const brief = briefOf({
      changes: `Key: ${key}\n| ${tonic} | C7 | ${tonic} |`,
      instrument: 'flute',
      plan: `. ${degree} .`,
      pins: `2.1=${offsets}`,
    })
    const { lines, choiceProblems } = written(brief)
    expect(choiceProblems).toEqual([])
    const figure = lines[0]!.figures.findIndex(({ kind, target }) => kind === 'approach' && target === 1)
    const notes = [
      ...lines[0]!.notes.filter((note) => note.figure === figure && note.role === 'approach'),
      lines[0]!.targets[1]!,
    ]
    expect(notes.map(({ pitch }) => nameOf(pitch!).replace(/\d/, '')).join(' ')).toBe(letters)
  })

  test('two chromatic notes on each side of E flat over Cm7', () => {
    const brief = briefOf({
      changes: 'Key: Bb\n| F7 | Cm7 | F7 |',
      instrument: 'flute',
      plan: '. 3 .',
      pins: '2.1=-2 -1 +2 +1',
    })
    const [line] = written(brief).lines
    const notes = line!.notes.filter(({ start }) => start >= 48 && start <= 96)
    expect(notes.map(({ pitch }) => nameOf(pitch!).replace(/\d/, '')).join(' ')).toBe('C# D F E Eb')
  })
})

describe('what cannot be written is refused', () => {
  const changes = '| Dm7 | G7 | Cmaj7 |'
  const bars = (count: number) => `| ${Array(count).fill('C7').join(' | ')} |`
  const rows: readonly [string, Readonly<Record<string, string>>, string, keyof Brief | 'chart'][] = [
    ['no changes', { changes: '' }, '', 'chart'],
    ['no chords', { changes: 'hello there' }, '', 'chart'],
    ['an unknown chord', { changes: '| Cmja7 |' }, '', 'chart'],
    ['a range smaller than the guide tones need', { changes, low: 'C5', high: 'G5' }, 'range-too-small', 'low'],
    ['a range upside down', { changes, low: 'C6', high: 'C5' }, 'range-too-small', 'low'],
    ['only a high note, and it is below the low', { changes, high: 'C4' }, 'range-too-small', 'high'],
    ['bars that are not there', { changes, bars: '2-4' }, 'no-such-bars', 'bars'],
    ['new notes for bars that are not there', { changes, again: '2-4:1' }, 'no-such-bars', 'again'],
    ['new notes for bars that go backwards', { changes, again: '1-2:3,3-2:1' }, 'no-such-bars', 'again'],
    [
      'new notes for more bars than eight of the longest lines have',
      { changes: bars(2_000), again: Array.from({ length: 9 }, (_, n) => `1-2000:${n}`).join(',') },
      'too-much-again',
      'again',
    ],
    [
      'new notes for as many in fresh lines of twelve keys',
      {
        changes: bars(200),
        again: Array.from({ length: 8 }, (_, n) => `1-200:${n}`).join(','),
        keys: 'fourths',
        each: 'fresh',
      },
      'too-much-again',
      'again',
    ],
    [
      'an exact drill drawn afresh in twelve keys for more bars than three of the longest lines have',
      { changes: bars(513), exact: 'yes', keys: 'fourths', each: 'fresh' },
      'too-long-a-drill',
      'each',
    ],
    ['a scale on a chord that is not there', { changes, scales: '9.1=altered' }, '', 'scales'],
    ['pins that contradict', { changes, pins: '2.1=B4,2.1=F4' }, 'bad-pin', 'pins'],
    ['pins too far apart to join', { changes, pins: '1.4=Db3,1.4.5=F5' }, 'pins-contradict', 'pins'],
    ['a plan with a degree that the chord has not', { changes, plan: '3 b9' }, 'no-such-degree', 'plan'],
    ['a plan that is none', { changes, plan: '3 maj' }, 'bad-plan', 'plan'],
    ['too many bars', { changes: bars(2_049) }, 'too-many-bars', 'changes'],
    ['too many choruses', { changes: bars(40), choruses: '64' }, 'too-many-bars', 'choruses'],
  ]
  test.each(rows)('%s', (_, given, code, choice) => {
    const result = writeLines(briefOf(given))
    expect(result.lines).toEqual([])
    const said = choice === 'chart' ? result.problems : result.choiceProblems
    const errors = said.filter(({ severity }) => severity === 'error')
    expect(errors.length).toBeGreaterThan(0)
    if (code !== '') expect(errors[0]!.code).toBe(code)
    if (choice !== 'chart') expect(result.choiceProblems[0]!.choice).toBe(choice)
    for (const { found, expected, hint } of errors)
      expect([found, expected, hint].every((part) => part !== '')).toBe(true)
  })

  test('2,048 bars are not too many', () => {
    const { lines } = written(briefOf({ changes: bars(2_048), every: 'bar' }))
    expect(lines[0]!.targets.length).toBe(2_048)
  })
})
