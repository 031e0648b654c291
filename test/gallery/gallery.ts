/**
 * `npm run gallery`: the tunes and briefs of the golden lines on one page, as notes and as pictures, before and after side by side.
 * Before is a revision of git (`npm run gallery -- main`; HEAD where none is said), after the files as they are. Both are built and
 * asked as anyone would ask them, through the command line.
 */
import { execFileSync, spawn, spawnSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readdirSync, readFileSync, rmSync, symlinkSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join, resolve } from 'node:path'
import { briefs, tunes } from '../golden/cases.ts'
import { galleryPage, type Shown } from './galleryPage.ts'

const root = process.cwd()
const revision = process.argv[2] ?? 'HEAD'
const out = join(root, 'test', 'gallery', 'out')
const folder = mkdtempSync(join(tmpdir(), 'throughline-gallery-'))

/** Compiles a checkout beside the packages of this one; gives the path of its command line. */
function build(checkout: string, to: string): string {
  const tsc = join(root, 'node_modules', 'typescript', 'bin', 'tsc')
  execFileSync(process.execPath, [tsc, '-p', 'tsconfig.build.json', '--outDir', join(to, 'dist')], { cwd: checkout })
  symlinkSync(join(root, 'node_modules'), join(to, 'node_modules'))
  return join(to, 'dist', 'lib', 'cli.js')
}

/** Runs a command line; comes back with what it printed, its errors where it printed nothing else. */
function ask(cli: string, args: readonly string[], input: string): Promise<string> {
  const child = spawn(process.execPath, [cli, ...args])
  const said = { out: '', err: '' }
  child.stdout.on('data', (data) => {
    said.out += data
  })
  child.stderr.on('data', (data) => {
    said.err += data
  })
  child.stdin.on('error', () => {})
  child.stdin.end(input)
  return new Promise((done) => child.on('close', () => done(said.out || said.err)))
}

async function show(cli: string, changes: string, choices: Readonly<Record<string, string>>): Promise<Shown> {
  const pictures = mkdtempSync(join(folder, 'pictures-'))
  const options = Object.entries(choices).map(([name, value]) => `--${name}=${value}`)
  const [text] = await Promise.all([
    ask(cli, ['line', '-', '--format', 'text', ...options], changes),
    ask(cli, ['line', '-', '-o', join(pictures, 'line.svg'), ...options], changes),
  ])
  const files = readdirSync(pictures).sort()
  return { text, pictures: files.map((file) => readFileSync(join(pictures, file), 'utf8')) }
}

const worktree = join(folder, 'before')
try {
  execFileSync('git', ['worktree', 'add', '--detach', worktree, revision], { stdio: 'ignore' })
  symlinkSync(join(root, 'node_modules'), join(worktree, 'node_modules'))
  const places = ['was', 'is'].map((name) => join(folder, name))
  for (const place of places) mkdirSync(place)
  const [was, is] = [build(worktree, places[0]!), build(root, places[1]!)] as const
  const cases = []
  for (const [tune, changes] of Object.entries(tunes))
    for (const [name, choices] of Object.entries(briefs)) {
      const [before, after] = [await show(was, changes, choices), await show(is, changes, choices)]
      cases.push({ name: `${tune}, ${name}`, changes, before, after })
      const same = before.text === after.text && before.pictures.join() === after.pictures.join()
      process.stdout.write(`${same ? 'same   ' : 'changed'} ${tune}, ${name}\n`)
    }
  mkdirSync(out, { recursive: true })
  const page = resolve(out, 'gallery.html')
  writeFileSync(page, galleryPage(revision, cases))
  process.stdout.write(`${page}\n`)
} finally {
  spawnSync('git', ['worktree', 'remove', '--force', worktree])
  rmSync(folder, { recursive: true, force: true })
}
