/** The system's temporary folder while a server runs: swept, full, or not there at all. Only what is made of files may suffer. */
import { mkdtempSync, readdirSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, beforeEach, describe, expect, test } from 'vitest'
import { buildServer, get, startForTests } from './serve.ts'

const built = await buildServer()
const before = process.env.TMPDIR
let folder = ''
beforeEach(() => {
  folder = mkdtempSync(join(before ?? tmpdir(), 'temporary-'))
})
afterAll(() => {
  if (before === undefined) delete process.env.TMPDIR
  else process.env.TMPDIR = before
})

/** Starts a server whose system has its temporary files there, and asks it for a recording. */
async function recorder(temporary: string) {
  process.env.TMPDIR = temporary
  const logged: Readonly<Record<string, unknown>>[] = []
  const { address } = await startForTests({ workers: 1, log: (entry) => logged.push(entry) }, built)
  const record = async () => {
    const response = await fetch(`${address}sound.mid?changes=%7C+Dm7+%7C+G7+%7C`)
    return [response.status, (await response.arrayBuffer()).byteLength] as const
  }
  return { address, record, said: () => logged.map(({ event }) => event) }
}

describe('a temporary folder', () => {
  test('whose files are swept away is written into again', async () => {
    const { record } = await recorder(folder)
    const [status, bytes] = await record()
    expect(status).toBe(200)
    const [own] = readdirSync(folder)
    for (const file of readdirSync(join(folder, own!))) rmSync(join(folder, own!, file))
    expect(await record()).toEqual([200, bytes])
    rmSync(join(folder, own!), { recursive: true })
    expect(await record()).toEqual([200, bytes])
    // A name that was ours and is no folder any more is left alone.
    const [next] = readdirSync(folder)
    rmSync(join(folder, next!), { recursive: true })
    writeFileSync(join(folder, next!), '')
    expect(await record()).toEqual([200, bytes])
  })

  test('that is not there is logged and told; pages and pictures come', async () => {
    const { address, record, said } = await recorder(join(folder, 'gone'))
    expect((await record())[0]).toBe(503)
    expect((await get(`${address}line.svg?changes=%7C+Dm7+%7C`)).status).toBe(200)
    expect(said()).toContain('no-temporary-folder')
    expect(said()).not.toContain('bug')
  })
})
