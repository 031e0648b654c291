/** Saxophone fingerings, by the written note: all sizes are fingered alike. */
import type { FingeringTable } from './fingering.ts'
import { type KeyRow, moveKeys, plainRow, readKeys } from './keys.ts'

const left = 'L1 L2 L3'
const all = `${left} R1 R2 R3`
const oct = 'Lt=octave'

/** The key of G sharp may stay down while the right hand plays: it closes by itself. */
const heldGSharp = (fingers: string): KeyRow => [
  `${fingers} L4=G#`,
  plainRow(fingers),
  'with the G sharp key held',
  0.1,
]
/** The bis key may stay down while the second finger is. */
const heldBis = (fingers: string): KeyRow => [
  fingers.replace('L1', 'L1=bis'),
  plainRow(fingers),
  'with the bis key held',
  0.05,
]

/** The notes that both octaves share, the upper with the octave key. */
const register = (key: string): readonly (readonly [step: string, rows: readonly KeyRow[]])[] => {
  const keyed = (rows: readonly KeyRow[]): readonly KeyRow[] =>
    rows.map(([fingers, ...rest]) => [`${fingers}${key}`, ...rest] as KeyRow)
  return [
    ['D', keyed([[all], heldGSharp(all), heldBis(all)])],
    ['Eb', keyed([[`${all} R4=Eb`]])],
    ['E', keyed([[`${left} R1 R2`], heldGSharp(`${left} R1 R2`), heldBis(`${left} R1 R2`)])],
    ['F', keyed([[`${left} R1`], heldGSharp(`${left} R1`), heldBis(`${left} R1`)])],
    [
      'F#',
      keyed([
        [`${left} R2`],
        [`${left} R1 R3=F#`, 'fork', 'fork F sharp: first finger and the key under the third', 0.4],
        heldGSharp(`${left} R2`),
      ]),
    ],
    ['G', keyed([[left], heldBis(left)])],
    ['G#', keyed([[`${left} L4=G#`]])],
    ['A', keyed([['L1 L2'], heldBis('L1 L2')])],
    [
      'Bb',
      keyed([
        ['L1 L2 Rs=Bb', 'side', 'side B flat: A with the side key of the right hand', 0.35],
        ['L1=bis', 'bis', 'bis B flat: the first finger on both keys', 0.2],
        ['L1 R1', '1+1', 'one and one: the first finger of each hand', 1.6],
      ]),
    ],
    ['B', keyed([['L1']])],
  ]
}

const fingerings = readKeys({
  A3: [[`${all} R4=C L4=Bb Lt=A`]],
  Bb3: [[`${all} R4=C L4=Bb`]],
  B3: [[`${all} R4=C L4=B`]],
  C4: [[`${all} R4=C`]],
  'C#4': [[`${all} R4=C L4=C#`]],
  ...Object.fromEntries(register('').map(([step, rows]) => [`${step}4`, rows])),
  C5: [['L2'], ['L1 Rs=C', 'side', 'side C: B with the side key of the right hand', 0.4]],
  'C#5': [['']],
  ...Object.fromEntries(register(` ${oct}`).map(([step, rows]) => [`${step}5`, rows])),
  C6: [[`L2 ${oct}`], [`L1 Rs=C ${oct}`, 'side', 'side C: B with the side key of the right hand', 0.4]],
  'C#6': [[oct]],
  D6: [[`Lp=D ${oct}`]],
  Eb6: [[`Lp=D+Eb ${oct}`]],
  E6: [
    [`Lp=D+Eb Rs=E ${oct}`],
    [`L1=front L2 L3 ${oct}`, 'front', 'front E: the key above the first finger, with the second and third', 0.6],
  ],
  F6: [
    [`Lp=D+Eb+F Rs=E ${oct}`],
    [`L1=front L2 ${oct}`, 'front', 'front F: the key above the first finger, with the second', 0.6],
  ],
  'F#6': [[`Lp=D+Eb+F Rs=E R3=F# ${oct}`]],
})

/** Fingerings from memory, as common practice teaches them; the cost of moving is a judgement of our own. */
export const saxophone: FingeringTable = {
  instruments: ['sopranino-sax', 'soprano-sax', 'alto-sax', 'tenor-sax', 'baritone-sax', 'bass-sax'],
  source: 'common practice, from memory',
  pitch: 'written',
  fingeringsOf: (midi, instrument) =>
    midi === 57 && instrument !== 'baritone-sax' ? [] : (fingerings.get(midi) ?? []),
  move: moveKeys({
    // Rollers between the keys of the little fingers.
    'R4:C>Eb': 2.5,
    'L4:B>Bb': 2,
    'L4:C#>B': 2.5,
    'L4:C#>Bb': 3.5,
    'L4:G#>C#': 2.5,
    'L4:G#>B': 3.5,
    // The first finger rolls onto the bis key, and off it.
    'L1:own>bis': 4.5,
    'L1:own>front': 2.5,
    // Palm keys lie under one hand and go down together.
    'Lp:D>D+Eb': 1,
    'Lp:D+Eb>D+Eb+F': 1,
    'Lp:D>D+Eb+F': 1.5,
  }),
}
