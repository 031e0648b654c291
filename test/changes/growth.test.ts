/** A line twice as long is twice the work, whatever it repeats: nothing that a person pastes keeps a reader for seconds. */
import { describe, expect, test } from 'vitest'
import { buildBars } from '../../lib/changes/typed/buildBars.ts'
import { plainText } from '../../lib/changes/typed/characters.ts'
import { chartLines } from '../../lib/changes/typed/chartLines.ts'
import { gatherProblems } from '../../lib/changes/typed/chartProblems.ts'
import { readTraits } from '../../lib/changes/typed/chartTraits.ts'
import { startDrafting } from '../../lib/changes/typed/drafting.ts'
import { plainLines } from '../../lib/changes/typed/plainLines.ts'

/** How often a sign of a line is looked at while its bars are built: counted, not timed. */
function looksAt(text: string): number {
  let looks = 0
  const plain = plainText(text)
  const lines = chartLines(plain.text, plainLines(plain.text)).map((line) =>
    line.kind === 'music'
      ? {
          ...line,
          tokens: line.tokens.map((token) =>
            Object.defineProperty({ ...token }, 'kind', {
              get: () => {
                looks += 1
                return token.kind
              },
              enumerable: true,
            }),
          ),
        }
      : line,
  )
  const problems = gatherProblems(text, plain)
  const traits = readTraits(lines, problems)
  looks = 0
  buildBars(lines, traits, startDrafting(plain, problems))
  return looks
}

describe('signs of a line twice as long are looked at twice as often', () => {
  test.each([
    ...['A: ', 'Coda ', 'To Coda ', 'Segno ', 'Fine ', 'D.C. al Coda ', 'D.S. al Fine ', '[Key: C] ', 'x3 '],
    ...['C ', 'C Coda ', '| C ', '| C x3 ', '|: C :|', '| Segno ', '| C A: ', '% ', '| . . '],
  ])('%j', (piece) => {
    const [once, twice] = [200, 400].map((times) => looksAt(piece.repeat(times)))
    expect(once).toBeGreaterThan(0)
    expect(twice! / once!).toBeLessThan(2.1)
  })
})
