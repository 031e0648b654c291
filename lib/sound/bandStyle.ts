/** What a band's style is made of, and how its patterns are written down and read. */
import { ticksPerQuarter } from '../theory/meter.ts'

/** Keys of General MIDI's percussion map (GM level 1, from memory). */
export const drum = {
  kick: 36,
  stick: 37,
  snare: 38,
  brush: 40,
  floor: 43,
  hat: 42,
  foot: 44,
  low: 45,
  open: 46,
  crash: 49,
  high: 50,
  ride: 51,
  bell: 53,
  cow: 56,
  shaker: 70,
  highBlock: 76,
  lowBlock: 77,
} as const
export type DrumVoice = keyof typeof drum

/** A stroke of the drums: ticks from the start of its group, the voice's key, loudness from 0 to 1. */
export type Hit = readonly [at: number, key: number, velocity: number]

/**
 * A figure of the drums over a group of beats, a row a voice: the group is cut into as many steps as the row has signs; a digit
 * is a stroke of so many tenths, a point none, a blank is there for the eye. A bar line parts figures of two bars.
 */
export type DrumFigure = Readonly<Partial<Record<DrumVoice, string>>>

/** A stroke of chords: ticks from the start of its group, and how long it may sound. */
export type Stroke = readonly [at: number, ticks: number]

/**
 * What a note of the bass owes: r root, f fifth, o the root again an octave off, t any chord tone, w whatever walks well, p the note
 * of what comes next, early, g the note before once more, touched and not sounded.
 */
export type BassRole = 'r' | 'f' | 'o' | 't' | 'w' | 'p' | 'g'
export interface BassPlace {
  readonly at: number
  readonly role: BassRole
  /** Let go half way to the next. */
  readonly short: boolean
}

/** Figures to choose from, by the ticks of the group of beats that they fill; several layers are chosen each for itself. */
export type BySize<T> = Readonly<Record<number, T>>

export interface BandStyle {
  /** Swung as the tempo asks, even, or in triplets at any tempo. */
  readonly eighths: 'swung' | 'even' | 'triplets'
  /** Layers of drums: time (ride or hat), ground (bass drum), colour. */
  readonly drums: BySize<readonly (readonly DrumFigure[])[]>
  /** Rhythms of the bass, as `1r 2&f 3w`; a bar line parts those of two bars. */
  readonly bass: BySize<readonly string[]>
  /** Rhythms of the chords, as `1- 2&`; empty where each chord is held. */
  readonly chords: BySize<readonly string[]>
  /** Chords are held through. */
  readonly held: boolean
  /** A stroke an eighth before a change has the new chord already. */
  readonly pushes: boolean
  /** What leads into a new section, over the last two beats of a bar. */
  readonly fills: readonly DrumFigure[]
  readonly ending: 'hold' | 'tag' | 'stop'
  /** The stroke that opens a section. */
  readonly opens: DrumVoice
}

/** The bar of a figure of one or two bars that is due. */
const partOf = (text: string, bar: number): string => {
  const bars = text.split('|')
  return bars[bar % bars.length]!.trim()
}

/**
 * Reads a figure of the drums over a group of so many ticks; `bar`, from 0, says which of two bars is due.
 *
 * @example
 * readDrums({ ride: '5.64' }, 48, 0) // => [[0, 51, 0.5], [24, 51, 0.6], [36, 51, 0.4]]
 */
export const readDrums = (figure: DrumFigure, ticks: number, bar: number): readonly Hit[] =>
  Object.entries(figure).flatMap(([voice, text]) => {
    const row = partOf(text, bar).replaceAll(' ', '')
    return [...row].flatMap((sign, i): Hit[] =>
      sign === '.' ? [] : [[(i * ticks) / row.length, drum[voice as DrumVoice], Number(sign) / 10]],
    )
  })

const sixteenths = { '': 0, e: 1, '&': 2, a: 3 } as const

const placeOf = (beat: string, part: string): number =>
  (Number(beat) - 1) * ticksPerQuarter + (sixteenths[part as keyof typeof sixteenths] * ticksPerQuarter) / 4

/**
 * Reads strokes as they are counted: quarters from 1, `e & a` the sixteenths after, `-` held and not short.
 *
 * @example
 * readStrokes('1- 2&', 0) // => [[0, 30], [36, 12]]
 */
export const readStrokes = (text: string, bar: number): readonly Stroke[] =>
  [...partOf(text, bar).matchAll(/(\d)([e&a]?)(-?)/g)].map(([, beat, part, held]) => [
    placeOf(beat!, part!),
    held ? 30 : part === 'e' || part === 'a' ? 6 : 12,
  ])

/**
 * Reads a rhythm of the bass: each note as it is counted, what it owes, and a point where it is short.
 *
 * @example
 * readBass('1r 2&f.', 0) // => [{ at: 0, role: 'r', short: false }, { at: 36, role: 'f', short: true }]
 */
export const readBass = (text: string, bar: number): readonly BassPlace[] =>
  [...partOf(text, bar).matchAll(/(\d)([e&a]?)([rfotwpg]?)(\.?)/g)].map(([, beat, part, role, point]) => ({
    at: placeOf(beat!, part!),
    role: (role || 'w') as BassRole,
    short: point === '.',
  }))

/** The share of a stretch that one shape may take where nothing is to wear out, and how many draws that is looked at from. */
const wornShare = 0.34
const wornFrom = 5

/** Draws one of a list, by weights; `shape` says what of it stands where, by which those of one shape are told. */
export type Draw = <T>(from: readonly T[], weight?: (item: T) => number, shape?: (item: T) => string) => T

/**
 * Draws from a list again and again so that nothing wears out: no figure more than twice in five or three times in nine, where there are
 * four or more to choose from; with fewer, not the same one twice running. `fresh` also keeps each shape to a third of all that was drawn.
 */
export function drawVaried(random: () => number, fresh = false): Draw {
  interface Past {
    readonly last: unknown[]
    readonly counts: Map<string, number>
    all: number
  }
  const drawn = new Map<readonly unknown[], Past>()
  return <T>(from: readonly T[], weight: (item: T) => number = () => 1, shape: (item: T) => string = String): T => {
    const past: Past = drawn.get(from) ?? { last: [], counts: new Map(), all: 0 }
    drawn.set(from, past)
    const { last, counts, all } = past
    const times = (item: T, of: number) => last.slice(-of).filter((each) => each === item).length
    const worn = (item: T) =>
      from.length >= 4 ? times(item, 4) >= 2 || times(item, 8) >= 3 : from.length > 1 && last.at(-1) === item
    const often = (item: T) => counts.get(shape(item)) ?? 0
    const rested = from.filter((item) => !worn(item))
    const open = fresh && all >= wornFrom ? leastTired(rested, (item) => (often(item) + 1) / (all + 1)) : rested
    const chosen = drawWeighted(open, weight, random)
    last.push(chosen)
    if (last.length > 8) last.shift()
    if (fresh) counts.set(shape(chosen), often(chosen) + 1)
    past.all += 1
    return chosen
  }
}

/** Those of a list that would not take more than their share; where all would, those that would take the least. */
function leastTired<T>(items: readonly T[], share: (item: T) => number): readonly T[] {
  const shares = items.map(share)
  const most = Math.max(wornShare, Math.min(...shares))
  return items.filter((_, i) => shares[i]! <= most)
}

function drawWeighted<T>(items: readonly T[], weight: (item: T) => number, random: () => number): T {
  const weights = items.map(weight)
  let left = random() * weights.reduce((sum, each) => sum + each, 0)
  for (const [i, item] of items.entries()) {
    left -= weights[i]!
    if (left < 0) return item
  }
  return items.at(-1) as T
}
