/** Clarinet fingerings, Boehm system, by the written note: chalumeau and clarion share theirs, a twelfth apart. */
import { nameOf, readPitch, transposePitch } from '../theory/pitch.ts'
import type { FingeringTable } from './fingering.ts'
import { type KeyRow, moveKeys, readKeys } from './keys.ts'

const left = 'L1 L2 L3'
const all = `${left} R1 R2 R3`
/** The register key raises a twelfth. */
const twelfth = { steps: 11, semitones: 19 }

const chalumeau: Readonly<Record<string, readonly KeyRow[]>> = {
  E3: [
    [`${all} L4=E`, 'L', 'left little finger'],
    [`${all} R4=E`, 'R', 'right little finger'],
  ],
  F3: [
    [`${all} R4=F`, 'R', 'right little finger'],
    [`${all} L4=F`, 'L', 'left little finger'],
  ],
  'F#3': [
    [`${all} L4=F#`, 'L', 'left little finger'],
    [`${all} R4=F#`, 'R', 'right little finger'],
  ],
  G3: [[all]],
  'G#3': [[`${all} R4=G#`, 'R', 'right little finger']],
  A3: [[`${left} R1 R2`]],
  Bb3: [[`${left} R1`]],
  B3: [[`${left} R2`], [`${left} R1 R3=fork`, 'fork', 'fork: first finger and the small key of the third', 0.4]],
  C4: [[left]],
  'C#4': [[`${left} L4=C#`]],
  D4: [['L1 L2']],
  Eb4: [
    ['L1 L2 Rs=Eb', 'side', 'side key of the right hand', 0.1],
    ['L1 R1', '1+1', 'one and one: the first finger of each hand', 0.4],
    ['L1 L3=Eb', 'fork', 'fork: first finger and the small key of the third', 0.6],
  ],
  E4: [['L1']],
  F4: [['']],
}

const withThumb = (key: string, rows: readonly KeyRow[]): readonly KeyRow[] =>
  rows.map(([fingers, ...rest]) => [`Lt=${key} ${fingers}`, ...rest] as KeyRow)

const clarionName = (note: string): string => nameOf(transposePitch(readPitch(note)!, twelfth))

const fingerings = readKeys({
  Eb3: [[`Lt=hole ${all} R4=Eb`]],
  ...Object.fromEntries(Object.entries(chalumeau).map(([note, rows]) => [note, withThumb('hole', rows)])),
  'F#4': [['L1'], ['Lt=hole Rs=F#', 'side', 'F with both side keys of the right hand', 0.6]],
  G4: [['']],
  'G#4': [['L1=G#']],
  A4: [['L1=A']],
  Bb4: [['L1=A Lt=register'], ['L1=A Rs=Bb', 'side', 'A with the third side key of the right hand', 0.6]],
  ...Object.fromEntries(
    Object.entries(chalumeau).map(([note, rows]) => [clarionName(note), withThumb('hole+register', rows)]),
  ),
})

/** Fingerings from memory, as common practice teaches them; the cost of moving is a judgement of our own. */
export const clarinet: FingeringTable = {
  instruments: ['clarinet', 'bass-clarinet'],
  source: 'common practice, from memory',
  pitch: 'written',
  fingeringsOf: (midi, instrument) => (midi === 51 && instrument === 'clarinet' ? [] : (fingerings.get(midi) ?? [])),
  move: moveKeys({
    // The thumb rolls onto the register key.
    'Lt:hole>hole+register': 0.7,
    'Lt:hole+register>register': 1,
    'Lt:hole>register': 1.5,
    // The first finger rolls onto the throat keys.
    'L1:own>G#': 1.5,
    'L1:own>A': 1.2,
    'L1:G#>A': 1.2,
  }),
}
