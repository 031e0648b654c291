/**
 * Throws odd input at the server, then keeps it at its highest load: `node test/run.mjs test/soak/soak.ts [inputs] [minutes]`,
 * 2,000 and 5 unless said, after a build. Ends with 1 where anything but an answer came back or the memory grew.
 */

import { Agent } from 'node:http'
import { isTrace, oddInputs } from './inputs.ts'
import { ask, flood, memoryOf, startBuilt, svgOf } from './load.ts'

const [inputs = '2000', minutes = '5'] = process.argv.slice(2)
let failed = false
const fail = (words: string): void => {
  failed = true
  console.log(`FAILED: ${words}`)
}

const server = await startBuilt()
const agent = new Agent({ keepAlive: true, maxSockets: 8 })
const paths = ['', 'line.svg', 'line.mei', 'line.json', 'line.musicxml', 'line.mid', 'choices']
const seen: Record<number, number> = {}
const given = oddInputs(Number(inputs), 20_251_125)
let next = 0
await Promise.all(
  Array.from({ length: 6 }, async () => {
    for (let n = next++; n < given.length; n = next++) {
      const query = new URLSearchParams(given[n]).toString()
      const path = paths[n % paths.length]!
      const { status, text } =
        query.length < 6_000
          ? await ask(`${server.address}${path}?${query}`, agent)
          : await ask(server.address, agent, query)
      seen[status] = (seen[status] ?? 0) + 1
      if (![200, 303, 422, 503].includes(status)) fail(`input ${n} came back with ${status}: ${text.slice(0, 200)}`)
      if (isTrace(text)) fail(`input ${n} came back with a trace`)
    }
  }),
)
console.log(
  `${given.length} odd inputs: ${Object.entries(seen)
    .map(([status, count]) => `${count} with ${status}`)
    .join(', ')}`,
)

const end = performance.now() + Number(minutes) * 60_000
const memory: number[] = []
let count = 0
while (performance.now() < end) {
  const from = count
  const { asked } = await flood(200, 8, (n) => svgOf(server.address, from + n))
  count += asked.length
  memory.push(memoryOf(server))
  const bad = asked.filter(({ status }) => status !== 200)
  if (bad.length > 0) fail(`${bad.length} of 200 answers were not 200: ${bad[0]!.status} ${bad[0]!.text.slice(0, 100)}`)
}
const most = Math.max(...memory)
if (memory.length > 3) {
  const half = Math.floor(memory.length / 2)
  const middle = (list: readonly number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)]!
  const [before, after] = [middle(memory.slice(1, half + 1)), middle(memory.slice(half))]
  console.log(
    `${count} new pictures in ${minutes} minutes; memory ${before.toFixed(0)} MB in the first half, ${after.toFixed(0)} MB in the second, ${most.toFixed(0)} MB at most`,
  )
  if (after > before * 1.1 + 10) fail('the memory grew')
}
const code = await server.stop()
if (code !== 0) fail(`the server ended with ${code}`)
process.exitCode = failed ? 1 : 0
