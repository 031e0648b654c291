/** The roles of a line's notes as one short text that its files carry, so that a sheet nobody has changed is read back as it was printed. */
import type { Role } from '../line/line.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { midiOf } from '../theory/pitch.ts'
import type { Score } from './score.ts'

/** A sounding note with its place in ticks. */
export interface CarriedNote {
  readonly start: number
  readonly midi: number
}

const signs = { target: 'T', approach: 'A', cell: 'C', connect: '-', rest: '-' } as const satisfies Record<Role, string>
const roles: Readonly<Record<string, Role>> = { T: 'target', A: 'approach', C: 'cell', '-': 'connect' }

/** What stands before it in a file, so that it is told from other remarks. */
export const carriedName = 'throughline-roles'

/** What stands before a list of beats that hold the last of a triplet alone, which swung sounds as an eighth does. */
export const tripletName = 'throughline-triplets'

/**
 * One sign a note (T target, A approach, C cell, - between), then a sum of the notes: where a note was changed since, the two
 * no longer belong together.
 *
 * @example
 * carryRoles([{ start: 0, midi: 65, role: 'target' }, { start: 12, midi: 67, role: 'cell' }]) // => 'TC:10345'
 */
export const carryRoles = (notes: readonly (CarriedNote & { readonly role: Role })[]): string =>
  `${notes.map(({ role }) => signs[role]).join('')}:${sumOf(notes)}`

function sumOf(notes: readonly CarriedNote[]): number {
  const first = notes[0]?.start ?? 0
  return notes.reduce((sum, { start, midi }) => (sum * 31 + (start - first) * 128 + midi) % 999_983, 7)
}

/** The roles that a file carries, a note each; null where there are none or the notes are no longer those. */
export function readCarried(text: string | null, notes: readonly CarriedNote[]): readonly Role[] | null {
  const [, found = '', sum] = /^([TAC-]*):(\d+)$/.exec(text ?? '') ?? []
  if (found.length !== notes.length || found.length === 0 || Number(sum) !== sumOf(notes)) return null
  return [...found].map((sign) => roles[sign]!)
}

/** The roles of a part's notes, tied ones once. */
export function rolesOfScore(score: Pick<Score, 'bars'>): string {
  const notes: (CarriedNote & { role: Role })[] = []
  let barStart = 0
  for (const { meter, events } of score.bars) {
    for (const { at, sounding, tie, role } of events)
      if (sounding && tie !== 'end' && tie !== 'middle')
        notes.push({ start: barStart + at, midi: midiOf(sounding), role })
    barStart += ticksPerBar(meter)
  }
  return carryRoles(notes)
}
