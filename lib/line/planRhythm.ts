/** When the notes of an even line begin and how long they last: onsets and rests that fill every bar, before any pitch is chosen. */
import type { Harmony } from '../harmony/harmony.ts'
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
  readonly rhythm: 'eighths' | 'triplets'
  /** Bars whose notes stay as they are, by number. */
  readonly keptBars?: ReadonlyMap<number, readonly KeptNote[]>
  /** Ticks at which a note must begin. */
  readonly onsets?: ReadonlySet<number>
}

/**
 * Plans an even rhythm around targets. Eighths: even eighths; where the tune ends at home, and no chord follows, the last target is held up
 * to a half note, else the line runs on to the double bar, ready for the top. Triplets: three to the quarter. Bars without a chord rest.
 */
export function planRhythm(harmony: Harmony, targets: readonly Place[], choices: RhythmChoices): readonly Moment[] {
  const targetAt = new Map(targets.map((target, i) => [target.start, i]))
  const last = targets.at(-1)
  const closing = last ? last.start : -1
  // A chord that comes after the last target has notes too.
  const more = harmony.chords.some(({ start, root }) => root !== null && start > closing)
  const arrives = last !== undefined && !more && /^[Ii]$/.test(harmony.chords[last.chord]?.function ?? '')
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
    for (const given of kept ?? ticksOf(harmony, bar.bar, targetAt, choices, heldUntil)) {
      // What is held sounds on; where it stops between two onsets, what follows begins there.
      const start = kept ? given.start : Math.max(given.start, heldUntil)
      let ticks = given.start + given.ticks - start
      if (ticks <= 0) continue
      const target = targetAt.get(start) ?? null
      const chord = target === null ? chordIndexAt(harmony, start) : targets[target]!.chord
      const silent = kept
        ? given.midi === null
        : target === null && (!harmony.chords[chord]?.chord || (arrives && start > closing))
      if (!kept && target !== null) {
        if (arrives && start === closing) ticks = Math.max(ticks, lastNote)
        else if (chord > chordIndexAt(harmony, start)) ticks += eighth
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
  return moments
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
    const step = whole && (rhythm === 'triplets' || asked) && !offbeat ? tripletEighth : eighth
    for (let tick = 0; tick < ticksPerQuarter && offset + tick < bar.ticks; tick += step) starts.push(at + tick)
  }
  return starts.map((start, i) => ({ start, ticks: (starts[i + 1] ?? bar.start + bar.ticks) - start }))
}

/** How strong a tick of a played bar is. */
export function weightAt(harmony: Harmony, number: number, tick: number): Moment['weight'] {
  const bar = harmony.bars[number - 1]!
  const offset = tick - bar.start
  if (strongTicks(bar.meter).includes(offset)) return 'strong'
  return bar.meter.unit <= 4 && offset % ticksPerBeat(bar.meter) === 0 ? 'beat' : 'off'
}
