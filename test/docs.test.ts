/** DEVELOPERS.md and README.md against the tree: files, names, commands, options, packages and numbers that they speak of are there. */
import { readdirSync, readFileSync } from 'node:fs'
import { basename, join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { choiceNames, limits } from '../lib/brief.ts'
import { readChart } from '../lib/changes/typed/readChart.ts'
import { optionOf } from '../lib/choices/choices.ts'
import { commands } from '../lib/commands/commands.ts'
import { nameOfKey } from '../lib/theory/key.ts'
import { webLimits } from '../web/server/limits.ts'
import { madeLimits } from '../web/server/madeFiles.ts'
import { serverFlags } from '../web/server/starter.ts'
import { agreed } from '../web/shared/agreed.ts'

const read = (file: string): string => readFileSync(file, 'utf8')
const developers = read('DEVELOPERS.md')
const readme = read('README.md')
const manifest = JSON.parse(read('package.json')) as Readonly<Record<string, Readonly<Record<string, string>>>>

const folders = ['lib', 'web', 'test', 'templates', '.ci']
const files = [
  ...readdirSync('.').filter((file) => !folders.includes(file)),
  ...folders.flatMap((folder) =>
    [folder, ...readdirSync(folder, { recursive: true, encoding: 'utf8' }).map((file) => join(folder, file))].map(
      (file) => file.replaceAll('\\', '/'),
    ),
  ),
]
const code = files
  .filter((file) => /\.(ts|mjs|hbs)$/.test(file) && file !== 'test/docs.test.ts')
  .map(read)
  .join('\n')
const words = new Set(code.match(/\w+/g))

/** What stands between backticks, each once. */
const quoted = (text: string): readonly string[] => [
  ...new Set(
    [...text.replace(/^```[\s\S]*?^```/gm, '').matchAll(/`([^`]+)`/g)].map(([, said]) => said!.replace(/\s+/g, ' ')),
  ),
]
const isPath = (said: string): boolean => /^[\w./-]+(?:\.(?:ts|mjs|hbs|md|css)|\/)$/.test(said) && !/^\.?\//.test(said)
const isThere = (path: string): boolean => {
  const plain = path.replace(/\/$/, '')
  return files.some((file) => file === plain || file.endsWith(`/${plain}`))
}
const isName = (said: string): boolean => /^[a-zA-Z]\w*$/.test(said)
/** Names of the engraver's own, which the code does without. */
const others = ['getMIDIValuesForElement']

test.each([
  ['DEVELOPERS.md', developers],
  ['README.md', readme],
])('every file and folder that %s names is there', (_, text) => {
  expect(quoted(text).filter((said) => isPath(said) && !isThere(said))).toEqual([])
})

test('every name of code that DEVELOPERS.md quotes is in the code', () => {
  const names = quoted(developers).flatMap((said) =>
    isName(said) ? [said] : (/^(\w+)\(.*\)$/.exec(said)?.slice(1) ?? []),
  )
  const stems = new Set(files.map((file) => basename(file).split('.')[0]))
  const packages = Object.keys({ ...manifest.dependencies, ...manifest.devDependencies })
  expect(
    names.filter((name) => ![...others, ...packages].includes(name) && !words.has(name) && !stems.has(name)),
  ).toEqual([])
  expect(names.length).toBeGreaterThan(100)
})

test.each([
  ['DEVELOPERS.md', developers],
  ['README.md', readme],
])('every command of npm and node that %s names can be given', (_, text) => {
  const scripts = [...text.matchAll(/npm run (?:--silent |-s )?([\w:]+)/g)].map(([, name]) => name!)
  expect(scripts.filter((name) => !(name in manifest.scripts!))).toEqual([])
  const run = [...text.matchAll(/\bnode (test\/[\w./]+)(?: (test\/[\w./]+))?/g)].flatMap(([, ...paths]) =>
    paths.filter(Boolean),
  )
  expect(run.filter((path) => !isThere(path!))).toEqual([])
  const tests = [...text.matchAll(/npx vitest run ([\w./]+)/g)].map(([, path]) => path!)
  expect(tests.filter((path) => !isThere(path))).toEqual([])
})

/** The options of each command by name, its own and the choices that it takes. */
const options = new Map(
  commands.map(({ name, options: own, choices }) => [
    name,
    new Set([...own.map(({ name: option }) => option), ...choices.map((choice) => optionOf(choice))]),
  ]),
)

test.each([
  ['DEVELOPERS.md', developers],
  ['README.md', readme],
])('every option that %s names is one', (_, text) => {
  const known = new Set([...options.values()].flatMap((each) => [...each]))
  const others = ['silent', 'version', 'max-semi-space-size', 'v8-pool-size']
  const named = [...text.matchAll(/(?<![\w-])--([a-z][a-z-]+)/g)].map(([, name]) => name!)
  expect(named.filter((name) => !known.has(name) && !others.includes(name))).toEqual([])
  expect(known.size).toBeGreaterThan(choiceNames.length)
})

test('every line of the README that is typed asks a command for what it takes', () => {
  const typed = [...readme.matchAll(/throughline -- ([\w-]+) (.*)$/gm)]
  for (const [line, command, rest] of typed) {
    const takes = options.get(command!)
    expect(takes, line).toBeDefined()
    for (const [, name] of rest!.matchAll(/--([a-z-]+)/g)) expect(takes!.has(name!), `${line}: --${name}`).toBe(true)
  }
  expect(typed.length).toBeGreaterThan(5)
})

test('the README’s changes are read as it says', () => {
  const [, text = ''] = /```text\n(Title:[\s\S]*?)```/.exec(readme)!
  const chart = readChart(text)
  expect(chart.problems).toEqual([])
  expect([chart.title, chart.tempo, chart.key && nameOfKey(chart.key)]).toEqual(['Half Past Rain', 140, 'Bb'])
  // Eight bars, the second ending in place of the last two; the bar that repeats; slashes.
  expect(chart.playOrder).toEqual([0, 1, 2, 3, 4, 5, 6, 7, 0, 1, 2, 3, 4, 5, 8, 9, 10, 11, 12, 13, 14, 15, 16, 17])
  const said = chart.bars.map(({ chords }) => chords.map(({ symbol, beats }) => `${symbol}:${beats}`).join(' '))
  expect(said.slice(8, 10).concat(said.slice(14, 16))).toEqual(['Bb6:4', 'Bb6:4', 'Cm7:3 G7:1', 'Cm7:2 F7:2'])
})

test('every setting and address that the README names is one of the server', () => {
  const server = files
    .filter((file) => /^(web.server|lib.commands)./.test(file))
    .filter((file) => file.endsWith('.ts'))
    .map(read)
    .join('\n')
  const settings = new Set([...readme.matchAll(/`([A-Z_]{4,})(?:=[^`]*)?`/g)].map(([, name]) => name!))
  expect([...settings].filter((name) => !new RegExp(`\\b${name}\\b`).test(server))).toEqual([])
  expect(settings.size).toBeGreaterThan(4)
  const routes = quoted(readme).filter((said) => /^\/[a-z]+$/.test(said))
  expect(routes.filter((route) => !server.includes(`'${route}'`) && !server.includes(`'${route}.`))).toEqual([])
})

describe('tables of DEVELOPERS.md', () => {
  const section = (name: string): string => developers.split(`\n## ${name}`)[1]!.split('\n## ')[0]!

  test('rooms: every file and folder of lib and web has its row', () => {
    const rows = quoted(section('The flow').split('| room |')[1]!)
    const said = new Set(rows.map((row) => row.replace(/\/$/, '')))
    const there = ['lib', 'web'].flatMap((folder) =>
      files
        .filter((file) => new RegExp(`^${folder}/[^/]+$`).test(file))
        .map((file) => [file, file.slice(folder.length + 1)]),
    )
    expect(there.filter(([path, name]) => !said.has(path!) && !said.has(name!)).map(([path]) => path)).toEqual([])
  })

  test('what runs in Node alone is what the flow test says', () => {
    const list = /const nodeSide = \[([\s\S]*?)\]/.exec(read('test/flow.test.ts'))![1]!
    const said = /alike, except ([^\n]*)/.exec(developers)![1]!
    expect(quoted(said).toSorted()).toEqual([...list.matchAll(/'([^']+)'/g)].map(([, name]) => name!).toSorted())
  })

  test('packages: those of the manifest, and no other', () => {
    const table = quoted(section('Dependencies')).filter((said) => !said.includes(':'))
    const wanted = Object.keys({ ...manifest.dependencies, ...manifest.devDependencies })
    expect(wanted.filter((name) => !name.startsWith('@types/') && !table.includes(name))).toEqual([])
    expect(table.filter((name) => !wanted.includes(name))).toEqual([])
  })
})

/** A number as prose has it: 7,500; six. */
const said = (n: number): string => ['no', 'one', 'two', 'three', 'four', 'five', 'six'][n] ?? n.toLocaleString('en')
const constant = (file: string, name: string): number =>
  Number(new RegExp(`const ${name} = ([\\d_.]+)`).exec(read(file))![1]!.replaceAll('_', ''))

test.each([
  [`Addresses over ${said(limits.readableAddress)} characters`],
  [`over ${said(webLimits.address)} the page comes by POST`],
  [`fit into ${said(agreed.codeLength)} characters`],
  [`goes on for ${said(webLimits.longGoing / 1_000)} seconds`],
  [`may hold ${said(webLimits.workerHeap)} MB of JavaScript`],
  [`${said(madeLimits.disk / 2 ** 30).replace('one', '1')} GB and ${said(madeLimits.kept / 60_000)} minutes`],
  [`Bounded memories hold ${said(constant('lib/changes/symbol/readSymbol.ts', 'remembered'))} symbols`],
  [`in ${constant('lib/line/pathWeights.ts', 'buckets')} buckets`],
  [`Over ${constant('lib/line/drawLine.ts', 'stretchNotes')} notes a line is drawn in stretches`],
  [`drawn up to ${constant('lib/line/drawLine.ts', 'trillTries')} times without`],
  [`is ${1 / constant('lib/line/drawLine.ts', 'sameAgain')} times less likely`],
  [
    `in the last ${said(constant('lib/line/drawLine.ts', 'notLately'))} ${1 / constant('lib/line/drawLine.ts', 'sameLately')} times`,
  ],
  [`A range under ${constant('lib/line/draftLine.ts', 'narrowest')} semitones`],
  [`those of ${constant('lib/line/planPhrases.ts', 'usualTempo')}`],
  [`\`tonal\` ${manifest.dependencies!.tonal} |`],
  [`Verovio ${manifest.dependencies!.verovio!.replace(/\.\d+$/, '')}, measured`],
  [`(\`${serverFlags.join(' ')}\`; some`],
])('DEVELOPERS.md says as the code does: %s', (words) => {
  expect(developers.replace(/\s+/g, ' ')).toContain(words)
})
