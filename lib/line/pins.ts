/** Pins: what a person keeps of a line (a landing, a note, an approach, a cell, whole bars) while everything else may change. */
import type { BriefProblem } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import type { Span } from '../problem.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { midiOf, modulo, nameOf, noteAtFifths, type Pitch, pitchAt, readPitch } from '../theory/pitch.ts'
import { cells } from './figures.ts'

/** A note or rest of a bar that stays as it is. */
export interface KeptNote {
  readonly start: number
  readonly ticks: number
  /** Sounding; null is a rest. */
  readonly midi: number | null
}

/** Pins by the tick that they stand at, and whole bars by their number. */
export interface Pins {
  readonly notes: ReadonlyMap<number, number>
  /** Offsets of the approach into the target at a tick. */
  readonly approaches: ReadonlyMap<number, readonly number[]>
  /** Scale steps of the cell that starts from the target at a tick. */
  readonly cells: ReadonlyMap<number, readonly number[]>
  readonly bars: ReadonlyMap<number, readonly KeptNote[]>
}

/** Nothing kept. */
export const noPins: Pins = { notes: new Map(), approaches: new Map(), cells: new Map(), bars: new Map() }

const usualTicks = ticksPerQuarter / 2
/** An approach begins so many semitones from its target at most. */
const widestOffset = 24

/** One pin as it was typed, and what it keeps; nothing where it cannot be read. */
export interface ReadPin {
  readonly text: string
  /** Where it stands among the pins as typed. */
  readonly span: Span
  readonly pins: Pins
}

/**
 * Reads pins against the harmony they belong to. `3.1=F4` keeps a sounding note at bar 3, beat 1 (beats in quarters); `3.1=+2 -1`
 * the approach that leads there; `3.1=1-2-3-5` the cell that starts there; `5=F4 E4/24 -` the whole of bar 5, eighths unless
 * ticks follow a slash, `-` a rest. Pins count in the key that the tune is put in.
 */
export function readPins(
  texts: readonly string[],
  harmony: Harmony,
): { readonly pins: Pins; readonly each: readonly ReadPin[]; readonly problems: readonly BriefProblem[] } {
  const all = { notes: new Map(), approaches: new Map(), cells: new Map(), bars: new Map() }
  const each: ReadPin[] = []
  const problems: BriefProblem[] = []
  let offset = 0
  for (const text of texts) {
    const span = { start: offset, end: offset + text.length }
    offset += text.length + 1
    const read = readPin(text, harmony)
    const before = 'expected' in read ? undefined : all[read.kind].get(read.at)
    const refused =
      'expected' in read
        ? read
        : before !== undefined
          ? {
              expected: read.kind === 'bars' ? 'one pin for a bar' : 'one pin of a kind at a place',
              hint: 'take one of them out',
            }
          : null
    if (refused) problems.push({ severity: 'error', code: 'bad-pin', choice: 'pins', span, found: text, ...refused })
    if ('expected' in read) {
      each.push({ text, span, pins: noPins })
      continue
    }
    if (!refused) all[read.kind].set(read.at, read.keep)
    each.push({ text, span, pins: { ...noPins, [read.kind]: new Map([[read.at, read.keep]]) } })
  }
  return { pins: all, each, problems }
}

/** Where a pin stands (its bar for a whole bar, else its tick) and what it keeps there, or what was expected in its place. */
type OnePin =
  | { readonly [K in keyof Pins]: { readonly kind: K; readonly at: number; readonly keep: Kept<Pins[K]> } }[keyof Pins]
  | { readonly expected: string; readonly hint: string }
type Kept<M> = M extends ReadonlyMap<number, infer V> ? V : never

function readPin(text: string, { bars }: Harmony): OnePin {
  const [, barText = '', beatText, value = ''] = /^(\d+)(?:\.([\d.]+))?=(.+)$/.exec(text) ?? []
  const bar = bars[Number(barText) - 1]
  if (!bar) return { expected: `a bar from 1 to ${bars.length}`, hint: 'take this pin out' }
  if (beatText === undefined) {
    const kept = readBar(value, bar.start, bar.ticks)
    if (kept) return { kind: 'bars', at: bar.bar, keep: kept }
    return { expected: `notes that fill bar ${barText}, such as F4 E4 D4/24 -`, hint: 'take this pin out' }
  }
  const at = bar.start + Math.round((Number(beatText) - 1) * ticksPerQuarter)
  if (!(at >= bar.start && at < bar.start + bar.ticks))
    return { expected: `a beat of bar ${barText}`, hint: `try ${barText}.1=${value}` }
  const pitch = readPitch(value)
  if (pitch) return { kind: 'notes', at, keep: midiOf(pitch) }
  const cell = cells.find(({ name }) => name === value)
  if (cell) return { kind: 'cells', at, keep: cell.steps }
  const offsets = /^[+-]?\d+( [+-]?\d+){0,3}$/.test(value) ? value.split(' ').map(Number) : null
  if (offsets?.every((offset) => Math.abs(offset) <= widestOffset)) return { kind: 'approaches', at, keep: offsets }
  return {
    expected: 'a sounding note (F4), an approach in semitones (+2 -1) or a cell (1-2-3-5)',
    hint: `try ${barText}.${beatText}=F4`,
  }
}

/** A pitch under its plainest name, from E flat to G sharp on the line of fifths. */
export const plainPitch = (midi: number): Pitch => pitchAt(noteAtFifths(modulo(7 * midi + 3, 12) - 3), midi)

/**
 * Pins moved by semitones, for the same tune in another key: notes and whole bars move, approaches and cells go with their target.
 *
 * @example
 * transposePins(['3.1=F4', '3.1=+2 -1', '5=F4 E4/24 -'], 2) // => ['3.1=G4', '3.1=+2 -1', '5=G4 F#4/24 -']
 */
export const transposePins = (texts: readonly string[], semitones: number): readonly string[] =>
  texts.map((text) =>
    text.replace(/[A-G](?:#{1,2}|b{1,2})?-?\d(?=$|[\s/])/g, (name) => {
      const pitch = readPitch(name)
      return pitch ? nameOf(plainPitch(midiOf(pitch) + semitones)) : name
    }),
  )

/** Every sounding pitch that pins name, as MIDI. */
export const pinnedPitches = ({ notes, bars }: Pins): readonly number[] => [
  ...notes.values(),
  ...[...bars.values()].flat().flatMap(({ midi }) => (midi === null ? [] : [midi])),
]

function readBar(text: string, start: number, ticks: number): readonly KeptNote[] | null {
  const kept: KeptNote[] = []
  let at = start
  for (const word of text.trim().split(/\s+/)) {
    const [name = '', length] = word.split('/')
    const pitch = name === '-' ? null : readPitch(name)
    const own = length === undefined ? usualTicks : Number(length)
    if (pitch === null && name !== '-') return null
    if (!Number.isInteger(own) || own < 1 || at >= start + ticks) return null
    kept.push({ start: at, ticks: own, midi: pitch && midiOf(pitch) })
    at += own
  }
  // A last note may be held into the next bar, by an eighth.
  return at === start + ticks || at === start + ticks + usualTicks ? kept : null
}
