/** The arrangement: the line with the band that its changes and its feel ask for, and a count-in before it. */
import type { Feel } from '../brief.ts'
import type { Line } from '../line/line.ts'
import { commonTime, ticksPerBar } from '../theory/meter.ts'
import {
  type ArrangedBar,
  type Arrangement,
  cutLine,
  cutPassage,
  type Passage,
  type SoundNote,
  type Track,
} from './arrangement.ts'
import { feelAndSwing } from './feel.ts'
import { clickBackBeats, clickBeats, playDrums } from './playDrums.ts'

import { voiceChords } from './voiceChords.ts'
import { writeBass } from './writeBass.ts'

export interface ArrangeOptions {
  /** Quarter notes a minute. */
  readonly tempo: number
  /** Null: what the style, the meter and the tempo ask for. */
  readonly feel: Feel | null
  /** Long eighth to short; null for the usual one of the tempo, 1 where the feel is even. */
  readonly swing: number | null
  /** Bars counted in, 0 to 2. */
  readonly countIn: number
  /** Bars before the first, of which the count-in takes the last; null for just the count-in. */
  readonly lead: number | null
  readonly seed: number
  /** Played bars, counted from 1, both included; null for all. */
  readonly bars: readonly [number, number] | null
  /** The last bar leads back to the first. */
  readonly round: boolean
  /** The line rests: for a player who plays it. */
  readonly lineOut: boolean
}

const usualArrange: ArrangeOptions = {
  tempo: 120,
  feel: null,
  swing: null,
  countIn: 1,
  lead: null,
  seed: 1,
  bars: null,
  round: false,
  lineOut: false,
}

/** A count of one bar clicks every beat; of two, first in halves (1 and 3), then every beat. */
function countIn(bars: readonly ArrangedBar[]): readonly SoundNote[] {
  const clicks = clickBeats(bars)
  const first = bars.length > 1 ? bars[0] : undefined
  if (!first || first.meter.beats % 2 !== 0 || first.meter.unit > 4) return clicks
  return clicks.filter(({ start }) => start >= first.start + first.ticks || (start - first.start) % 48 === 0)
}

const later = (notes: readonly SoundNote[], ticks: number): readonly SoundNote[] =>
  notes.map((note) => ({ ...note, start: note.start + ticks }))

/**
 * Arranges a line, or some bars of it: count-in, line, bass, chords, drums and a click on 2 and 4, as named tracks of notes
 * timed in ticks. The same line and options give the same notes.
 */
export function arrange(line: Line, given: Partial<ArrangeOptions> = {}): Arrangement {
  const options = { ...usualArrange, ...given }
  const { harmony, instrument } = line
  const { seed, tempo } = options
  const [from, to] = options.bars ?? line.bars
  const passage: Passage = cutPassage(line, from, to, options.round)
  const { feel, swing } = feelAndSwing(harmony, tempo, options)

  const meter = passage.bars[0]?.meter ?? commonTime
  const length = ticksPerBar(meter)
  const leading = passage.bars.length === 0 ? 0 : (options.lead ?? options.countIn)
  const before: readonly ArrangedBar[] = Array.from({ length: leading }, (_, i) => ({
    bar: 0,
    start: i * length,
    ticks: length,
    meter,
  }))
  const lead = leading * length
  const bars = passage.bars.map((bar) => ({ ...bar, start: bar.start + lead }))

  const track = (part: Track['part'], name: string, program: number | null, notes: readonly SoundNote[]): Track => ({
    part,
    name,
    program,
    notes: later(notes, lead),
  })
  const clicks = feel === 'click' ? clickBeats(passage.bars) : clickBackBeats(passage.bars)
  return {
    title: harmony.title,
    key: line.key,
    feel,
    tempo,
    swing,
    program: instrument.program,
    bars: [...before, ...bars],
    chords: passage.chords.map(({ start, symbol }) => ({ start: start + lead, symbol })),
    tracks: [
      track(
        'line',
        instrument.name,
        instrument.program,
        options.lineOut ? [] : cutLine(line, from, to, lead >= length && lead > 0),
      ),
      track('bass', 'Bass', 32, writeBass(passage, feel, seed)),
      track('chords', 'Chords', 4, voiceChords(passage, feel, seed)),
      track('drums', 'Drums', null, playDrums(passage.bars, feel, seed)),
      track('click', 'Click', null, clicks),
      {
        part: 'count',
        name: 'Count-in',
        program: null,
        notes: countIn(before.slice(Math.max(0, leading - options.countIn))),
      },
    ],
  }
}
