/** The server's life as a process: whoever started it goes, whoever read its log goes, its disk is full. Each with a real process. */
import { type ChildProcess, spawn } from 'node:child_process'
import { mkdirSync, openSync, readFileSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { join } from 'node:path'
import { build } from 'esbuild'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { serverMemory } from '../../web/server/starter.ts'
import { buildServer, get } from './serve.ts'

const { scripts } = JSON.parse(readFileSync('package.json', 'utf8')) as { scripts: { start: string } }

let folder = ''
beforeAll(async () => {
  folder = await buildServer()
  const main = (server: string) => `import { serve } from '${server}'\nawait serve({ port: 0, workers: 1 })\n`
  writeFileSync(join(folder, 'main.js'), main('./server/server.js'))
  // Where a build puts them: `npm start` finds the command beside itself.
  const outfile = join(folder, 'dist', 'web', 'server', 'start.js')
  await build({ entryPoints: ['web/server/start.ts'], outfile, bundle: true, platform: 'node', format: 'esm' })
  mkdirSync(join(folder, 'dist', 'lib'))
  writeFileSync(join(folder, 'dist', 'lib', 'cli.js'), main('../../server/server.js'))
  writeFileSync(join(folder, 'package.json'), JSON.stringify({ type: 'module', scripts: { start: scripts.start } }))
})

const started: ChildProcess[] = []
afterAll(() => {
  for (const child of started) child.kill('SIGKILL')
})

/** Starts it and waits for the address that it prints. */
async function start(
  command: string,
  args: readonly string[],
  log: 'pipe' | number,
  own: Readonly<Record<string, string>> = {},
  detached = false,
): Promise<[ChildProcess, string]> {
  // Whether or not these tests run below npm, what is started does only where it starts it.
  const { npm_lifecycle_event: _, ...env } = process.env
  const child = spawn(command, args, { cwd: folder, detached, env: { ...env, ...own }, stdio: ['ignore', 'pipe', log] })
  started.push(child)
  const address = await new Promise<string>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`ended with ${code}`)))
    let out = ''
    child.stdout!.on('data', (chunk: Buffer) => {
      out += chunk.toString()
      const [said] = /http:\/\/\S+/.exec(out) ?? []
      if (said) resolve(said)
    })
  })
  return [child, address]
}

const ended = (child: ChildProcess) => new Promise<number | null>((resolve) => child.once('exit', resolve))

/** Whether anybody listens at an address. */
const listens = (address: string): Promise<boolean> =>
  new Promise((resolve) => {
    const { hostname, port } = new URL(address)
    const socket = connect(Number(port), hostname, () => {
      socket.destroy()
      resolve(true)
    })
    socket.on('error', () => resolve(false))
  })

describe('the process', () => {
  test.each([['SIGTERM'], ['SIGKILL'], ['SIGHUP']] as const)(
    '`npm start` told %s leaves no server behind',
    async (signal) => {
      const [npm, address] = await start('npm', ['start', '--silent'], 'pipe')
      expect(await get(`${address}health`)).toMatchObject({ status: 200 })
      const gone = ended(npm)
      npm.kill(signal)
      await gone
      await expect.poll(() => listens(address), { timeout: 20_000, interval: 100 }).toBe(false)
    },
  )

  test('a terminal that interrupts all that it started stops all of it', async () => {
    const [npm, address] = await start('npm', ['start', '--silent'], 'pipe', {}, true)
    const gone = ended(npm)
    process.kill(-npm.pid!, 'SIGINT')
    await gone
    await expect.poll(() => listens(address), { timeout: 20_000, interval: 100 }).toBe(false)
  })

  test.each([['SIGTERM'], ['SIGINT'], ['SIGKILL'], ['SIGHUP']] as const)(
    'what `npm start` runs, told %s, stops the server that it started',
    async (signal) => {
      const [child, address] = await start(process.execPath, ['dist/web/server/start.js'], 'pipe')
      const code = ended(child)
      child.kill(signal)
      // What is begun is answered, and it ends as the server does; a signal that cannot be heard is its own end.
      expect(await code).toBe(['SIGTERM', 'SIGINT'].includes(signal) ? 0 : null)
      await expect.poll(() => listens(address), { timeout: 20_000, interval: 100 }).toBe(false)
    },
  )

  test('its server gives memory back to the machine, unless told otherwise, and ends it when it ends', async () => {
    for (const own of [{}, { MALLOC_ARENA_MAX: '3' }]) {
      const [child, address] = await start(process.execPath, ['dist/web/server/start.js'], 'pipe', own)
      const server = Number(readFileSync(`/proc/${child.pid}/task/${child.pid}/children`, 'utf8'))
      const given = readFileSync(`/proc/${server}/environ`, 'utf8').split('\0')
      for (const [name, value] of Object.entries({ ...serverMemory, ...own }))
        expect(given).toContain(`${name}=${value}`)
      const code = ended(child)
      process.kill(server, 'SIGKILL')
      expect(await code).toBe(1)
      expect(await listens(address)).toBe(false)
    }
  })

  test('it says why the server did not start, and ends as that does', async () => {
    const child = spawn(process.execPath, ['dist/web/server/start.js'], {
      cwd: folder,
      env: { ...process.env, WORKERS: 'abc' },
      stdio: ['ignore', 'pipe', 'pipe'],
    })
    let said = ''
    child.stderr.on('data', (chunk: Buffer) => {
      said += chunk.toString()
    })
    expect(await ended(child)).toBe(1)
    expect(said).toContain('WORKERS')
  })

  test('a log that nobody reads any more ends nothing', async () => {
    const [child, address] = await start(process.execPath, ['main.js'], 'pipe')
    child.stderr!.destroy()
    child.stdout!.destroy()
    for (let time = 0; time < 50; time++) expect(await get(`${address}help`)).toMatchObject({ status: 200 })
    const code = ended(child)
    child.kill('SIGTERM')
    expect(await code).toBe(0)
  })

  test('nor does a log on a full disk (/dev/full of Linux)', async () => {
    const [child, address] = await start(process.execPath, ['main.js'], openSync('/dev/full', 'w'))
    for (let time = 0; time < 50; time++) expect(await get(`${address}help`)).toMatchObject({ status: 200 })
    const code = ended(child)
    child.kill('SIGTERM')
    expect(await code).toBe(0)
  })
})
