/** The bare guide-tone lines of a tune: two threads, each the smoothest way from chord to chord. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { guideDegrees } from '../theory/chord.ts'
import { type Degree, degreeChroma, degreeNote } from '../theory/degree.ts'
import type { Instrument } from '../theory/instrument.ts'
import { chromaOf, midiOf, modulo, type Pitch, pitchAt } from '../theory/pitch.ts'
import type { Line, LineNote, LineTarget } from './line.ts'

export interface GuideTone {
  readonly bar: number
  readonly start: number
  readonly ticks: number
  readonly pitch: Pitch
  readonly degree: Degree
  /** Index into the harmony's chords. */
  readonly chord: number
}

export type Thread = readonly GuideTone[]

/** One way of sharing a chord's two guide tones between two voices, with how it was reached. */
interface Shared {
  readonly chord: number
  readonly degrees: readonly [Degree, Degree]
  readonly midis: readonly [number, number]
  readonly motion: number
  readonly from: Shared | null
}

/**
 * Two threads of guide tones, a note a chord: the first from the first chord's third, the second from its seventh, sharing
 * each chord's two guide tones so that the voices move least in all, and of ways as smooth the higher. The first notes lie
 * in the octave from middle C. Chords without a root are passed over.
 * Rule: Ligon, *Connecting Chords with Linear Harmony* (1996).
 */
export function readGuideTones(harmony: Pick<Harmony, 'chords'>): readonly [Thread, Thread] {
  let ways: readonly Shared[] = []
  harmony.chords.forEach((each, chord) => {
    if (!each.root || !each.chord) return
    const [third, seventh] = guideDegrees(each.chord)
    if (ways.length === 0) {
      const start = (degree: Degree) => 60 + chromaWith(each, degree)
      ways = [{ chord, degrees: [third, seventh], midis: [start(third), start(seventh)], motion: 0, from: null }]
      return
    }
    ways = [[third, seventh] as const, [seventh, third] as const].map((degrees) => {
      const reached = ways.map((from): Shared => {
        const midis = [
          nearest(from.midis[0], chromaWith(each, degrees[0])),
          nearest(from.midis[1], chromaWith(each, degrees[1])),
        ] as const
        const motion = Math.abs(midis[0] - from.midis[0]) + Math.abs(midis[1] - from.midis[1])
        return { chord, degrees, midis, motion: from.motion + motion, from }
      })
      return reached.reduce((a, b) => (before(b, a) ? b : a))
    })
  })
  const best = ways.reduce<Shared | null>((a, b) => (a === null || before(b, a) ? b : a), null)
  const threads: [GuideTone[], GuideTone[]] = [[], []]
  for (let at = best; at; at = at.from)
    for (const voice of [0, 1] as const) {
      const { bar, start, ticks, root } = harmony.chords[at.chord]!
      const degree = at.degrees[voice]
      const pitch = pitchAt(degreeNote(root!, degree), at.midis[voice])
      threads[voice].unshift({ bar, start, ticks, pitch, degree, chord: at.chord })
    }
  return threads
}

const before = (a: Shared, b: Shared): boolean =>
  a.motion < b.motion || (a.motion === b.motion && a.midis[0] + a.midis[1] > b.midis[0] + b.midis[1])

const chromaWith = (chord: HarmonyChord, degree: Degree): number => (chromaOf(chord.root!) + degreeChroma(degree)) % 12

/** The pitch of a pitch class nearest to another; of two as near, the higher. */
function nearest(from: number, chroma: number): number {
  const up = modulo(chroma - from, 12)
  return up <= 6 ? from + up : from + up - 12
}

/**
 * A thread inside a range, lowest and highest MIDI number: moved as a whole by as few octaves as bring it there. Where its notes span more than the range, it turns by an octave where it would leave. Its intervals are else its own.
 */
export function threadInRange(thread: Thread, [low, high]: readonly [number, number]): Thread {
  const midis = thread.map(({ pitch }) => midiOf(pitch))
  const least = midis.reduce((a, b) => Math.min(a, b), Number.POSITIVE_INFINITY)
  const most = midis.reduce((a, b) => Math.max(a, b), Number.NEGATIVE_INFINITY)
  const back = (midi: number) =>
    midi < low ? 12 * Math.ceil((low - midi) / 12) : midi > high ? -12 * Math.ceil((midi - high) / 12) : 0
  const whole = [0, back(least), back(most)].find((by) => least + by >= low && most + by <= high)
  let by = whole ?? 0
  return thread.map((tone, i) => {
    // Only a thread that is too wide for the range ever turns.
    if (whole === undefined) by += back(midis[i]! + by)
    return by === 0 ? tone : { ...tone, pitch: { ...tone.pitch, octave: tone.pitch.octave + by / 12 } }
  })
}

/** A thread as a line for the page: each note lasts its chord; the whole moved by octaves into a sounding range. */
export function threadLine(
  harmony: Harmony,
  thread: Thread,
  instrument: Instrument,
  range: readonly [number, number],
): Line {
  const byChord = new Map(threadInRange(thread, range).map((tone) => [tone.chord, tone]))
  const targets: LineTarget[] = []
  const notes = harmony.chords.map((chord, i): LineNote => {
    const { bar, start, ticks } = chord
    const tone = byChord.get(i)
    if (!tone) return { bar, start, ticks, pitch: null, role: 'rest', degree: null, figure: null }
    const { pitch, degree } = tone
    targets.push({ bar, start, pitch, degree, chord: i, reason: '' })
    return { bar, start, ticks, pitch, role: 'target', degree, figure: null }
  })
  const bars = [1, harmony.bars.length] as const
  return { key: harmony.key, instrument, harmony, bars, targets, figures: [], notes, relaxed: [] }
}
