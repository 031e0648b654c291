/**
 * Asks as those do who mean no good, and as those who ask for much: `node test/run.mjs test/soak/attack.ts`, after a build. Prints
 * what was found beside what must hold, and ends with 1 where it does not.
 */
import { Agent } from 'node:http'
import { connect, type Socket } from 'node:net'
import { ask, flood, memoryOf, percentile, startBuilt, svgOf } from './load.ts'

let failed = false
const say = (what: string, found: number, most: number, unit: string): void => {
  const good = found <= most
  failed ||= !good
  console.log(`${good ? 'holds' : 'FAILED'}: ${what}: ${found.toFixed(0)} ${unit}, at most ${most} ${unit}`)
}
const wait = (ms: number) => new Promise((resolve) => setTimeout(resolve, ms))

const server = await startBuilt()
const agent = new Agent({ keepAlive: true, maxSockets: 32 })
const at = (path: string, fields: Readonly<Record<string, string>>) =>
  `${server.address}${path}?${new URLSearchParams(fields)}`

/** A connection that asks for everything uncompressed and never reads. */
function askAndNeverRead(address: string): Promise<Socket> {
  const { hostname, port, pathname, search } = new URL(address)
  return new Promise((resolve, reject) => {
    const socket = connect(Number(port), hostname, () => {
      socket.pause()
      socket.write(`GET ${pathname}${search} HTTP/1.1\r\nHost: ${hostname}\r\n\r\n`, () => resolve(socket))
    })
    socket.on('error', reject)
  })
}

/** How slow `/health` was at worst while something went on. */
async function healthDuring<T>(work: Promise<T>): Promise<{ readonly done: T; readonly worst: number }> {
  let over = false
  let worst = 0
  const watch = (async () => {
    const own = new Agent({ keepAlive: true })
    while (!over) {
      worst = Math.max(worst, (await ask(`${server.address}health`, own)).ms)
      await wait(50)
    }
    own.destroy()
  })()
  const done = await work
  over = true
  await watch
  return { done, worst }
}

// A hundred readers who do not read, of one answer of several megabytes.
const large = at('line.json', { changes: `${'| Dm7 G7 | Cmaj7 A7 '.repeat(150)}|`, keys: 'fourths' })
const first = await ask(large, agent)
if (first.status !== 200) throw new Error(`the large answer came with ${first.status}`)
await wait(2_000)
const before = memoryOf(server)
const sockets = await Promise.all(Array.from({ length: 100 }, () => askAndNeverRead(large)))
await wait(4_000)
say('a hundred readers who never read take', memoryOf(server) - before, 60, 'MB')
await wait(20_000)
say('and keep', memoryOf(server) - before, 60, 'MB')
const open = sockets.filter((socket) => !socket.destroyed && socket.readyState === 'open')
for (const socket of sockets) socket.resume()
await wait(2_000)
const still = open.filter((socket) => !socket.destroyed).length
say('of their connections stay open', still, 0, 'of them')
for (const socket of sockets) socket.destroy()

// Giants beside others.
const giant = (n: number) =>
  at('line.pdf', { changes: `${'| Dm7 G7 | C6 A7 '.repeat(250)}|`, keys: 'fourths', seed: String(n) })
const whileGiants = async () => {
  const giants = [1, 2].map((n) => ask(giant(n), new Agent()))
  await wait(300)
  const small = await ask(at('line.svg', { changes: '| Dm7 | G7 | C6 |', seed: '77' }), agent)
  return { small, giants: await Promise.all(giants) }
}
const { done, worst } = await healthDuring(whileGiants())
say('a small picture while two ask for giants takes', done.small.ms, 2_000, 'ms')
say('health meanwhile, at worst', worst, 100, 'ms')
for (const { status } of done.giants)
  if (![200, 422, 503].includes(status)) say(`a giant came with ${status}`, status, 200, '')

// Four polite clients beside a giant.
const polite = await healthDuring(
  Promise.all([ask(giant(3), new Agent()), flood(240, 4, (n) => svgOf(server.address, 50_000 + n))]),
)
const { asked } = polite.done[1]
const [middle, slowest] = [percentile(asked, 0.5), percentile(asked, 0.99)]
say('four polite clients beside a giant, the slowest hundredth', slowest, 3 * middle, 'ms')
say('health meanwhile, at worst', polite.worst, 100, 'ms')

// What takes most memory of what is no giant: long pictures as they are drawn and as dots, and large files to be read.
const long = `${'| Dm7 G7 | C6 A7 '.repeat(200)}|`
const heavy = ['line.svg', 'line.png', 'line.svg'].flatMap((path) =>
  [1, 2].map((n) => at(path, { changes: long, seed: `${path.length}${n}` })),
)
for (const each of heavy) await ask(each, agent)
const file = `<score-partwise><part>${'<measure><note><duration>1</duration></note></measure>'.repeat(4_096)}</part></score-partwise>`
const upload = (n: number) =>
  fetch(`${server.address}read`, { method: 'POST', body: file.padEnd(3_900_000 + n) }).then(({ status }) => status)
await Promise.all(Array.from({ length: 24 }, (_, n) => upload(n).catch(() => 0)))

// Full load after all that.
const loads: number[] = []
for (let round = 0; round < 3; round++) {
  const from = 100_000 + 200 * round
  const { asked: all } = await flood(200, 8, (n) => svgOf(server.address, from + n))
  if (all.some(({ status }) => status !== 200)) say('answers that were not 200', 1, 0, '')
  loads.push(memoryOf(server))
}
say('memory at full load after it', Math.max(...loads), 400, 'MB')
const code = await server.stop()
if (code !== 0) say('the server ended with', code ?? 1, 0, '')
process.exitCode = failed ? 1 : 0
