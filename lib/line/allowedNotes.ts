/** What each note of a line may be, before any is drawn: pitches to walk on, approaches that may begin, cells that may leave. */
import type { Harmony } from '../harmony/harmony.ts'
import { approachesAt, type Entry, type LineChoices } from './approachFits.ts'
import type { Target } from './chooseTargets.ts'
import { heldOn, masksOf, scaleOffset } from './chordMasks.ts'
import { type Mixture, noInterval } from './figureWeights.ts'
import type { Moment } from './planRhythm.ts'

/** Nats by which a cell that was asked for goes before notes found on foot. */
const askedBonus = 6

/** How many semitones from its nearer targets a connecting note may lie. */
const reach = 9

/** Where the costs of a mixture's `fits` begin for a note on a strong beat, on another beat and between beats. */
export const firstFit = { strong: 0, beat: 5, off: 10 } as const
/** What costs nothing: a chord tone on a strong beat, and a pinned note. */
const free = firstFit.strong

/**
 * A pitch by which a note may be entered: its MIDI number, its place in the mixture's `fits`, and how: on foot, at the start of an
 * approach, as the last note of a cell; outside the scale or in it.
 */
export type NoteOption = number
export const [walks, starts, lands, chromatic] = [1, 2, 4, 8] as const
export const optionPitch = (option: NoteOption): number => option >> 8
export const optionFit = (option: NoteOption): number => (option >> 4) & 15

/** A stretch of a line, from one moment to another. */
export interface Stretch {
  readonly from: number
  readonly to: number
  /** The bucket of the interval that led to its first note. */
  readonly bucket: number
}

/** A cell that may leave a target: semitones from the target, the target's own 0 first, and nats. */
export interface LeavingCell {
  readonly offsets: readonly number[]
  readonly cost: number
}

/** The ground of a stretch, a layer a sounding note. */
export interface LineGround {
  readonly low: number
  /** The moments that the layers stand for: all that are no rest. */
  readonly moments: readonly number[]
  /** By layer: whether a rest, or nothing, comes before. */
  readonly afterRest: readonly boolean[]
  /** By layer: the target that waits there, as an index, or -1; and its MIDI pitch. */
  readonly targets: Int32Array
  readonly targetPitches: Int16Array
  /** By layer, low to high; a target's layer has none. */
  readonly options: readonly (readonly NoteOption[])[]
  /** By layer and semitones from the low end: approaches that may begin there. */
  readonly entries: readonly (readonly (readonly Entry[] | undefined)[])[]
  /** By layer: cells that may leave the target there; `heldCells` where one of them must. */
  readonly cells: readonly (readonly LeavingCell[])[]
  readonly heldCells: readonly boolean[]
  readonly steps: Mixture['steps']
  readonly fits: Mixture['fits']
  readonly trills: Mixture['trills']
  /** The bucket of the interval that led to the first note, where that is a target. */
  readonly firstBucket: number
  /** Whether no approach is to come twice. */
  readonly different: boolean
}

/**
 * Lays out what keeps the brief between the targets. A note on foot lies within reach of its targets, in the scale unless it
 * passes; right before a target none walks, because approaches lead there.
 */
export function layGround(
  harmony: Harmony,
  moments: readonly Moment[],
  targets: readonly Target[],
  range: readonly [number, number],
  choices: LineChoices,
  { from = 0, to = moments.length - 1, bucket = noInterval }: Partial<Stretch> = {},
): LineGround {
  const [low] = range
  const sounding: number[] = []
  for (let m = from; m <= to; m++) if (!moments[m]!.rest) sounding.push(m)
  const layers = sounding.length
  const at = (layer: number): Moment => moments[sounding[layer]!]!
  const afterRest = sounding.map((m, layer) => layer === 0 || sounding[layer - 1]! !== m - 1)
  const nextTarget = new Int32Array(layers).fill(-1)
  const targetAt = new Int32Array(layers).fill(-1)
  const targetPitches = new Int16Array(layers)
  for (let layer = layers - 1, next = -1; layer >= 0; layer--) {
    nextTarget[layer] = next
    const { target } = at(layer)
    if (target === null) continue
    next = layer
    targetAt[layer] = target
    targetPitches[layer] = targets[target]!.midi
  }
  const entries = approachesAt(harmony, at, layers, afterRest, targets, range, choices, (layer) =>
    choices.pinnedNotes.get(sounding[layer]!),
  )
  const place = { harmony, at, layers, afterRest, nextTarget, targets, range, choices, sounding }
  const cells = sounding.map((_, layer) => (targetAt[layer]! < 0 ? [] : cellsFrom(place, layer, targetAt[layer]!)))
  const landings = new Map<number, number[]>()
  cells.forEach((leaving, layer) => {
    for (const { offsets } of leaving)
      landings.set(layer + 3, [...(landings.get(layer + 3) ?? []), targetPitches[layer]! + offsets.at(-1)!])
  })
  return {
    low,
    moments: sounding,
    afterRest,
    targets: targetAt,
    targetPitches,
    options: optionsOf(place, entries, landings),
    entries,
    cells,
    heldCells: cells.map((leaving, layer) => leaving.length > 0 && choices.pinnedCells.has(targetAt[layer]!)),
    steps: choices.mixture.steps,
    fits: choices.mixture.fits,
    trills: choices.mixture.trills,
    firstBucket: bucket,
    different: choices.different === true,
  }
}

interface Place {
  readonly harmony: Harmony
  readonly at: (layer: number) => Moment
  readonly layers: number
  readonly afterRest: readonly boolean[]
  readonly nextTarget: Int32Array
  readonly targets: readonly Target[]
  readonly range: readonly [number, number]
  readonly choices: LineChoices
  readonly sounding: readonly number[]
}

/** The cells asked for that may start from a target: four even notes before the next approach, in range and in the scales that sound. */
function cellsFrom(
  { harmony, at, layers, afterRest, nextTarget, targets, range: [low, high], choices, sounding }: Place,
  layer: number,
  target: number,
): readonly LeavingCell[] {
  const pinned = choices.pinnedCells.get(target)
  const asked = pinned ? [{ steps: pinned, count: 1 }] : choices.cells
  const next = nextTarget[layer]!
  const room = next < 0 ? layers - layer >= 4 : next - layer > 4
  if (asked.length === 0 || !room || [1, 2, 3].some((i) => afterRest[layer + i]!)) return []
  const { midi, chord } = targets[target]!
  const all = asked.reduce((sum, { count }) => sum + count, 0)
  return asked.flatMap(({ steps: cell, count }) => {
    const offsets = cell.map((step) => scaleOffset(harmony.chords[chord]!, midi, step))
    const plays = offsets.every((offset, i) => {
      if (offset === null) return false
      const pitch = midi + offset
      const pin = i > 0 ? choices.pinnedNotes.get(sounding[layer + i]!) : undefined
      const heard = harmony.chords[at(layer + i).chord]
      const fits =
        pin !== undefined || !heard?.chord || ((heldOn(masksOf(heard), at(layer + i).weight) >> (pitch % 12)) & 1) === 1
      return fits && pitch >= low && pitch <= high && (pin ?? pitch) === pitch
    })
    return plays ? [{ offsets: offsets as number[], cost: -Math.log(count / all) - askedBonus }] : []
  })
}

function optionsOf(
  { harmony, at, layers, afterRest, nextTarget, targets, range: [low, high], choices, sounding }: Place,
  entries: LineGround['entries'],
  landings: ReadonlyMap<number, readonly number[]>,
): readonly (readonly NoteOption[])[] {
  let previous: number | null = null
  return sounding.map((m, layer) => {
    const { target, chord: index, weight } = at(layer)
    if (target !== null) {
      previous = targets[target]!.midi
      return []
    }
    const next = nextTarget[layer]!
    const around = [previous, next < 0 ? null : targets[at(next).target!]!.midi].filter((midi) => midi !== null)
    const floor = around.length === 0 ? low : Math.min(...around) - reach
    const ceiling = around.length === 0 ? high : Math.max(...around) + reach
    const chord = harmony.chords[index]
    const masks = chord?.chord ? masksOf(chord) : null
    const scale = masks ? heldOn(masks, weight) : 0
    const pinned = choices.pinnedNotes.get(m)
    // A note outside the scale has somewhere to go: none ends a phrase.
    const ends = layer + 1 === layers || afterRest[layer + 1]!
    const onFoot = next !== layer + 1 || afterRest[layer + 1]!
    const landing = landings.get(layer)
    const open: NoteOption[] = []
    for (let midi = low; midi <= high; midi++) {
      const bit = midi % 12
      const held = masks !== null && (pinned === midi || ((scale >> bit) & 1) === 1)
      const passes = masks !== null && pinned !== midi && ((masks.passing >> bit) & 1) === 1
      const rank = passes ? 4 : !masks || !held ? 3 : (masks.tones >> bit) & 1 ? 0 : (masks.avoid >> bit) & 1 ? 2 : 1
      const fit = pinned === midi ? free : firstFit[weight] + rank
      const allowed =
        masks !== null &&
        (pinned !== undefined
          ? pinned === midi
          : midi >= floor && midi <= ceiling && choices.mixture.fits[fit]! < Infinity)
      const ways =
        (onFoot && allowed && (held || !ends) ? walks : 0) |
        (entries[layer]![midi - low] ? starts : 0) |
        (landing?.includes(midi) ? lands : 0)
      if (ways) open.push((midi << 8) | (fit << 4) | ways | (held ? 0 : chromatic))
    }
    return open
  })
}
