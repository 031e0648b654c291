/** How to finger a line: a cheapest path over the fingerings of its notes, and in words why each is what it is. */
import { bestPath, type Edge } from '../lattice/lattice.ts'
import { clarinet } from './clarinet.ts'
import type { Fingering, FingeringTable } from './fingering.ts'
import { flute } from './flute.ts'
import { saxophone } from './saxophone.ts'
import { doubleBass, electricBass, guitar } from './strings.ts'
import { trombone } from './trombone.ts'
import { horn, trumpet, tuba } from './valves.ts'

/** Every table; an instrument that stands in none has no fingering here. */
export const fingeringTables: readonly FingeringTable[] = [
  saxophone,
  clarinet,
  flute,
  trumpet,
  horn,
  tuba,
  trombone,
  guitar,
  electricBass,
  doubleBass,
]

/** The table that serves an instrument; undefined where none does. */
export const fingeringTableOf = (instrument: string): FingeringTable | undefined =>
  fingeringTables.find(({ instruments }) => instruments.includes(instrument))

/** A note to finger. */
export interface FingeredNote {
  /** As the player reads it, and as it sounds. */
  readonly written: number
  readonly sounding: number
  /** Seconds from its start to the start of the next note: time to move in. */
  readonly seconds: number
}

/** The fingering of a note, and what else would do. */
export interface ChosenFingering {
  readonly fingering: Fingering
  /** Whether it is the one that a player would take without a thought. */
  readonly usual: boolean
  /** What is marked where only choices are: what differs from the usual, or a new position of the hand; null for nothing. */
  readonly mark: string | null
  /** All others of the note, the usual one first. */
  readonly others: readonly Fingering[]
  /** Why this one, in a sentence. */
  readonly why: string
}

/** A move that has so many seconds costs what the tables say; in less it is dearer, in more cheaper, within bounds. */
const usualTime = 0.25
const hurryBounds = [0.25, 2] as const

const hurryOf = (seconds: number): number =>
  Math.min(hurryBounds[1], Math.max(hurryBounds[0], usualTime / Math.max(seconds, 0.01)))

/** What all of a run costs that is fingered so: what each fingering costs and each move, by the time that there is for it. */
export function costOfFingerings(
  table: FingeringTable,
  notes: readonly FingeredNote[],
  fingerings: readonly Fingering[],
): number {
  return fingerings.reduce((sum, fingering, i) => {
    const before = fingerings[i - 1]
    const move = before ? table.move(before.hold, fingering.hold) * hurryOf(notes[i - 1]!.seconds) : 0
    return sum + fingering.cost + move
  }, 0)
}

/**
 * Fingers notes in a row for an instrument: one a note, cheapest as a whole; null where the instrument has no such note, and
 * the row begins anew after it. All null where no table serves the instrument.
 *
 * @example
 * chooseFingerings('alto-sax', [69, 70, 71].map((written) => ({ written, sounding: written - 9, seconds: 0.2 }))).map(({ fingering }) => fingering.label)
 * // => ['12', 'side', '1']
 */
export function chooseFingerings(
  instrument: string,
  notes: readonly FingeredNote[],
): readonly (ChosenFingering | null)[] {
  const table = fingeringTableOf(instrument)
  if (!table) return notes.map(() => null)
  const known = new Map<number, readonly Fingering[]>()
  const layers = notes.map((note) => {
    const midi = note[table.pitch]
    if (!known.has(midi)) known.set(midi, table.fingeringsOf(midi, instrument))
    return known.get(midi)!
  })
  const chosen: (ChosenFingering | null)[] = notes.map(() => null)
  for (let from = 0; from < notes.length; from++) {
    if (layers[from]!.length === 0) continue
    let to = from
    while (to < notes.length && layers[to]!.length > 0) to += 1
    const run = chooseRun(table, notes.slice(from, to), layers.slice(from, to))
    run.forEach((each, i) => {
      chosen[from + i] = each
    })
    from = to
  }
  return chosen
}

function chooseRun(
  table: FingeringTable,
  notes: readonly FingeredNote[],
  layers: readonly (readonly Fingering[])[],
): readonly ChosenFingering[] {
  const path = bestPath({
    sizes: layers.map((layer) => layer.length),
    nodeCost: (layer, node) => layers[layer]![node]!.cost,
    edges: (layer, node) => {
      const from = layers[layer]![node]!.hold
      const hurry = hurryOf(notes[layer]!.seconds)
      return (layers[layer + 1] ?? []).map(
        ({ hold }, to): Edge => ({ layer: layer + 1, node: to, cost: table.move(from, hold) * hurry }),
      )
    },
  })
  const steps = path!.steps.map(({ layer, node }) => layers[layer]![node]!)
  const unusual = (fingering: Fingering, usual: Fingering) => (fingering.label === usual.label ? null : fingering.label)
  return steps.map((fingering, i): ChosenFingering => {
    const all = layers[i]!
    const usual = all[0]!
    return {
      fingering,
      usual: fingering.label === usual.label,
      mark: table.markOf ? table.markOf(fingering, lastStopped(steps, i)) : unusual(fingering, usual),
      others: all.filter((each, n) => each !== fingering && all.findIndex(({ label }) => label === each.label) === n),
      why: reasonFor(table, steps, all, i),
    }
  })
}

/** The last fingering before one that is no open string: the hand stays where it was. */
const lastStopped = (steps: readonly Fingering[], at: number): Fingering | null =>
  steps.slice(0, at).findLast(({ hold }) => hold.kind !== 'string' || hold.finger !== 0) ?? null

/** Why a fingering stands where it does: what its neighbours make of it and of the usual one. */
function reasonFor(table: FingeringTable, steps: readonly Fingering[], all: readonly Fingering[], at: number): string {
  const chosen = steps[at]!
  const about = (fingering: Fingering): number =>
    [steps[at - 1], steps[at + 1]].reduce(
      (sum, other) => sum + (other ? table.move(other.hold, fingering.hold) : 0),
      fingering.cost,
    )
  const rival = all.find(({ label }) => label !== chosen.label)
  if (!rival) return `${chosen.name}: there is no other`
  const gain = about(rival) - about(chosen)
  const easier = gain > 1.5 ? 'much less to move' : gain > 0.25 ? 'less to move' : 'no more to move'
  return `${chosen.name}: ${easier} here than with ${rival.label}`
}
