/** Ideas that come back: the rhythm and contour of a few notes, taken up later over what sounds there, a step or more away. */
import type { Harmony } from '../harmony/harmony.ts'
import { drawIndex } from '../lattice/lattice.ts'
import { firstFit } from './allowedNotes.ts'
import type { TargetSlot } from './chooseTargets.ts'
import { heldOn, masksOf } from './chordMasks.ts'
import { intervalShare } from './figures.ts'
import type { Mixture } from './figureWeights.ts'
import { randomAt } from './planPhrases.ts'
import type { Moment } from './planRhythm.ts'

/** Notes that take up earlier ones: as many moments from `from` as from `origin`. */
export interface Motif {
  readonly from: number
  readonly origin: number
  readonly notes: number
}

/** A motif with the pitches that it has in its new place. */
export interface Answer extends Motif {
  readonly midis: readonly number[]
}

/** What has been drawn so far. */
export interface Heard {
  readonly harmony: Harmony
  readonly moments: readonly Moment[]
  /** By moment; undefined where nothing sounds, or is drawn yet. */
  readonly midis: readonly (number | undefined)[]
  readonly slotAt: (target: number) => TargetSlot
  readonly range: readonly [number, number]
  /** What notes cost by where they fall. */
  readonly fits: Mixture['fits']
}

/** An idea has so many notes; within a phrase, half a bar later, four do. */
const fewest = 5
const most = 9
/** The fewest notes of a phrase that takes one up. */
export const motifRoom = fewest + 1

/** Weights of how much later an idea comes back, in half bars of its meter. Chosen by ear and by what `npm run realism` prints. */
const laters = [
  [1, 4],
  [2, 6],
  [4, 5],
  [6, 2],
  [8, 4],
] as const

/** By size: none, a step, a third, wider; with its direction. A shape that comes back keeps these. */
const sizeOf = (interval: number): number => {
  const size = Math.abs(interval)
  return Math.sign(interval) * (size === 0 ? 0 : size <= 2 ? 1 : size <= 4 ? 2 : 3)
}

/**
 * The places within a stretch of moments at which something earlier could come back: same rhythm, so many half bars later. Longest
 * first for each place and distance.
 */
function placesFor(
  { harmony, moments, midis }: Heard,
  from: number,
  to: number,
): readonly (Motif & { readonly weight: number })[] {
  const at = new Map<number, number>()
  for (let m = Math.max(0, from - 64); m <= to; m++) if (!moments[m]!.rest) at.set(moments[m]!.start, m)
  const found: (Motif & { readonly weight: number })[] = []
  for (let m = from; m <= to; m++) {
    const { bar, start } = moments[m]!
    const half = harmony.bars[bar - 1]!.ticks / 2
    for (const [halves, weight] of laters) {
      const origin = at.get(start - halves * half)
      if (origin === undefined || origin >= m) continue
      let notes = 0
      while (
        notes < most &&
        m + notes <= to &&
        origin + notes < m &&
        midis[origin + notes] !== undefined &&
        !moments[origin + notes]!.rest &&
        (notes === 0 || moments[origin + notes]!.start - moments[origin]!.start === moments[m + notes]!.start - start)
      )
        notes += 1
      const least = halves === 1 ? fewest - 1 : fewest
      if (notes >= least) found.push({ from: m, origin, notes, weight })
    }
  }
  return found
}

/** So many pitches up or down a mask of pitch classes from a pitch; the pitch itself for none. */
function walkScale(mask: number, from: number, steps: number): number {
  const way = Math.sign(steps)
  let at = from
  for (let left = Math.abs(steps); left > 0; ) {
    at += way
    if ((mask >> (at % 12)) & 1) left -= 1
    if (Math.abs(at - from) > 24) break
  }
  return at
}

/** How many pitches of a mask lie between two, the second counted: negative downward. */
function stepsBetween(mask: number, from: number, to: number): number {
  let steps = 0
  const way = Math.sign(to - from)
  for (let at = from; at !== to; ) {
    at += way
    if ((mask >> (at % 12)) & 1) steps += way
  }
  return steps
}

/** The pitches an idea would have from a first pitch on, by scale steps over what sounds there; null where it loses its shape. */
export function fitMotif(
  { harmony, moments, midis, range: [low, high] }: Heard,
  { from, origin, notes }: Motif,
  first: number,
): readonly number[] | null {
  const scaleAt = (m: number): number | null => {
    const chord = harmony.chords[moments[m]!.chord]
    return chord?.chord && chord.root ? masksOf(chord).scale : null
  }
  const held = (mask: number, midi: number) => ((mask >> (midi % 12)) & 1) === 1
  const fitted: number[] = []
  let last = first
  let lastOrigin = midis[origin]!
  for (let i = 0; i < notes; i++) {
    const [there, here] = [scaleAt(origin + i), scaleAt(from + i)]
    const own = midis[origin + i]!
    if (there === null || here === null) return null
    if (i > 0 && !held(there, own)) {
      // A note from outside leads on by the same semitones, once what it leads to is known.
      fitted.push(-1)
      continue
    }
    const steps = i === 0 ? 0 : stepsBetween(there, lastOrigin, own)
    last = i === 0 ? first : walkScale(here, last, steps)
    lastOrigin = own
    fitted.push(last)
  }
  for (let i = notes - 1; i >= 0; i--) {
    if (fitted[i] !== -1) continue
    const next = fitted[i + 1]
    if (next === undefined) return null
    fitted[i] = next + midis[origin + i]! - midis[origin + i + 1]!
  }
  const keeps = fitted.every(
    (midi, i) =>
      midi >= low &&
      midi <= high &&
      (i === 0 || sizeOf(midi - fitted[i - 1]!) === sizeOf(midis[origin + i]! - midis[origin + i - 1]!)) &&
      (i === 0 || Math.abs(midi - fitted[i - 1]!) <= 12),
  )
  return keeps ? fitted : null
}

/** Whether a note comes by a step and goes on by a half step the same way. */
export const passesOn = (before: number | undefined, midi: number, after: number | undefined): boolean =>
  before !== undefined &&
  after !== undefined &&
  Math.abs(after - midi) === 1 &&
  (midi - before) * (after - midi) > 0 &&
  Math.abs(midi - before) <= 2

/** Nats of an answer: how its notes sit in the harmony, and how it is reached; infinite where it may not stand. */
function answerCost(
  { harmony, moments, midis, slotAt, fits }: Heard,
  from: number,
  fitted: readonly number[],
  first: number,
): number {
  let cost = 0
  for (const [i, midi] of fitted.entries()) {
    const moment = moments[from + i]!
    if (moment.target !== null) {
      const { choices, pinned, open } = slotAt(moment.target)
      if (pinned !== null ? pinned !== midi : !choices.some(({ chroma }) => chroma === midi % 12)) return Infinity
      if (open && !open.includes(midi)) return Infinity
      continue
    }
    const masks = masksOf(harmony.chords[moment.chord]!)
    const { tones, avoid, passing } = masks
    const scale = heldOn(masks, moment.weight)
    const bit = midi % 12
    // What a bebop scale adds comes back only where it passes again.
    if ((passing >> bit) & 1 && (moment.weight !== 'off' || !passesOn(fitted[i - 1], midi, fitted[i + 1])))
      return Infinity
    const rank = (tones >> bit) & 1 ? 0 : (scale >> bit) & 1 ? ((avoid >> bit) & 1 ? 2 : 1) : 3
    cost += fits[firstFit[moment.weight] + rank]!
  }
  const before = from > first ? midis[from - 1] : undefined
  if (before !== undefined) {
    const interval = fitted[0]! - before
    if (Math.abs(interval) > 12 || interval === 0) return Infinity
    cost -= Math.log(intervalShare(interval))
  }
  return cost
}

/** How many places and answers are tried. */
const tries = 3

/**
 * Draws answers to what was heard: places in a stretch of moments, with the pitches there; the likelier first. Empty where nothing
 * fits.
 *
 * @param first - the first moment of the breath that the stretch is part of
 */
export function drawAnswers(heard: Heard, from: number, to: number, seed: number): readonly Answer[] {
  const { moments, midis, range } = heard
  const places = placesFor(heard, from + 1, to)
  const answers: Answer[] = []
  const tick = moments[from]!.start
  const left = [...places]
  for (let i = 0; i < tries && left.length > 0; i++) {
    const p = drawIndex(
      left.map(({ weight, notes }) => weight * notes),
      () => randomAt(seed, tick, 30 + i),
    )
    const [place] = left.splice(p, 1)
    // Shorter where the whole does not fit.
    for (let notes = place!.notes; notes >= Math.min(fewest, place!.notes); notes--) {
      const motif = { from: place!.from, origin: place!.origin, notes }
      const options: { midis: readonly number[]; cost: number }[] = []
      const start = midis[motif.origin]!
      for (let midi = Math.max(range[0], start - 10); midi <= Math.min(range[1], start + 10); midi++) {
        const fitted = fitMotif(heard, motif, midi)
        const cost = fitted ? answerCost(heard, motif.from, fitted, from) : Infinity
        // The same notes over again are an echo rather than an answer.
        if (fitted && cost < Infinity) options.push({ midis: fitted, cost: cost + (midi === start ? 1 : 0) })
      }
      if (options.length === 0) continue
      const least = Math.min(...options.map(({ cost }) => cost))
      const o = drawIndex(
        options.map(({ cost }) => Math.exp(least - cost)),
        () => randomAt(seed, tick, 40 + i),
      )
      answers.push({ ...motif, midis: options[o]!.midis })
      break
    }
  }
  return answers
}
