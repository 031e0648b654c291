/** What the server promises about itself, over real connections: how many it takes, where it listens, what may be kept for ever. */
import { connect, type Socket } from 'node:net'
import { describe, expect, test, vi } from 'vitest'
import { webLimits } from '../../../web/server/limits.ts'
import { buildServer, get, startForTests } from '../serve.ts'

const built = await buildServer()
const server = await startForTests({ workers: 1 }, built)
const picture = (more: Readonly<Record<string, string>>) =>
  `${server.address}line.svg?${new URLSearchParams({ changes: '| Dm7 | G7 |', ...more })}`

/** Connects; null where nobody takes it. */
const reach = (host: string, port: number): Promise<Socket | null> =>
  new Promise((resolve) => {
    const socket = connect(port, host, () => resolve(socket))
    socket.on('error', () => resolve(null))
  })

describe('kept for ever', () => {
  test('is only what names this very build', async () => {
    const [, build] = /\.\/assets\/([\w-]{12})\//.exec((await get(server.address)).text)!
    const said = async (more: Readonly<Record<string, string>>) =>
      (await get(picture(more))).headers.get('cache-control')
    expect(await said({ v: build! })).toBe('public, max-age=31536000, immutable')
    for (const v of ['zzz', '', 'constructor', `${build}x`, build!.slice(1), build!.toLowerCase()])
      expect(await said({ v }), v).toBe('public, no-cache')
    expect(await said({})).toBe('public, no-cache')
  })

  test('is nothing that says the host of its request, by a cache between that may take no notice of hosts; where ORIGIN is set, it says that', async () => {
    const placed = await startForTests({ workers: 1, origin: 'https://lines.example.org' }, built)
    const [, build] = /\.\/assets\/([\w-]{12})\//.exec((await get(server.address)).text)!
    // Those whose words or codes begin with where the reader sees the server; and, of each kind, one that tells nothing of it.
    const saying = ['', 'plan', 'plan.pdf', 'plan.ics', 'line.pdf', 'line.zip', 'worksheet.pdf', 'packet.zip']
    const others = ['line.svg', 'line.json', 'choices', 'packet', 'help']
    const kept = async (address: string, path: string) => {
      const query = new URLSearchParams({ changes: '| Dm7 | G7 |', from: '2026-11-30', at: '1.1', v: build! })
      const { status, headers } = await get(`${address}${path}?${query}`)
      expect(status, path).toBe(200)
      return headers.get('cache-control')!
    }
    for (const path of saying) {
      expect(await kept(server.address, path), path).toMatch(/^private, /)
      expect(await kept(placed.address, path), path).toMatch(/^public, /)
    }
    for (const path of others) expect(await kept(server.address, path), path).toMatch(/^public, /)
  })

  test('is no page of another build: its files are not there', async () => {
    const { status, headers } = await get(`${server.address}assets/aaaaaaaaaaaa/page.css`)
    expect([status, headers.get('cache-control')]).toEqual([404, 'public, no-cache'])
  })
})

describe('connections', () => {
  test(`${webLimits.connectionsEach} from one address are held, no more; once they are gone there is room again`, async () => {
    const own = await startForTests({ workers: 1 }, built)
    const { port } = own
    const open: Socket[] = []
    const closed = new Set<Socket>()
    for (let n = 0; n < webLimits.connectionsEach + 20; n++) {
      const socket = (await reach('localhost', port))!
      socket.once('close', () => closed.add(socket))
      open.push(socket)
    }
    await expect.poll(() => closed.size, { timeout: 5_000 }).toBe(20)
    for (const socket of open.slice(0, webLimits.connectionsEach)) expect(closed.has(socket)).toBe(false)
    for (const socket of open) socket.destroy()
    await expect
      .poll(
        () =>
          get(`${own.address}health`).then(
            ({ status }) => status,
            () => 0,
          ),
        { timeout: 5_000 },
      )
      .toBe(200)
  })

  // 127.0.0.2 is another address of the same Linux machine, as one of its network would be: a server at `localhost` alone has it not.
  test.skipIf(process.platform !== 'linux')(
    'are taken from this machine alone, from all where it is asked for',
    async () => {
      const open = await startForTests({ workers: 1, host: '0.0.0.0' }, built)
      const there = await reach('127.0.0.2', open.port)
      expect(there).not.toBeNull()
      there?.destroy()
      expect(await reach('127.0.0.2', server.port)).toBeNull()
    },
  )
})

describe('how often one may ask', () => {
  test('is counted by a clock that nobody sets: the time of day put back an hour lets nobody wait that hour', async () => {
    const own = await startForTests({ workers: 1, perMinute: 2 }, built)
    const limited = async () => {
      const { status, headers } = await get(`${own.address}help`)
      return [status, Number(headers.get('retry-after')), headers.get('ratelimit')] as const
    }
    await limited()
    await limited()
    vi.useFakeTimers({ toFake: ['Date'], now: Date.now() - 3_600_000 })
    try {
      const [status, wait, told] = await limited()
      expect(status).toBe(429)
      expect(wait).toBeGreaterThan(0)
      expect(wait).toBeLessThanOrEqual(60)
      expect(told).toMatch(/; r=0; t=([1-9]|[1-5]\d|60)$/)
    } finally {
      vi.useRealTimers()
    }
  })

  test('behind a proxy is counted by what that wrote, whatever the client wrote before it', async () => {
    const own = await startForTests({ workers: 1, perMinute: 3, proxies: 1 }, built)
    const statuses: number[] = []
    for (const made of ['1.1.1.1', '2001:db8::1', 'constructor', ',,,', '9'.repeat(4_000)])
      statuses.push(
        (await fetch(`${own.address}help`, { headers: { 'x-forwarded-for': `${made}, 192.0.2.7` } })).status,
      )
    expect(statuses).toEqual([200, 200, 200, 429, 429])
  })
})

describe('behind a proxy that passes on what a client wrote', () => {
  test('no link, code or calendar says a host or a scheme that the client made up', async () => {
    const own = await startForTests({ workers: 1, proxies: 1 }, built)
    const query = new URLSearchParams({ changes: '| Dm7 | G7 |', from: '2026-11-30' })
    // As a proxy leaves them that sets no X-Forwarded-Host and puts its scheme behind what is there.
    const headers = { 'x-forwarded-host': 'forged.example, 192.0.2.7', 'x-forwarded-proto': 'https, http' }
    for (const path of ['', 'plan', 'plan.ics']) {
      const asked = async (headers: Readonly<Record<string, string>>) =>
        (await fetch(`${own.address}${path}?${query}`, { headers })).text()
      const text = await asked(headers)
      expect(text === (await asked({})), path).toBe(true)
      if (path !== '') expect(text.replace(/\r?\n[ \t]/g, ''), path).toContain(`http://localhost:${own.port}/`)
    }
    expect(
      await (await fetch(`${own.address}plan?${query}`, { headers: { 'x-forwarded-proto': 'https' } })).text(),
    ).toContain(`https://localhost:${own.port}/`)
  })
})
