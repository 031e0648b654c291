/** The records of choices: each says all that there is to say of it, and what it says is so. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { type Brief, checkBrief, choiceNames, choices, defaultBrief, limits, readBrief } from '../../lib/brief.ts'
import { formGroups } from '../../lib/choices/choice.ts'
import { linesJson } from '../../lib/lineJson.ts'
import { writeLines } from '../../lib/lines/write.ts'

describe.each(choiceNames)('%s', (name) => {
  const record = choices[name]
  const { page } = record

  test('is said in words: on the command line, on the page, and what it takes', () => {
    for (const words of [record.help, record.form, record.expected, record.hint, page.label, page.explanation])
      expect(words.trim()).not.toBe('')
    expect(page.explanation).toMatch(/^[A-Z].*\.$/)
    expect(record.help).toMatch(/^(?![A-Z]).*[^.]$/)
  })

  test('has a usual value that is one, and reads back', () => {
    expect(record.holds(record.usual)).toBe(true)
    expect(record.read(record.text(record.usual as never))).toEqual({ value: record.usual })
  })

  test('offers on the page only what can be read', () => {
    // Keys of one's own are typed in a field beside the list.
    const offered = (page.words ?? []).map(([value]) => value).filter((value) => value !== 'list')
    for (const value of offered) expect(record.read(value), value).toHaveProperty('value')
    if (record.options && page.words) expect(new Set(offered.filter((v) => v !== ''))).toEqual(new Set(record.options))
  })

  test('says in print only values that it has, and none that it says alike on the page', () => {
    for (const [value, words] of record.printed ?? []) {
      expect(record.read(value), value).toHaveProperty('value')
      expect(page.words?.find(([each]) => each === value)?.[1]).not.toBe(words)
    }
  })

  test('stands on the page once where its group says', () => {
    const sentence = readFileSync('templates/sentence.hbs', 'utf8').split(
      new RegExp(`\\{\\{> \\w+ controls\\.${name}\\}\\}`),
    )
    expect(sentence.length - 1).toBe(formGroups.includes(page.group) ? 1 : 0)
    if (page.group === 'playing') expect(readFileSync('web/browser/soundPanel.ts', 'utf8')).toContain(`'${name}'`)
  })
})

test('the limits of the tempo are the same for the tempo and where it goes', () => {
  for (const { least, most } of [choices.tempo, choices.goal]) expect([least, most]).toEqual(limits.tempo)
})

test('what hangs on bars and chords of these changes goes with them', () => {
  const going = choiceNames.filter((name) => choices[name].belongs === 'changes')
  expect([...going].sort()).toEqual(['again', 'bars', 'edition', 'kept', 'key', 'pins', 'plan', 'scales', 'title'])
})

describe('approaches by their offsets', () => {
  test.each([
    ['2 -1; 2 1 -1', ['2 -1', '2 1 -1'], '2 -1; 2 1 -1'],
    ['+2 -1', ['2 -1'], '2 -1'],
    ['-12', ['-12'], '-12'],
    ['1  2   3 4', ['1 2 3 4'], '1 2 3 4'],
    ['2 -1,2 1 -1 ;', ['2 -1', '2 1 -1'], '2 -1; 2 1 -1'],
    ['2 -1; 2 -1', ['2 -1'], '2 -1'],
    ['-1 0 2 -1; 1d -1', ['-1 0 2 -1', '1d -1'], '-1 0 2 -1; 1d -1'],
    ['', [], ''],
  ])('%j', (text, lists, written) => {
    expect(choices.figures.read(text)).toEqual({ value: lists })
    expect(choices.figures.text(lists)).toBe(written)
    expect(choices.figures.holds(lists)).toBe(true)
  })

  test.each(['0', '2 -1 0', '-1 0d', '1dd', '13', '-13 1', '1 2 3 4 5', '2.5', 'a', '2 -1; x', '- 1', '2/-1', '1e1'])(
    '%j is refused',
    (text) => {
      expect(choices.figures.read(text)).toMatchObject({ expected: expect.stringMatching(/from -12 to 12/) })
    },
  )

  test('no more than can be meant', () => {
    const many = Array.from({ length: limits.figures + 1 }, (_, i) => `${1 + (i % 12)} ${-1 - Math.floor(i / 12)}`)
    expect(choices.figures.read(many.join(';'))).toMatchObject({ expected: `at most ${limits.figures} approaches` })
    expect(choices.figures.read(many.slice(1).join(';'))).toHaveProperty('value')
  })
})

test.each([
  [
    'again',
    '5-8:2; 9-9:10',
    [
      { from: 5, to: 8, seed: 2 },
      { from: 9, to: 9, seed: 10 },
    ],
    '5-8:2,9-9:10',
  ],
  [
    'scales',
    '2.1=altered, 3.2.5=locrian natural 2',
    [
      { bar: 2, beat: 1, scale: 'altered' },
      { bar: 3, beat: 2.5, scale: 'locrian natural 2' },
    ],
    '2.1=altered,3.2.5=locrian natural 2',
  ],
] as const)('%s are read once, and written as typed', (name, text, entries, written) => {
  expect(choices[name].read(text)).toEqual({ value: entries })
  expect(choices[name].text(entries as never)).toBe(written)
})

describe('a brief that a program made', () => {
  const changes = '| Dm7 | G7 | Cmaj7 |'

  test.each<readonly [keyof Brief, unknown, string, RegExp]>([
    ['instrument', 'kazoo', '"kazoo"', /^one of .*alto-sax/],
    ['instrument', null, 'null', /^one of/],
    ['tempo', '120', '"120"', /^a whole number from 40 to 320$/],
    ['tempo', 20, '20', /from 40 to 320/],
    ['tempo', Number.NaN, 'null', /from 40 to 320/],
    ['notes', 2.5, '2.5', /from 1 to 4/],
    ['land', '3,7', '"3,7"', /^any of 1, 3/],
    ['land', [3, 7], '[3,7]', /^any of 1, 3/],
    ['land', [], '[]', /^any of 1, 3/],
    ['key', 'Eb', '"Eb"', /^a key such as/],
    [
      'key',
      { tonic: { letter: 'H', alter: 0 }, mode: 'major' },
      '{"tonic":{"letter":"H","alter":0},"mode":"major"}',
      /^a key/,
    ],
    [
      'key',
      { tonic: { letter: 'C', alter: 1e9 }, mode: 'major' },
      '{"tonic":{"letter":"C","alter":1000000000},"mode":"major"}',
      /^a key/,
    ],
    ['keys', ['C', 'F'], '["C","F"]', /fourths/],
    ['low', { letter: 'C', alter: 0 }, '{"letter":"C","alter":0}', /^a written pitch/],
    ['bars', [3, 2], '[3,2]', /^bars such as/],
    ['bars', [1], '[1]', /^bars such as/],
    ['textbook', 'yes', '"yes"', /^yes or no$/],
    ['faster', { by: 5 }, '{"by":5}', /beats a minute or per cent/],
    ['changes', undefined, 'nothing', /^text of at most/],
    ['changes', 12, '12', /^text of at most/],
    ['swing', 4, '4', /^a ratio/],
    ['figures', ['0'], '["0"]', /^approaches of one to four/],
    ['pins', '3.1=F4', '"3.1=F4"', /^pins such as/],
    ['low', { letter: 'C', alter: 0, octave: 'x' }, '{"letter":"C","alter":0,"octave":"x"}', /^a written pitch/],
    ['again', ['5-8:2'], '["5-8:2"]', /^bars and a seed/],
    ['again', [{ from: 1, to: 2 }], '[{"from":1,"to":2}]', /^bars and a seed/],
    ['scales', [{ bar: 1, beat: 1, scale: 'blue' }], '[{"bar":1,"beat":1,"scale":"blue"}]', /^BAR\.BEAT=scale/],
    ['parts', ['Bb', 'kazoo'], '["Bb","kazoo"]', /^groups/],
  ])('%s: %j is a problem with the choice, said before anything is written', (name, value, found, expected) => {
    const brief = { ...defaultBrief, changes, [name]: value } as Brief
    const written = writeLines(brief)
    expect(written.lines).toEqual([])
    expect(written.choiceProblems).toEqual(checkBrief(brief))
    expect(written.choiceProblems).toHaveLength(1)
    expect(written.choiceProblems[0]).toMatchObject({ severity: 'error', code: `bad-${name}`, choice: name, found })
    expect(written.choiceProblems[0]!.expected).toMatch(expected)
    expect(linesJson(written).problems).toHaveLength(1)
  })

  test('what is no brief at all is one problem a choice', () => {
    for (const made of [null, undefined, 3, 'brief', []])
      expect(checkBrief(made).map(({ choice }) => choice)).toEqual(choiceNames)
  })

  test('whatever stands in its place, a choice is a problem or a line comes of it', () => {
    const odd = fc.anything({ withBigInt: true, withSparseArray: true, withNullPrototype: true, withDate: true })
    fc.assert(
      fc.property(fc.constantFrom(...choiceNames), odd, (name, value) => {
        const written = writeLines({ ...defaultBrief, changes, [name]: value } as Brief)
        if (choices[name].holds(value)) return
        expect(written.choiceProblems.map(({ choice }) => choice)).toEqual([name])
      }),
    )
  })

  test('every brief that can be read is one', () => {
    const given = fc.dictionary(
      fc.constantFrom(...choiceNames),
      fc.constantFrom(
        '3,7',
        '4',
        'yes',
        'fourths',
        'Eb',
        'D4',
        '5-8',
        '5-8:2',
        'C,F#m',
        'none',
        '2 -1',
        '5%',
        '1.5',
        'all',
      ),
    )
    fc.assert(
      fc.property(given, (texts) => {
        expect(checkBrief(readBrief(texts).brief)).toEqual([])
      }),
    )
  })
})

describe('names that are no choice', () => {
  test.each([
    ['tempoo', 'tempo'],
    ['instrumant', 'instrument'],
    ['constructor', null],
    ['toString', null],
  ])('%s', (name, meant) => {
    const { brief, problems } = readBrief({ [name]: '120' })
    expect(brief).toEqual(defaultBrief)
    expect(problems).toHaveLength(1)
    expect(problems[0]).toMatchObject({ code: 'unknown-choice', found: name, expected: 'the name of a choice' })
    if (meant) expect(problems[0]).toMatchObject({ choice: meant, hint: `did you mean ${meant}?` })
    expect(checkBrief({ ...defaultBrief, [name]: '120' })).toEqual(problems)
  })

  test('but not one that has no value', () => {
    expect(readBrief({ tempoo: undefined }).problems).toEqual([])
  })
})
