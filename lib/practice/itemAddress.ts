/** Where the page has an item ready to play: its line in its key, with its bars, tempo, passes and rests. */
import { deflateSync, strToU8 } from 'fflate'
import { limits } from '../choices/limits.ts'
import { textOf, withSum } from '../kept/linkText.ts'
import type { PracticePlan } from './plan.ts'
import type { PlanItem } from './planDay.ts'

/**
 * The choices of an item, by name: those of its plan, and how it is played.
 *
 * @example
 * fieldsOfItem({ fields: { seed: '7' } }, { key: 'Eb', bars: [5, 8], tempo: 72, passes: 4, rest: 1 })
 * // => { seed: '7', keys: 'Eb', tempo: '72', loop: '5-8', passes: '4', rest: '1' }
 */
export const fieldsOfItem = (
  { fields }: Pick<PracticePlan, 'fields'>,
  { key, bars: [from, to], tempo, passes, rest }: Pick<PlanItem, 'key' | 'bars' | 'tempo' | 'passes' | 'rest'>,
): Readonly<Record<string, string>> => ({
  ...fields,
  keys: key,
  tempo: String(tempo),
  loop: `${from}-${to}`,
  passes: String(passes),
  rest: String(rest),
})

/** The address of an item on the page, from its root. */
export function addressOfItem(plan: PracticePlan, item: PlanItem): string {
  const fields = fieldsOfItem(plan, item)
  const query = new URLSearchParams(fields).toString()
  const { changes, ...rest } = fields
  if (query.length + 2 <= limits.readableAddress || changes === undefined) return `/?${query}`
  // As the server packs them: raw deflate (RFC 1951) and its sum in the characters of addresses.
  return `/?${new URLSearchParams({ ...rest, z: textOf(withSum(deflateSync(strToU8(changes), { level: 9 }))) })}`
}
