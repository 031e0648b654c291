/** What the fields of an ABC tune say of its line: key, meter, clef, transposition. */

import { type Key, signatureOf, transposeKey } from '../theory/key.ts'
import { commonTime, type Meter } from '../theory/meter.ts'
import { type Interval, lettersOf, noteAtFifths, statedTransposition } from '../theory/pitch.ts'
import type Parse from './abcParser.ts'

export interface Head {
  readonly meter: Meter
  readonly key: Key
  readonly transposition: Interval
  /** An octave clef moves what is written. */
  readonly octave: number
}

export type Parsed = NonNullable<
  NonNullable<ReturnType<Parse['getTune']>['lines']>[number]['staff']
>[number]['voices'][number][number]
type Staff = NonNullable<NonNullable<ReturnType<Parse['getTune']>['lines']>[number]['staff']>[number]

export function headOf(staff: Staff): Head {
  const semitones = staff.clef?.transpose ?? 0
  const key = keyIn(staff.key ?? {}) ?? { tonic: { letter: 'C', alter: 0 }, mode: 'major' }
  const plain = statedTransposition(lettersOf(semitones), semitones)
  // A key of more signs than are read sounds under its other name.
  const signs = signatureOf(transposeKey(key, plain))
  const steps = plain.steps + (signs < -6 ? -1 : signs > 6 ? 1 : 0)
  const octave = /-8/.test(staff.clef?.type ?? '') ? -1 : /\+8/.test(staff.clef?.type ?? '') ? 1 : 0
  const transposition = { steps, semitones: plain.semitones }
  return { meter: meterIn(staff.meter ?? {}) ?? commonTime, key, transposition, octave }
}

/** The key of a K: field by its signature; modes count as the major or minor key that has their signature. */
export function keyIn({ accidentals = [], mode }: Pick<Parsed, 'accidentals' | 'root' | 'acc' | 'mode'>): Key | null {
  const fifths = accidentals.reduce((sum, { acc }) => sum + (acc === 'sharp' ? 1 : acc === 'flat' ? -1 : 0), 0)
  if (Math.abs(fifths) > 7) return null
  const minor = mode === 'm'
  return { tonic: noteAtFifths(fifths + (minor ? 3 : 0)), mode: minor ? 'minor' : 'major' }
}

export function meterIn({ type, value }: Pick<Parsed, 'type' | 'value'>): Meter | null {
  if (type === 'common_time') return commonTime
  if (type === 'cut_time') return { beats: 2, unit: 2 }
  const groups = (value ?? []).flatMap(({ num }) => num.split('+').map(Number))
  const beats = groups.reduce((sum, size) => sum + size, 0)
  const unit = Number(value?.at(-1)?.den ?? 4)
  const good = beats > 0 && beats <= 64 && groups.every((size) => size > 0) && [1, 2, 4, 8, 16, 32].includes(unit)
  if (!good) return null
  return groups.length > 1 ? { beats, unit, groups } : { beats, unit }
}
