/** Stopped strings: guitar and basses, worked out from their tuning and from how far a hand reaches. */
import type { Fingering, FingeringTable, Hold } from './fingering.ts'

interface Strung {
  /** Open strings as they sound, MIDI, the highest first. */
  readonly open: readonly number[]
  /** Whether its players read tablature. */
  readonly tablature: boolean
  /** The highest stop that is used. */
  readonly highest: number
  /** How many semitones above the index finger each finger lies, by position. */
  readonly reach: (position: number) => Readonly<Record<number, number>>
  /** Fingers that can stretch a semitone further, and what that costs. */
  readonly stretch: Readonly<Record<number, number>>
  readonly stretchCost: number
  /** What a shift costs at all, and for each semitone of way. */
  readonly shift: number
  readonly way: number
}

/** An open string rings on and sounds apart from the others. */
const openCost = 0.7
/** Each semitone up the neck is a little further from home. */
const high = 0.04
/** Crossing to the next string, and each further one. */
const cross = 0.25

function fingeringsOn(strung: Strung, midi: number): readonly Fingering[] {
  const found = strung.open.flatMap((open, index): readonly Fingering[] => {
    const stop = midi - open
    const string = index + 1
    if (stop < 0 || stop > strung.highest) return []
    if (stop === 0) {
      const hold: Hold = { kind: 'string', string, stop, finger: 0, position: 0 }
      return [{ label: '0', name: `string ${string}, open`, hold, cost: openCost }]
    }
    return Array.from({ length: stop }, (_, i) => i + 1).flatMap((position) =>
      Object.entries(strung.reach(position)).flatMap(([finger, above]): readonly Fingering[] => {
        const beyond = stop - position - above
        const stretched = strung.stretch[Number(finger)] ?? 0
        if (beyond !== 0 && beyond !== stretched) return []
        const hold: Hold = { kind: 'string', string, stop, finger: Number(finger), position }
        const name = `string ${string}, ${beyond === 0 ? '' : 'stretched, '}finger ${finger} in position ${position}`
        return [{ label: finger, name, hold, cost: high * position + (beyond === 0 ? 0 : strung.stretchCost) }]
      }),
    )
  })
  return [...found].sort((a, b) => a.cost - b.cost)
}

/** Shifts of the hand, less from and to an open string; crossings; one finger on two strings. */
const moveOn =
  ({ shift, way }: Strung) =>
  (from: Hold, to: Hold): number => {
    if (from.kind !== 'string' || to.kind !== 'string') return 0
    const strings = Math.abs(from.string - to.string)
    const crossing = strings === 0 ? 0 : cross + 0.35 * (strings - 1)
    if (from.finger === 0 || to.finger === 0) return crossing
    const moved = Math.abs(from.position - to.position)
    const rolled = moved === 0 && from.finger === to.finger && strings > 0 ? 0.6 : 0
    const fingers = from.finger === to.finger && from.stop === to.stop && strings === 0 ? 0 : 0.2
    return crossing + rolled + fingers + (moved === 0 ? 0 : shift + way * moved)
  }

const numerals = ['', 'I', 'II', 'III', 'IV', 'V', 'VI', 'VII', 'VIII', 'IX', 'X', 'XI', 'XII', 'XIII', 'XIV', 'XV']

/** The position, where the hand takes or changes it. */
function markShift({ hold }: Fingering, before: Fingering | null): string | null {
  if (hold.kind !== 'string' || hold.finger === 0) return null
  const last = before?.hold.kind === 'string' ? before.hold : null
  return last !== null && last.position === hold.position ? null : (numerals[hold.position] ?? String(hold.position))
}

const table = (instruments: readonly string[], source: string, strung: Strung): FingeringTable => ({
  instruments,
  source,
  ...(strung.tablature ? { tablature: strung.open } : {}),
  pitch: 'sounding',
  fingeringsOf: (midi) => fingeringsOn(strung, midi),
  move: moveOn(strung),
  markOf: markShift,
})

/** One finger a fret. */
const fourFingers = { 1: 0, 2: 1, 3: 2, 4: 3 } as const

export const guitar = table(['guitar'], 'worked out from the tuning E A D G B E, one finger a fret (common practice)', {
  open: [64, 59, 55, 50, 45, 40],
  tablature: true,
  highest: 19,
  reach: () => fourFingers,
  stretch: { 4: 1, 1: -1 },
  stretchCost: 0.9,
  shift: 1.4,
  way: 0.25,
})

export const electricBass = table(
  ['electric-bass'],
  'worked out from the tuning E A D G, one finger a fret (common practice)',
  {
    open: [43, 38, 33, 28],
    tablature: true,
    highest: 20,
    reach: () => fourFingers,
    stretch: {},
    stretchCost: 0,
    shift: 1.4,
    way: 0.3,
  },
)

/** Below the neck's end the hand spans a tone, and third and fourth fingers stop together; above it the third stops alone. */
export const doubleBass = table(
  ['double-bass'],
  'worked out from the tuning E A D G, first, second and fourth finger within a tone (common practice, from memory)',
  {
    open: [43, 38, 33, 28],
    tablature: false,
    highest: 14,
    reach: (position) => (position <= 6 ? { 1: 0, 2: 1, 4: 2 } : { 1: 0, 2: 1, 3: 2 }),
    stretch: {},
    stretchCost: 0,
    shift: 1.6,
    way: 0.35,
  },
)
