/** What commands refuse, and in what words: the same for every command, whether an option is its own or a choice of the line. */
import { describe, expect, test } from 'vitest'
import { choices, optionOf } from '../../lib/choices/choices.ts'
import { commands, runCommand } from '../../lib/commands/commands.ts'

const abc = 'X:1\nL:1/8\nK:C\n"Dm7"fedc "G7"BAGF|"Cmaj7"EGce g4|\n'
const files: Readonly<Record<string, string>> = {
  '-': '| Dm7 | G7 | Cmaj7 | A7 |\n',
  'line.abc': abc,
  'bad.txt': '| Dm7 | Cmja7 |\n',
  'warned.txt': '| Dm7 | G7alt |\n',
}

async function run(args: readonly string[], port = '0') {
  let [out, err] = ['', '']
  const code = await runCommand(args, {
    read: (file) => {
      if (files[file] === undefined) throw new Error('no such file')
      return new TextEncoder().encode(files[file])
    },
    write: () => {},
    out: (bytes) => {
      out += typeof bytes === 'string' ? bytes : new TextDecoder().decode(bytes)
    },
    err: (text) => {
      err += text
    },
    watched: false,
    port,
    version: () => '',
    serve: async () => {},
  })
  return { code, out, err, said: err.split('\n')[0] }
}

describe('options of a command’s own: exit 2, one line, nothing on standard output', () => {
  const day = 'a day of the calendar; try 2026-11-30'
  const formats: Readonly<Record<string, string>> = {
    chart: 'json, text; try text',
    figures: 'json, text, svg, pdf; try text',
    mark: 'json, text, svg, pdf, musicxml, csv, mei, midi, mxl, abc, png; try text',
    plan: 'json, text, pdf, ics; try text',
  }
  const rows: readonly (readonly [string, string, string, string])[] = [
    ...Object.entries(formats).map(([name, said]) => [name, 'format', 'txet', `one of ${said}`] as const),
    ['figures', 'kind', 'cel', 'one of approach, cell; try cell'],
    ['mark', 'tidy', 'perhaps', 'yes or no; try yes'],
    ['mark', 'rules', '2', 'yes or no; try yes'],
    [
      'mark',
      'find',
      'lick',
      "offsets such as '2 -1', a cell such as 1-2-3-5, or a place with an approach such as 3.1; try --find '2 -1'",
    ],
    ['plan', 'days', '8', 'a whole number from 1 to 7; try 7'],
    ['plan', 'days', '0', 'a whole number from 1 to 7; try 1'],
    ['plan', 'minutes', 'all', 'a whole number from 5 to 120; try 5'],
    ['plan', 'minutes', '121', 'a whole number from 5 to 120; try 120'],
    ['plan', 'weeks', '27', 'a whole number from 1 to 26; try 26'],
    ['plan', 'from', '2026-02-30', day],
    ['plan', 'on', 'monday', day],
    ['plan', 'at', '25:00', 'a time of day; try 17:30'],
    [
      'plan',
      'origin',
      'example.org',
      'where the page is, such as https://lines.example.org; write it out with https://',
    ],
    ['serve', 'port', 'x', 'a whole number from 0 to 65535; try 3000'],
    ['serve', 'port', '70000', 'a whole number from 0 to 65535; try 3000'],
  ]
  test.each(rows)('%s --%s %s', async (command, option, typed, said) => {
    const files = command === 'mark' ? ['line.abc'] : command === 'figures' || command === 'serve' ? [] : ['-']
    for (const args of [[`--${option}`, typed], [`--${option}=${typed}`]]) {
      const ran = await run([command, ...files, ...args])
      expect([ran.code, ran.out, ran.said]).toEqual([
        2,
        '',
        `throughline: found --${option} ${typed}; expected ${said}`,
      ])
    }
  })

  test('a drill, as a word and as an option', async () => {
    const asWord = await run(['drill', 'scale-target'])
    const asOption = await run(['plan', '--drill', 'scale-target'])
    expect([asWord.code, asOption.code]).toEqual([2, 2])
    expect(asWord.said).toMatch(/^throughline: found scale-target; expected one of .*; try scale-targets$/)
    expect(asOption.said).toBe(asWord.said!.replace('found ', 'found --drill '))
  })

  test('every option that can be wrong is tried above', () => {
    const tried = new Set([...rows.map(([command, option]) => `${command} ${option}`), 'plan drill'])
    const picky = commands.flatMap(({ name, options }) =>
      options
        .filter(({ reader }) => !('value' in reader.read('\u0001')))
        .map((option) => `${name} ${option.name}`)
        .filter((each) => !/^(line|drill|guide-tones) format$/.test(each)),
    )
    expect(picky.filter((each) => !tried.has(each))).toEqual([])
    expect(picky.length).toBeGreaterThan(12)
  })

  test.each(commands.flatMap(({ name, options }) => options.map((option) => [name, option] as const)))(
    '%s: an option with nothing after it says what it takes',
    async (name, { name: option, reader }) => {
      const { code, said } = await run([name, `--${option}`])
      expect([code, said]).toEqual([
        2,
        `throughline: found --${option} with nothing after it; expected ${reader.expected}; ${reader.hint}`,
      ])
    },
  )

  test('the port of the environment is said as such', async () => {
    expect((await run(['serve'], 'http')).said).toBe(
      'throughline: found PORT=http; expected a whole number from 0 to 65535; try 3000',
    )
  })
})

describe('choices of the line: exit 1, the same words under the option’s name', () => {
  const rows = [
    ['line', 'tempo', '900', 'a whole number from 40 to 320; try 320'],
    ['plan', 'tempo', '9', 'a whole number from 40 to 320; try 40'],
    ['guide-tones', 'key', 'H', 'a key such as C, Eb, F#m or Bb minor; try C'],
    ['mark', 'paper', 'A5', 'one of A4, Letter; try A4'],
    ['figures', 'notes', '5', 'a whole number from 1 to 4; try 4'],
    ['drill', 'paper', 'A5', 'one of A4, Letter; try A4'],
    ['line', 'pin', '3.1=', expect.stringMatching(/; try /)],
  ] as const
  test.each(rows)('%s --%s %s', async (command, option, typed, said) => {
    const args = { mark: ['line.abc'], figures: [], drill: ['scale-targets'] }[command as string] ?? ['-']
    const { code, out, said: line } = await run([command, ...args, `--${option}`, typed, '--format', 'json'])
    expect(code).toBe(1)
    const [, found, expected] = /^--([\w-]+):1:1: found .*?; expected (.*)$/.exec(line!) ?? []
    expect([found, expected]).toEqual([option, said])
    expect(JSON.parse(out).problems).toMatchObject([{ severity: 'error', line: 1, column: 1, found: typed }])
  })

  test('an error is said under the name that is typed', () => {
    expect(optionOf('pins')).toBe('pin')
    expect(choices.pins.expected.length).toBeGreaterThan(0)
  })
})

describe('mark: what is wrong with the changes stands in its JSON, too', () => {
  test('errors', async () => {
    const { code, out, err } = await run(['mark', 'line.abc', '--changes', 'bad.txt', '--format', 'json'])
    const { lines, problems } = JSON.parse(out)
    expect([code, lines]).toEqual([1, []])
    expect(problems).toMatchObject([{ source: 'bad.txt', severity: 'error', line: 1, column: 9 }])
    expect(err).toMatch(/^bad\.txt:1:9: found /)
  })

  test('warnings', async () => {
    const { code, out, err } = await run(['mark', 'line.abc', '--changes', 'warned.txt', '--format', 'json'])
    const { lines, problems } = JSON.parse(out)
    expect([code, err, lines.length]).toEqual([0, '', 1])
    expect(problems.length).toBeGreaterThan(0)
    for (const each of problems) expect(each).toMatchObject({ source: 'warned.txt', severity: 'warning' })
  })
})
