/** The chords of a tune as a listener takes them: neighbours on one root as one. */
import type { Changes } from '../changes/unrollChart.ts'
import { pitchClassesOf } from '../theory/chord.ts'
import type { Key } from '../theory/key.ts'
import { chromaOf, modulo, type PitchClass } from '../theory/pitch.ts'
import { harmonicKind, type Kind, type Reading, type Sound } from './functions.ts'
import { soundOver } from './overBass.ts'

/** Neighbouring chords on one root and of one kind, heard as one: Fm Fm(maj7) Fm7 Fm6, or a sus chord and its dominant. */
export interface Event extends Sound {
  readonly name: PitchClass
  /** Where it starts, in bars from the start of the tune. */
  readonly at: number
  /** The symbol of its first chord. */
  readonly symbol: string
  /** Indexes into the changes' chords. */
  readonly chords: readonly number[]
  /** The key the chart states there. */
  readonly stated: Key | null
  /** The pitch classes of its first chord. */
  readonly sounds: readonly number[]
  /** The pitch class under its first chord. */
  readonly bass: number
}

/** Semitones up from the root of one to that of another, within the octave. */
export const upTo = (from: Pick<Sound, 'root'>, to: Pick<Sound, 'root'>): number => modulo(to.root - from.root, 12)

/** The tonic of the key that an event is read in. */
export const tonicOf = (event: Pick<Sound, 'root'>, { above }: Pick<Reading, 'above'>): number =>
  modulo(event.root - above, 12)

const groups: readonly (readonly Kind[])[] = [
  ['maj7', 'triad'],
  ['aug', 'dominant', 'sus'],
  ['m7', 'm', 'm6'],
]
const alike = (a: Kind, b: Kind) => a === b || groups.some((group) => group.includes(a) && group.includes(b))

/** The events of the first chords of the changes, so many of them; no-chords are passed over. */
export function eventsOf(changes: Changes, count: number): readonly Event[] {
  const events: { -readonly [K in keyof Event]: Event[K] }[] = []
  for (let i = 0; i < count; i++) {
    const { root: written, chord: quality, bass, bar, start, ticks, symbol } = changes.chords[i]!
    if (!written || !quality) continue
    const { root, chord } = soundOver(written, quality, bass)
    const played = changes.bars[bar - 1]!
    const kind = harmonicKind(chord)
    const bars = ticks / played.ticks
    const last = events.at(-1)
    if (last && last.root === chromaOf(root) && alike(last.kind, kind)) {
      last.chords = [...last.chords, i]
      last.bars += bars
      if (last.kind === 'sus' || last.kind === 'm') last.kind = kind
      continue
    }
    events.push({
      root: chromaOf(root),
      name: root,
      kind,
      at: bar - 1 + (start - played.start) / played.ticks,
      bars,
      symbol,
      opens: played.section !== null && changes.chords[i - 1]?.bar !== bar,
      chords: [i],
      stated: played.key,
      sounds: pitchClassesOf(chord).map((up) => (up + chromaOf(root)) % 12),
      bass: chromaOf(bass ?? root),
    })
  }
  return events
}
