/** Exact drills keep their word in every bar: counted notes, counted cells, none twice, joined keys, for every instrument and mode. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Brief, readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { brokenDrill, brokenRules } from '../lineRules.ts'
import { countedApproaches, countedCells, verdicts } from '../solos.ts'

const drill = (given: Readonly<Record<string, string>>): Brief => {
  const { brief, problems } = readBrief({ exact: 'yes', ...given })
  expect(problems).toEqual([])
  return brief
}
const written = (given: Readonly<Record<string, string>>) => {
  const brief = drill(given)
  const { lines, choiceProblems, problems } = writeLines(brief)
  return { brief, lines, refused: [...problems.filter(({ severity }) => severity === 'error'), ...choiceProblems] }
}
/** Two octaves of the scale less one note, up and down, a target a bar. */
const scale = '1 2 3 4 5 6 7 1 | 2 1 7 6 5 4 3 2'
const exercise = {
  plan: scale,
  approach: 'enclosure',
  notes: '4',
  different: 'yes',
  join: 'yes',
  keys: 'chromatic',
}
/** How many approaches there are, as the counts say: of a kind and length, heard so often, none that recordings never hold. */
const qualifying = (kinds: readonly string[], notes: number, heard: number): number =>
  [...countedApproaches].filter(
    ([offsets, { kind, count }]) =>
      kinds.includes(kind) &&
      offsets.split(' ').length === notes &&
      offsets.split(' ').at(-1) !== '0' &&
      count >= heard &&
      verdicts.get(offsets) !== 'dead',
  ).length

describe('the exercise: scale targets, a cell and four enclosing notes a bar, through all keys', () => {
  for (const { id } of instruments)
    for (const mode of ['C', 'Am'])
      test(`${id} from ${mode}`, () => {
        const { brief, lines } = written({ ...exercise, instrument: id, key: mode })
        expect(lines).toHaveLength(12)
        expect(brokenDrill(lines, brief)).toEqual([])
        for (const line of lines) expect(brokenRules(line, brief)).toEqual([])
      })

  test('for alto nothing gives way: sixteen bars, sixteen enclosures that players use, sixteen cells, in every key', () => {
    const { lines } = written({ ...exercise, instrument: 'alto-sax' })
    expect(qualifying(['enclosure'], 4, 1)).toBe(16)
    for (const line of lines) {
      const approaches = line.figures.filter(({ kind }) => kind === 'approach')
      expect(line.relaxed).toEqual([])
      expect(new Set(approaches.map(({ offsets }) => offsets.join(' '))).size).toBe(16)
      expect(approaches.every(({ offsets, count }) => offsets.length === 4 && count > 0)).toBe(true)
      expect(line.figures.filter(({ kind }) => kind === 'cell')).toHaveLength(16)
      expect(line.notes.every(({ ticks, pitch }) => ticks === 12 && pitch !== null)).toBe(true)
    }
    const climbs = lines[0]!.targets.map(({ pitch }) => midiOf(pitch))
    expect(climbs.map((each) => each - climbs[0]!)).toEqual([0, 2, 4, 5, 7, 9, 11, 12, 14, 12, 11, 9, 7, 5, 4, 2])
  })
})

describe('properties over random plans, figures and instruments', () => {
  const degrees = fc.array(fc.constantFrom('1', '2', '3', '4', '5', '6', '7'), { minLength: 2, maxLength: 16 })
  const given = fc.record({
    plan: degrees.map((list) => list.join(' ')),
    notes: fc.constantFrom('1', '2', '3', '4'),
    key: fc.constantFrom('C', 'Eb', 'F#', 'Am', 'C#m'),
    instrument: fc.constantFrom(...instruments.map(({ id }) => id)),
    keys: fc.constantFrom('', 'C,Ab', 'fourths'),
    different: fc.constantFrom('yes', 'no'),
    join: fc.constantFrom('yes', 'no'),
    pickup: fc.constantFrom('yes', 'no'),
    heard: fc.constantFrom('0', '3', '10'),
    approach: fc.constantFrom('enclosure,chromatic', 'enclosure,chromatic,scale,arpeggio', 'chromatic'),
    cells: fc.constantFrom('', '1-2-3-5', '8-7-6-5,1-3-5-7'),
    seed: fc.nat(999).map(String),
  })
  test('whatever is asked for is kept or named', () => {
    fc.assert(
      fc.property(given, (asked) => {
        const { brief, lines, refused } = written(asked)
        expect(refused).toEqual([])
        expect(brokenDrill(lines, brief)).toEqual([])
        for (const line of lines) expect(brokenRules(line, brief)).toEqual([])
      }),
      { numRuns: 120 },
    )
  })

  const figure = fc
    .tuple(fc.array(fc.integer({ min: -4, max: 4 }), { minLength: 0, maxLength: 3 }), fc.constantFrom(-2, -1, 1, 2))
    .map(([before, last]) => [...before, last].join(' '))
  test('exactly these figures, whatever they are', () => {
    fc.assert(
      fc.property(degrees, fc.uniqueArray(figure, { minLength: 1, maxLength: 5 }), (plan, figures) => {
        const { brief, lines, refused } = written({
          plan: plan.join(' '),
          figures: figures.join('; '),
          different: 'yes',
        })
        expect(refused).toEqual([])
        expect(brokenDrill(lines, brief)).toEqual([])
      }),
      { numRuns: 60 },
    )
  })

  const changes = fc.array(fc.constantFrom('Dm7 G7', 'Cmaj7', 'F7', 'Bm7b5 E7', 'Am7', 'Eb7#11', 'N.C.'), {
    minLength: 2,
    maxLength: 12,
  })
  test('over changes, in 4/4 and 3/4, two chords a bar and none', () => {
    fc.assert(
      fc.property(
        changes,
        fc.constantFrom('4/4', '3/4', '5/4'),
        given,
        (bars, meter, { plan: _, key: __, ...asked }) => {
          const { brief, lines, refused } = written({ ...asked, changes: `Time: ${meter}\n| ${bars.join(' | ')} |` })
          expect(refused).toEqual([])
          if (lines[0]!.targets.length === 0) return
          expect(brokenDrill(lines, brief)).toEqual([])
        },
      ),
      { numRuns: 80 },
    )
  })
})

describe('what qualifies is used up before anything comes again', () => {
  for (const [notes, heard] of [
    [2, 1],
    [2, 10],
    [3, 5],
    [3, 20],
    [4, 3],
    [4, 8],
  ] as const)
    test(`${notes} notes, heard ${heard} times`, () => {
      const { lines } = written({ ...exercise, keys: '', notes: `${notes}`, heard: `${heard}` })
      const played = lines[0]!.figures.filter(({ kind }) => kind === 'approach').map(({ offsets }) => offsets.join(' '))
      const there = qualifying(['enclosure'], notes, heard)
      expect(new Set(played).size).toBe(Math.min(16, there))
      expect(lines[0]!.figures.every(({ count }) => count >= heard)).toBe(true)
    })
})

describe('what cannot be had is refused, with what can', () => {
  const rows: readonly (readonly [Readonly<Record<string, string>>, string, RegExp])[] = [
    [{ plan: '1 2 b7' }, 'no-such-degree', /b7 for bar 3.*degree of .*7/],
    [{ plan: '1 2 3', cells: '1-2-3-5,9-9-9' }, 'cell-not-heard', /9-9-9.*1-2-3-4/],
    [{ plan: '1 2 3', notes: '1', approach: 'enclosure' }, 'no-such-approach', /one note.*2, 3, 4/],
    [{ plan: '1 2 3', heard: '5000' }, 'nothing-heard-so-often', /5000/],
    [{ plan: '1 2 3', figures: '2 -1', heard: '500' }, 'figures-not-heard', /2 -1 \(65 times\)/],
    [
      { plan: '1 2 3', figures: '12 9; -12 9 12', instrument: 'bass-voice', low: 'E2', high: 'E3' },
      'figure-out-of-range',
      /12 9.*bar 2.*compass|range/,
    ],
  ]
  for (const [given, code, says] of rows)
    test(`${code}: ${JSON.stringify(given)}`, () => {
      const { lines, refused } = written(given)
      expect(lines).toEqual([])
      expect(refused.map((each) => each.code)).toEqual([code])
      const { found, expected, hint } = refused[0]!
      expect(`${found}; ${expected}; ${hint}`).toMatch(says)
    })

  test('three enclosures asked for over sixteen bars: each bar in which one comes again says so, and what would do', () => {
    const { lines } = written({ plan: scale, figures: '2 -1; 1 -1; -1 2', different: 'yes' })
    const said = lines[0]!.relaxed.filter(({ rule }) => rule === 'different')
    expect(said.map(({ bar }) => bar)).toEqual([5, 6, 7, 8, 9, 10, 11, 12, 13, 14, 15, 16])
    expect(said[0]!.why).toMatch(/all 3 that qualify.*name more figures/)
  })
})

test('the counts that cells carry are those of the table', () => {
  const { lines } = written(exercise)
  for (const { kind, name, count } of lines[0]!.figures)
    if (kind === 'cell') expect(countedCells.get(name)?.count).toBe(count)
})

describe('a line that is no exact drill', () => {
  const changes = '| Dm7 | G7 | Cmaj7 | A7b9 | Dm7 G7 | Em7 A7 | Dm7 | G7 | Cmaj7 | Fmaj7 | Bm7b5 E7 | Am7 |'
  const line = (given: Readonly<Record<string, string>>) => {
    const { brief, problems } = readBrief({ changes, ...given })
    expect(problems).toEqual([])
    const { lines, choiceProblems } = writeLines(brief)
    expect(choiceProblems).toEqual([])
    return { brief, lines }
  }
  const ledBy = (given: Readonly<Record<string, string>>) =>
    line(given).lines[0]!.figures.filter(({ kind }) => kind === 'approach')

  test('takes exactly the figures asked for', () => {
    for (const seed of ['1', '2', '3'])
      for (const rhythm of ['eighths', 'phrased'])
        for (const each of line({ figures: '2 -1; 2 1 -1', seed, rhythm }).lines) {
          const played = each.figures.filter(({ kind }) => kind === 'approach')
          const others = played.filter(({ offsets }) => !['2 -1', '2 1 -1'].includes(offsets.join(' ')))
          const said = each.relaxed.filter(({ rule }) => rule === 'approach-kinds')
          expect(others).toHaveLength(said.length)
          expect(said.length).toBeLessThanOrEqual(6)
        }
  })
  test('holds scale steps by the scale', () => {
    for (const { offsets } of ledBy({ figures: '1d -1' })) expect(['1 -1', '2 -1']).toContain(offsets.join(' '))
  })
  test('takes nothing that is heard less', () => {
    for (const seed of ['1', '2', '3']) {
      const { lines } = line({ heard: '20', seed })
      const gaveWay = new Set(lines[0]!.relaxed.map(({ bar }) => bar))
      for (const { count, bar, kind } of lines[0]!.figures)
        if (kind === 'cell' || !gaveWay.has(bar)) expect(count).toBeGreaterThanOrEqual(20)
    }
  })
  test('takes no approach twice, or says where', () => {
    for (const seed of ['1', '2', '3', '4']) {
      const { lines } = line({ different: 'yes', seed })
      const played = lines[0]!.figures.filter(({ kind }) => kind === 'approach').map(({ offsets }) => offsets.join(' '))
      const said = lines[0]!.relaxed.filter(({ rule }) => rule === 'different').length
      expect(played.length - new Set(played).size).toBe(said)
      expect(said).toBeLessThanOrEqual(2)
    }
  })
  test('joins and picks up as a drill does', () => {
    const { brief, lines } = line({ join: 'yes', pickup: 'yes', keys: 'C,Eb,Gb' })
    lines.forEach((each, l) => {
      const next = lines[(l + 1) % lines.length]!.targets[0]!
      const last = each.figures.findLast(({ target }) => target === each.targets.length)!
      const led = each.notes.slice(-last.offsets.length)
      expect(led.map(({ pitch }) => midiOf(pitch!) - midiOf(next.pitch))).toEqual(last.offsets)
      expect(brokenRules(each, brief).filter((text) => !/targets at/.test(text))).toEqual([])
    })
    expect(lines[0]!.notes[0]!.bar).toBe(0)
  })
})

test('pins at targets stand, and what an exact drill does not keep is named', () => {
  const { lines } = written({
    plan: '1 2 3 4',
    pins: '2.1=+1 -1,3.1=1-2-3-5,2.2=F4,4=C4 D4 E4 F4 G4 A4 B4 C5',
    again: '1-2:7',
    notes: '2',
  })
  const [line] = lines
  const into = line!.figures.find(({ kind, target }) => kind === 'approach' && target === 1)
  const from = line!.figures.find(({ kind, target }) => kind === 'cell' && target === 2)
  expect([into!.offsets, from!.name]).toEqual([[1, -1], '1-2-3-5'])
  expect(line!.relaxed.map(({ rule, bar }) => [rule, bar])).toEqual([
    ['pins', 2],
    ['pins', 4],
    ['again', 1],
  ])
})
