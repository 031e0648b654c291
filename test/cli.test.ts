/** The command line as other programs run it: built, with files and standard input; exit codes, output, messages, what is loaded. */
import { spawn } from 'node:child_process'
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { choiceNames, choices } from '../lib/brief.ts'
import { commands } from '../lib/commands/commands.ts'
import { exports } from '../lib/exports.ts'
import { buildPage } from '../web/buildPage.ts'

const root = process.cwd()
/** Built into a folder of its own, where packages are found, so that no test meets a stale build. */
let folder = ''
let cli = ''
/** Where the commands run. */
let here = ''

const start = (command: string, args: readonly string[], env: Readonly<Record<string, string>> = {}, cwd = here) =>
  spawn(command, args, { cwd, env: { ...process.env, ...env } })

interface Ran {
  readonly code: number | null
  readonly out: string
  readonly bytes: Buffer
  readonly err: string
}

const finish = (child: ReturnType<typeof start>): Promise<Ran> =>
  new Promise((resolve) => {
    const out: Buffer[] = []
    const err: Buffer[] = []
    child.stdout.on('data', (data: Buffer) => out.push(data))
    child.stderr.on('data', (data: Buffer) => err.push(data))
    child.on('close', (code) => {
      const bytes = Buffer.concat(out)
      resolve({ code, bytes, out: bytes.toString('utf8'), err: Buffer.concat(err).toString('utf8') })
    })
  })

/** Runs the command with a text on standard input. */
function run(args: readonly string[], input = '', env: Readonly<Record<string, string>> = {}): Promise<Ran> {
  const child = start(process.execPath, [cli, ...args], env)
  child.stdin.on('error', () => {})
  child.stdin.end(input)
  return finish(child)
}

beforeAll(async () => {
  folder = mkdtempSync(join(root, 'node_modules', '.throughline-cli-'))
  here = join(folder, 'work')
  mkdirSync(here)
  for (const shared of ['templates', 'package.json']) symlinkSync(join(root, shared), join(folder, shared))
  cli = join(folder, 'dist', 'lib', 'cli.js')
  const tsc = join(root, 'node_modules', 'typescript', 'bin', 'tsc')
  const built = await finish(
    start(process.execPath, [tsc, '-p', 'tsconfig.build.json', '--outDir', join(folder, 'dist')], {}, root),
  )
  expect(existsSync(cli), built.out).toBe(true)
  await buildPage(join(root, 'web', 'browser'), join(folder, 'dist', 'web', 'browser'))
}, 120_000)

afterAll(() => rmSync(folder, { recursive: true, force: true }))

const tune = '| Dm7 | G7 | Cmaj7 | A7 |\n'
const bars = (count: number) => `| ${Array(count).fill('C7').join(' | ')} |`
const write = (name: string, text: string) => writeFileSync(join(here, name), text)
const read = (name: string) => readFileSync(join(here, name))
/** `name:line:column: found …; expected …; hint`, one a line. */
const message = /^[^:\n]+:\d+:\d+: found .+; expected .+; .+$/

describe('chart', () => {
  test('prints the chart as JSON, to the letter', async () => {
    const { code, out, err } = await run(['chart', '-', '--format', 'json'], 'Key: Eb\n[A]\n|: Fm7/Bb | % :| N.C. |\n')
    expect([code, err]).toEqual([0, ''])
    const chord = { symbol: 'Fm7/Bb', root: 'F', pitchClasses: [0, 3, 7, 10], bass: 'Bb', beats: 4 }
    const bar = { section: 'A', meter: '4/4', ending: null, repeatStart: false, repeatEnd: false }
    expect(JSON.parse(out)).toMatchObject({
      title: null,
      key: 'Eb major',
      meter: '4/4',
      bars: [
        { ...bar, index: 0, repeatStart: true, chords: [chord] },
        { ...bar, index: 1, repeatEnd: true, chords: [chord] },
        { ...bar, index: 2, chords: [{ symbol: 'N.C.', root: null, pitchClasses: [], bass: null, beats: 4 }] },
      ],
      playOrder: [0, 1, 0, 1, 2],
      problems: [],
    })
  })

  test('JSON is the format where none is asked for, standard input the file', async () => {
    const [named, bare] = await Promise.all([run(['chart', '-', '--format', 'json'], tune), run(['chart'], tune)])
    expect(bare).toEqual(named)
    expect(JSON.parse(bare.out).key).toBeNull()
  })

  test('reads a file, and says errors by its name, line and column', async () => {
    write('tune.txt', '| Dm7 |\n| Cmja7 | G7 |\n')
    const { code, out, err } = await run(['chart', 'tune.txt'])
    expect(code).toBe(1)
    expect(err.trim().split('\n').length).toBe(1)
    expect(err).toMatch(/^tune\.txt:2:\d+: found .*ja7.*; expected .+; .*Cmaj7.*\n$/)
    const [problem] = JSON.parse(out).problems
    expect(problem).toMatchObject({ severity: 'error', code: 'unknown-quality', line: 2, hint: 'Cmaj7' })
    const [, line, column] = err.split(':')
    expect([problem.line, problem.column]).toEqual([Number(line), Number(column)])
  })

  test('warnings are in the JSON, not on standard error', async () => {
    const { code, out, err } = await run(['chart'], '| C7alt |')
    expect([code, err]).toEqual([0, ''])
    expect(JSON.parse(out).problems.map(({ severity }: { severity: string }) => severity)).toContain('warning')
  })

  test('warnings that no JSON holds stand on standard error, and controls are shown, not obeyed', async () => {
    const { code, err } = await run(['chart', '--format', 'text'], '| C7alt |')
    expect(code).toBe(0)
    expect(err).toMatch(/^stdin:1:3: warning: found C7alt; expected .*\n$/)
    const odd = await run(['chart', '--format', 'text'], '| Dm7 \u001b[2J\u0007X |')
    // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
    expect(odd.err).not.toMatch(/[\x00-\x09\x0b-\x1f]/)
    expect(odd.err).toContain('␛')
  })

  test('never writes over what it reads', async () => {
    writeFileSync(join(here, 'own.txt'), '| Dm7 | G7 |')
    const { code, err } = await run(['chart', 'own.txt', '--format', 'text', '-o', 'own.txt'])
    expect([code, err]).toEqual([2, expect.stringContaining('own.txt, which is being read')])
    expect(readFileSync(join(here, 'own.txt'), 'utf8')).toBe('| Dm7 | G7 |')
  })

  test('chords over words: bars that cannot be known are said so', async () => {
    const { code, out } = await run(['chart'], 'Dm7     G7\nOne note and then two\nCmaj7   A7\nAnd then no more\n')
    expect(code).toBe(0)
    const json = JSON.parse(out)
    expect(json.barsKnown).toBe(false)
    expect(json.bars.length).toBe(4)
  })

  test('as text', async () => {
    const { code, out } = await run(['chart', '--format', 'text'], tune)
    expect(code).toBe(0)
    expect(out).toMatch(/^4\/4\n1 {2,}Dm7 \(4\)\n2 {2,}G7 \(4\)\n/)
    expect(out).toContain('played: 1 2 3 4')
  })
})

describe('line', () => {
  test('prints the line as JSON, the brief with its defaults', async () => {
    const { code, out, err } = await run(['line', '-', '--seed', '7', '--instrument', 'trombone'], tune)
    expect([code, err]).toEqual([0, ''])
    const json = JSON.parse(out)
    expect(Object.keys(json).sort()).toEqual(['brief', 'lines', 'problems', 'relaxed'])
    expect(json.brief).toMatchObject({ seed: 7, instrument: 'trombone', notes: 4, every: 'strong' })
    expect(json.lines.length).toBe(1)
    expect(json.lines[0]).toMatchObject({ key: 'C major', instrument: 'trombone', meter: '4/4' })
    expect(json.lines[0].targets.length).toBe(4)
  })

  test('the same words give the same bytes, from a file as from standard input', async () => {
    write('same.txt', tune)
    const [first, second, piped] = await Promise.all([
      run(['line', 'same.txt']),
      run(['line', 'same.txt']),
      run(['line', '-'], tune),
    ])
    expect(second.out).toBe(first.out)
    expect(piped.out).toBe(first.out)
  })

  test('options of the contract, each in force', async () => {
    const { code, out, err } = await run(
      [
        ...[
          'line',
          '-',
          '--key',
          'Eb',
          '--land',
          '3',
          '--every',
          'half',
          '--approach',
          'chromatic,scale',
          '--notes',
          '2',
        ],
        ...['--low', 'D4', '--high=A5', '--seed', '3', '--bars', '2-3', '--instrument', 'flute'],
      ],
      tune,
    )
    expect([code, err]).toEqual([0, ''])
    const [line] = JSON.parse(out).lines
    expect(line.key).toBe('Eb major')
    expect(new Set(line.targets.map(({ degree }: { degree: string }) => degree.replace(/^b/, '')))).toEqual(
      new Set(['3']),
    )
    expect(new Set(line.notes.map(({ bar }: { bar: number }) => bar))).toEqual(new Set([2, 3]))
    for (const { midi } of line.notes) if (midi !== null) expect(midi >= 62 && midi <= 81).toBe(true)
    for (const { kind, offsets } of line.figures) if (kind === 'approach') expect(offsets.length).toBeLessThanOrEqual(2)
  })

  test('several keys, a list or an order', async () => {
    const [list, order] = await Promise.all([
      run(['line', '-', '--keys', 'C,F,Bb'], tune),
      run(['line', '-', '--keys', 'fourths'], tune),
    ])
    const keys = ({ out }: Ran) => JSON.parse(out).lines.map(({ key }: { key: string }) => key.replace(' major', ''))
    expect(keys(list)).toEqual(['C', 'F', 'Bb'])
    expect(keys(order)).toEqual('C F Bb Eb Ab Db Gb B E A D G'.split(' '))
  })

  test('pins gather, and stay', async () => {
    const { code, out } = await run(['line', '-', '--pin', '1.1=F4', '--pin', '2.1=B3', '--seed', '9'], tune)
    expect(code).toBe(0)
    const json = JSON.parse(out)
    expect(json.brief.pins).toEqual(['1.1=F4', '2.1=B3'])
    expect(json.lines[0].targets.slice(0, 2).map(({ pitch }: { pitch: string }) => pitch)).toEqual(['F4', 'B3'])
  })

  test('approaches by their offsets gather, and a file of one’s own is read', async () => {
    write('own.csv', 'kind,class,offsets,degree,quality,count\n')
    const given = ['--figures', '2 -1', '--figures=-1 1', '--own', 'own.csv']
    const { code, out, err } = await run(['line', '-', ...given], tune)
    expect([code, err]).toEqual([0, ''])
    const { brief } = JSON.parse(out)
    expect(brief.figures).toEqual(['2 -1', '-1 1'])
    expect(brief.own).toBe('kind,class,offsets,degree,quality,count')
  })

  test.each([
    ['text', /^C major concert, Alto saxophone, written\n1 {2,}Bm7 {2,}/],
    ['mei', /^<\?xml[\s\S]*<mei /],
    ['musicxml', /<score-partwise/],
    ['svg', /<svg /],
    ['abc', /^(%abc|X:)/],
  ])('as %s on standard output', async (format, expected) => {
    const { code, out, err } = await run(['line', '-', '--format', format], tune)
    expect([code, err]).toEqual([0, ''])
    expect(out).toMatch(expected)
  })

  test.each([
    ['midi', 'MThd'],
    ['mxl', 'PK'],
    ['pdf', '%PDF'],
  ])('as %s, the bytes of its kind', async (format, expected) => {
    const { code, bytes, err } = await run(['line', '-', '--format', format], tune)
    expect([code, err]).toEqual([0, ''])
    expect(bytes.subarray(0, expected.length).toString('latin1')).toBe(expected)
  })

  test('-o takes the format from the ending, and prints nothing', async () => {
    for (const [name, begins] of [
      ['a.mid', 'MThd'],
      ['a.musicxml', '<?xml'],
      ['a.json', '{'],
      ['a.txt', 'C major'],
    ] as const) {
      const { code, out, err } = await run(['line', '-', '-o', name], tune)
      expect([name, code, out, err]).toEqual([name, 0, '', ''])
      expect(read(name).subarray(0, begins.length).toString()).toBe(begins)
    }
  })

  test('several keys in one format: a file a key, named by it', async () => {
    const { code, err } = await run(['line', '-', '--keys', 'C,F#', '-o', 'both.mei'], tune)
    expect([code, err]).toEqual([0, ''])
    expect(
      readdirSync(here)
        .filter((name) => name.startsWith('both'))
        .sort(),
    ).toEqual(['both-C.mei', 'both-F#.mei'])
  })
})

describe('files and terminals', () => {
  test('twelve keys are all written or none', async () => {
    mkdirSync(join(here, 'twelve-B.mei'))
    const args = ['line', '-', '--keys', 'fourths', '-o', 'twelve.mei']
    const stopped = await run(args, tune)
    expect([stopped.code, stopped.err]).toEqual([
      2,
      expect.stringMatching(/found a folder of that name at .*twelve-B\.mei/),
    ])
    const written = () => readdirSync(here).filter((name) => name.startsWith('twelve'))
    expect(written()).toEqual(['twelve-B.mei'])
    rmSync(join(here, 'twelve-B.mei'), { recursive: true })
    expect((await run(args, tune)).code).toBe(0)
    expect(written()).toHaveLength(12)
  })

  test('stopped in the middle of twelve keys there are twelve files or none, and nothing beside them', async () => {
    const names = (ending: RegExp) => readdirSync(here).filter((name) => ending.test(name))
    for (const signal of ['SIGINT', 'SIGTERM'] as const) {
      const child = start(process.execPath, [cli, 'line', '-', '--keys', 'fourths', '-o', `stopped${signal}.mei`])
      child.stdin.end(tune.repeat(40))
      const done = finish(child)
      while (child.exitCode === null && names(/\.part$/).length === 0)
        await new Promise((resolve) => setTimeout(resolve, 1))
      child.kill(signal)
      await done
      expect([0, 12]).toContain(names(new RegExp(`^stopped${signal}`)).length)
      expect(names(/\.(part|before)$/)).toEqual([])
    }
  })

  test('an input without an end is refused in words (/dev/zero of Linux), by whatever command', async () => {
    for (const args of [['chart'], ['line'], ['mark'], ['plan', '-', '--record'], ['line', '-', '--own']]) {
      const { code, err } = await run([...args, '/dev/zero'], tune)
      expect([code, err]).toEqual([2, expect.stringMatching(/found more than 128 MB in \/dev\/zero; expected .*/)])
    }
  })

  test('after two dashes alone comes a file, whatever its name begins with', async () => {
    write('-odd name.txt', tune)
    const { code, out } = await run(['chart', '--format', 'json', '--', '-odd name.txt'])
    expect([code, JSON.parse(out).bars.length]).toEqual([0, 4])
  })

  test('in a folder that was taken away says so, not that the file has no name', async () => {
    write('tune.txt', tune)
    const there = 'mkdir gone && cd gone && rmdir ../gone && exec "$@"'
    const { code, err } = await finish(
      start('sh', ['-c', there, 'sh', process.execPath, cli, 'line', join(here, 'tune.txt'), '-o', 'a.mid']),
    )
    expect([code, err]).toEqual([2, expect.stringMatching(/^throughline: found no folder at a\.mid; /)])
  })

  test('with too few files that may be open at once says so, from where its own code runs', async () => {
    const { code, err } = await finish(
      start('sh', ['-c', 'ulimit -n 40; exec "$@"', 'sh', process.execPath, cli, 'line', 'none']),
    )
    expect([code, err]).toEqual([
      2,
      expect.stringMatching(/^throughline: found too few files .*; try ulimit -n 1024\n$/),
    ])
  })

  test('standard output on a full disk is an error (/dev/full of Linux)', async () => {
    for (const args of ['chart -', 'line - --format mei', 'line - --format pdf', 'help']) {
      const child = start('sh', ['-c', '"$@" > /dev/full', 'sh', process.execPath, cli, ...args.split(' ')])
      child.stdin.on('error', () => {})
      child.stdin.end(tune)
      const { code, err } = await finish(child)
      expect([args, code, err]).toEqual([args, 1, expect.stringMatching(/^throughline: standard output .*ENOSPC.*\n$/)])
    }
  })

  // `script` (util-linux) runs a command on a terminal of its own and hands on what that is sent.
  test.skipIf(!existsSync('/usr/bin/script'))('no control of a text reaches a terminal', async () => {
    write('odd.txt', 'Title: A\u001b]0;owned\u0007B\u009b2J\n| Dm7 | G7 |\n')
    for (const args of [
      'chart odd.txt --format json',
      'line odd.txt --format text',
      'line odd.txt --format abc',
      'chart odd.txt --format text',
    ]) {
      const child = start('script', ['-qec', `'${process.execPath}' '${cli}' ${args}`, '/dev/null'])
      child.stdin.on('error', () => {})
      const { code, out } = await finish(child)
      expect([args, code]).toEqual([args, 0])
      expect(out).toMatch(/owned/)
      // biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
      expect(out, args).not.toMatch(/[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f]/)
    }
  })
})

describe('guide-tones', () => {
  test('prints two threads, to the letter', async () => {
    const { code, out, err } = await run(['guide-tones', '-', '--format', 'json'], '| Dm7 | G7 | Cmaj7 |')
    expect([code, err]).toEqual([0, ''])
    const json = JSON.parse(out)
    expect(json.problems).toEqual([])
    expect(json.threads[0]).toEqual([
      { bar: 1, beat: 1, pitch: 'F4', midi: 65, degree: 'b3' },
      { bar: 2, beat: 1, pitch: 'F4', midi: 65, degree: 'b7' },
      { bar: 3, beat: 1, pitch: 'E4', midi: 64, degree: '3' },
    ])
    expect(json.threads[1].map(({ pitch }: { pitch: string }) => pitch)).toEqual(['C4', 'B3', 'B3'])
  })

  test('in another key, as text and on a staff', async () => {
    const [json, text, mei] = await Promise.all([
      run(['guide-tones', '-', '--key', 'F'], '| Dm7 | G7 | Cmaj7 |'),
      run(['guide-tones', '-', '--format', 'text'], '| Dm7 | G7 | Cmaj7 |'),
      run(['guide-tones', '-', '-o', 'threads.mei'], '| Dm7 | G7 | Cmaj7 |'),
    ])
    expect(JSON.parse(json.out).threads[0].map(({ pitch }: { pitch: string }) => pitch)).toEqual(['Bb4', 'Bb4', 'A4'])
    expect(text.out).toMatch(/^1 {2,}Dm7 {2,}F4 \(b3\) {2,}C4 \(b7\)\n/)
    expect(mei.code).toBe(0)
    expect(readdirSync(here).some((name) => name.startsWith('threads'))).toBe(true)
  })
})

describe('input with errors: exit 1, each said in one line, and in the JSON', () => {
  const reading = ['chart', 'line', 'guide-tones'] as const
  const inputs: readonly [string, string][] = [
    ['empty text', ''],
    ['no chords', 'hello, how are you?\n'],
    ['an unknown chord', '| Cmja7 |'],
    ['a letter that is no note', '| J7 | K |'],
    [
      '64 KB of noise',
      Array.from({ length: 65_536 }, (_, i) => '|%:[](){}#b7xZq \n'[(i * i + (i >> 3)) % 16]).join(''),
    ],
    ['more than 64 KB', `| ${'C '.repeat(40_000)}|`],
    ['bytes that are no text', '\u0000\u0001\ufffd\u202e'],
  ]
  test.each(inputs)('%s', async (_, input) => {
    const ran = await Promise.all(reading.map((command) => run([command, '-', '--format', 'json'], input)))
    for (const { code, out, err } of ran) {
      expect(code).toBe(1)
      const lines = err.trimEnd().split('\n')
      expect(lines.filter((each) => !message.test(each) || !each.startsWith('stdin:'))).toEqual([])
      const errors = JSON.parse(out).problems.filter(({ severity }: { severity: string }) => severity === 'error')
      expect(errors.length).toBe(lines.length)
      errors.forEach(({ line, column }: { line: number; column: number }, i: number) => {
        expect(lines[i]!.startsWith(`stdin:${line}:${column}: `)).toBe(true)
      })
    }
  })

  const wrongChoices: readonly [string, readonly string[], string, string][] = [
    ['a key that does not exist', ['--key', 'H'], tune, '--key:1:1: found H; expected a key'],
    ['a list with such a key', ['--keys', 'C,H,F'], tune, '--keys:1:1: found C,H,F; expected'],
    [
      'an instrument that does not exist',
      ['--instrument', 'kazoo'],
      tune,
      '--instrument:1:1: found kazoo; expected one of',
    ],
    ['too many approach notes', ['--notes', '5'], tune, '--notes:1:1: found 5; expected a whole number from 1 to 4'],
    ['a degree that is none', ['--land', '3,8'], tune, '--land:1:1: found 3,8; expected any of'],
    [
      'a range that no target fits',
      ['--low', 'C5', '--high', 'E5'],
      tune,
      '--low:1:1: found a written range from C5 to E5',
    ],
    ['a range upside down', ['--low', 'C6', '--high', 'C4'], tune, '--low:1:1: found a written range from C6 to C4'],
    ['bars that are not there', ['--bars', '3-9'], tune, '--bars:1:1: found bars 3-9; expected bars from 1 to 4'],
    ['bars that go backwards', ['--bars', '3-2'], tune, '--bars:1:1: found 3-2; expected bars such as'],
    [
      'a level that does not exist',
      ['--level', '9'],
      tune,
      '--level:1:1: found 9; expected a whole number from 1 to 6',
    ],
    ['a plan with a degree that the chord has not', ['--plan', '3 b9'], tune, '--plan:1:1: found b9 for bar 2'],
    ['a plan that is none', ['--plan', '3 7 x'], tune, '--plan:1:5: found x; expected a degree'],
    ['pins that contradict', ['--pin', '2.1=B4', '--pin', '2.1=F4'], tune, '--pin:1:8: found 2.1=F4; expected one pin'],
    ['a seed that is none', ['--seed', '-1'], tune, '--seed:1:1: found -1; expected a whole number'],
    ['2,049 bars', [], bars(2_049), '--changes:1:1: found 2049 bars as played; expected at most 2048'],
  ]
  test.each(wrongChoices)('line: %s', async (_, args, input, said) => {
    const { code, out, err } = await run(['line', '-', ...args], input)
    expect(code).toBe(1)
    expect(err.startsWith(said), err).toBe(true)
    expect(
      err
        .trimEnd()
        .split('\n')
        .filter((each) => !message.test(each)),
    ).toEqual([])
    const json = JSON.parse(out)
    expect(json.lines).toEqual([])
    expect(json.problems.length).toBeGreaterThan(0)
  })

  test('nothing on standard output but the result: no half-made score', async () => {
    const { code, bytes, err } = await run(['line', '-', '--format', 'mei'], '| Cmja7 |')
    expect([code, bytes.length]).toEqual([1, 0])
    expect(err).toMatch(/^stdin:1:\d+: found /)
  })

  test('2,048 bars are written', async () => {
    const { code, out, err } = await run(['line', '-', '--every', 'bar'], bars(2_048))
    expect([code, err]).toEqual([0, ''])
    expect(JSON.parse(out).lines[0].targets.length).toBe(2_048)
  })
})

describe('usage: exit 2, nothing on standard output', () => {
  const rows: readonly [string, readonly string[], RegExp][] = [
    ['no command', [], /found no command; expected chart, line, [a-z, -]+ or help; try help/],
    ['an unknown command', ['print'], /found print; expected chart/],
    ['an unknown option', ['line', '-', '--sed', '3'], /found --sed; expected an option of this command; try --seed/],
    ['an option of another command', ['chart', '-', '--seed', '3'], /found --seed; expected an option of this command/],
    [
      'an option with nothing after it',
      ['line', '-', '--seed'],
      /found --seed with nothing after it; expected a whole number from .*; try /,
    ],
    ['a file that is not there', ['line', 'nowhere.txt'], /found no file nowhere\.txt that can be read/],
    ['a folder', ['chart', '.'], /found no file \. that can be read/],
    ['two files', ['chart', 'a.txt', 'b.txt'], /found 2 files; expected one/],
    ['an unknown format', ['line', '-', '--format', 'jason'], /found --format jason; expected one of .*try json/],
    [
      'a format that a chart has not',
      ['chart', '-', '--format', 'svg'],
      /found --format svg; expected one of json, text; try /,
    ],
    [
      'an ending that is no format',
      ['line', '-', '-o', 'line.doc'],
      /found -o line\.doc; expected one of json, .*; try /,
    ],
    ['nowhere to write', ['line', '-', '-o', 'no/such/folder/a.json'], /found no folder at no\/such\/folder\/a\.json/],
    [
      'several files for one output',
      ['line', '-', '--keys', 'C,F', '--format', 'mei'],
      /found 2 mei files for standard output/,
    ],
    ['help with no such command', ['help', 'lime'], /found lime; expected chart, .*; try line/],
    ['a file where none is read', ['serve', 'x.txt'], /found x\.txt; expected throughline serve/],
    [
      'a table that is not there',
      ['line', '-', '--own', 'nowhere.csv'],
      /found no file nowhere\.csv .* expected a file for --own/,
    ],
    ['a port that is none', ['serve', '--port', 'x'], /found --port x; expected a whole number from 0 to 65535; try /],
  ]
  test.each(rows)('%s', async (_, args, said) => {
    const { code, out, err } = await run(args, tune)
    expect([code, out]).toEqual([2, ''])
    expect(err).toMatch(said)
    expect(err).not.toMatch(/\n\s+at /)
  })

  test.each([[['--help']], [['-h']], [['help']]])('help is a result, not an error: %j', async (args) => {
    const { code, out, err } = await run(args)
    expect([code, err]).toEqual([0, ''])
    expect(out).toMatch(/^usage: throughline chart/)
    for (const { name, help } of commands) expect(out).toContain(`${name.padEnd(11)}  ${help}`)
  })

  test.each([[['help', 'line']], [['line', '--help']]])(
    'a command is explained with all its options: %j',
    async (args) => {
      const { code, out, err } = await run(args)
      expect([code, err]).toEqual([0, ''])
      expect(out).toMatch(/^usage: throughline line \[FILE\|-\]/)
      expect(out).toContain('--tempo 40..320')
      expect(out).toContain('--pin 3.1=F4')
      for (const name of choiceNames.filter((each) => each !== 'changes')) expect(out).toContain(choices[name].help)
    },
  )

  test('the version is that of the package', async () => {
    const { version } = JSON.parse(readFileSync(join(root, 'package.json'), 'utf8'))
    expect(await run(['--version'])).toMatchObject({ code: 0, out: `${version}\n`, err: '' })
  })
})

describe('what is loaded', () => {
  /** The packages whose modules a run loads, as the engine's own coverage lists them. */
  async function packagesOf(args: readonly string[]): Promise<ReadonlySet<string>> {
    const coverage = mkdtempSync(join(folder, 'coverage-'))
    const { code } = await run(args, tune, { NODE_V8_COVERAGE: coverage })
    expect(code).toBe(0)
    const urls = readdirSync(coverage).flatMap((name) =>
      JSON.parse(readFileSync(join(coverage, name), 'utf8')).result.map(({ url }: { url: string }) => url),
    )
    const own = urls.flatMap((url) => /dist\/(lib\/\w+|web)\//.exec(url)?.[1] ?? [])
    const found = urls.flatMap(
      (url) => /node_modules\/((?:@[^/]+\/)?[^/.][^/]*)\//.exec(url.replace(folder, ''))?.[1] ?? [],
    )
    return new Set([...found, ...own])
  }

  test('a chart or a line is answered without the engraver, a staff is not', async () => {
    const [chart, line, svg] = await Promise.all([
      packagesOf(['chart', '-']),
      packagesOf(['line', '-']),
      packagesOf(['line', '-', '--format', 'svg']),
    ])
    for (const heavy of ['verovio', 'lib/engrave', 'pdfkit', 'express', 'web']) {
      expect(chart.has(heavy), heavy).toBe(false)
      expect(line.has(heavy), heavy).toBe(false)
    }
    // What shows that the measure sees what it should.
    expect(chart.has('lib/changes') && chart.has('tonal')).toBe(true)
    expect(svg.has('verovio') && svg.has('lib/engrave')).toBe(true)
  })

  test.each(exports)('$id loads the engraver’s room only if it engraves', async ({ id, nodeOnly, endings }) => {
    const loaded = await packagesOf(['line', '-', '-o', `loaded.${endings[0]}`, '--tempo', '300'])
    // Of what needs Node all is engraved but Opus, whose encoder is what needs it.
    expect([id, loaded.has('lib/engrave')]).toEqual([id, nodeOnly && id !== 'opus'])
  })
})

test('a reader that stops early is no fault: no message, no trace', async () => {
  const child = start(process.execPath, [cli, 'line', '-'])
  child.stdout.once('data', () => child.stdout.destroy())
  child.stdin.end(bars(1_000))
  const { err } = await finish(child)
  expect(err).toBe('')
})

test.each([
  ['ORIGIN', 'lines.example.org'],
  ['PROXIES', 'true'],
  ['WORKERS', 'abc'],
])('serve does not start where %s=%s is set', async (name, value) => {
  const { code, out, err } = await run(['serve', '--port', '0'], '', { [name]: value })
  expect([code, out]).toEqual([2, ''])
  expect(err).toMatch(new RegExp(`^throughline: ${name}: found "${value}"; expected .+; .+\n$`))
})

test('a port that is taken is said at once, and nothing starts', async () => {
  const first = start(process.execPath, [cli, 'serve', '--port', '0'])
  const ended = finish(first)
  const [, port] = /:(\d+)\//.exec(
    await new Promise<string>((resolve) => first.stdout.once('data', (data: Buffer) => resolve(data.toString()))),
  )!
  const { code, out, err } = await run(['serve', '--port', port!])
  expect([code, out]).toEqual([2, ''])
  expect(err).toMatch(new RegExp(`^throughline: .*EADDRINUSE.*:${port}\n$`))
  first.kill('SIGTERM')
  expect((await ended).code).toBe(0)
})

test('serve says its address once it listens, and stops cleanly when told to', async () => {
  const child = start(process.execPath, [cli, 'serve', '--port', '0'])
  const ended = finish(child)
  const address = await new Promise<string>((resolve) => {
    child.stdout.once('data', (data: Buffer) => resolve(data.toString()))
    ended.then(({ err }) => resolve(err))
  })
  expect(address).toMatch(/http:\/\/\S+:\d+/)
  const response = await fetch(/http:\/\/\S+/.exec(address)![0])
  expect(response.status).toBe(200)
  child.kill('SIGTERM')
  expect((await ended).code).toBe(0)
})
