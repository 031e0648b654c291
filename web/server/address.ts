/** From an address or a posted form to the texts of a brief, and back: every state of the page is an address. */
import { deflateRawSync, type InflateRaw, inflateRawSync } from 'node:zlib'
import { type BriefProblem, choiceNames, choices, limits, readBrief, writeBrief } from '../../lib/brief.ts'
import { withSum } from '../../lib/kept/linkText.ts'
import { readView, viewNames, writeView } from '../views/display.ts'
import { webLimits } from './limits.ts'

/** The fields as given, each one text; what is absent is undefined. */
export type Given = Readonly<Record<string, string | undefined>>

/** Choices that take several values: ticked boxes of one name, joined by commas. */
const several: readonly string[] = choiceNames.filter((name) => Array.isArray(choices[name].usual))
/** Those of them that may be empty: then no box ticked means none, not the usual. */
const mayBeNone: readonly string[] = choiceNames.filter(
  (name) => several.includes(name) && 'value' in choices[name].read('none'),
)

/** The fields that are choices of the brief. */
export const ofBrief = (given: Given): Given =>
  Object.fromEntries(choiceNames.filter((name) => given[name] !== undefined).map((name) => [name, given[name]]))

/** Fields that ask for something to be done to the brief rather than being part of it. */
const deeds = ['fix', 'edit', 'another', 'only', 'keep', 'keyList', 'levelWas'] as const

export const damagedLink: BriefProblem = {
  severity: 'error',
  code: 'bad-link',
  choice: 'changes',
  span: { start: 0, end: 0 },
  found: 'a link whose changes cannot be read',
  expected: 'the whole link as it was sent',
  hint: 'copy the link again, to its last character',
}

/**
 * Gathers the fields of a query or form into one text each. Unknown names are left out. A box that is not ticked sends
 * nothing, so the form sends an empty value first.
 */
export function readFields(fields: URLSearchParams): {
  readonly given: Given
  readonly problems: readonly BriefProblem[]
} {
  const given: Record<string, string> = {}
  const problems: BriefProblem[] = []
  for (const name of [...choiceNames, ...viewNames, ...deeds]) {
    const values = fields.getAll(name)
    if (values.length === 0) continue
    if (several.includes(name)) {
      const said = values.filter((value) => value.trim() !== '')
      given[name] = said.join(',') || (mayBeNone.includes(name) ? 'none' : '')
    } else given[name] = values.at(-1)!
  }
  const packed = fields.get('z')
  if (packed !== null && given.changes === undefined) {
    const changes = unpack(packed)
    if (changes !== null) given.changes = changes
    else {
      given.changes = ''
      problems.push(damagedLink)
    }
  }
  if (given.keys === 'list') given.keys = given.keyList?.trim() ?? ''
  delete given.keyList
  if (given.changes !== undefined) given.changes = given.changes.replace(/\r\n?/g, '\n')
  return { given, problems }
}

/** Packs a text into address characters, with a sum that tells whether any of them was lost on the way. */
export const pack = (text: string): string =>
  Buffer.from(withSum(deflateRawSync(Buffer.from(text, 'utf8'), { level: 9 }))).toString('base64url')

/** As much of a text as one of changes may have; three bytes hold any UTF-16 unit. */
const inflating = { maxOutputLength: limits.changes * 3, info: true } as const

/** The text of `pack`, or null where it is none, was damaged, or would grow past the longest changes. */
export function unpack(packed: string): string | null {
  if (!/^[\w-]+$/.test(packed)) return null
  try {
    const bytes = Buffer.from(packed, 'base64url')
    // So asked, Node gives the engine as well, which knows where the deflated text ended.
    const { buffer, engine } = inflateRawSync(bytes, inflating) as unknown as { buffer: Buffer; engine: InflateRaw }
    const body = bytes.subarray(0, engine.bytesWritten)
    // Links that were given out before have no sum.
    const whole = body.length === bytes.length || bytes.equals(withSum(body))
    return whole ? buffer.toString('utf8') : null
  } catch {
    return null
  }
}

/** Makes the addresses of a state: under a path, with further fields; null where the state is too long for one. */
export type Linker = (path: string, more?: Readonly<Record<string, string>>) => string | null

/**
 * The one address of a state: what is as usual left out, the rest in the brief's order and spelling. What could not be read
 * stays as typed. Long changes are packed; a state too long for any address gives null.
 */
export function linkerOf(given: Given): Linker {
  const fields = fieldsOf(given)
  const { changes, edition = '', ...rest } = fields
  // What no address could hold even unspelt is not spelt out: that would take the server's main thread longer than all else.
  const beyond = changes !== undefined && changes.length > webLimits.address
  let query = beyond ? '' : new URLSearchParams(fields).toString()
  if (changes !== undefined && (beyond || query.length + 2 > limits.readableAddress)) {
    const packed = new URLSearchParams({ ...rest, z: pack(changes), edition }).toString()
    if (beyond || packed.length < query.length) query = packed
  }
  if (query.length + 2 > webLimits.address) return () => null
  return (path, more) => {
    const added = more === undefined ? '' : new URLSearchParams(more).toString()
    const whole = [query, added].filter((part) => part !== '').join('&')
    return whole === '' ? path : `${path}?${whole}`
  }
}

/**
 * Fields without those that only say how this screen shows them; what is drawn from them is drawn by today's edition, and their
 * address says so.
 */
export const plainGiven = ({ across: _, edition: _drawnBy, ...rest }: Given): Given => rest

/**
 * The address of a state on the page itself. Like all links it is told from the page's own folder, so that it holds wherever a
 * proxy puts the page.
 */
export const addressOf = (given: Given): string | null => linkerOf(given)('./')

/** A link of a page in this server's root, written out for paper and other devices. */
export const wholeOf = (origin: string, link: string): string => `${origin}${link.replace(/^\./, '')}`

/** The fields of the canonical address, by name. */
export function fieldsOf(given: Given): Readonly<Record<string, string>> {
  const { brief, problems } = readBrief(ofBrief(given))
  const fields: Record<string, string> = { ...writeBrief(brief) }
  for (const { choice } of problems) fields[choice] = given[choice] ?? ''
  // Changes that are given but empty are not the same as none given, which shows an example.
  if (given.changes !== undefined && fields.changes === undefined) fields.changes = given.changes
  // A line's address tells what it was drawn by; the first page has none.
  const drawn = fields.changes !== undefined || fields.plan !== undefined
  return { ...fields, ...(drawn ? { edition: String(brief.edition) } : {}), ...writeView(readView(given)) }
}
