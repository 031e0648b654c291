/** The package as others get it: packed, installed in an empty folder without what only the build needs, and run as the README says. */
import { spawn, spawnSync } from 'node:child_process'
import { once } from 'node:events'
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
import { build as bundle } from 'esbuild'
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
/** What is there where no registry can be reached: the tarball unpacked, and beside it copies of what the lock file says that it needs. */
function unpack(tarball: string): void {
  mkdirSync(installed, { recursive: true })
  expect(run('tar', ['-xzf', tarball, '-C', installed, '--strip-components=1'], folder).status).toBe(0)
  mkdirSync(join(program, 'node_modules', '.bin'))
  symlinkSync('../throughline/dist/lib/cli.js', join(program, 'node_modules', '.bin', 'throughline'))
  const lock = JSON.parse(readFileSync('package-lock.json', 'utf8')) as { packages: Record<string, Locked> }
  const needed = Object.entries(lock.packages).filter(([path, { dev }]) => path !== '' && !dev && existsSync(path))
  for (const [path] of needed) {
    mkdirSync(dirname(join(program, path)), { recursive: true })
    if (!existsSync(join(program, path))) cpSync(join(root, path), join(program, path), { recursive: true })
  }
}

beforeAll(() => {
  const checkout = join(folder, 'checkout')
  mkdirSync(checkout)
  const kept = readdirSync(root).filter((name) => !/^(\.git|node_modules|dist|test)$/.test(name))
  for (const name of kept) cpSync(join(root, name), join(checkout, name), { recursive: true })
  symlinkSync(join(root, 'node_modules'), join(checkout, 'node_modules'))
  const packed = run('npm', ['pack', '--silent', '--pack-destination', folder], checkout)
  expect(packed.status, packed.stderr).toBe(0)
  const tarball = join(folder, readdirSync(folder).find((name) => name.endsWith('.tgz'))!)
  mkdirSync(program)
  writeFileSync(join(program, 'package.json'), '{ "type": "module" }')
  const got = run(
    'npm',
    ['install', tarball, '--omit=dev', '--engine-strict', '--prefer-offline', '--no-audit', '--no-fund'],
    program,
  )
  // A machine of one's own may have no registry to ask; where CI runs there is one.
  if (
    got.status !== 0 &&
    process.env.CI !== 'true' &&
    /ENOTFOUND|EAI_AGAIN|ECONNREFUSED|ENOTCACHED|ETIMEDOUT/.test(got.stderr)
  ) {
    rmSync(join(program, 'node_modules'), { recursive: true, force: true })
    unpack(tarball)
  } else expect(got.status, got.stderr).toBe(0)
}, 240_000)

/** The command as a program or a person has it that installed the package. */
const command = join(program, 'node_modules', '.bin', 'throughline')

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

test('the command says its version, and serves the page until it is told to stop', async () => {
  const { version } = JSON.parse(readFileSync('package.json', 'utf8')) as { version: string }
  const { status, stdout, stderr } = run(command, ['--version'], program)
  expect([status, stdout, stderr]).toEqual([0, `${version}\n`, ''])
  const server = spawn(command, ['serve', '--port', '0'], { cwd: program, stdio: ['ignore', 'pipe', 'ignore'] })
  const ended = once(server, 'exit')
  const [said] = (await once(server.stdout, 'data')) as [Buffer]
  const page = await fetch(said.toString().trim())
  expect([page.status, (await page.text()).includes('<svg')]).toEqual([200, true])
  server.kill('SIGTERM')
  expect(await ended).toEqual([0, null])
})

test('the command line writes and records, with recorded notes and odd characters', () => {
  writeFileSync(join(program, 'tune.txt'), 'Title: Ⅻ\n| Dm7 | G7 | C6 | A7 |\n')
  for (const name of ['a.flac', 'a.opus', 'a.pdf', 'a.png']) {
    const { status, stderr } = run(command, ['line', 'tune.txt', '--sound', 'sampled', '-o', name], program)
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

test('its types are whole for a program that checks them, without the packages that only it uses', () => {
  const doors = ['throughline', 'throughline/engrave', 'throughline/sound']
  const lines = doors.map(
    (name, i) => `import * as door${i} from '${name}'\nexport const has${i} = Object.keys(door${i})\n`,
  )
  writeFileSync(join(program, 'program.ts'), lines.join(''))
  const compilerOptions = { module: 'nodenext', target: 'es2023', lib: ['es2023', 'dom'], types: [], strict: true }
  const config = { compilerOptions: { ...compilerOptions, skipLibCheck: false, noEmit: true }, files: ['program.ts'] }
  writeFileSync(join(program, 'tsconfig.json'), JSON.stringify(config))
  const { status, stdout } = run(
    process.execPath,
    [join(root, 'node_modules', 'typescript', 'bin', 'tsc'), '-p', program],
    program,
  )
  expect([stdout, status]).toEqual(['', 0])
})

test('what is said to run in a browser is bundled for one, flac and all', async () => {
  const { outputFiles, errors } = await bundle({
    stdin: { contents: "export * from 'throughline'; export * from 'throughline/sound'", resolveDir: program },
    bundle: true,
    platform: 'browser',
    format: 'esm',
    write: false,
    logLevel: 'silent',
  })
  expect(errors).toEqual([])
  expect(outputFiles[0]!.text).toContain('STREAMINFO')
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

/** Licences of what the build puts into a file, by the packages that it takes for it. */
const bundles: readonly (readonly [string, Readonly<Record<string, string>>])[] = [
  ['lib/mark/abcParser-licences.txt', { abcjs: 'MIT' }],
  ['lib/opusEncoder-licences.txt', { 'libopus-wasm': 'MIT' }],
  ['lib/sound/flacAndOgg-licences.txt', { '@mediabunny/flac-encoder': 'MPL-2.0', mediabunny: 'MPL-2.0' }],
  ['web/views/handlebars-licences.txt', { handlebars: 'MIT', 'source-map': 'BSD-3-Clause' }],
]

/** Libraries within those as WebAssembly, whose licence asks that its notice goes with them (BSD, clause 2). */
const carried: Readonly<Record<string, readonly string[]>> = {
  'lib/opusEncoder-licences.txt': ['libopus'],
  'lib/sound/flacAndOgg-licences.txt': ['libFLAC'],
}

test('what only the build needs stays behind, and all together is under 100 MB', () => {
  const own = filesOf(installed)
  expect(own.filter((file) => /build(Page|Samples)|^(test|lib|web)\/|\.sf3/.test(file))).toEqual([])
  expect(own).toContain('dist/web/browser/samples-0.bin')
  expect(own).toContain('dist/web/browser/samples-licence.txt')
  expect(own).toContain('dist/lib/engrave/pdf/DejaVuSans-licence.txt')
  for (const [file, licences] of bundles) {
    const heads = readFileSync(join(installed, 'dist', file), 'utf8').matchAll(
      /^(\S+) \S+ \((\S+)\), as the npm registry/gm,
    )
    expect(Object.fromEntries([...heads].map(([, name, licence]) => [name, licence]))).toEqual(licences)
    for (const library of carried[file] ?? [])
      expect(readFileSync(join(installed, 'dist', file), 'utf8')).toMatch(
        new RegExp(`carries ${library}:\\s+Copyright[^]*AS IS`),
      )
    for (const name of Object.keys(licences)) expect(existsSync(join(program, 'node_modules', name)), name).toBe(false)
  }
  // As `du -s` has it, once by what files and folders say of themselves, once by the room they take.
  const everything = join(program, 'node_modules')
  const entries = readdirSync(everything, { recursive: true, encoding: 'utf8' }).map((name) =>
    lstatSync(join(everything, name)),
  )
  const bytes = entries.reduce((sum, { size }) => sum + size, 0)
  const room = entries.reduce((sum, { blocks }) => sum + 512 * blocks, 0)
  expect(bytes).toBeGreaterThan(20e6)
  expect(bytes).toBeLessThan(100e6)
  expect(room).toBeLessThan(100e6)
})
