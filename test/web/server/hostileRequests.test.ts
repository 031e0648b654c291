/** Requests that ask for more than they let on, over real connections: bodies held open, requests without end on one connection, two hosts. */
import { connect, type Socket } from 'node:net'
import { describe, expect, test } from 'vitest'
import { webLimits } from '../../../web/server/limits.ts'
import { get, startForTests } from '../serve.ts'

const server = await startForTests({ workers: 1 })

/** A connection, and all that has come back on it so far. */
interface Talk {
  readonly socket: Socket
  readonly said: () => string
  readonly ended: Promise<void>
}

function talk(text: string | Buffer): Talk {
  let said = ''
  const socket = connect(server.port, 'localhost', () => socket.write(text))
  socket.on('data', (piece: Buffer) => {
    said += piece.toString('latin1')
  })
  // A server that has ended the connection may refuse what is still written.
  socket.on('error', () => undefined)
  return { socket, said: () => said, ended: new Promise((resolve) => socket.once('close', () => resolve())) }
}

const statuses = (said: string) => [...said.matchAll(/HTTP\/1\.1 (\d{3})/g)].map(([, status]) => status)
const ask = (path: string) => `GET ${path} HTTP/1.1\r\nHost: localhost\r\n\r\n`

describe('bodies', () => {
  test('that never end hold no more than one address may, the rest are told to come back, and there is room again', async () => {
    const each = 3_900_000
    const most = Math.floor(webLimits.bodiesEach / each)
    const head = `POST /read HTTP/1.1\r\nHost: localhost\r\nContent-Length: ${each}\r\n\r\n`
    const talks = Array.from({ length: 12 }, () => talk(Buffer.concat([Buffer.from(head), Buffer.alloc(each - 1, 65)])))
    const open = () => talks.filter(({ socket }) => !socket.destroyed)
    await expect.poll(() => open().length, { timeout: 8_000 }).toBeLessThanOrEqual(most)
    for (const { said } of talks) expect(['', '503']).toContain(statuses(said()).join())
    for (const { socket } of open()) socket.destroy()
    const read = async () =>
      (await fetch(`${server.address}read`, { method: 'POST', body: '| Dm7 | G7 |'.repeat(10) })).status
    await expect.poll(read, { timeout: 5_000 }).toBe(200)
  })
})

test('an answer is unpacked for who takes nothing packed without a warning of too many who listen', async () => {
  const warnings: Error[] = []
  const hear = (warning: Error) => warnings.push(warning)
  process.on('warning', hear)
  const body = new URLSearchParams({ changes: '| Dm7 '.repeat(20), edit: 'up', keep: '1-2' }).toString()
  const head = `Host: localhost\r\nContent-Type: application/x-www-form-urlencoded\r\nContent-Length: ${body.length}`
  const { said, ended } = talk(`POST /line.json HTTP/1.1\r\n${head}\r\nConnection: close\r\n\r\n${body}`)
  await ended
  process.off('warning', hear)
  expect(said()).not.toContain('Content-Encoding')
  expect(said()).toContain('{')
  expect(warnings).toEqual([])
})

describe('requests on one connection', () => {
  test(`${webLimits.pipelined} without waiting are answered in order`, async () => {
    const all = Array.from({ length: webLimits.pipelined }, (_, n) => ask(n % 2 === 0 ? '/health' : '/gone')).join('')
    const { socket, said } = talk(all)
    await expect.poll(() => statuses(said()).length, { timeout: 5_000 }).toBe(webLimits.pipelined)
    expect(statuses(said())).toEqual(
      Array.from({ length: webLimits.pipelined }, (_, n) => (n % 2 === 0 ? '200' : '404')),
    )
    socket.destroy()
  })

  test('a thousand without waiting end it', async () => {
    const { said, ended } = talk(Array.from({ length: 1_000 }, (_, n) => ask(`/line.svg?changes=C&seed=${n}`)).join(''))
    await ended
    expect(statuses(said()).length).toBeLessThanOrEqual(webLimits.pipelined)
    expect((await get(`${server.address}health`)).status).toBe(200)
  })

  test('two hosts in one request are refused', async () => {
    const { said, ended } = talk('GET /help HTTP/1.1\r\nHost: a\r\nHost: b\r\nConnection: close\r\n\r\n')
    await ended
    expect(statuses(said())).toEqual(['400'])
  })
})

test(`of a form's fields the first ${webLimits.fields} are read, whatever comes after them`, async () => {
  const form = (others: number) => ({
    method: 'POST',
    redirect: 'manual' as const,
    headers: { 'content-type': 'application/x-www-form-urlencoded' },
    body: `${'x=&'.repeat(others)}changes=%7C+C+%7C`,
  })
  const leadsTo = async (others: number) =>
    (await fetch(server.address, form(others))).headers.get('location')!.includes('changes')
  expect(await leadsTo(webLimits.fields - 1)).toBe(true)
  expect(await leadsTo(webLimits.fields)).toBe(false)
})
