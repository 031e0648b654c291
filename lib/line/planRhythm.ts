/** When the line's notes begin and how long they last: onsets and rests that fill every bar, before any pitch is chosen. */
import type { Harmony } from '../harmony/harmony.ts'
import { randomFrom } from '../lattice/lattice.ts'
import { strongTicks, ticksPerBeat, ticksPerQuarter } from '../theory/meter.ts'
import { chordIndexAt, type TargetSlot } from './chooseTargets.ts'
import type { KeptNote } from './pins.ts'

/** The line's usual note, in ticks. */
export const eighth = ticksPerQuarter / 2
/** A note of an eighth triplet. */
const tripletEighth = ticksPerQuarter / 3
/** The longest that the last note of a line is held: a half note. */
const lastNote = 2 * ticksPerQuarter

/** A moment of the line: a note begins, or a rest. Moments follow each other without gap and end with the last bar. */
export interface Moment {
  readonly bar: number
  readonly start: number
  readonly ticks: number
  /** Index into the harmony's chords: what sounds, or for an early target what it lands on; -1 for none. */
  readonly chord: number
  readonly rest: boolean
  /** Index into the targets, where a target waits here; else null. */
  readonly target: number | null
  /** strong: a group of beats starts; beat: another beat; off: between beats. */
  readonly weight: 'strong' | 'beat' | 'off'
}

/** A target's place, whether or not its note is chosen yet. */
type Place = Pick<TargetSlot, 'start' | 'chord'>

export interface RhythmChoices {
  readonly rhythm: 'eighths' | 'phrased' | 'triplets'
  readonly seed: number
  /** Bars whose notes stay as they are, by number. */
  readonly keptBars?: ReadonlyMap<number, readonly KeptNote[]>
  /** Ticks at which a note must begin. */
  readonly onsets?: ReadonlySet<number>
  /** Stretches of ticks, the end not counted, in which nothing may rest or be held over. */
  readonly unbroken?: readonly (readonly [number, number])[]
}

/** How often, in phrased lines, an offbeat note is held over the next beat. Real lines: 12 % of beats (counts by beat). */
const heldOverShare = 0.1
/** How often a weak beat turns into a triplet. Chosen by ear; real lines vary from player to player. */
const tripletShare = 0.1
/** A phrase goes on for so many bars before it breathes. */
const phraseBars = [2, 3, 4] as const
/** A breath ends so many eighths before the next target, which leaves room for its approach. */
const pickupEighths = [2, 3, 4] as const

/**
 * Plans a line's rhythm around its targets. Eighths: even eighths; where the tune ends at home the last target is held up to a
 * half note, else the line runs on to the double bar, ready for the top. Phrased: a breath
 * every two to four bars after a landing held as a quarter, pickups, now and then a triplet or a note held over the beat.
 * Triplets: three to the quarter. Bars without a chord rest.
 */
export function planRhythm(harmony: Harmony, targets: readonly Place[], choices: RhythmChoices): readonly Moment[] {
  const random = randomFrom(choices.seed ^ 0x5bd1e995)
  const targetAt = new Map(targets.map((target, i) => [target.start, i]))
  const breaths = choices.rhythm === 'phrased' ? planBreaths(harmony, targets, random, choices) : []
  const last = targets.at(-1)
  const closing = last ? last.start : -1
  const arrives = last !== undefined && /^[Ii]$/.test(harmony.chords[last.chord]?.function ?? '')
  const end = harmony.bars.reduce((at, bar) => Math.max(at, bar.start + bar.ticks), 0)
  const moments: Moment[] = []
  let heldUntil = 0
  for (const bar of harmony.bars) {
    let rest: Moment | null = null
    const flush = () => {
      if (rest) moments.push(rest)
      rest = null
    }
    const kept = choices.keptBars?.get(bar.bar)
    if (kept && heldUntil > bar.start) cutLast(moments, bar.start)
    for (const given of kept ?? ticksOf(harmony, bar.bar, targetAt, choices, random, heldUntil)) {
      // What is held sounds on; where it stops between two onsets, what follows begins there.
      const start = kept ? given.start : Math.max(given.start, heldUntil)
      let ticks = given.start + given.ticks - start
      if (ticks <= 0) continue
      const target = targetAt.get(start) ?? null
      const chord = target === null ? chordIndexAt(harmony, start) : targets[target]!.chord
      const breathing = breaths.some(([from, to]) => start >= from && start < to)
      const silent = kept
        ? given.midi === null
        : target === null && (!harmony.chords[chord]?.chord || (arrives && start > closing) || breathing)
      if (!kept && target !== null) {
        if (arrives && start === closing) ticks = Math.max(ticks, lastNote)
        else if (chord > chordIndexAt(harmony, start)) ticks += eighth
        else if (breaths.some(([from]) => from === start + ticksPerQuarter)) ticks = ticksPerQuarter
        ticks = Math.min(ticks, (targets[target + 1]?.start ?? end) - start)
      }
      const weight = weightAt(harmony, bar.bar, start)
      const moment: Moment = { bar: bar.bar, start, ticks, chord, rest: silent, target, weight }
      heldUntil = start + ticks
      if (!silent) {
        flush()
        moments.push(moment)
      } else rest = rest ? { ...(rest as Moment), ticks: heldUntil - (rest as Moment).start } : moment
    }
    flush()
  }
  return choices.rhythm === 'phrased' ? holdOver(moments, random, choices) : moments
}

/** Shortens the last moment so that it ends at a tick. */
function cutLast(moments: Moment[], tick: number): void {
  const last = moments.pop()
  if (last) moments.push({ ...last, ticks: tick - last.start })
}

/** The ticks of a bar at which something may begin, each with the ticks up to the next. */
function ticksOf(
  harmony: Harmony,
  number: number,
  targetAt: ReadonlyMap<number, number>,
  { rhythm, onsets }: RhythmChoices,
  random: () => number,
  heldUntil: number,
): readonly (Omit<KeptNote, 'midi'> & { readonly midi?: number | null })[] {
  const bar = harmony.bars[number - 1]!
  const starts: number[] = []
  for (let offset = 0; offset < bar.ticks; offset += ticksPerQuarter) {
    const at = bar.start + offset
    const whole = offset + ticksPerQuarter <= bar.ticks && bar.meter.unit <= 4
    // A target on the offbeat, or one held into this beat, keeps the beat to eighths.
    const offbeat =
      targetAt.has(at + eighth) || targetAt.has(at - eighth) || at < heldUntil || onsets?.has(at + eighth) === true
    const asked = onsets?.has(at + tripletEighth) || onsets?.has(at + 2 * tripletEighth)
    const turns =
      rhythm === 'triplets' ||
      (rhythm === 'phrased' && weightAt(harmony, number, at) === 'beat' && random() < tripletShare)
    const step = whole && (turns || asked) && !offbeat ? tripletEighth : eighth
    for (let tick = 0; tick < ticksPerQuarter && offset + tick < bar.ticks; tick += step) starts.push(at + tick)
  }
  return starts.map((start, i) => ({ start, ticks: (starts[i + 1] ?? bar.start + bar.ticks) - start }))
}

/** Stretches of rest, each from a quarter after a landing to the pickup of a later target. */
function planBreaths(
  harmony: Harmony,
  targets: readonly Place[],
  random: () => number,
  { unbroken }: RhythmChoices,
): readonly (readonly [number, number])[] {
  const breaths: [number, number][] = []
  const pick = <T>(list: readonly T[]): T => list[Math.floor(random() * list.length)]!
  const barTicks = harmony.bars[0]?.ticks ?? 96
  let next = pick(phraseBars) * barTicks
  for (let i = 1; i + 1 < targets.length; i++) {
    const from = targets[i]!.start + ticksPerQuarter
    const to = targets[i + 1]!.start - pick(pickupEighths) * eighth
    if (targets[i]!.start < next || to - from < eighth || meets(unbroken, from - eighth, to)) continue
    breaths.push([from, to])
    next = targets[i]!.start + pick(phraseBars) * barTicks
  }
  return breaths
}

/** Whether a stretch of ticks touches one of those that stay unbroken. */
const meets = (unbroken: RhythmChoices['unbroken'], from: number, to: number): boolean =>
  unbroken?.some(([start, end]) => start < to && from < end) ?? false

/** Now and then holds an offbeat note through the beat after it, where that beat is no target and both are eighths. */
function holdOver(moments: readonly Moment[], random: () => number, { unbroken }: RhythmChoices): readonly Moment[] {
  const held: Moment[] = []
  for (let i = 0; i < moments.length; i++) {
    const moment = moments[i]!
    const next = moments[i + 1]
    const plain = !moment.rest && moment.weight === 'off' && moment.ticks === eighth && moment.target === null
    const free = next && !next.rest && next.target === null && next.ticks === eighth && next.weight !== 'off'
    if (plain && free && random() < heldOverShare && !meets(unbroken, moment.start, next.start + next.ticks)) {
      held.push({ ...moment, ticks: moment.ticks + next.ticks })
      i += 1
    } else held.push(moment)
  }
  return held
}

/** How strong a tick of a played bar is. */
export function weightAt(harmony: Harmony, number: number, tick: number): Moment['weight'] {
  const bar = harmony.bars[number - 1]!
  const offset = tick - bar.start
  if (strongTicks(bar.meter).includes(offset)) return 'strong'
  return bar.meter.unit <= 4 && offset % ticksPerBeat(bar.meter) === 0 ? 'beat' : 'off'
}
