/** Sends requests to a server on this machine, so many at once or so many a second, and says how long they took. */
import { type ChildProcess, spawn } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { Agent, request } from 'node:http'

export interface Served {
  readonly address: string
  readonly process: ChildProcess
  /** Milliseconds from the start of the process to its first whole page. */
  readonly started: number
  stop(): Promise<number | null>
}

/** What `npm start` runs, its own port aside. */
const startWords = (): readonly string[] => {
  const { scripts } = JSON.parse(readFileSync('package.json', 'utf8')) as { scripts: { start: string } }
  return scripts.start.split(' ').slice(1)
}

/** Starts the built server as `npm start` does, without a limit of requests, and waits for its first page. */
export async function startBuilt(): Promise<Served> {
  const began = performance.now()
  const child = spawn(process.execPath, [...startWords(), '--port', '0'], {
    env: { ...process.env, REQUESTS_PER_MINUTE: '0' },
    stdio: ['ignore', 'pipe', 'ignore'],
  })
  const address = await new Promise<string>((resolve, reject) => {
    child.once('exit', (code) => reject(new Error(`the server ended with ${code}: build it first`)))
    child.stdout!.once('data', (chunk: Buffer) => resolve(chunk.toString().trim()))
  })
  const { status } = await ask(address, new Agent())
  if (status !== 200) throw new Error(`the first page came with ${status}`)
  const started = performance.now() - began
  const ended = new Promise<number | null>((resolve) => child.once('exit', resolve))
  return {
    address,
    process: child,
    started,
    stop: () => {
      child.kill('SIGTERM')
      return ended
    },
  }
}

/**
 * Megabytes that the server holds now, with the process that `npm start` started it from: what each has of its own, and the files that
 * both have read, such as Node itself, once (RssAnon, RssShmem and RssFile of proc(5)).
 */
export function memoryOf({ process: child }: Served): number {
  const children = readFileSync(`/proc/${child.pid}/task/${child.pid}/children`, 'utf8').trim().split(' ')
  const statuses = [`${child.pid}`, ...children.filter((id) => id !== '')].map((id) =>
    readFileSync(`/proc/${id}/status`, 'utf8'),
  )
  const kilobytes = (status: string, name: string): number =>
    Number(new RegExp(`^${name}:\\s+(\\d+)`, 'm').exec(status)![1])
  const own = statuses.map((status) => kilobytes(status, 'RssAnon') + kilobytes(status, 'RssShmem'))
  const files = Math.max(...statuses.map((status) => kilobytes(status, 'RssFile')))
  return (own.reduce((sum, each) => sum + each, 0) + files) / 1_024
}

export interface Asked {
  readonly status: number
  readonly ms: number
  readonly bytes: number
  readonly text: string
}

/** One request; the body is kept as text only where the status is not 200. Status 0 is no answer. */
export function ask(address: string, agent: Agent, form: string | null = null): Promise<Asked> {
  const began = performance.now()
  return new Promise((resolve) => {
    const headers = {
      'accept-encoding': 'gzip',
      ...(form === null
        ? {}
        : { 'content-type': 'application/x-www-form-urlencoded', 'content-length': Buffer.byteLength(form) }),
    }
    const sent = request(address, { agent, method: form === null ? 'GET' : 'POST', headers }, (response) => {
      const chunks: Buffer[] = []
      response.on('data', (chunk: Buffer) => chunks.push(chunk))
      response.on('end', () => {
        const body = Buffer.concat(chunks)
        const status = response.statusCode ?? 0
        resolve({
          status,
          ms: performance.now() - began,
          bytes: body.length,
          text: status === 200 ? '' : body.toString('latin1'),
        })
      })
      response.on('error', () => resolve({ status: 0, ms: performance.now() - began, bytes: 0, text: 'cut off' }))
    })
    sent.on('error', (error) => resolve({ status: 0, ms: performance.now() - began, bytes: 0, text: error.message }))
    sent.end(form)
  })
}

/** So many requests, so many at once, as fast as they are answered. */
export async function flood(
  count: number,
  atOnce: number,
  addressAt: (n: number) => string,
): Promise<{ readonly asked: readonly Asked[]; readonly perSecond: number }> {
  const agent = new Agent({ keepAlive: true, maxSockets: atOnce })
  const asked: Asked[] = []
  const began = performance.now()
  let next = 0
  await Promise.all(
    Array.from({ length: atOnce }, async () => {
      for (let n = next++; n < count; n = next++) asked.push(await ask(addressAt(n), agent))
    }),
  )
  const perSecond = (count / (performance.now() - began)) * 1_000
  agent.destroy()
  return { asked, perSecond }
}

/** So many requests a second for so many seconds, whether answered or not; each is timed from when it was due. */
export async function pace(
  perSecond: number,
  seconds: number,
  addressAt: (n: number) => string,
): Promise<readonly Asked[]> {
  const agent = new Agent({ keepAlive: true, maxSockets: 256 })
  const began = performance.now()
  const going: Promise<Asked>[] = []
  for (let n = 0; n < perSecond * seconds; n++) {
    const due = began + (n / perSecond) * 1_000
    const wait = due - performance.now()
    if (wait > 0) await new Promise((resolve) => setTimeout(resolve, wait))
    const late = Math.max(0, performance.now() - due)
    going.push(ask(addressAt(n), agent).then((each) => ({ ...each, ms: each.ms + late })))
  }
  const asked = await Promise.all(going)
  agent.destroy()
  return asked
}

/** The time that so many per cent keep below. */
export function percentile(asked: readonly Asked[], share: number): number {
  const times = asked.map(({ ms }) => ms).sort((a, b) => a - b)
  return times[Math.min(times.length - 1, Math.floor(times.length * share))] ?? 0
}

/** 32 bars, so that figures can be compared. */
export const thirtyTwo = `Title: The Ferry Leaves at Nine
Key: Eb
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Ebmaj7 Cm7 | Fm7 Bb7 |
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Eb6 | Eb6 |
| Bbm7 | Eb7 | Abmaj7 | Abmaj7 | Am7b5 | D7b9 | Gm7 C7 | Fm7 Bb7 |
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Eb6 | Eb6 |`

export const svgOf = (address: string, seed: number): string =>
  `${address}line.svg?${new URLSearchParams({ changes: thirtyTwo, seed: String(seed) })}`
