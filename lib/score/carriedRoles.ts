/** The roles of a line's notes as one short text that its files carry, so that a sheet nobody has changed is read back as it was printed. */
import type { Line, Role } from '../line/line.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { midiOf } from '../theory/pitch.ts'
import type { Score } from './score.ts'

/** What a note is to its line, as files carry it: its role, and whether it is a target that comes before its chord. */
export interface Carried {
  readonly role: Role
  readonly early?: boolean
}

/** The ticks at which a line's targets come before the chord that they land on. */
export const earlyTargets = ({ targets, harmony }: Pick<Line, 'targets' | 'harmony'>): ReadonlySet<number> =>
  new Set(targets.filter(({ start, chord }) => (harmony.chords[chord]?.start ?? 0) > start).map(({ start }) => start))

/** A sounding note with its place in ticks. */
export interface CarriedNote {
  readonly start: number
  readonly midi: number
}

const signs = { target: 'T', approach: 'A', cell: 'C', connect: '-', rest: '-' } as const satisfies Record<Role, string>
const roles: Readonly<Record<string, Carried>> = {
  T: { role: 'target' },
  E: { role: 'target', early: true },
  A: { role: 'approach' },
  C: { role: 'cell' },
  '-': { role: 'connect' },
}

/** What stands before it in a file, so that it is told from other remarks. */
export const carriedName = 'throughline-roles'

/** What stands before a list of beats that hold the last of a triplet alone, which swung sounds as an eighth does. */
export const tripletName = 'throughline-triplets'

/**
 * One sign a note (T target, E one that comes early, A approach, C cell, - between), then a sum of the notes: where a note was changed since, the two
 * no longer belong together.
 *
 * @example
 * carryRoles([{ start: 0, midi: 65, role: 'target' }, { start: 12, midi: 67, role: 'cell' }]) // => 'TC:10345'
 */
export const carryRoles = (notes: readonly (CarriedNote & Carried)[]): string =>
  `${notes.map(({ role, early }) => (early ? 'E' : signs[role])).join('')}:${sumOf(notes)}`

function sumOf(notes: readonly CarriedNote[]): number {
  const first = notes[0]?.start ?? 0
  return notes.reduce((sum, { start, midi }) => (sum * 31 + (start - first) * 128 + midi) % 999_983, 7)
}

/** The roles that a file carries, a note each; null where there are none or the notes are no longer those. */
export function readCarried(text: string | null, notes: readonly CarriedNote[]): readonly Carried[] | null {
  const [, found = '', sum] = /^([TEAC-]*):(\d+)$/.exec(text ?? '') ?? []
  if (found.length !== notes.length || found.length === 0 || Number(sum) !== sumOf(notes)) return null
  return [...found].map((sign) => roles[sign]!)
}

/** The roles of a part's notes, tied ones once. */
export function rolesOfScore(score: Pick<Score, 'bars'>): string {
  const notes: (CarriedNote & Carried)[] = []
  let barStart = 0
  for (const { number, meter, events } of score.bars) {
    for (const { at, sounding, tie, role, early = false } of events)
      if (sounding && tie !== 'end' && tie !== 'middle')
        notes.push({ start: barStart + at, midi: midiOf(sounding), role, early })
    // A pickup is as long as its notes.
    barStart += number === 0 ? events.reduce((sum, { ticks }) => sum + ticks, 0) : ticksPerBar(meter)
  }
  return carryRoles(notes)
}
