/**
 * What is offered for a symbol with one wrong character: a chord of the same kind, as far as the rest of the symbol says it. How symbols
 * say their kind: Brandt and Roemer 1976, as known through others.
 */
import { expect, test } from 'vitest'
import { readSymbol } from '../../../lib/changes/symbol/readSymbol.ts'
import type { Degree } from '../../../lib/theory/degree.ts'

type Suffix = readonly [quality: string, figure: string, rest: string]

/** Suffixes as quality, figure and what is altered or added. */
const suffixes: readonly Suffix[] = [
  ...['m', 'min', 'mi', '-', 'maj', 'Maj', 'M', 'Δ', 'ma', 'MA', 'dim', '°', 'ø', 'hdim', 'aug', '+'].map(
    (q): Suffix => [q, '7', ''],
  ),
  ...['6', '9', '11', '13', '69'].map((figure): Suffix => ['m', figure, '']),
  ...['7', '9', '13', '6', '69'].map((figure): Suffix => ['', figure, '']),
  ...['b5', '(b5)'].map((rest): Suffix => ['m', '7', rest]),
  ...['min', '-'].map((q): Suffix => [q, '7', 'b5']),
  ...['b9', '#9', '#11', '(b9,b13)', 'b5', '#5', 'alt', 'sus4'].map((rest): Suffix => ['', '7', rest]),
  ...['#11', '(#11)', '#5'].map((rest): Suffix => ['maj', '7', rest]),
  ['', '13', 'b9'],
  ['', '9', '#11'],
  ['', '9', 'sus4'],
  ['maj', '9', ''],
  ['maj', '13', ''],
]

/** Characters that say nothing of a chord. */
const foreign = [...'%&qxz.8']

/** A suffix with one character left out, put in, put for another, or swapped with its neighbour, and where. */
function damaged(whole: string): readonly (readonly [text: string, at: number])[] {
  return Array.from({ length: whole.length + 1 }, (_, at) => {
    const [before, after] = [whole.slice(0, at), whole.slice(at)]
    const put = foreign.map((sign) => before + sign + after)
    if (after === '') return put.map((text) => [text, at] as const)
    const others = [before + after.slice(1), ...foreign.map((sign) => before + sign + after.slice(1))]
    const swapped = after.length > 1 ? [before + after[1] + after[0] + after.slice(2)] : []
    return [...put, ...others, ...swapped].map((text) => [text, at] as const)
  }).flat()
}

const kindOf = (symbol: string) => {
  const degrees = readSymbol(symbol).symbol?.chord?.degrees ?? []
  const first = (...among: Degree[]) => among.find((degree) => degrees.includes(degree)) ?? null
  return { third: first('b3', '3'), fifth: first('b5', '#5', '5'), seventh: first('7', 'b7', 'bb7', '6') }
}

test('a hint keeps what the rest of the symbol says of its kind', () => {
  const wrong: string[] = []
  let hints = 0
  for (const [quality, figure, rest] of suffixes) {
    const own = kindOf(`C${quality}${figure}${rest}`)
    for (const [text, at] of damaged(quality + figure + rest)) {
      const reading = readSymbol(`C${text}`)
      const hint = reading.problems.find(({ severity }) => severity === 'error')?.hint
      if (reading.symbol || !hint || !readSymbol(hint).symbol) continue
      hints++
      const kind = kindOf(hint)
      const inQuality = at < Math.max(quality.length, 1)
      const inFigure = !inQuality && at < quality.length + figure.length
      const kept =
        (inQuality ||
          ((rest === 'sus4' || kind.third === own.third) &&
            (!/dim|°|ø|aug|\+/.test(quality) || kind.fifth === own.fifth))) &&
        (inQuality || inFigure || kind.seventh === own.seventh) &&
        (!inQuality || quality === '' || kind.seventh !== null)
      if (!kept) wrong.push(`C${quality}${figure}${rest}: C${text}, ${hint}`)
    }
  }
  expect(hints).toBeGreaterThan(2000)
  expect(wrong).toEqual([])
})

test.each([
  ['A%7x', 'Am7b5'],
  ['Cm7-b5)', 'Cm7b5'],
  ['A%', 'Am7b5'],
  ['C/m7', 'Cm7'],
  ['C8b5', 'C7b5'],
  ['Cmin7)5', 'Cmin7b5'],
])('%s', (typed, meant) => {
  const hint = readSymbol(typed).problems.find(({ severity }) => severity === 'error')!.hint
  expect(kindOf(hint)).toEqual(kindOf(meant))
})
