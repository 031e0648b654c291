/** A Standard MIDI File from a finished line, or from any tracks: tempo, meter, key, chord markers, swung or straight. */

import type { PlayedBar } from '../changes/unrollChart.ts'
import { edition } from '../edition.ts'
import type { Line, NoteArticulation } from '../line/line.ts'
import { signatureOf } from '../theory/key.ts'
import { type Meter, ticksPerQuarter } from '../theory/meter.ts'
import { midiOf } from '../theory/pitch.ts'
import { carriedName, carryRoles, earlyTargets, tripletName } from './carriedRoles.ts'
import { swingAt, swingNotes } from './swing.ts'

/** A note as played: ticks from the start of the first bar, 24 to the quarter; swung notes may lie between whole ticks. */
export interface MidiNote {
  readonly start: number
  readonly ticks: number
  readonly midi: number
  /** 1 to 127. */
  readonly velocity: number
}

export interface MidiTrack {
  readonly name: string
  /** 0 to 15; 9 is the kit. */
  readonly channel: number
  /** General MIDI program from 0; null to leave it to the player. */
  readonly program: number | null
  readonly notes: readonly MidiNote[]
}

export interface MidiBar {
  readonly start: number
  readonly meter: Meter
  /** Sharps or flats of the concert key in force. */
  readonly signature: number
  readonly mode: 'major' | 'minor'
}

/** Everything that goes into one file. */
export interface MidiSequence {
  readonly title: string
  /** Quarter notes a minute. */
  readonly tempo: number
  /** Further tempos from ticks on. */
  readonly tempos?: readonly { readonly start: number; readonly tempo: number }[]
  readonly ticks: number
  readonly bars: readonly MidiBar[]
  /** Remarks at the start: the roles of the line's notes, and which of its beats are triplets though they sound like swung eighths. */
  readonly remarks?: readonly string[]
  /** Texts at ticks: the chords, at concert pitch. */
  readonly markers: readonly { readonly start: number; readonly text: string }[]
  readonly tracks: readonly MidiTrack[]
}

export interface MidiOptions {
  /** Quarter notes a minute; the chart's own by default, else 120. */
  readonly tempo?: number
  /** How much longer the first of two eighths is; 1 is straight. By default it goes by the tempo. */
  readonly swing?: number
}

/** How loud a plain note is, and by how much accents and ghosted notes differ: common practice. */
const usualVelocity = 90
const velocityOf = ({ accent = false, ghost = false }: Partial<NoteArticulation> = {}): number =>
  Math.round(usualVelocity * (accent ? 1.15 : ghost ? 0.55 : 1))
/** How much of its length a staccato note sounds. */
const shortened = 0.6

/** A line as a sequence of one track at sounding pitch, to which others may be added: those of its bars that are written out. */
export function sequenceOf(line: Line, options: MidiOptions = {}): MidiSequence {
  const { harmony, instrument } = line
  const tempo = options.tempo ?? harmony.tempo ?? 120
  const written = harmony.bars.filter(({ bar }) => bar >= line.bars[0] && bar <= line.bars[1])
  // A pickup stands at the end of a bar of its own, whose beginning rests.
  const pickup = line.notes[0]?.bar === 0 && line.bars[0] === 1 ? written[0] : undefined
  if (pickup) written.unshift({ ...pickup, start: pickup.start - pickup.ticks, section: null })
  const zero = written[0]?.start ?? 0
  const last = written.at(-1)
  const end = last ? last.start + last.ticks : zero
  const bars = written.map((bar) => ({ ...midiBar(bar, line), start: bar.start - zero }))
  const early = earlyTargets(line)
  const played = line.notes.flatMap(({ start, ticks, pitch, role, articulation }) => {
    // A note held into the first bar or out of the last sounds what is left of it.
    const [from, to] = [Math.max(start, zero), Math.min(start + ticks, end)]
    return pitch === null || to <= from
      ? []
      : [
          {
            start: from - zero,
            ticks: articulation?.short ? Math.round(shortened * (to - from)) : to - from,
            midi: midiOf(pitch),
            velocity: velocityOf(articulation),
            role,
            early: early.has(start),
          },
        ]
  })
  const notes = swingNotes(played, bars, options.swing ?? swingAt(tempo))
  return {
    title: harmony.title ?? '',
    tempo,
    ticks: end - zero,
    bars,
    remarks: [`${carriedName} ${carryRoles(played)}`, ...bareTriplets(played)],
    markers: harmony.chords
      .filter(({ start }) => start >= zero && start < end)
      .map(({ start, symbol }) => ({ start: start - zero, text: symbol })),
    tracks: [{ name: instrument.name, channel: 0, program: instrument.program, notes }],
  }
}

/** The beats, from 0, on which a triplet's third note is struck and its second is not. */
function bareTriplets(notes: readonly { readonly start: number }[]): readonly string[] {
  const third = ticksPerQuarter / 3
  const starts = new Set(notes.map(({ start }) => start))
  const beats = [...starts].filter((start) => start % ticksPerQuarter === 2 * third && !starts.has(start - third))
  return beats.length === 0
    ? []
    : [`${tripletName} ${beats.map((start) => Math.floor(start / ticksPerQuarter)).join(' ')}`]
}

function midiBar({ start, meter, key }: PlayedBar, line: Line): MidiBar {
  const own = key ?? line.key
  return { start, meter, signature: signatureOf(own), mode: own.mode }
}

/** 480 to the quarter: 20 to each of our ticks, so triplets stay exact and a swung eighth falls within a thousandth of a beat. */
const scale = 20

/**
 * Writes a sequence as a Standard MIDI File of format 1: tempo, meters, keys and markers first, then a track each.
 *
 * @returns the bytes of the file, the same for the same sequence
 */
export function writeMidi(sequence: MidiSequence): Uint8Array {
  const { title, tempo, bars, markers, tracks } = sequence
  const metas: Timed[] = [
    { at: 0, bytes: text(0x03, title) },
    ...[{ start: 0, tempo }, ...(sequence.tempos ?? [])].map(({ start, tempo }) => ({
      at: start,
      bytes: meta(0x51, bigEndian(Math.round(60_000_000 / tempo), 3)),
    })),
  ]
  bars.forEach((bar, index) => {
    const before = bars[index - 1]
    if (bar.meter.beats !== before?.meter.beats || bar.meter.unit !== before.meter.unit)
      metas.push({ at: bar.start, bytes: meta(0x58, timeSignature(bar.meter)) })
    if (bar.signature !== before?.signature || bar.mode !== before.mode)
      metas.push({ at: bar.start, bytes: meta(0x59, [bar.signature & 0xff, bar.mode === 'minor' ? 1 : 0]) })
  })
  for (const remark of [`Throughline, edition ${edition}`, ...(sequence.remarks ?? [])])
    metas.push({ at: 0, bytes: text(0x01, remark) })
  for (const { start, text: words } of markers) metas.push({ at: start, bytes: text(0x06, words) })
  const chunks = [metas, ...tracks.map(trackEvents)].map((events) => chunk('MTrk', trackBytes(events, sequence.ticks)))
  const head = [...bigEndian(1, 2), ...bigEndian(chunks.length, 2), ...bigEndian(ticksPerQuarter * scale, 2)]
  return Uint8Array.from([...chunk('MThd', head), ...chunks.flat()])
}

/** An event at a tick of ours. */
interface Timed {
  readonly at: number
  readonly bytes: readonly number[]
}

function trackEvents({ name, channel, program, notes }: MidiTrack): readonly Timed[] {
  const head: Timed[] = [{ at: 0, bytes: text(0x03, name) }]
  if (program !== null) head.push({ at: 0, bytes: [0xc0 | channel, program] })
  // Ends before starts, so that a repeated note is let go before it is struck again, be it held longer: a channel has one of each.
  const again = nextOfEach(notes)
  const ends = notes.map(({ start, ticks, midi }, i) => ({
    at: Math.min(start + ticks, again[i]!),
    bytes: [0x80 | channel, midi, 0],
  }))
  const starts = notes.map(({ start, midi, velocity }) => ({ at: start, bytes: [0x90 | channel, midi, velocity] }))
  return [...head, ...ends, ...starts]
}

/** When each note's pitch is struck next; infinity where it is not. */
function nextOfEach(notes: readonly MidiNote[]): readonly number[] {
  const next = notes.map(() => Number.POSITIVE_INFINITY)
  const inOrder = notes.map((_, i) => i).sort((a, b) => notes[a]!.start - notes[b]!.start)
  const last = new Map<number, number>()
  for (const i of inOrder) {
    const before = last.get(notes[i]!.midi)
    if (before !== undefined && notes[before]!.start < notes[i]!.start) next[before] = notes[i]!.start
    last.set(notes[i]!.midi, i)
  }
  return next
}

function trackBytes(events: readonly Timed[], ticks: number): readonly number[] {
  const end: Timed = { at: ticks, bytes: meta(0x2f, []) }
  const timed = events.map(({ at, bytes }) => ({ at: Math.round(at * scale), bytes }))
  timed.sort((a, b) => a.at - b.at)
  let now = 0
  return [...timed, { ...end, at: Math.max(ticks * scale, timed.at(-1)?.at ?? 0) }].flatMap(({ at, bytes }) => {
    const wait = at - now
    now = at
    return [...variable(wait), ...bytes]
  })
}

const chunk = (name: string, bytes: readonly number[]): readonly number[] => [
  ...[...name].map((letter) => letter.charCodeAt(0)),
  ...bigEndian(bytes.length, 4),
  ...bytes,
]

const meta = (type: number, bytes: readonly number[]) => [0xff, type, ...variable(bytes.length), ...bytes]
const text = (type: number, words: string) => meta(type, [...new TextEncoder().encode(words)])

const bigEndian = (value: number, size: number): number[] =>
  Array.from({ length: size }, (_, i) => (value >>> (8 * (size - 1 - i))) & 0xff)

/** Seven bits a byte, the last without its high bit. */
function variable(value: number): number[] {
  const bytes = [value & 0x7f]
  for (let rest = value >>> 7; rest > 0; rest >>>= 7) bytes.unshift((rest & 0x7f) | 0x80)
  return bytes
}

/** MIDI clocks to a click: three eighths where the beat is a dotted quarter. */
function timeSignature({ beats, unit }: Meter): readonly number[] {
  const beat = (unit >= 8 && beats % 3 === 0 ? 3 : 1) * ((4 * 24) / unit)
  return [beats, Math.log2(unit), beat, 8]
}
