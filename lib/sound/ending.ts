/** Endings: how a band comes to rest after the last bar, by its style: a chord held, the last bar once more and then held, or a stop. */
import type { Feel } from '../choices/practice.ts'
import type { HarmonyChord } from '../harmony/harmony.ts'
import type { Line } from '../line/line.ts'
import { commonTime, ticksPerBar } from '../theory/meter.ts'
import { chromaOf } from '../theory/pitch.ts'
import type { ArrangedBar, Passage, SoundNote } from './arrangement.ts'
import { drum } from './bandStyle.ts'
import { bandStyles } from './bandStyles.ts'
import { bassChroma, bassRange } from './writeBass.ts'

export interface Ending {
  readonly kind: 'hold' | 'tag' | 'stop'
  /** The chord that all come to rest on. */
  readonly chord: HarmonyChord
  /** Bars in which the last bar's changes are played once more. */
  readonly tag: 0 | 1
  /** Bars in which the last chord rings. */
  readonly rings: 1 | 2
}

const atHome = (line: Line, chord: HarmonyChord): boolean =>
  chord.root !== null && chromaOf(chord.root) === chromaOf(line.key.tonic)

/**
 * How a line that ends with a bar is brought to rest; null where nothing plays on. The chord is the last one where it is the
 * tonic, else the tune's last tonic chord, else the last chord itself. A tag is for a tune that does not come home by itself.
 */
export function planEnding(line: Line, to: number, feel: Feel, tempo: number): Ending | null {
  if (feel === 'click') return null
  const chords = line.harmony.chords.filter((chord) => chord.bar <= to && chord.ticks > 0)
  const last = chords.at(-1)
  if (!last) return null
  const wholeTune = to === line.harmony.bars.length
  const chord = atHome(line, last) || !wholeTune ? last : (chords.findLast((each) => atHome(line, each)) ?? last)
  if (chord.root === null || chord.chord === null) return null
  const style = bandStyles[feel].ending
  const kind = style === 'tag' && (atHome(line, last) || !wholeTune) ? 'hold' : style
  const meter = line.harmony.bars[to - 1]?.meter ?? commonTime
  const seconds = (ticksPerBar(meter) * 60) / (24 * tempo)
  return { kind, chord, tag: kind === 'tag' ? 1 : 0, rings: seconds < 1.2 ? 2 : 1 }
}

/** Bars that an ending adds after the last. */
export const endingBars = (ending: Ending | null): number => (ending ? ending.tag + ending.rings : 0)

/** A passage with its tag, leading to the chord of the ending. */
export function withTag(passage: Passage, ending: Ending): Passage {
  const last = passage.bars.at(-1)
  if (!last) return passage
  const shift = last.ticks
  const again = passage.chords.flatMap((chord): HarmonyChord[] => {
    const end = chord.start + chord.ticks
    if (end <= last.start) return []
    const start = Math.max(chord.start, last.start)
    return [{ ...chord, start: start + shift, ticks: end - start }]
  })
  const tag = ending.tag === 1 ? [{ ...last, start: last.start + shift, opens: false }] : []
  return {
    bars: [...passage.bars, ...tag],
    chords: ending.tag === 1 ? [...passage.chords, ...again] : passage.chords,
    next: ending.chord,
  }
}

/** The bars in which the last chord rings, after those of a passage. */
export const ringingBars = ({ bars }: Passage, ending: Ending): readonly ArrangedBar[] => {
  const last = bars.at(-1)
  return last
    ? Array.from({ length: ending.rings }, (_, i) => ({
        ...last,
        start: last.start + (i + 1) * last.ticks,
        opens: false,
      }))
    : []
}

/** What each part plays at the very end. */
export interface LastNotes {
  readonly bass: readonly SoundNote[]
  readonly chords: readonly SoundNote[]
  readonly drums: readonly SoundNote[]
}

/**
 * The last notes of the band, from a tick on: the root in the bass near where it was, the voicing, cymbal and bass drum; held to the
 * end, or let go at once where the band stops.
 */
export function lastNotes(
  ending: Ending,
  feel: Feel,
  from: number,
  ticks: number,
  voicing: readonly number[],
  lastBass: number | undefined,
): LastNotes {
  const length = ending.kind === 'stop' ? 10 : ticks
  const chroma = bassChroma(ending.chord)
  const roots = Array.from({ length: bassRange.high - bassRange.low + 1 }, (_, i) => bassRange.low + i).filter(
    (midi) => midi % 12 === chroma && midi < Math.min(48, voicing[0] ?? 48),
  )
  const near = lastBass ?? 40
  const root = roots.reduce((best, midi) => (Math.abs(midi - near) < Math.abs(best - near) ? midi : best), roots[0]!)
  const soft = feel === 'ballad' || feel === 'bossa'
  const cymbal = soft ? drum.ride : drum.crash
  const hit = (midi: number, velocity: number, at = from): SoundNote => ({ start: at, ticks: 6, midi, velocity })
  const drums =
    ending.kind === 'stop'
      ? [hit(drum.kick, 0.8), hit(drum.snare, 0.8), hit(drum.open, 0.6), hit(drum.foot, 0.7, from + 12)]
      : [hit(drum.kick, soft ? 0.4 : 0.6), hit(cymbal, soft ? 0.5 : 0.6)]
  return {
    bass: [{ start: from, ticks: length, midi: root, velocity: 0.8 }],
    chords: voicing.map((midi) => ({ start: from, ticks: length, midi, velocity: 0.62 })),
    drums,
  }
}
