/** Valve fingerings, worked out from the harmonic series: each set of valves makes the tube so many semitones longer. */
import type { Fingering, FingeringTable, Hold } from './fingering.ts'
import { outOfTune, partialsOf } from './harmonics.ts'

/** Sets of valves, the semitones by which they lower, and what they cost: long sets are sharp, and the third alone is rare. */
const sets: readonly (readonly [valves: readonly number[], lower: number, cost: number])[] = [
  [[], 0, 0],
  [[2], 1, 0],
  [[1], 2, 0],
  [[1, 2], 3, 0],
  [[3], 3, 0.8],
  [[2, 3], 4, 0.1],
  [[1, 3], 5, 0.5],
  [[1, 2, 3], 6, 0.8],
]

/** A partial that lies below its note costs so much for each cent, and so does every semitone of longer tube. */
const perCent = 0.03
const perSemitone = 0.15
/** A fingering other than the usual one sounds duller, and the lip looks for it. */
const alternate = 2

interface Tube {
  /** The MIDI number of the first partial of the open tube. */
  readonly fundamental: number
  readonly most: number
  readonly thumb: boolean
  /** What this tube costs more for a note, where an instrument has two. */
  readonly cost: (midi: number) => number
}

const labelOf = (valves: readonly number[], thumb: boolean): string =>
  `${thumb ? 'T' : ''}${valves.length > 0 ? valves.join('-') : thumb ? '' : '0'}` || 'T0'

function fingeringsFrom(tubes: readonly Tube[], midi: number): readonly Fingering[] {
  const found = tubes.flatMap(({ fundamental, most, thumb, cost: tubeCost }) =>
    partialsOf(fundamental, most)
      .filter(({ cents }) => Math.abs(cents) <= outOfTune)
      .flatMap((partial) =>
        sets
          .filter(([, lower]) => partial.midi - lower === midi)
          .map(([valves, lower, cost]): Fingering => {
            const label = labelOf(valves, thumb)
            // The third valve's slide, or the first's, mends what is sharp; nothing mends what is flat.
            const flat = Math.max(0, -partial.cents) * perCent
            const slide = lower >= 5 ? ', its slide a little out' : ''
            const name = `${valves.length > 0 ? `valves ${valves.join(' and ')}` : 'no valve'}${thumb ? ' with the thumb' : ''}${slide}`
            const hold: Hold = { kind: 'valves', valves, thumb }
            return { label, name, hold, cost: cost + flat + lower * perSemitone + tubeCost(midi) }
          }),
      ),
  )
  const usual = [...found].sort((a, b) => a.cost - b.cost)
  // Of several partials with the same valves the best in tune is meant: the player does not finger them apart.
  return usual
    .filter((each, i) => usual.findIndex(({ label }) => label === each.label) === i)
    .map((each, i) => (i === 0 ? each : { ...each, cost: each.cost + alternate }))
}

/** Each valve that goes down or up, and what crosses. */
function move(from: Hold, to: Hold): number {
  if (from.kind !== 'valves' || to.kind !== 'valves') return 0
  const downs = to.valves.filter((valve) => !from.valves.includes(valve)).length
  const ups = from.valves.filter((valve) => !to.valves.includes(valve)).length
  const third = from.valves.includes(3) !== to.valves.includes(3) ? 0.3 : 0
  return downs + ups + 0.8 * Math.min(ups, downs) + third + (from.thumb === to.thumb ? 0 : 0.8)
}

const plain = (fundamental: number, most: number): readonly Tube[] => [
  { fundamental, most, thumb: false, cost: () => 0 },
]

/** Trumpet and flugelhorn read C for their open tube, whose second partial is written C4. */
export const trumpet: FingeringTable = {
  instruments: ['trumpet', 'flugelhorn'],
  source: 'worked out from the harmonic series of the tube; costs from memory, as common practice',
  pitch: 'written',
  fingeringsOf: (midi) => fingeringsFrom(plain(48, 8), midi),
  move,
}

/** The double horn: in F below, and in B flat with the thumb from written A flat above the staff's middle on. */
export const horn: FingeringTable = {
  instruments: ['horn'],
  source:
    'worked out from the harmonic series of both tubes; where the thumb goes down is common practice, from memory',
  pitch: 'written',
  fingeringsOf: (midi) =>
    fingeringsFrom(
      [
        { fundamental: 36, most: 16, thumb: false, cost: (note) => (note > 67 ? 2 : 0) },
        { fundamental: 41, most: 12, thumb: true, cost: (note) => (note > 67 ? 0 : 2) },
      ],
      midi,
    ),
  move,
}

/** A tuba of three valves in B flat. */
export const tuba: FingeringTable = {
  instruments: ['tuba'],
  source: 'worked out from the harmonic series of a tube in B flat',
  pitch: 'sounding',
  fingeringsOf: (midi) => fingeringsFrom(plain(22, 12), midi),
  move,
}
