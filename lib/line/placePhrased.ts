/** A phrased line before its notes: phrases, their rhythm, and the targets that stand where the phrases go. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { modulo } from '../theory/pitch.ts'
import { askedOnsets } from './checkPins.ts'
import { choicesOn, type TargetSlot } from './chooseTargets.ts'
import { phrasedMoments } from './phraseRhythm.ts'
import type { Pins } from './pins.ts'
import {
  type Covered,
  type PhraseSlot,
  pickupEighths,
  planPhrases,
  seedOf,
  slotsOf,
  usualTempo,
} from './planPhrases.ts'
import type { Moment } from './planRhythm.ts'

const eighth = ticksPerQuarter / 2
/** Notes of a cell, the target counted. */
const cellNotes = 4

export interface PhrasedPlan {
  /** Every moment, its target set: an index into `slots`. */
  readonly moments: readonly Moment[]
  /** The slots at which a phrase begins a note, some an eighth early, held into their place. */
  readonly slots: readonly TargetSlot[]
  /** The eighths before bar 1 that the first phrase begins with; 0 where it begins in a bar. */
  readonly pickup: number
  readonly relaxed: readonly { readonly rule: string; readonly bar: number; readonly why: string }[]
}

/** Ticks at which pins ask for a note, and stretches of ticks that may not rest. */
function askedOf(
  pins: Pins,
  planned: readonly TargetSlot[],
): {
  readonly onsets: ReadonlySet<number>
  readonly unbroken: readonly (readonly [number, number])[]
} {
  const onsets = new Set([...askedOnsets(pins), ...pins.approaches.keys()])
  for (const { start } of planned) onsets.add(start)
  const unbroken: [number, number][] = [...onsets].map((at) => [at, at])
  for (const at of pins.cells.keys()) unbroken.push([at, at + (cellNotes - 1) * eighth])
  for (const [at, offsets] of pins.approaches) unbroken.push([Math.max(0, at - offsets.length * eighth), at])
  for (const [from, to] of unbroken) for (let at = from; at < to; at += eighth) onsets.add(at)
  return { onsets, unbroken }
}

/** Whether the last chord of a tune is its tonic, where a line comes to rest. */
const isTonic = (harmony: Harmony, chord: number): boolean => /^[Ii]$/.test(harmony.chords[chord]?.function ?? '')

/** Where every bar that has a chord is pinned, no phrase is planned at all. */
function allPinned(harmony: Harmony, { bars }: Pins): readonly { readonly bar: number; readonly why: string }[] {
  const sounding = new Set(harmony.chords.filter(({ chord }) => chord).map(({ bar }) => bar))
  const first = Math.min(...sounding)
  if (bars.size === 0 || [...sounding].some((bar) => !bars.has(bar))) return []
  return [{ bar: first, why: 'every bar is pinned, so no phrase has a place of its own' }]
}

/** The widest step, in semitones. */
const wholeStep = 2

/** The slots with the last one narrowed, where it can be, to notes a step or less from where the first chord of the top is met. */
function aimAtTop(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  { land }: Pick<Brief, 'land'>,
): readonly TargetSlot[] {
  const last = slots.at(-1)
  const top = harmony.chords.find(({ chord, root }) => chord && root)
  if (!last || !top) return slots
  const goals = choicesOn(top, land)
  const near = last.choices.filter(({ chroma }) =>
    goals.some((goal) => Math.min(modulo(goal.chroma - chroma, 12), modulo(chroma - goal.chroma, 12)) <= wholeStep),
  )
  return near.length === 0 ? slots : [...slots.slice(0, -1), { ...last, choices: near }]
}

/** The eighths before bar 1 that a phrased line begins with where a pickup is asked for, by a draw of the tune and the seed; else 0. */
export function pickupOf(harmony: Harmony, brief: Pick<Brief, 'tempo' | 'notes' | 'pickup'>, seed: number): number {
  if (!brief.pickup || !harmony.chords[0]?.chord) return 0
  return pickupEighths(brief.tempo ?? harmony.tempo ?? usualTempo, seedOf(harmony, seed), brief.notes)
}

/**
 * Plans phrases and rhythm over a harmony, and moves the target slots to them: a slot at which a phrase begins a note stays; one
 * into which a note is held is met early, by that note; others fall away. The last note of all is a target.
 *
 * @param slots - where targets would wait in even eighths
 * @param fixed - those among them that a plan of degrees names, which must sound
 */
export function placePhrased(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  fixed: readonly TargetSlot[],
  pins: Pins,
  brief: Pick<Brief, 'land' | 'tempo' | 'notes' | 'pickup'>,
  seed: number,
): PhrasedPlan {
  const tempo = brief.tempo ?? harmony.tempo ?? usualTempo
  const eighths = slotsOf(harmony)
  const own = seedOf(harmony, seed)
  const { onsets, unbroken } = askedOf(pins, fixed)
  const covered: Covered = unbroken.map(([from, to]) => [indexAt(eighths, from), indexAt(eighths, to)] as const)
  const last = harmony.chords.findLastIndex(({ chord, root }) => chord && root)
  const arrives = last >= 0 && isTonic(harmony, last)
  const home = arrives ? indexAt(eighths, harmony.chords[last]!.start) : 0
  const pickup = pickupOf(harmony, brief, seed)
  const aim = arrives ? Math.max(home, eighths.length - 16) : eighths.length - 8
  const { phrases, broken } = planPhrases(harmony, eighths, covered, tempo, own, aim, pickup)
  const choices = { tempo, seed: own, onsets, keptBars: pins.bars }
  const moments = phrasedMoments(harmony, eighths, phrases, choices, arrives)
  const met = meetSlots(harmony, moments, slots, pins, brief)
  const aimed = arrives ? met.slots : aimAtTop(harmony, met.slots, brief)
  const said = [...broken, ...allPinned(harmony, pins)]
  return { ...met, slots: aimed, pickup, relaxed: said.map((each) => ({ rule: 'phrases', ...each })) }
}

const indexAt = (slots: readonly PhraseSlot[], tick: number): number =>
  Math.max(
    0,
    slots.findLastIndex((slot) => slot.tick <= tick),
  )

/**
 * Sets slots on the notes that begin there, or that are held into them. The last note of a phrase that meets none is a target of
 * its own, and so is the last note of the line: a phrase aims.
 */
function meetSlots(
  harmony: Harmony,
  moments: readonly Moment[],
  slots: readonly TargetSlot[],
  pins: Pins,
  { land }: Pick<Brief, 'land'>,
): Pick<PhrasedPlan, 'moments' | 'slots'> {
  const slotAt = new Map<number, TargetSlot>()
  let m = 0
  for (const slot of slots) {
    while (m + 1 < moments.length && moments[m + 1]!.start <= slot.start) m += 1
    const moment = moments[m]
    if (!moment || moment.rest || slotAt.has(m)) continue
    const kept = pins.bars.get(slot.bar)
    if (kept && !kept.some(({ start, midi }) => start === slot.start && midi !== null)) continue
    const early = slot.start - moment.start
    const pinned = pins.notes.has(moment.start) || pins.bars.has(moment.bar)
    if (early === 0 || (early > 0 && early <= eighth && moment.ticks > early && !pinned))
      slotAt.set(m, { ...slot, start: moment.start })
  }
  const final = moments.findLastIndex(({ rest }) => !rest)
  let met = false
  moments.forEach(({ bar, start, chord, rest }, i) => {
    if (rest) {
      met = false
      return
    }
    met ||= slotAt.has(i)
    const closes = i === final || ((moments[i + 1]?.rest ?? true) && !met)
    const heard = harmony.chords[chord]
    if (!closes || slotAt.has(i) || !heard?.chord || !heard.root || pins.bars.has(bar) || pins.notes.has(start)) return
    slotAt.set(i, { bar, start, chord, choices: choicesOn(heard, land), pinned: null })
  })
  const kept: TargetSlot[] = []
  const placed = moments.map((moment, i): Moment => {
    const slot = slotAt.get(i)
    if (!slot) return moment
    kept.push(slot)
    return { ...moment, target: kept.length - 1, chord: slot.chord }
  })
  return { slots: kept, moments: placed }
}
