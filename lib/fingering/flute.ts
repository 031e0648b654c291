/** Flute fingerings, Boehm system, by the written note. */
import type { FingeringTable } from './fingering.ts'
import { type KeyRow, moveKeys, readKeys } from './keys.ts'

const left = 'Lt=B L1 L2 L3'
const eb = 'R4=Eb'

/** The thumb may lie on its B flat key for every note but B and C. */
const withThumb = (rows: readonly KeyRow[]): readonly KeyRow[] =>
  rows.flatMap(([fingers, label, name, cost = 0]): readonly KeyRow[] => [
    [fingers, label, name, cost],
    [fingers.replace('Lt=B', 'Lt=Bb'), label, name ?? 'with the thumb on its B flat key', cost + 0.1],
  ])

/** The notes that both octaves share, from E to C sharp. */
const register: readonly (readonly [step: string, octave: number, rows: readonly KeyRow[]])[] = [
  ['E', 0, withThumb([[`${left} R1 R2 ${eb}`]])],
  ['F', 0, withThumb([[`${left} R1 ${eb}`]])],
  [
    'F#',
    0,
    withThumb([
      [`${left} R3 ${eb}`],
      [`${left} R2 ${eb}`, 'fork', 'middle finger instead of the third, a little dull', 2],
    ]),
  ],
  ['G', 0, withThumb([[`${left} ${eb}`]])],
  ['G#', 0, withThumb([[`${left} L4=G# ${eb}`]])],
  ['A', 0, withThumb([[`Lt=B L1 L2 ${eb}`]])],
  [
    'Bb',
    0,
    [
      [`Lt=B L1 R1 ${eb}`, '1+1', 'one and one: the first finger of each hand', 0.2],
      [`Lt=Bb L1 ${eb}`, 'thumb', 'the thumb on its B flat key', 0.1],
      [`Lt=B L1 R1=lever ${eb}`, 'lever', 'the lever above the first finger of the right hand', 0.3],
    ],
  ],
  ['B', 0, [[`Lt=B L1 ${eb}`]]],
  ['C', 1, [[`L1 ${eb}`]]],
  ['C#', 1, [[eb]]],
]

const fingerings = readKeys({
  C4: [[`${left} R1 R2 R3 R4=C`]],
  'C#4': [[`${left} R1 R2 R3 R4=C#`]],
  D4: withThumb([[`${left} R1 R2 R3`]]),
  Eb4: withThumb([[`${left} R1 R2 R3 ${eb}`]]),
  ...Object.fromEntries(register.map(([step, octave, rows]) => [`${step}${4 + octave}`, rows])),
  D5: withThumb([['Lt=B L2 L3 R1 R2 R3']]),
  Eb5: withThumb([[`Lt=B L2 L3 R1 R2 R3 ${eb}`]]),
  ...Object.fromEntries(register.map(([step, octave, rows]) => [`${step}${5 + octave}`, rows])),
  D6: [[`L2 L3 ${eb}`]],
  Eb6: [[`${left} L4=G# R1 R2 R3 ${eb}`]],
  E6: [[`Lt=B L1 L2 R1 R2 ${eb}`]],
  F6: [[`Lt=B L1 L3 R1 ${eb}`]],
  'F#6': [[`Lt=B L1 L3 R3 ${eb}`]],
  G6: [[`L1 L2 L3 ${eb}`]],
  'G#6': [[`L2 L3 L4=G# ${eb}`]],
  A6: [[`Lt=B L2 R1 ${eb}`]],
})

/** Fingerings from memory, as common practice teaches them; the cost of moving is a judgement of our own. */
export const flute: FingeringTable = {
  instruments: ['flute'],
  source: 'common practice, from memory',
  pitch: 'written',
  fingeringsOf: (midi) => fingerings.get(midi) ?? [],
  move: moveKeys({ 'R4:Eb>C#': 2.5, 'R4:C#>C': 2, 'R4:Eb>C': 3.5, 'R1:own>lever': 2.5 }),
}
