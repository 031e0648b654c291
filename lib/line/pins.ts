/** Pins: what a person keeps of a line (a landing, a note, an approach, a cell, whole bars) while everything else may change. */
import type { BriefProblem } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
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

/**
 * Reads pins against the harmony they belong to. `3.1=F4` keeps a sounding note at bar 3, beat 1 (beats in quarters); `3.1=+2 -1`
 * the approach that leads there; `3.1=1-2-3-5` the cell that starts there; `5=F4 E4/24 -` the whole of bar 5, eighths unless
 * ticks follow a slash, `-` a rest. Pins count in the key that the tune is put in.
 */
export function readPins(
  texts: readonly string[],
  harmony: Harmony,
): { readonly pins: Pins; readonly problems: readonly BriefProblem[] } {
  const notes = new Map<number, number>()
  const approaches = new Map<number, readonly number[]>()
  const cellPins = new Map<number, readonly number[]>()
  const bars = new Map<number, readonly KeptNote[]>()
  const problems: BriefProblem[] = []
  let offset = 0
  for (const text of texts) {
    const span = { start: offset, end: offset + text.length }
    offset += text.length + 1
    const refuse = (expected: string, hint: string) => {
      problems.push({ severity: 'error', code: 'bad-pin', choice: 'pins', span, found: text, expected, hint })
    }
    const [, barText = '', beatText, value = ''] = /^(\d+)(?:\.([\d.]+))?=(.+)$/.exec(text) ?? []
    const bar = harmony.bars[Number(barText) - 1]
    if (!bar) {
      refuse(`a bar from 1 to ${harmony.bars.length}`, 'take this pin out')
      continue
    }
    if (beatText === undefined) {
      const kept = readBar(value, bar.start, bar.ticks)
      if (!kept) refuse(`notes that fill bar ${barText}, such as F4 E4 D4/24 -`, 'take this pin out')
      else if (bars.has(bar.bar)) refuse('one pin for a bar', 'take one of them out')
      else bars.set(bar.bar, kept)
      continue
    }
    const at = bar.start + Math.round((Number(beatText) - 1) * ticksPerQuarter)
    if (!(at >= bar.start && at < bar.start + bar.ticks)) {
      refuse(`a beat of bar ${barText}`, `try ${barText}.1=${value}`)
      continue
    }
    const pitch = readPitch(value)
    const cell = cells.find(({ name }) => name === value)
    const offsets = /^[+-]?\d+( [+-]?\d+){0,3}$/.test(value) ? value.split(' ').map(Number) : null
    const [kind, keep] = pitch
      ? ([notes, midiOf(pitch)] as const)
      : cell
        ? ([cellPins, cell.steps] as const)
        : ([approaches, offsets] as const)
    if (keep === null || (offsets && !pitch && !cell && offsets.some((o) => Math.abs(o) > widestOffset)))
      refuse(
        'a sounding note (F4), an approach in semitones (+2 -1) or a cell (1-2-3-5)',
        `try ${barText}.${beatText}=F4`,
      )
    else if (kind.has(at)) refuse('one pin of a kind at a place', 'take one of them out')
    else (kind as Map<number, unknown>).set(at, keep)
  }
  return { pins: { notes, approaches, cells: cellPins, bars }, problems }
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
