/** Where a line's phrases begin and end, before any note: an exact sample from counts of real solos, by tempo. */
import type { Harmony } from '../harmony/harmony.ts'
import { drawIndex, randomFrom } from '../lattice/lattice.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { chromaOf, modulo } from '../theory/pitch.ts'
import { chordIndexAt } from './chooseTargets.ts'
import { type CountedTempo, packedGaps, packedSpans } from './phraseCounts.ts'

const eighth = ticksPerQuarter / 2

/** An eighth of the tune, or what is left of one at the end of an odd bar. */
export interface PhraseSlot {
  readonly bar: number
  /** Ticks from the start of the first bar. */
  readonly tick: number
  /** Which eighth of a bar of four it is taken for, 0 to 7. */
  readonly phase: number
  /** The first of a section, or of the tune the second time round. */
  readonly opens: boolean
}

/** A phrase: the eighths on which its first and its last note begin, as indexes into the slots. */
export interface Phrase {
  readonly first: number
  readonly last: number
  /** A note or two thrown into a long silence: no phrase as phrases are counted. */
  readonly few?: boolean
}

/** Eighths that a phrase must cover, by index, both ends counted. */
export type Covered = readonly (readonly [number, number])[]

/** Quarter notes a minute of phrases where neither the brief nor the chart says a tempo: a medium swing. */
export const usualTempo = 160

/** Which counts speak for a tempo, each with its weight. Under 100 slow, under 140 medium, from there the quick ones together. */
export function countsFor(tempo: number): readonly (readonly [CountedTempo, number])[] {
  if (tempo < 100) return [['slow', 1]]
  if (tempo < 140) return [['medium', 1]]
  if (tempo < 200)
    return [
      ['fast', 1],
      ['up', 1],
    ]
  return [
    ['up', 1],
    ['fast', 0.4],
  ]
}

/** Rows of counts by a number, as packed: rows apart by strokes, entries by spaces. */
const unpackRows = (packed: string): readonly ReadonlyMap<number, number>[] =>
  packed
    .split('|')
    .map((row) => new Map(row.split(' ').map((entry) => entry.split(':').map(Number) as [number, number])))

/** The share of counted silences of four eighths that were shorter. */
const roundedUp = 0.3
/** How much each row leans on what all rows say together: so many counts. */
const leaning = 6
/** A phrase of one eighth, or of none, where there is no room for another: never drawn where there is. */
const hardlyEver = 1e-9
/** How much less likely a phrase is that goes on for a half bar and more past where a section, or the form, begins anew. Chosen by ear. */
const crossing = 0.6
const pastOpening = 4
/** The last phrase ends in the last so many eighths. */
const closing = 16

interface Tables {
  /** By the eighth that a phrase starts on, and its length in eighths. */
  readonly spans: readonly Float64Array[]
  /** By the eighth that a phrase ends on, and the eighths until the next begins. */
  readonly gaps: readonly Float64Array[]
  /** That a silence is as long as this or longer. */
  readonly tails: readonly Float64Array[]
  readonly starts: Float64Array
}

function mixed(packed: Readonly<Record<CountedTempo, string>>, tempo: number): Float64Array[] {
  const rows = Array.from({ length: 8 }, () => new Map<number, number>())
  for (const [name, weight] of countsFor(tempo))
    unpackRows(packed[name]).forEach((row, r) => {
      for (const [value, n] of row) rows[r]!.set(value, (rows[r]!.get(value) ?? 0) + n * weight)
    })
  const widest = Math.max(...rows.flatMap((row) => [...row.keys()]))
  const all = new Float64Array(widest + 1)
  for (const row of rows) for (const [value, n] of row) all[value]! += n
  const total = all.reduce((a, b) => a + b, 0)
  return rows.map((row) => {
    const own = [...row.values()].reduce((a, b) => a + b, 0)
    return all.map((n, value) => ((row.get(value) ?? 0) + (leaning * n) / total) / (own + leaning))
  })
}

const known = new Map<string, Tables>()

function tablesFor(tempo: number): Tables {
  const key = countsFor(tempo).join()
  const before = known.get(key)
  if (before) return before
  const spans = mixed(packedSpans, tempo)
  const gaps = mixed(packedGaps, tempo)
  // Counted to the nearest eighth, a silence of three and a half is one of four; here it is one of three.
  for (const row of gaps) {
    row[3]! += roundedUp * row[4]!
    row[4]! *= 1 - roundedUp
  }
  const starts = new Float64Array(8)
  for (const [name, weight] of countsFor(tempo))
    unpackRows(packedSpans[name]).forEach((row, r) => {
      for (const n of row.values()) starts[r]! += n * weight
    })
  const tails = gaps.map((row) => {
    const tail = new Float64Array(row.length + 1)
    for (let g = row.length - 1; g >= 0; g--) tail[g] = tail[g + 1]! + row[g]!
    return tail
  })
  for (const row of spans) for (const short of [0, 1]) row[short] = Math.max(row[short]!, hardlyEver)
  const tables = { spans, gaps, tails, starts }
  known.set(key, tables)
  return tables
}

/** The eighths of a tune in order; a bar's last two are taken for the last two of a bar of four, so that pickups stay pickups. */
export function slotsOf(harmony: Harmony): readonly PhraseSlot[] {
  return harmony.bars.flatMap(({ bar, start, ticks, section, chorus }) => {
    const count = Math.ceil(ticks / eighth)
    const top = bar > 1 && chorus !== harmony.bars[bar - 2]!.chorus
    return Array.from({ length: count }, (_, i) => ({
      bar,
      tick: start + i * eighth,
      phase: count === 8 ? i : count > 3 && i >= count - 2 ? 8 - count + i : Math.min(i, 4 + (i % 2)),
      opens: i === 0 && bar > 1 && (section !== null || top),
    }))
  })
}

/** Stretches of slots that have a chord, as first and last index: phrases keep to them. */
export function soundingStretches(
  harmony: Harmony,
  slots: readonly PhraseSlot[],
): readonly (readonly [number, number])[] {
  const stretches: [number, number][] = []
  slots.forEach(({ tick }, i) => {
    if (!harmony.chords[chordIndexAt(harmony, tick)]?.chord) return
    if (stretches.at(-1)?.[1] === i - 1) stretches.at(-1)![1] = i
    else stretches.push([i, i])
  })
  return stretches
}

/** A number from 0 up to 1 that hangs on a seed and a place alone, so that what is drawn elsewhere does not move it. */
export const randomAt = (seed: number, place: number, salt: number): number =>
  randomFrom(Math.imul(seed ^ salt, 0x9e3779b1) ^ Math.imul(place + 1, 0x85ebca6b))()

/** A number for what a tune is, whatever its key: two tunes drawn by one seed do not breathe in the same places. */
export function seedOf(harmony: Harmony, seed: number): number {
  const home = harmony.chords.find(({ root }) => root)?.root
  let hash = seed ^ 0x5bd1e995
  for (const { root, start } of harmony.chords)
    hash = Math.imul(
      hash ^ (start * 13 + (root && home ? modulo(chromaOf(root) - chromaOf(home), 12) : 12)),
      0x01000193,
    )
  return hash >>> 0
}

/** The longest pickup, in eighths: half a bar of four. */
const longestPickup = 4

/**
 * How many eighths before bar 1 a first phrase with a pickup begins: as often as phrases begin so far before a bar. A draw of its own by
 * the seed of the tune.
 *
 * @param most - as many approach notes as may lead in
 */
export function pickupEighths(tempo: number, seed: number, most: number): number {
  const { starts } = tablesFor(tempo)
  const weights = Array.from({ length: Math.min(longestPickup, most) }, (_, i) => starts[7 - i]!)
  return 1 + drawIndex(weights, () => randomAt(seed, 0, 60))
}

export interface PhrasePlan {
  readonly phrases: readonly Phrase[]
  /** Bars at which no phrase fits what is asked, with why. */
  readonly broken: readonly { readonly bar: number; readonly why: string }[]
}

/**
 * Draws the phrases of a tune: how long each is given the eighth of the bar that it starts on, how long the silence after it given
 * the eighth that it ends on, exactly in proportion to the counts and to what the end of the tune asks (messages backward from the
 * end, draws forward). A silence never covers what must sound.
 *
 * @param covered - stretches of slots in which there is no silence
 * @param from - a last phrase ends at this slot or later, where it can: where the tune arrives
 * @param lead - the eighths before bar 1 that the first phrase begins with, 0 for none
 */
export function planPhrases(
  harmony: Harmony,
  slots: readonly PhraseSlot[],
  covered: Covered,
  tempo: number,
  seed: number,
  from = slots.length - closing,
  lead = 0,
): PhrasePlan {
  const tables = tablesFor(tempo)
  const phrases: Phrase[] = []
  const broken: PhrasePlan['broken'][number][] = []
  const stretches = soundingStretches(harmony, slots)
  for (const [first, last] of stretches) {
    const asked = covered.filter(([a, b]) => b >= first && a <= last)
    const aim = last === slots.length - 1 ? Math.min(Math.max(first, from), last) : Math.max(first, last - closing)
    const drawn = drawPhrases(slots, [first, last], asked, aim, tables, seed, first === 0 ? lead : 0)
    const bar = slots[first]!.bar
    if (!drawn) {
      phrases.push({ first, last })
      broken.push({ bar, why: 'what is pinned leaves no room to breathe, so the line goes on without a rest' })
      continue
    }
    phrases.push(...throwIn(slots, drawn, seed))
    if (last - first < 3) broken.push({ bar, why: 'there is no room for a phrase, so what fits is played' })
  }
  return { phrases, broken }
}

/** A silence of so many eighths may have a note or two thrown in, that leave so many eighths free on either side. */
const longSilence = 11
const apart = 4
/** How often it has: so that as many bars stay empty as in real solos, whose single notes are not counted as phrases. */
const thrownIn = 0.9

function throwIn(slots: readonly PhraseSlot[], phrases: readonly Phrase[], seed: number): readonly Phrase[] {
  return phrases.flatMap((phrase, p): readonly Phrase[] => {
    const next = phrases[p + 1]
    const room = next ? next.first - phrase.last : 0
    const at = (salt: number) => randomAt(seed, slots[phrase.last]!.tick, salt)
    if (!next || room < longSilence || at(7) >= thrownIn) return [phrase]
    const first = phrase.last + apart + Math.floor(at(8) * (room - 2 * apart))
    const last = Math.min(first + (at(9) < 0.5 ? 0 : 1), next.first - apart)
    return [phrase, { first, last, few: true }]
  })
}

/** Phrases over one stretch of slots; null where none fits. Exported so that its shares can be checked one by one. */
export function drawPhrases(
  slots: readonly PhraseSlot[],
  [first, last]: readonly [number, number],
  covered: Covered,
  aim: number,
  { spans, gaps, tails, starts }: Tables,
  seed: number,
  lead = 0,
): readonly Phrase[] | null {
  const count = last - first + 1
  // The next slot that must sound, at or after each; the number of slots where there is none.
  const must = new Int32Array(count + 1).fill(count)
  for (const [a, b] of covered)
    for (let t = Math.max(0, a - first); t <= Math.min(count - 1, b - first); t++) must[t] = t
  for (let t = count - 1; t >= 0; t--) must[t] = Math.min(must[t]!, must[t + 1]!)
  const phaseAt = (t: number) => slots[first + t]!.phase
  const opened = new Int32Array(count).fill(-1000)
  for (let t = 0; t < count; t++) opened[t] = slots[first + t]!.opens ? t : t > 0 ? opened[t - 1]! : -1000
  const spanWeight = (t: number, n: number) => {
    const since = opened[t + n]!
    // What begins before bar 1 is as much longer.
    const span = t === 0 && lead > 0 ? (spans[8 - lead]![n + lead] ?? 0) : spans[phaseAt(t)]![n]!
    return span * (since > t && t + n - since >= pastOpening ? crossing : 1)
  }
  const begun = new Float64Array(count)
  const ended = new Float64Array(count)
  const stops = new Float64Array(count)
  for (let t = count - 1; t >= 0; t--) {
    const gap = gaps[phaseAt(t)]!
    const left = count - t
    if (must[t + 1]! === count)
      stops[t] = (tails[phaseAt(t)]![Math.min(left, gap.length)]! + hardlyEver) * (first + t >= aim ? 1 : hardlyEver)
    let sum = stops[t]!
    for (let g = 3; g < gap.length && t + g < count && t + g <= must[t + 1]!; g++) sum += gap[g]! * begun[t + g]!
    ended[t] = sum
    const longest = Math.min(spans[phaseAt(t)]!.length - 1, count - 1 - t)
    let all = 0
    for (let n = 0; n <= longest; n++) all += spanWeight(t, n) * ended[t + n]!
    begun[t] = all
  }
  const opening = Array.from(begun, (weight, t) =>
    t <= must[0]!
      ? weight * (lead > 0 && t === 0 ? 1 : starts[phaseAt(t)]! * (t < 8 && lead === 0 ? 1 : hardlyEver))
      : 0,
  )
  const phrases: Phrase[] = []
  const draw = (weights: readonly number[], at: number, salt: number) =>
    drawIndex(weights, () => randomAt(seed, slots[first + at]!.tick, salt))
  let t = draw(opening, 0, 1)
  if (t < 0) return null
  for (;;) {
    const longest = Math.min(spans[phaseAt(t)]!.length - 1, count - 1 - t)
    const n = draw(
      Array.from({ length: longest + 1 }, (_, n) => spanWeight(t, n) * ended[t + n]!),
      t,
      2,
    )
    const end = t + n
    phrases.push({ first: first + t, last: first + end })
    const gap = gaps[phaseAt(end)]!
    const nexts: number[] = [stops[end]!]
    for (let g = 1; g < gap.length && end + g < count && end + g <= must[end + 1]!; g++)
      nexts.push(g < 3 ? 0 : gap[g]! * begun[end + g]!)
    const g = draw(nexts, end, 3)
    if (g <= 0) return phrases
    t = end + g
  }
}
