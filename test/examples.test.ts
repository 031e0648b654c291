/** Runs the examples in the docstrings of lib: each line `expression // => expected`. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { fileURLToPath } from 'node:url'
import { describe, expect, test } from 'vitest'

const root = fileURLToPath(new URL('../lib/', import.meta.url))
const files = readdirSync(root, { recursive: true, encoding: 'utf8' }).filter((f) => f.endsWith('.ts'))

/** The examples of one file: an expression may run over several lines until its `// =>`. */
function examplesOf(source: string): [string, string][] {
  const found: [string, string][] = []
  for (const [, comment = ''] of source.matchAll(/\/\*\*([\s\S]*?)\*\//g)) {
    const [, ...blocks] = comment.split('@example')
    for (const block of blocks) {
      const lines = block
        .split(/\n\s*@\w+/)[0]!
        .split('\n')
        .map((line) => line.replace(/^\s*\* ?/, '').trimEnd())
      let code = ''
      for (const line of lines) {
        const [expression = '', expected] = line.split(/\/\/ => ?/)
        code += `${expression}\n`
        if (expected === undefined) continue
        found.push([code.trim(), expected])
        code = ''
      }
      if (code.trim() !== '') found.push([code.trim(), ''])
    }
  }
  return found
}

const withExamples = files
  .map((file) => ({ file, examples: examplesOf(readFileSync(join(root, file), 'utf8')) }))
  .filter(({ examples }) => examples.length > 0)

describe.each(withExamples)('$file', ({ file, examples }) => {
  test.each(examples)('%s', async (code, expected) => {
    expect(expected, 'an example says what comes back after "// =>"').not.toBe('')
    const rooms = ['theory/pitch.ts', 'theory/key.ts', 'theory/degree.ts', 'brief.ts', 'problem.ts']
    const modules = await Promise.all(rooms.map((room) => import(/* @vite-ignore */ join(root, room))))
    const scope: Record<string, unknown> = Object.assign(
      {},
      ...modules,
      await import(/* @vite-ignore */ join(root, file)),
    )
    const run = (js: string): unknown => new Function(...Object.keys(scope), `return (${js})`)(...Object.values(scope))
    expect(run(code)).toEqual(run(expected))
  })
})

test('the docstrings hold examples', () => {
  expect(withExamples.length).toBeGreaterThan(4)
})
