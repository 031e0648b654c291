/** The arrangement: the line with the band that its changes and its feel ask for, and a count-in before it. */
import type { Click, Feel, Looseness } from '../choices/practice.ts'
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
import { writeClicks } from './clicks.ts'
import { type Ending, lastNotes, planEnding, ringingBars, withTag } from './ending.ts'
import { feelAndSwing } from './feel.ts'
import { playDrums } from './playDrums.ts'
import { bandPrograms } from './recordings.ts'
import { voiceChords } from './voiceChords.ts'
import { chooseVoicings, leftOutOf } from './voicing.ts'
import { writeBass } from './writeBass.ts'

export interface ArrangeOptions {
  /** Quarter notes a minute. */
  readonly tempo: number
  /** Null: what the style, the meter and the tempo ask for. */
  readonly feel: Feel | null
  /** Null: every beat where the click plays alone, else 2 and 4. */
  readonly click: Click | null
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
  /** The band rests: the line alone, with its count-in. */
  readonly bandOut: boolean
  /** The band comes to rest after the last bar. */
  readonly ends: boolean
  /** How the notes lie about the beat. */
  readonly looseness: Looseness
}

const usualArrange: ArrangeOptions = {
  tempo: 120,
  feel: null,
  click: null,
  swing: null,
  countIn: 1,
  lead: null,
  seed: 1,
  bars: null,
  round: false,
  lineOut: false,
  bandOut: false,
  ends: false,
  looseness: 'strict',
}

/** A count of one bar clicks every beat; of two, first in halves (1 and 3), then every beat. */
function countIn(bars: readonly ArrangedBar[]): readonly SoundNote[] {
  const clicks = writeClicks(bars, 'beats')
  const first = bars.length > 1 ? bars[0] : undefined
  if (!first || first.meter.beats % 2 !== 0 || first.meter.unit > 4) return clicks
  return clicks.filter(({ start }) => start >= first.start + first.ticks || (start - first.start) % 48 === 0)
}

const later = (notes: readonly SoundNote[], ticks: number): readonly SoundNote[] =>
  notes.map((note) => ({ ...note, start: note.start + ticks }))

/** The band over a passage, and what it comes to rest with. */
interface Band {
  readonly bass: readonly SoundNote[]
  readonly chords: readonly SoundNote[]
  readonly drums: readonly SoundNote[]
  /** The passage, with a tag where there is one. */
  readonly passage: Passage
  /** Bars after it in which the last chord rings. */
  readonly rings: readonly ArrangedBar[]
}

function playBand(
  passage: Passage,
  played: readonly SoundNote[],
  { feel, seed, fresh }: { readonly feel: Feel; readonly seed: number; readonly fresh: boolean },
  ending: Ending | null,
): Band {
  const whole = ending ? withTag(passage, ending) : passage
  const bass = writeBass(whole, feel, seed, fresh)
  const chords = voiceChords(whole, feel, seed, { line: played, bass, fresh })
  const drums = playDrums(whole.bars, feel, seed, { leads: ending !== null, fresh })
  if (!ending) return { bass, chords, drums, passage: whole, rings: [] }
  const rings = ringingBars(whole, ending)
  const from = rings[0]?.start ?? 0
  const ticks = rings.reduce((sum, bar) => sum + bar.ticks, 0)
  const voicing = chooseVoicings([...whole.chords, ending.chord]).at(-1) ?? []
  // A last stroke that already had the chord of the ending does not ring into it.
  const last = lastNotes(ending, feel, from, ticks, voicing, bass.at(-1)?.midi)
  return {
    bass: [...bass, ...last.bass],
    chords: [...chords, ...last.chords],
    drums: [...drums, ...last.drums],
    passage: whole,
    rings,
  }
}

/**
 * Arranges a line, or some bars of it: count-in, line, bass, chords, drums and a click, as named tracks of notes
 * timed in ticks, and an ending where it ends. The same line and options give the same notes.
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
    key: passage.bars[0]?.key ?? null,
    opens: false,
  }))
  const lead = leading * length
  const played = cutLine(line, from, to, lead >= length && lead > 0)
  const ends = options.ends && !options.bandOut && passage.bars.length > 0
  // What is strict stays as it was before there was anything else.
  const how = { feel, seed, fresh: options.looseness !== 'strict' }
  const band = playBand(passage, played, how, ends ? planEnding(line, to, feel, tempo) : null)
  const bars = [...band.passage.bars, ...band.rings].map((bar) => ({ ...bar, start: bar.start + lead }))
  const last = band.rings[0]

  const track = (part: Track['part'], name: string, program: number | null, notes: readonly SoundNote[]): Track => ({
    part,
    name,
    program,
    notes: later(notes, lead),
  })
  const clicks = writeClicks(passage.bars, options.click ?? (feel === 'click' ? 'beats' : '2-and-4'))
  const heard = (notes: readonly SoundNote[]) => (options.bandOut ? [] : notes)
  return {
    title: harmony.title,
    key: line.key,
    feel,
    tempo,
    swing,
    seed,
    looseness: options.looseness,
    program: instrument.program,
    bars: [...before, ...bars],
    chords: [
      ...band.passage.chords.map(({ start, symbol }) => ({ start: start + lead, symbol })),
      ...(last && band.passage.next ? [{ start: last.start + lead, symbol: band.passage.next.symbol }] : []),
    ],
    replaced: leftOutOf(passage.chords),
    tracks: [
      track('line', instrument.name, instrument.program, options.lineOut ? [] : played),
      track('bass', 'Bass', bandPrograms.bass, heard(band.bass)),
      track('chords', 'Chords', bandPrograms.chords, heard(band.chords)),
      track('drums', 'Drums', null, heard(band.drums)),
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
