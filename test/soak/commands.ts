/**
 * Throws odd input at the commands: `node test/run.mjs test/soak/commands.ts [inputs]`, 20,000 unless said, dealt out to a process
 * for each core. Ends with 1 where one of them throws, prints a trace, fails without a word, or prints what is not JSON as JSON.
 */
import { spawn } from 'node:child_process'
import { availableParallelism } from 'node:os'
import { fileURLToPath } from 'node:url'
import { choiceNames, dashed } from '../../lib/choices/choices.ts'
import { runCommand } from '../../lib/commands/commands.ts'
import { isTrace, oddInputs } from './inputs.ts'

const inputs = Number(process.argv[2] ?? '20000')
/** Which share of how many is this process's, as `0/2`; absent in the process that deals. */
const share = process.argv[3]
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

/** How many inputs ended with each code, and what failed. */
interface Found {
  readonly codes: Readonly<Record<string, number>>
  readonly failed: readonly string[]
}

type Fail = (words: string) => void

/** Gives one input to the command whose turn it is; the code it ended with. */
async function throwOne(n: number, given: Readonly<Record<string, string>>, fail: Fail): Promise<number | 'thrown'> {
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
      write: ([file]) => fail(`wrote ${file?.path}, which nobody asked for`),
      out: (bytes) => {
        out += typeof bytes === 'string' ? bytes : new TextDecoder().decode(bytes)
      },
      err: (text) => {
        err += text
      },
      watched: false,
      port: '0',
      version: () => '0',
      serve: async () => fail('served'),
    })
    if (![0, 1, 2].includes(code)) fail(`ended with ${code}`)
    if (code !== 0 && err === '') fail(`ended with ${code} and no word`)
    // Where no JSON holds them, warnings stand on standard error.
    const told = format === 'json' ? err : err.replace(/^\S+: warning: .*\n/gm, '')
    if (code === 0 && (out === '' || told !== '')) fail(`is done, but printed ${out === '' ? 'nothing' : err}`)
    if (isTrace(err) || isTrace(out)) fail('printed a trace')
    if (code !== 2 && format === 'json') JSON.parse(out)
    return code
  } catch (error) {
    fail(`threw ${error instanceof Error ? error.stack : error}`)
    return 'thrown'
  }
}

/** Every share of ten, so that each process meets all commands. */
async function throwShare(mine: number, of: number): Promise<Found> {
  const codes: Record<string, number> = {}
  const failed: string[] = []
  for (const [n, given] of oddInputs(inputs, 20_251_126).entries()) {
    if (Math.floor(n / ways.length) % of !== mine) continue
    const code = await throwOne(n, given, (words) => failed.push(`input ${n} ${words}`))
    codes[code] = (codes[code] ?? 0) + 1
  }
  return { codes, failed }
}

/** A share in a process of its own, which prints what it found as JSON. */
async function throwApart(mine: number, of: number): Promise<Found> {
  // This file as it was bundled: it is not bundled anew beside a process that reads it.
  const words = [fileURLToPath(import.meta.url), String(inputs), `${mine}/${of}`]
  const child = spawn(process.execPath, words, { stdio: ['ignore', 'pipe', 'inherit'] })
  let out = ''
  child.stdout.setEncoding('utf8').on('data', (text: string) => {
    out += text
  })
  const code = await new Promise((resolve) => child.once('close', resolve))
  if (code !== 0) return { codes: {}, failed: [`share ${mine} of ${of} ended with ${code}: ${out}`] }
  return JSON.parse(out) as Found
}

if (share !== undefined) {
  const [mine, of] = share.split('/').map(Number)
  process.stdout.write(JSON.stringify(await throwShare(mine!, of!)))
} else {
  const of = Math.min(4, availableParallelism())
  const found = await Promise.all(Array.from({ length: of }, (_, mine) => throwApart(mine, of)))
  const codes = new Map<string, number>()
  for (const [code, count] of found.flatMap((one) => Object.entries(one.codes)))
    codes.set(code, (codes.get(code) ?? 0) + count)
  const thrown = [...codes.values()].reduce((sum, count) => sum + count, 0)
  const failed = found.flatMap((one) => one.failed)
  if (thrown !== inputs) failed.push(`only ${thrown} of ${inputs} inputs were thrown`)
  for (const words of failed.slice(0, 20)) console.log(`FAILED: ${words}`)
  const counted = [...codes]
    .sort(([a], [b]) => a.localeCompare(b))
    .map(([code, count]) => `${count} ended with ${code}`)
  console.log(`${inputs} odd inputs through the commands: ${counted.join(', ')}; ${failed.length} failures`)
  process.exitCode = failed.length > 0 ? 1 : 0
}
