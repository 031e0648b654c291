/** Counts from real solos as tests read them, apart from the copy that lines are drawn by; source and licence stand in the files. */
import { readFileSync } from 'node:fs'

/** Found from the folder that commands run in, which is the checkout. */
const rows = (file: string): readonly (readonly string[])[] =>
  readFileSync(`test/data/${file}`, 'utf8')
    .trim()
    .split('\n')
    .filter((row) => !row.startsWith('#'))
    .slice(1)
    .map((row) => row.split(','))

export interface Counted {
  /** The class (approaches), or the scale steps (cells). */
  readonly kind: string
  readonly count: number
}

function summed(
  entries: readonly (readonly [key: string, kind: string, count: number])[],
): ReadonlyMap<string, Counted> {
  const sums = new Map<string, Counted>()
  for (const [key, kind, count] of entries) sums.set(key, { kind, count: count + (sums.get(key)?.count ?? 0) })
  return sums
}

/** Approaches by their offsets, beats 1 and 3 together. */
export const countedApproaches = summed(
  rows('approaches.csv').map(([, offsets = '', kind = '', count]) => [offsets, kind, Number(count)]),
)

/** Cells by name, beats 1 and 3 together. */
export const countedCells = summed(
  rows('cells.csv').map(([, steps = '', name = '', count]) => [name, steps, Number(count)]),
)

/** What recordings hold of the textbook's enclosures, by their offsets. */
export const verdicts: ReadonlyMap<string, string> = new Map(
  rows('textbookEnclosures.csv').map(([offsets = '', verdict = '']) => [offsets, verdict]),
)
