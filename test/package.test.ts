/** The package as others get it: packed, unpacked beside what it depends on and nothing else, and run as the README says. */
import { spawnSync } from 'node:child_process'
import {
  cpSync,
  existsSync,
  lstatSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  symlinkSync,
  writeFileSync,
} from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { afterAll, beforeAll, expect, test } from 'vitest'

const root = process.cwd()
const folder = mkdtempSync(join(tmpdir(), 'throughline-package-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** Where a program stands that has installed the package. */
const program = join(folder, 'program')
const installed = join(program, 'node_modules', 'throughline')
const run = (command: string, args: readonly string[], cwd: string) =>
  spawnSync(command, args, { cwd, encoding: 'utf8', env: { ...process.env, npm_config_update_notifier: 'false' } })

interface Locked {
  readonly dev?: boolean
}
const lock = JSON.parse(readFileSync('package-lock.json', 'utf8')) as { packages: Record<string, Locked> }
/** What `npm install --omit=dev` puts beside the package. */
const needed = Object.entries(lock.packages).flatMap(([path, { dev }]) =>
  path !== '' && !dev && existsSync(path) ? [path] : [],
)

beforeAll(() => {
  const checkout = join(folder, 'checkout')
  mkdirSync(checkout)
  const kept = readdirSync(root).filter((name) => !/^(\.git|node_modules|dist|test)$/.test(name))
  for (const name of kept) cpSync(join(root, name), join(checkout, name), { recursive: true })
  symlinkSync(join(root, 'node_modules'), join(checkout, 'node_modules'))
  const packed = run('npm', ['pack', '--silent', '--pack-destination', folder], checkout)
  expect(packed.status, packed.stderr).toBe(0)
  const tarball = readdirSync(folder).find((name) => name.endsWith('.tgz'))!
  mkdirSync(installed, { recursive: true })
  expect(run('tar', ['-xzf', join(folder, tarball), '-C', installed, '--strip-components=1'], folder).status).toBe(0)
  for (const path of needed) {
    mkdirSync(dirname(join(program, path)), { recursive: true })
    if (!existsSync(join(program, path))) cpSync(join(root, path), join(program, path), { recursive: true })
  }
  writeFileSync(join(program, 'package.json'), '{ "type": "module" }')
}, 240_000)

const filesOf = (from: string): readonly string[] =>
  readdirSync(from, { recursive: true, encoding: 'utf8' }).filter((file) => lstatSync(join(from, file)).isFile())

test('the README’s program runs', () => {
  const [, code = ''] = /```js\n([\s\S]*?)```/.exec(readFileSync('README.md', 'utf8'))!
  expect(code.trimEnd().split('\n').length).toBeLessThanOrEqual(10)
  writeFileSync(join(program, 'program.js'), code)
  const { status, stdout, stderr } = run(process.execPath, ['program.js'], program)
  expect([status, stderr]).toEqual([0, ''])
  const lines = stdout.trimEnd().split('\n')
  expect(lines).toHaveLength(12)
  for (const line of lines) expect(line).toMatch(/^(([A-G][b#]?\d|-) ?){20,}$/)
  expect(readFileSync(join(program, 'lines.pdf')).toString('latin1', 0, 5)).toBe('%PDF-')
})

test('the command line writes and records, with recorded notes and odd characters', () => {
  const cli = join(installed, 'dist', 'lib', 'cli.js')
  writeFileSync(join(program, 'tune.txt'), 'Title: Ⅻ\n| Dm7 | G7 | C6 | A7 |\n')
  for (const name of ['a.flac', 'a.pdf', 'a.png']) {
    const { status, stderr } = run(
      process.execPath,
      [cli, 'line', 'tune.txt', '--sound', 'sampled', '-o', name],
      program,
    )
    expect([name, status, stderr]).toEqual([name, 0, ''])
    expect(existsSync(join(program, name))).toBe(true)
  }
})

test('each door opens, and names its types', () => {
  const { exports } = JSON.parse(readFileSync(join(installed, 'package.json'), 'utf8')) as {
    exports: Record<string, string | { types: string; default: string }>
  }
  for (const [door, to] of Object.entries(exports)) {
    if (typeof to === 'string') continue
    expect(existsSync(join(installed, to.types)), door).toBe(true)
    const name = door.replace('.', 'throughline')
    const { status, stderr } = run(
      process.execPath,
      ['-e', `import('${name}').then((m) => process.exit(Object.keys(m).length > 3 ? 0 : 1))`],
      program,
    )
    expect([door, status, stderr]).toEqual([door, 0, ''])
  }
})

test('a package of another version makes another build, so that nothing kept for ever is of both', () => {
  const assets = join(installed, 'dist', 'web', 'server', 'assets.js')
  const build = () => run(process.execPath, ['-e', `import('${assets}').then((m) => console.log(m.build))`], program)
  const before = build()
  expect([before.status, before.stdout]).toEqual([0, expect.stringMatching(/^[\w-]{12}\n$/)])
  const file = join(program, 'node_modules', 'verovio', 'package.json')
  const text = readFileSync(file, 'utf8')
  writeFileSync(file, text.replace(/"version": "[^"]+"/, '"version": "0.0.1"'))
  const after = build().stdout
  writeFileSync(file, text)
  expect(after).not.toBe(before.stdout)
  expect(build().stdout).toBe(before.stdout)
})

test('what only the build needs stays behind, and all together is under 100 MB', () => {
  const own = filesOf(installed)
  expect(own.filter((file) => /build(Page|Samples)|^(test|lib|web)\/|\.sf3/.test(file))).toEqual([])
  expect(own).toContain('dist/web/browser/samples-0.bin')
  expect(own).toContain('dist/web/browser/samples-licence.txt')
  expect(own).toContain('dist/lib/engrave/pdf/DejaVuSans-licence.txt')
  const everything = join(program, 'node_modules')
  const bytes = filesOf(everything).reduce((sum, file) => sum + lstatSync(join(everything, file)).size, 0)
  expect(bytes).toBeGreaterThan(20e6)
  expect(bytes).toBeLessThan(100e6)
})
