/** Which part of several is read: the one asked for by number or name, else the first that holds notes. */
import { nearest } from '../choices/reader.ts'
import type { Problem } from '../problem.ts'
import { problem } from './played.ts'

/**
 * The part asked for. Numbers count from 1 the parts that hold notes.
 *
 * @example
 * choosePart([{ name: 'Flute' }, { name: 'Alto saxophone' }], 'alto saxophone').part.name // => 'Alto saxophone'
 * choosePart([{ name: 'Flute' }], '2').problems[0].code // => 'no-such-part'
 */
export function choosePart<T extends { readonly name: string }>(
  parts: readonly T[],
  asked: string | null,
): { readonly part: T } | { readonly problems: readonly Problem[] } {
  if (parts.length === 0)
    return { problems: [problem('no-notes', 'no notes', 'a line of notes', 'give a file that holds the line itself')] }
  if (asked === null) return { part: parts[0]! }
  const number = /^\d+$/.test(asked) ? parts[Number(asked) - 1] : undefined
  const named = parts.find(({ name }) => name.toLowerCase() === asked.toLowerCase())
  const part = number ?? named
  if (part) return { part }
  const names = parts.map(({ name }) => name)
  const expected = `a part from 1 to ${parts.length}: ${names.slice(0, 12).join(', ')}`
  return { problems: [problem('no-such-part', `part ${asked}`, expected, `try ${nearest(asked, names)}`)] }
}
