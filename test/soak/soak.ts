/**
 * Throws odd input at the server, then keeps it at its highest load: `node test/run.mjs test/soak/soak.ts [inputs] [minutes]`,
 * 2,000 and 5 unless said, after a build. Ends with 1 where anything but an answer came back or the memory grew.
 */

import { Agent } from 'node:http'
import fc from 'fast-check'
import { ask, flood, memoryOf, startBuilt, svgOf } from './load.ts'

const [inputs = '2000', minutes = '5'] = process.argv.slice(2)
let failed = false
const fail = (words: string): void => {
  failed = true
  console.log(`FAILED: ${words}`)
}

const symbol = fc
  .tuple(
    fc.constantFrom(...'ABCDEFGHJ'),
    fc.constantFrom('', 'b', '#', 'bb', '##'),
    fc.constantFrom(
      '',
      'm7',
      '7',
      'maj7',
      'm7b5',
      '7(b9)',
      'dim',
      '7alt',
      'sus',
      '69',
      'ø',
      'Δ',
      'm/maj7',
      '13#11',
      '(',
      '/G',
      '/',
      'x',
    ),
  )
  .map((parts) => parts.join(''))
const chart = fc
  .array(
    fc.oneof(
      { weight: 8, arbitrary: symbol },
      fc.constantFrom(
        '|',
        '||',
        '|:',
        ':|',
        '%',
        '/',
        '[A]',
        '1.',
        '2.',
        'x3',
        'D.C. al Fine',
        '\n',
        '3/4',
        'N.C.',
        '%%',
        '// no',
        'Key: F\n',
      ),
    ),
    { maxLength: 120 },
  )
  .map((tokens) => tokens.join(' '))
const plain = fc
  .array(
    fc.tuple(
      fc.constantFrom('C', 'Db', 'F#', 'Bb', 'E'),
      fc.constantFrom('m7', '7', 'maj7', 'm7b5', '7(b9)', 'dim7', '6'),
    ),
    { minLength: 1, maxLength: 24 },
  )
  .map((chords) => `| ${chords.map((parts) => parts.join('')).join(' | ')} |`)
const giant = fc.tuple(symbol, fc.integer({ min: 500, max: 2_400 })).map(([one, times]) => `| ${one} `.repeat(times))
const nested = fc
  .integer({ min: 1, max: 3_000 })
  .map((n) => `| C${'('.repeat(n)}b9${')'.repeat(n)} |: :|: :| [`.repeat(3))
const changes = fc.oneof(
  { weight: 6, arbitrary: chart },
  { weight: 6, arbitrary: plain },
  { weight: 5, arbitrary: fc.string({ unit: 'binary', maxLength: 600 }) },
  { weight: 1, arbitrary: giant },
  { weight: 1, arbitrary: nested },
)
const odd = fc.oneof(
  fc.string({ unit: 'binary', maxLength: 60 }),
  fc.constantFrom('0', '-1', '1e9', 'none', '<b>', '../..', '99999999999', ''),
)
const fields = fc.record({
  title: odd,
  instrument: fc.constantFrom('trumpet', 'tuba', 'alto-voice', 'kazoo'),
  key: fc.constantFrom('C', 'Gb', 'F#m', 'H', ''),
  keys: fc.constantFrom('fourths', 'shuffled', 'C,F,Bb', 'C,C,C', 'none'),
  land: fc.constantFrom('3', '1,3,5,7,9,#11,13', '', '#11', '2'),
  every: fc.constantFrom('half', 'chord', 'strong', 'never'),
  on: fc.constantFrom('1', '3', '4&', '2'),
  approach: fc.constantFrom('scale', 'arpeggio', 'enclosure', ''),
  notes: fc.constantFrom('1', '4', '0'),
  rhythm: fc.constantFrom('phrased', 'triplets', 'eighths'),
  level: fc.constantFrom('1', '6', '7'),
  plan: fc.oneof(odd, fc.constantFrom('3 7 | 5', '1 1 1 1 1')),
  pins: fc.oneof(odd, fc.constantFrom('1.1=F4', '1=F4 E4 - D4', '2.1=+1 -1,2.1=C9', '1.3=1-2-3-5')),
  again: fc.oneof(odd, fc.constantFrom('1-2:3', '9-99:1', '2-1:1')),
  scales: fc.oneof(odd, fc.constantFrom('1.1=altered', '7.3=locrian')),
  low: fc.constantFrom('C4', 'C9', 'B#3', 'x'),
  high: fc.constantFrom('C5', 'C0', 'Fb6'),
  bars: fc.constantFrom('1-2', '2-1', '9-99999', '0'),
  choruses: fc.constantFrom('1', '64', '65'),
  seed: odd,
  z: odd,
})
/** Changes with a few choices, some of them possible. */
const brief = fc
  .tuple(
    changes,
    fields,
    fc.shuffledSubarray(
      [
        'title',
        'instrument',
        'key',
        'keys',
        'land',
        'every',
        'on',
        'approach',
        'notes',
        'rhythm',
        'level',
        'plan',
        'pins',
        'again',
        'scales',
        'low',
        'high',
        'bars',
        'choruses',
        'seed',
        'z',
      ] as const,
      { maxLength: 3 },
    ),
  )
  .map(([text, all, names]) => ({ changes: text, ...Object.fromEntries(names.map((name) => [name, all[name]])) }))

const server = await startBuilt()
const agent = new Agent({ keepAlive: true, maxSockets: 8 })
const paths = ['', 'line.svg', 'line.mei', 'line.json', 'line.musicxml', 'line.mid', 'choices']
const seen: Record<number, number> = {}
const given = fc.sample(brief, { numRuns: Number(inputs), seed: 20_251_125 })
let next = 0
await Promise.all(
  Array.from({ length: 6 }, async () => {
    for (let n = next++; n < given.length; n = next++) {
      const query = new URLSearchParams(given[n] as unknown as Record<string, string>).toString()
      const path = paths[n % paths.length]!
      const { status, text } =
        query.length < 6_000
          ? await ask(`${server.address}${path}?${query}`, agent)
          : await ask(server.address, agent, query)
      seen[status] = (seen[status] ?? 0) + 1
      if (![200, 303, 422, 503].includes(status)) fail(`input ${n} came back with ${status}: ${text.slice(0, 200)}`)
      if (/node_modules|\bat \S+ \(.*:\d+:\d+\)/.test(text)) fail(`input ${n} came back with a trace`)
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
if (memory.length > 3) {
  const half = Math.floor(memory.length / 2)
  const middle = (list: readonly number[]) => [...list].sort((a, b) => a - b)[Math.floor(list.length / 2)]!
  const [before, after] = [middle(memory.slice(1, half + 1)), middle(memory.slice(half))]
  console.log(
    `${count} new pictures in ${minutes} minutes; memory ${before.toFixed(0)} MB in the first half, ${after.toFixed(0)} MB in the second, ${Math.max(...memory).toFixed(0)} MB at most`,
  )
  if (after > before * 1.1 + 10) fail('the memory grew')
}
const code = await server.stop()
if (code !== 0) fail(`the server ended with ${code}`)
process.exitCode = failed ? 1 : 0
