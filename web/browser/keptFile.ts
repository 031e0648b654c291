/** The file of what a device keeps: written whole, read with care, and put beside what is there already. */
import { agreed } from '../shared/agreed.ts'
import type { KeptFigures, KeptTune } from './database.ts'

export interface KeptThings {
  readonly tunes: readonly KeptTune[]
  readonly figures: readonly KeptFigures[]
}

const format = 'throughline kept'
const version = 1

/** Characters that all fields of one tune may have. */
const longestTune = 200_000

export const writeKept = ({ tunes, figures }: KeptThings): string =>
  `${JSON.stringify({ format, version, tunes, figures }, null, 1)}\n`

type Fields = Readonly<Record<string, unknown>>
const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
const isText = (value: unknown, most: number): value is string => typeof value === 'string' && value.length <= most

function readThing(value: unknown): { readonly id: string; readonly name: string; readonly saved: number } | null {
  if (!isFields(value)) return null
  const { id, name, saved } = value
  if (!isText(id, 64) || id === '' || !isText(name, agreed.nameLength) || name.trim() === '') return null
  return typeof saved === 'number' && Number.isFinite(saved) ? { id, name, saved } : null
}

function readTune(value: unknown): KeptTune | null {
  const thing = readThing(value)
  const { fields } = (thing === null ? {} : value) as Fields
  const isField = (field: unknown): field is [string, string] =>
    Array.isArray(field) && field.length === 2 && isText(field[0], 64) && isText(field[1], longestTune)
  if (thing === null || !Array.isArray(fields) || fields.length > 200 || !fields.every(isField)) return null
  return { ...thing, fields: fields.map(([name, text]: [string, string]) => [name, text] as const) }
}

function readTable(value: unknown): KeptFigures | null {
  const thing = readThing(value)
  const { csv } = (thing === null ? {} : value) as Fields
  return thing !== null && isText(csv, agreed.tableLength) ? { ...thing, csv } : null
}

/** Reads a file of kept things; `left` counts what of it could not be read. In words where it is no such file. */
export function readKept(text: string): { readonly things: KeptThings; readonly left: number } | string {
  let file: unknown
  try {
    file = JSON.parse(text.replace(/^\ufeff/, ''))
  } catch {
    return 'That file is damaged or is no file of kept tunes. Nothing was changed.'
  }
  if (!isFields(file) || file.format !== format || typeof file.version !== 'number')
    return 'That is a file of something else: expected one that was saved here. Nothing was changed.'
  if (file.version > version)
    return 'That file was saved by a newer version of this page. Load the page again; nothing was changed.'
  if (!Array.isArray(file.tunes) || !Array.isArray(file.figures))
    return 'That file lacks its lists: copy it again, whole. Nothing was changed.'
  const read = [file.tunes.map(readTune), file.figures.map(readTable)] as const
  const tunes = read[0].filter((tune) => tune !== null)
  const figures = read[1].filter((table) => table !== null)
  const left = file.tunes.length + file.figures.length - tunes.length - figures.length
  return { things: { tunes, figures }, left }
}

/** Why some things cannot be kept beside those that are there, in words; null where there is room. */
export const roomBeside = (there: number, more: number): string | null =>
  there + more <= agreed.keptMost
    ? null
    : `That would be ${there + more} things in one list: a device keeps at most ${agreed.keptMost}. Nothing was kept; delete some, or save them to a file first.`

const holds = (thing: KeptTune | KeptFigures): string =>
  JSON.stringify('csv' in thing ? [thing.name, thing.csv] : [thing.name, thing.fields])

/**
 * What of some things is new beside others: what stands there already, word for word, is left out; another under the same id is
 * kept beside it, under an id of its own.
 */
export function newBeside<T extends KeptTune | KeptFigures>(
  there: readonly T[],
  some: readonly T[],
  newId: () => string,
): readonly T[] {
  const known = new Set(there.map(holds))
  const ids = new Set(there.map(({ id }) => id))
  return some.flatMap((thing) => {
    if (known.has(holds(thing))) return []
    known.add(holds(thing))
    const id = ids.has(thing.id) ? newId() : thing.id
    ids.add(id)
    return [{ ...thing, id }]
  })
}
