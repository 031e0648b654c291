/** The server's life as a process: whoever started it goes, whoever read its log goes, its disk is full. Each with a real process. */
import { type ChildProcess, spawn } from 'node:child_process'
import { openSync, writeFileSync } from 'node:fs'
import { connect } from 'node:net'
import { join } from 'node:path'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { buildServer, get } from './serve.ts'

let folder = ''
beforeAll(async () => {
  folder = await buildServer()
  writeFileSync(
    join(folder, 'main.js'),
    "import { serve } from './server/server.js'\nawait serve({ port: 0, workers: 1 })\n",
  )
  writeFileSync(join(folder, 'package.json'), JSON.stringify({ type: 'module', scripts: { start: 'node main.js' } }))
})

const started: ChildProcess[] = []
afterAll(() => {
  for (const child of started) child.kill('SIGKILL')
})

/** Starts it and waits for the address that it prints. */
async function start(command: string, args: readonly string[], log: 'pipe' | number): Promise<[ChildProcess, string]> {
  const child = spawn(command, args, { cwd: folder, stdio: ['ignore', 'pipe', log] })
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
  test('`npm start` told SIGTERM leaves no server behind', async () => {
    const [npm, address] = await start('npm', ['start', '--silent'], 'pipe')
    expect(await get(`${address}health`)).toMatchObject({ status: 200 })
    const gone = ended(npm)
    npm.kill('SIGTERM')
    await gone
    await expect.poll(() => listens(address), { timeout: 20_000, interval: 100 }).toBe(false)
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
