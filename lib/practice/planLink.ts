/** A plan in the characters of a link's fragment, which a browser sends to nobody, and back. */
import { deflateSync, inflateSync, strFromU8, strToU8 } from 'fflate'
import { bytesOf, checksum, textOf } from '../kept/linkText.ts'
import type { Problem } from '../problem.ts'
import { misfitOfPlan, type PracticePlan, plainPlan, planLimits } from './plan.ts'

/** The first byte: how the rest is written. A packing once given out is read for ever. */
const packing = 1

/** Packs a plan: its JSON deflated (RFC 1951), a sum over it, in letters, digits, - and _ (RFC 4648, 5). */
export function packPlan(plan: PracticePlan): string {
  const { title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from } = plan
  const plain = JSON.stringify([title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from])
  const body = deflateSync(strToU8(plain), { level: 9 })
  const sum = checksum(body)
  return textOf(Uint8Array.from([packing, sum >> 8, sum & 0xff, ...body]))
}

/** A plan from a link, or what is wrong with the link. */
export interface UnpackedPlan {
  readonly plan: PracticePlan | null
  readonly problems: readonly Problem[]
}

const refused = (code: string, text: string, found: string, expected: string, hint: string): UnpackedPlan => ({
  plan: null,
  problems: [{ severity: 'error', code, span: { start: 0, end: text.length }, found, expected, hint }],
})

/**
 * Unpacks what `packPlan` made, with or without the sign of a fragment before it. A link that lost or changed a character comes
 * back as no plan, with what to do.
 *
 * @example
 * unpackPlan('AbC').problems[0].code // => 'damaged-link'
 */
export function unpackPlan(link: string): UnpackedPlan {
  const text = link.trim().replace(/^#/, '')
  const damaged = (): UnpackedPlan =>
    refused(
      'damaged-link',
      text,
      text === '' ? 'a link without a plan' : 'a link of which part is missing or changed',
      'the whole link as it was given out',
      'copy it again, to its last character, or ask for it once more',
    )
  const bytes = text.length <= planLimits.size ? bytesOf(text) : null
  if (!bytes || bytes.length < 5) return damaged()
  const [version, high = 0, low = 0] = bytes
  const body = bytes.subarray(3)
  if (checksum(body) !== high * 256 + low) return damaged()
  if (version !== packing)
    return refused(
      'newer-link',
      text,
      'a plan packed by a later version',
      'a plan that this version reads',
      'open it there',
    )
  let list: unknown
  try {
    // No plan that fits its limit is longer; what would grow past it breaks off, and is no JSON.
    list = JSON.parse(strFromU8(inflateSync(body, { out: new Uint8Array(planLimits.size) })))
  } catch {
    return damaged()
  }
  if (!Array.isArray(list)) return damaged()
  const [title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from] = list
  const said = { title, fields, bars, phrases, quarters, keys, start, goal, days, minutes, from } as PracticePlan
  if (misfitOfPlan(said, false) !== null) return damaged()
  return { plan: plainPlan(said), problems: [] }
}
