/** Builds the server and the page from their sources into a folder of its own, so that tests never meet a stale build. */
import { mkdtempSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'
import { afterAll } from 'vitest'
import { buildPage } from '../../web/buildPage.ts'
import { noLog } from '../../web/server/log.ts'
import type { Running, ServerOptions } from '../../web/server/server.ts'

const root = fileURLToPath(new URL('../../', import.meta.url))

/** Builds into a new folder below `node_modules`, where the packages are found; gives its path. */
export async function buildServer(): Promise<string> {
  const out = mkdtempSync(join(root, 'node_modules', '.throughline-test-'))
  folders.push(out)
  await build({
    entryPoints: {
      'server/server': join(root, 'web/server/server.ts'),
      'server/worker': join(root, 'web/server/worker.ts'),
      'server/pool': join(root, 'web/server/pool.ts'),
      'server/fileWorker': join(root, 'web/server/fileWorker.ts'),
    },
    outdir: out,
    bundle: true,
    platform: 'node',
    format: 'esm',
    target: 'node20',
    packages: 'external',
    logLevel: 'warning',
  })
  await buildPage(join(root, 'web/browser'), join(out, 'browser'))
  return out
}

/** What the tests of a file started and built; closed and taken away after them. */
const running: Running[] = []
const folders: string[] = []
afterAll(async () => {
  for (const server of running.splice(0)) await server.close()
  for (const folder of folders.splice(0)) rmSync(folder, { recursive: true, force: true })
})

/** Starts the real server on a free port for the tests of a file, built anew unless a build is given. */
export async function startForTests(options: ServerOptions = {}, built: string | null = null): Promise<Running> {
  const folder = built ?? (await buildServer())
  const { startServer } = (await import(
    /* @vite-ignore */ pathToFileURL(join(folder, 'server', 'server.js')).href
  )) as {
    startServer: (options: ServerOptions) => Promise<Running>
  }
  const started = await startServer({ log: noLog, perMinute: 0, ...options })
  running.push(started)
  return started
}

export interface Got {
  readonly status: number
  readonly headers: Headers
  readonly text: string
}

const read = async (response: Response): Promise<Got> => ({
  status: response.status,
  headers: response.headers,
  text: await response.text(),
})

export const get = async (address: string): Promise<Got> => read(await fetch(address, { redirect: 'manual' }))

/** Posts a form; where it leads is not followed unless asked. */
export const post = async (
  address: string,
  fields: Readonly<Record<string, string>>,
  redirect: 'manual' | 'follow' = 'manual',
): Promise<Got> => read(await fetch(address, { method: 'POST', body: new URLSearchParams(fields), redirect }))
