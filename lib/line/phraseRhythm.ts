/** When the notes of a phrased line begin and how long they last: what each beat of a phrase holds, drawn from counts by tempo. */
import type { Harmony } from '../harmony/harmony.ts'
import { drawIndex } from '../lattice/lattice.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chordIndexAt } from './chooseTargets.ts'
import { type CountedTempo, packedBeatPairs } from './phraseCounts.ts'
import type { KeptNote } from './pins.ts'
import { countsFor, type Phrase, type PhraseSlot, randomAt } from './planPhrases.ts'
import { type Moment, weightAt } from './planRhythm.ts'

const beat = ticksPerQuarter
const eighth = beat / 2

/** What a beat may hold: ticks at which notes begin. Names as in the counts. */
const beatPatterns = {
  n: [0],
  nn: [0, 12],
  '-n': [12],
  nnn: [0, 8, 16],
  '-ss': [12, 18],
  nss: [0, 12, 18],
  ssn: [0, 6, 12],
  ssss: [0, 6, 12, 18],
  six: [0, 4, 8, 12, 16, 20],
} as const
type PatternName = keyof typeof beatPatterns
const names = Object.keys(beatPatterns) as PatternName[]
const patterns: readonly (readonly number[])[] = Object.values(beatPatterns)

/** Two onsets of a phrase are no further apart than this: as phrases are counted. */
const breath = 1.25 * beat
/** A phrase has at least so many notes, where it has room. */
const fewest = 3

interface Chances {
  /** By pattern: after silence, before silence, and by the pattern before. */
  readonly first: Float64Array
  readonly last: Float64Array
  readonly next: readonly Float64Array[]
}

const known = new Map<string, Chances>()

function chancesFor(tempo: number): Chances {
  const key = countsFor(tempo).join()
  const before = known.get(key)
  if (before) return before
  const counts = new Map<string, number>()
  for (const [name, weight] of countsFor(tempo))
    for (const entry of packedBeatPairs[name as CountedTempo].split(',')) {
      const [pair = '', n = '0'] = entry.split(':')
      counts.set(pair, (counts.get(pair) ?? 0) + weight * Number(n))
    }
  const n = (a: string, b: string) => counts.get(`${a} ${b}`) ?? 0
  const all = names.map((name) => names.reduce((sum, from) => sum + n(from, name), 0))
  const total = all.reduce((a, b) => a + b, 0)
  // Every pair may follow, as rarely as its second beat is.
  const next = names.map((from) => {
    const own = names.reduce((sum, to) => sum + n(from, to), 0)
    return Float64Array.from(
      names,
      (to, i) => ((n(from, to) + (3 * all[i]!) / total) / (own + 3)) * (heldOver(from, to) ? heldShare : 1),
    )
  })
  const first = Float64Array.from(names, (name) => n('none', name) + 0.5)
  const last = Float64Array.from(names, (name, i) => (n(name, 'none') + 0.5) / (all[i]! + 1))
  const chances = { first, last, next }
  known.set(key, chances)
  return chances
}

/** Whether a note between beats is held over the beat. */
const heldOver = (from: PatternName, to: PatternName): boolean =>
  beatPatterns[from].at(-1) === eighth && beatPatterns[to][0] === eighth

/** Recorded offbeats that swing late are counted as held less often than written ones; this brings them together. */
const heldShare = 0.55

/** The half of a beat that an onset is heard in: up to three eighths of a beat late it is still on the beat. */
const halfOf = (tick: number): number => (tick < 9 ? 0 : 1)

/** What is asked of a phrased rhythm. */
export interface PhrasedChoices {
  readonly tempo: number
  readonly seed: number
  /** Ticks at which a note must begin. */
  readonly onsets: ReadonlySet<number>
  /** Bars whose notes stay as they are, by number. */
  readonly keptBars: ReadonlyMap<number, readonly KeptNote[]>
  /** What a beat had better hold, by its tick: a pattern taken up from an earlier phrase. */
  readonly taken?: ReadonlyMap<number, number>
}

/** How much likelier a beat holds what an idea asks for that comes again. */
const takenUp = 60

/**
 * The onsets of one phrase: beat by beat from the counts, exactly under where it starts and ends and what must sound in it. Meters
 * of eighths go in even eighths, now and then a quarter.
 */
function onsetsOf(
  harmony: Harmony,
  slots: readonly PhraseSlot[],
  { first, last, few = false }: Phrase,
  choices: PhrasedChoices,
): readonly number[] {
  if (few) return slots.slice(first, last + 1).map(({ tick }) => tick)
  const bar = harmony.bars[slots[first]!.bar - 1]!
  if (bar.meter.unit > 4) return compoundOnsets(slots, { first, last }, choices)
  const from = slots[first]!
  const to = slots[last]!
  const beatOf = (slot: PhraseSlot) => {
    const start = harmony.bars[slot.bar - 1]!.start
    return start + Math.floor((slot.tick - start) / beat) * beat
  }
  const beats: number[] = []
  for (let at = beatOf(from); at <= beatOf(to); at += beat) beats.push(at)
  const [begins, ends] = [halfOf(from.tick - beats[0]!), halfOf(to.tick - beats.at(-1)!)]
  const chances = chancesFor(choices.tempo)
  const fits = beats.map((at, b): number[] =>
    patterns.map((pattern) => {
      if (b === 0 && halfOf(pattern[0]!) !== begins) return 0
      if (b === beats.length - 1 && halfOf(pattern.at(-1)!) !== ends) return 0
      return keepsAsked(pattern, at, choices.onsets)
    }),
  )
  fits.forEach((row, b) => {
    const taken = choices.taken?.get(beats[b]!)
    if (taken !== undefined && row[taken]! > 0) row[taken]! *= takenUp
    // Where nothing keeps all that is asked, anything goes.
    if (row.every((weight) => weight === 0)) fits[b] = patterns.map(() => 1)
  })
  const drawn = drawBeats(fits, chances, (b, salt) => randomAt(choices.seed, beats[b]!, salt))
  return drawn.flatMap((pattern, b) => patterns[pattern]!.map((tick) => beats[b]! + tick))
}

/** Whether a pattern begins notes where they are asked for: both halves of a beat asked for are two eighths. */
function keepsAsked(pattern: readonly number[], at: number, onsets: ReadonlySet<number>): number {
  let asked = 0
  for (let tick = 0; tick < beat; tick++) {
    if (!onsets.has(at + tick)) continue
    asked += 1
    if (!pattern.includes(tick)) return 0
  }
  return asked === 2 && onsets.has(at) && onsets.has(at + eighth) && pattern.length !== 2 ? 0 : 1
}

/** The last note of a triplet or a sextuplet is not held over the beat: it would be hard to read. */
const joins = patterns.map((a) =>
  patterns.map((b) => beat + b[0]! - a.at(-1)! <= breath && (b[0] === 0 || a.at(-1)! % 6 === 0)),
)

/** Patterns for the beats of a phrase, drawn exactly: weights backward from its last beat, then forward. */
function drawBeats(
  fits: readonly (readonly number[])[],
  { first, last, next }: Chances,
  random: (b: number, salt: number) => number,
): readonly number[] {
  const size = patterns.length
  // By how many notes there are before a beat, at most three, and by pattern, beat after beat.
  const row = (b: number, notes: number) => (b * (fewest + 1) + notes) * size
  const on = new Float64Array(row(fits.length, 0))
  for (let b = fits.length - 1; b >= 0; b--)
    for (let p = 0; p < size; p++)
      for (let n = 0; n <= fewest; n++) {
        const notes = Math.min(fewest, n + patterns[p]!.length)
        let sum = 0
        if (b === fits.length - 1) sum = last[p]! * (notes >= fewest ? 1 : 1e-9)
        else {
          const after = row(b + 1, notes)
          const likely = next[p]!
          const fit = fits[b + 1]!
          for (let q = 0; q < size; q++) if (joins[p]![q]) sum += likely[q]! * fit[q]! * on[after + q]!
        }
        on[row(b, n) + p] = sum
      }
  const drawn: number[] = []
  let notes = 0
  for (let b = 0; b < fits.length; b++) {
    const before = drawn.at(-1)
    const weights = patterns.map((_, p) => {
      const way = before === undefined ? first[p]! : joins[before]![p] ? next[before]![p]! : 0
      return way * fits[b]![p]! * on[row(b, notes) + p]!
    })
    const p = Math.max(
      0,
      drawIndex(weights, () => random(b, 4)),
    )
    drawn.push(p)
    notes = Math.min(fewest, notes + patterns[p]!.length)
  }
  return drawn
}

/** In meters of eighths: every eighth of a phrase, now and then one left out within. */
function compoundOnsets(
  slots: readonly PhraseSlot[],
  { first, last }: Phrase,
  choices: PhrasedChoices,
): readonly number[] {
  const onsets: number[] = []
  for (let i = first; i <= last; i++) {
    const { tick } = slots[i]!
    const within = i > first + 1 && i < last && !choices.onsets.has(tick) && onsets.at(-1) === slots[i - 1]!.tick
    if (!within || randomAt(choices.seed, tick, 5) >= leftOut) onsets.push(tick)
  }
  return onsets
}

/** How often an eighth within a phrase is left out in meters of eighths. Chosen by ear. */
const leftOut = 0.12

/** The lengths that the last note of a phrase may have, with their weights: on a beat and between beats. Chosen by ear. */
const endings = {
  on: [
    [24, 6],
    [12, 2],
    [36, 1],
    [48, 2],
  ],
  off: [
    [12, 6],
    [24, 1],
    [36, 3],
  ],
} as const
/** The longest that the last note of a line is held where the tune arrives: a half note. */
const lastNote = 2 * beat

/**
 * The moments of a phrased line: notes from onset to onset, the last of a phrase held as long as it likes and there is room, rests
 * up to the bar line. Bars that are kept stay as they are.
 */
export function phrasedMoments(
  harmony: Harmony,
  slots: readonly PhraseSlot[],
  phrases: readonly Phrase[],
  choices: PhrasedChoices,
  arrives: boolean,
): readonly Moment[] {
  const end = harmony.bars.reduce((at, bar) => Math.max(at, bar.start + bar.ticks), 0)
  const notes: { start: number; ticks: number }[] = []
  phrases.forEach((phrase, p) => {
    const onsets = onsetsOf(harmony, slots, phrase, choices)
    const next = phrases[p + 1] ? slots[phrases[p + 1]!.first]!.tick : end
    onsets.forEach((start, i) => {
      const until = onsets[i + 1]
      if (until !== undefined) {
        notes.push({ start, ticks: until - start })
        return
      }
      const room = silenceAt(harmony, start, p + 1 < phrases.length ? next - eighth : next) - start
      const lengths = endings[start % beat === 0 ? 'on' : 'off']
      const fits = lengths.map(([ticks, weight]) => (ticks - (start % eighth) <= room ? weight : 0))
      const drawn = drawIndex(fits, () => randomAt(choices.seed, start, 6))
      const wanted = p + 1 === phrases.length && arrives ? lastNote : (lengths[drawn]?.[0] ?? eighth) - (start % eighth)
      notes.push({ start, ticks: Math.max(1, Math.min(wanted, room)) })
    })
  })
  return fillBars(harmony, withKept(harmony, notes, choices.keptBars), end)
}

interface PlainNote {
  readonly start: number
  readonly ticks: number
  readonly rest?: boolean
}

/** The first tick from a note on at which no chord sounds, up to an end. */
function silenceAt(harmony: Harmony, start: number, end: number): number {
  for (let c = chordIndexAt(harmony, start) + 1; c < harmony.chords.length && harmony.chords[c]!.start < end; c++)
    if (!harmony.chords[c]!.chord) return harmony.chords[c]!.start
  return end
}

/** Puts kept bars in the place of what was planned there; what is held into one stops, what one holds goes on. */
function withKept(
  harmony: Harmony,
  planned: readonly PlainNote[],
  keptBars: PhrasedChoices['keptBars'],
): readonly PlainNote[] {
  if (keptBars.size === 0) return planned
  const kept = [...keptBars]
    .sort(([a], [b]) => a - b)
    .map(([number, notes]) => {
      const { start, ticks } = harmony.bars[number - 1]!
      const last = notes.at(-1)
      return { start, end: Math.max(start + ticks, last ? last.start + last.ticks : 0), notes }
    })
  const cut = ({ start, ticks, rest }: PlainNote): PlainNote => {
    const stop = kept.find((bar) => bar.start > start)?.start ?? Number.POSITIVE_INFINITY
    return { start, ticks: Math.min(start + ticks, stop) - start, rest: rest === true }
  }
  const free = planned.filter(({ start }) => !kept.some((bar) => start >= bar.start && start < bar.end))
  const own = kept.flatMap(({ notes }) =>
    notes.map(({ start, ticks, midi }) => ({ start, ticks, rest: midi === null })),
  )
  return [...free, ...own].map(cut).sort((a, b) => a.start - b.start)
}

/** Fills what lies between notes with rests, one from bar line to bar line. */
function fillBars(harmony: Harmony, notes: readonly PlainNote[], end: number): readonly Moment[] {
  const moments: Moment[] = []
  let at = 0
  let bar = 0
  const add = (start: number, ticks: number, rest: boolean) => {
    while (bar + 1 < harmony.bars.length && harmony.bars[bar + 1]!.start <= start) bar += 1
    const number = harmony.bars[bar]!.bar
    const chord = chordIndexAt(harmony, start)
    moments.push({ bar: number, start, ticks, chord, rest, target: null, weight: weightAt(harmony, number, start) })
  }
  const restUntil = (tick: number) => {
    while (at < tick) {
      while (bar + 1 < harmony.bars.length && harmony.bars[bar + 1]!.start <= at) bar += 1
      const to = Math.min(tick, harmony.bars[bar]!.start + harmony.bars[bar]!.ticks)
      add(at, to - at, true)
      at = to
    }
  }
  for (const { start, ticks, rest } of notes) {
    restUntil(start)
    if (start < at) continue
    add(start, ticks, rest === true)
    at = start + ticks
  }
  restUntil(end)
  return moments
}
