/**
 * Throws odd input at the commands: `node test/run.mjs test/soak/commands.ts [inputs]`, 20,000 unless said. Ends with 1 where one
 * of them throws, prints a trace, fails without a word, or prints what is not JSON as JSON.
 */
import { choiceNames, dashed } from '../../lib/choices/choices.ts'
import { runCommand } from '../../lib/commands/commands.ts'
import { isTrace, oddInputs } from './inputs.ts'

const inputs = Number(process.argv[2] ?? '20000')
const ways = [
  ['line', 'json'],
  ['chart', 'json'],
  ['line', 'text'],
  ['guide-tones', 'json'],
  ['line', 'mei'],
  ['line', 'musicxml'],
  ['chart', 'text'],
  ['line', 'midi'],
  ['guide-tones', 'text'],
  ['line', 'abc'],
] as const

const codes = new Map<number, number>()
let failures = 0
const fail = (n: number, words: string): void => {
  failures += 1
  if (failures <= 20) console.log(`FAILED: input ${n} ${words}`)
}

for (const [n, given] of oddInputs(inputs, 20_251_126).entries()) {
  const [command, format] = ways[n % ways.length]!
  const options =
    command === 'chart'
      ? []
      : Object.entries(given).flatMap(([name, value]) =>
          choiceNames.some((choice) => choice === name && choice !== 'changes') ? [`--${dashed(name)}=${value}`] : [],
        )
  let out = ''
  let err = ''
  try {
    const code = await runCommand([command, '-', '--format', format, ...options], {
      read: () => new TextEncoder().encode(given.changes),
      write: ([file]) => fail(n, `wrote ${file?.path}, which nobody asked for`),
      out: (bytes) => {
        out += typeof bytes === 'string' ? bytes : new TextDecoder().decode(bytes)
      },
      err: (text) => {
        err += text
      },
      watched: false,
      port: '0',
      version: () => '0',
      serve: async () => fail(n, 'served'),
    })
    codes.set(code, (codes.get(code) ?? 0) + 1)
    if (![0, 1, 2].includes(code)) fail(n, `ended with ${code}`)
    if (code !== 0 && err === '') fail(n, `ended with ${code} and no word`)
    // Where no JSON holds them, warnings stand on standard error.
    const told = format === 'json' ? err : err.replace(/^\S+: warning: .*\n/gm, '')
    if (code === 0 && (out === '' || told !== '')) fail(n, `is done, but printed ${out === '' ? 'nothing' : err}`)
    if (isTrace(err) || isTrace(out)) fail(n, 'printed a trace')
    if (code !== 2 && format === 'json') JSON.parse(out)
  } catch (error) {
    fail(n, `threw ${error instanceof Error ? error.stack : error}`)
  }
}
const counted = [...codes].sort(([a], [b]) => a - b).map(([code, count]) => `${count} ended with ${code}`)
console.log(`${inputs} odd inputs through the commands: ${counted.join(', ')}; ${failures} failures`)
process.exitCode = failures > 0 ? 1 : 0
