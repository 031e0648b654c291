/** Data flows one way through lib: what each file may import, and what runs in a browser as it does in Node. */
import { readdirSync, readFileSync } from 'node:fs'
import { dirname, join, normalize } from 'node:path'
import { build } from 'esbuild'
import { describe, expect, test } from 'vitest'

/** Rooms in the order of the flow: a file imports from its own room and from those before it. Score feeds sound and engraving. */
const rooms = [
  ['inOrder.ts'],
  ['problem.ts', 'fixed.ts'],
  ['edition.ts'],
  ['lattice/'],
  ['theory/'],
  ['choices/'],
  ['brief.ts'],
  ['fingering/'],
  ['changes/'],
  ['harmony/'],
  ['line/'],
  ['drill/'],
  ['kept/'],
  ['lines/'],
  ['score/'],
  ['practice/'],
  ['lineJson.ts', 'lineText.ts'],
  ['mark/'],
  ['sound/', 'engrave/'],
  ['opusEncoder.ts'],
  ['sampleFiles.ts', 'opus.ts'],
  ['packet.ts'],
  ['exportWriters.ts'],
  ['exports.ts', 'readBytes.ts', 'saveFiles.ts'],
  ['doors/', 'commands/'],
  ['cli.ts'],
]
/** Where Node may be used: the engraver, and the files that read and write files. */
const nodeSide = [
  'engrave/',
  'sampleFiles.ts',
  'opus.ts',
  'opusEncoder.ts',
  'packet.ts',
  'exportWriters.ts',
  'exports.ts',
  'readBytes.ts',
  'saveFiles.ts',
  'doors/engrave.ts',
  'doors/bookShapes.ts',
  'commands/',
  'cli.ts',
]
/** What only one file may import. */
const doors: Readonly<Record<string, string>> = {
  tonal: 'theory/pitch.ts',
  'ts-fsrs': 'practice/spacing.ts',
  abcjs: 'mark/abcParser.ts',
  'libopus-wasm': 'opusEncoder.ts',
  mediabunny: 'sound/flacAndOgg.ts',
  '@mediabunny/flac-encoder': 'sound/flacAndOgg.ts',
}

const inside = (file: string, names: readonly string[]): boolean =>
  names.some((name) => file === name || (name.endsWith('/') && file.startsWith(name)))
const roomOf = (file: string): number => rooms.findIndex((names) => inside(file, names))

interface Import {
  readonly from: string
  /** Erased when built. */
  readonly typeOnly: boolean
}

function importsOf(source: string): readonly Import[] {
  const code = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '')
  const statements = code.matchAll(/^(?:import|export)\s(type\s)?(?:[^'";]*?\sfrom\s)?['"]([^'"]+)['"]/gm)
  const calls = code.matchAll(/\b(?:import|require)\(\s*['"]([^'"]+)['"]/g)
  return [
    ...[...statements].map(([, type, from = '']) => ({ from, typeOnly: type !== undefined })),
    ...[...calls].map(([, from = '']) => ({ from, typeOnly: false })),
  ]
}

/** What is wrong with the imports of files, by their paths below lib; empty where data flows one way. */
function wrongImports(files: ReadonlyMap<string, string>): readonly string[] {
  const wrong: string[] = []
  const leads = new Map<string, string[]>()
  for (const [file, source] of files) {
    const own = roomOf(file)
    if (own < 0) wrong.push(`${file} is in no room`)
    const code = source.replace(/\/\*[\s\S]*?\*\//g, '').replace(/\/\/.*$/gm, '')
    if (!inside(file, nodeSide) && /\b(Buffer|process|__dirname|__filename)\b\s*[.(]/.test(code))
      wrong.push(`${file} leans on Node`)
    for (const { from, typeOnly } of importsOf(source)) {
      if (!from.startsWith('.')) {
        if (from.startsWith('node:') && !inside(file, nodeSide)) wrong.push(`${file} imports ${from}`)
        const door = Object.keys(doors).find((name) => from === name || from.startsWith(`${name}/`))
        if (door && doors[door] !== file) wrong.push(`${file} imports ${from}`)
        if (/^express(\/|$)/.test(from)) wrong.push(`${file} imports ${from}`)
        continue
      }
      const to = normalize(join(dirname(file), from))
      // Only the command line reaches out of lib, to serve the page.
      if (to.startsWith('..')) {
        if (file !== 'cli.ts' || to !== '../web/server/server.ts') wrong.push(`${file} imports ${to}`)
        continue
      }
      if (!files.has(to)) wrong.push(`${file} imports ${to}, which is not there`)
      const across = file.split('/')[0] !== to.split('/')[0] && rooms[own]?.some((name) => name.endsWith('/'))
      if (roomOf(to) > own || (roomOf(to) === own && across)) wrong.push(`${file} imports ${to}`)
      if (!typeOnly) leads.set(file, [...(leads.get(file) ?? []), to])
    }
  }
  return [...wrong, ...cycles(leads)]
}

function cycles(leads: ReadonlyMap<string, readonly string[]>): readonly string[] {
  const done = new Set<string>()
  const found: string[] = []
  const walk = (file: string, way: readonly string[]): void => {
    const at = way.indexOf(file)
    if (at >= 0) found.push(`a cycle: ${[...way.slice(at), file].join(' → ')}`)
    if (at >= 0 || done.has(file)) return
    for (const next of leads.get(file) ?? []) walk(next, [...way, file])
    done.add(file)
  }
  for (const file of leads.keys()) walk(file, [])
  return found
}

const lib = new Map(
  readdirSync('lib', { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => [file.replaceAll('\\', '/'), readFileSync(join('lib', file), 'utf8')]),
)

test('every file of lib imports only what comes before it in the flow', () => {
  expect(wrongImports(lib)).toEqual([])
  const all = [...lib].flatMap(([, source]) => importsOf(source))
  expect(lib.size).toBeGreaterThan(60)
  expect(all.length).toBeGreaterThan(300)
})

describe('the check itself refuses', () => {
  const base: readonly (readonly [string, string])[] = [
    ['theory/pitch.ts', "import { Note } from 'tonal'\nexport const a = Note"],
    ['theory/key.ts', "import { a } from './pitch.ts'\nexport const b = a"],
    ['line/line.ts', "import type { b } from '../theory/key.ts'"],
    ['score/score.ts', "import { line } from '../line/line.ts'"],
    ['sound/tones.ts', "import {\n  score,\n  type Note,\n} from '../score/score.ts'"],
    ['engrave/svg.ts', "import { readFileSync } from 'node:fs'"],
    ['cli.ts', "const { serve } = await import('../web/server/server.ts')"],
  ]
  const withFile = (file: string, source: string) => wrongImports(new Map([...base, [file, source]]))

  test('nothing of a house in order', () => {
    expect(wrongImports(new Map(base))).toEqual([])
  })

  test.each([
    [
      'a later room',
      'theory/scale.ts',
      "import { line } from '../line/line.ts'",
      'theory/scale.ts imports line/line.ts',
    ],
    [
      'its type',
      'theory/scale.ts',
      "import type { Line } from '../line/line.ts'",
      'theory/scale.ts imports line/line.ts',
    ],
    [
      'over several lines',
      'changes/chart.ts',
      "import {\n  type A,\n  b,\n} from '../score/score.ts'",
      'changes/chart.ts imports score/score.ts',
    ],
    [
      'handed on',
      'harmony/harmony.ts',
      "export { x } from '../line/line.ts'",
      'harmony/harmony.ts imports line/line.ts',
    ],
    [
      'only when called',
      'line/pins.ts',
      "const x = await import('../score/score.ts')",
      'line/pins.ts imports score/score.ts',
    ],
    ['for its effect', 'line/pins.ts', "import '../score/score.ts'", 'line/pins.ts imports score/score.ts'],
    [
      'between engraving and sound',
      'engrave/pdf.ts',
      "import { t } from '../sound/tones.ts'",
      'engrave/pdf.ts imports sound/tones.ts',
    ],
    ['Node', 'score/mei.ts', "import { join } from 'node:path'", 'score/mei.ts imports node:path'],
    ["Node's globals", 'score/mei.ts', "export const x = Buffer.from('')", 'score/mei.ts leans on Node'],
    ['Express', 'score/mei.ts', "import express from 'express'", 'score/mei.ts imports express'],
    ['tonal', 'harmony/harmony.ts', "import { Chord } from 'tonal'", 'harmony/harmony.ts imports tonal'],
    ['the page', 'problem.ts', "import { app } from '../web/server/app.ts'", 'problem.ts imports ../web/server/app.ts'],
    [
      'what is not there',
      'lines/write.ts',
      "import { z } from '../line/zebra.ts'",
      'lines/write.ts imports line/zebra.ts, which is not there',
    ],
    ['a file in no room', 'utils.ts', 'export const x = 1', 'utils.ts is in no room'],
  ])('%s', (_, file, source, said) => {
    expect(withFile(file, source)).toContain(said)
  })

  test('a cycle, even inside a room', () => {
    const round = new Map([
      ['theory/a.ts', "import { b } from './b.ts'"],
      ['theory/b.ts', "import { c } from './c.ts'"],
      ['theory/c.ts', "import { a } from './a.ts'"],
    ])
    expect(wrongImports(round)).toEqual(['a cycle: theory/a.ts → theory/b.ts → theory/c.ts → theory/a.ts'])
  })

  test('but no import that only a comment makes', () => {
    expect(
      withFile('theory/scale.ts', "/** import { x } from '../line/line.ts' */\n// import '../line/line.ts'"),
    ).toEqual([])
  })
})

/**
 * What is wrong with the imports of files below web; empty where the page's scripts lean on no server, what both sides go by leans on
 * neither, and nothing goes round.
 */
function wrongWebImports(files: ReadonlyMap<string, string>): readonly string[] {
  const wrong: string[] = []
  const leads = new Map<string, string[]>()
  for (const [file, source] of files)
    for (const { from, typeOnly } of importsOf(source)) {
      const [script, both] = [file.startsWith('browser/'), file.startsWith('shared/')]
      if (!from.startsWith('.')) {
        if ((script || both) && from.startsWith('node:')) wrong.push(`${file} imports ${from}`)
        if (from === 'esbuild' && !file.startsWith('build')) wrong.push(`${file} imports ${from}`)
        continue
      }
      const to = normalize(join(dirname(file), from))
      const ofLib = to.startsWith('../lib/') ? to.slice('../lib/'.length) : null
      const astray =
        ofLib === null
          ? !to.startsWith('shared/') && (both || to.startsWith('browser/') !== script)
          : (script || both) && inside(ofLib, nodeSide)
      if (astray || (ofLib === null && to.startsWith('..'))) wrong.push(`${file} imports ${to}`)
      if (ofLib === null && !typeOnly) leads.set(file, [...(leads.get(file) ?? []), to])
    }
  return [...wrong, ...cycles(leads)]
}

const web = new Map(
  readdirSync('web', { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts') && !file.endsWith('.d.ts'))
    .map((file) => [file.replaceAll('\\', '/'), readFileSync(join('web', file), 'utf8')]),
)

test('web imports lib, its scripts only what runs in a browser, what both sides share neither of them, and nothing goes round', () => {
  expect(web.size).toBeGreaterThan(40)
  expect(wrongWebImports(web)).toEqual([])
})

test.each([
  ['browser/page.ts', "import { app } from '../server/app.ts'", 'browser/page.ts imports server/app.ts'],
  ['browser/page.ts', "import { readFileSync } from 'node:fs'", 'browser/page.ts imports node:fs'],
  ['browser/page.ts', "import { exports } from '../../lib/exports.ts'", 'browser/page.ts imports ../lib/exports.ts'],
  ['server/app.ts', "import { play } from '../browser/player.ts'", 'server/app.ts imports browser/player.ts'],
  ['server/app.ts', "import { build } from 'esbuild'", 'server/app.ts imports esbuild'],
  ['shared/a.ts', "import { b } from '../views/b.ts'", 'shared/a.ts imports views/b.ts'],
  ['shared/a.ts', "import { b } from '../browser/b.ts'", 'shared/a.ts imports browser/b.ts'],
  ['shared/a.ts', "import { readFileSync } from 'node:fs'", 'shared/a.ts imports node:fs'],
  ['views/a.ts', "import { b } from './a.ts'", 'a cycle: views/a.ts → views/a.ts'],
])('the check of web refuses: %s, %s', (file, source, said) => {
  expect(wrongWebImports(new Map([[file, source]]))).toContain(said)
})

/**
 * Functions and values that are handed out though nobody takes them: no other text that names their file names them, and no example
 * shows them.
 */
function untaken(files: ReadonlyMap<string, string>, takers: ReadonlyMap<string, string>): readonly string[] {
  // Each text as its words, since every name is asked for in all of them.
  const texts = [...files, ...takers].map(([file, text]) => ({ file, text, words: new Set(text.match(/\w+/g)) }))
  const found: string[] = []
  for (const [file, source] of files) {
    if (/(^|\/)doors\//.test(file)) continue
    const stem = file.replace(/^.*\//, '').replace(/(\.entry)?\.ts$/, '')
    const near = texts.filter((each) => each.file !== file && each.text.includes(`/${stem}.`))
    const given = source.matchAll(/(\/\*\*(?:(?!\*\/)[\s\S])*\*\/\n)?^export (?:async )?(?:function\*?|const) (\w+)/gm)
    for (const [, comment = '', name] of given)
      if (!comment.includes('@example') && !near.some(({ words }) => words.has(name!))) found.push(`${file} ${name}`)
  }
  return found
}

test('nothing is handed out that nobody takes', () => {
  const of = (folder: string, files: ReadonlyMap<string, string>) =>
    [...files].map(([file, code]) => [`${folder}/${file}`, code] as const)
  // What writes a table names it, and is no reason for it.
  const tests = readdirSync('test', { recursive: true, encoding: 'utf8' })
    .filter((file) => file.endsWith('.ts'))
    .map((file) => [`test/${file}`, readFileSync(join('test', file), 'utf8')] as const)
  expect(untaken(new Map([...of('lib', lib), ...of('web', web)]), new Map(tests))).toEqual([])
  const lost = 'export const lost = 1\n'
  expect(untaken(new Map([['a.ts', lost]]), new Map())).toEqual(['a.ts lost'])
  expect(untaken(new Map([['a.ts', lost]]), new Map([['b.ts', 'const lost = 2']]))).toEqual(['a.ts lost'])
  expect(untaken(new Map([['a.ts', lost]]), new Map([['b.ts', "import { lost } from './a.ts'"]]))).toEqual([])
})

test('what is not Node-side bundles for a browser', async () => {
  const files = [...lib.keys()].filter((file) => !inside(file, nodeSide))
  const { errors, outputFiles } = await build({
    entryPoints: files.map((file) => join('lib', file)),
    bundle: true,
    write: false,
    outdir: 'unused',
    platform: 'browser',
    format: 'esm',
    logLevel: 'silent',
  })
  expect(errors).toEqual([])
  expect(outputFiles.length).toBe(files.length)
})
