/** Fingerings for the notes of a line as its player reads them: chosen over the whole line, marked as the brief asks. */
import type { Brief } from '../brief.ts'
import { type ChosenFingering, chooseFingerings, fingeringTableOf } from '../fingering/chooseFingerings.ts'
import { writtenPitch } from '../theory/instrument.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { midiOf, nameOf } from '../theory/pitch.ts'
import type { Line } from './line.ts'

/** A fingering as it is marked at a note. */
export interface FingeringMark {
  readonly text: string
  /** For stopped strings: which, from 1 the highest, and semitones above the open string. */
  readonly string: number | null
  readonly fret: number | null
}

/** Where a string is stopped: which, from 1 the highest, and semitones above the open string. */
export interface Stop {
  readonly string: number
  readonly fret: number
}

/**
 * The fingering of each note of a line, null for rests, for notes that the instrument has not, and throughout where no table
 * serves the instrument.
 */
export function fingerLine(line: Line, brief: Pick<Brief, 'tempo'>): readonly (ChosenFingering | null)[] {
  const tempo = brief.tempo ?? line.harmony.tempo ?? 120
  const sounding = line.notes.flatMap((note, index) =>
    note.pitch === null ? [] : [{ note, pitch: note.pitch, index }],
  )
  const chosen = chooseFingerings(
    line.instrument.id,
    sounding.map(({ note, pitch }, i) => {
      const next = sounding[i + 1]?.note.start ?? note.start + note.ticks
      return {
        written: midiOf(writtenPitch(line.instrument, pitch)),
        sounding: midiOf(pitch),
        seconds: ((next - note.start) / ticksPerQuarter) * (60 / tempo),
      }
    }),
  )
  const byNote = new Map(sounding.map(({ index }, i) => [index, chosen[i] ?? null]))
  return line.notes.map((_, index) => byNote.get(index) ?? null)
}

/** What is marked at each note: nothing, only where there is a choice worth a mark, or all. */
export function markFingerings(
  line: Line,
  brief: Pick<Brief, 'tempo'> & Partial<Pick<Brief, 'fingering'>>,
): readonly (FingeringMark | null)[] {
  const { fingering: asked = 'none' } = brief
  if (asked === 'none') return line.notes.map(() => null)
  return fingerLine(line, brief).map((chosen) => {
    if (!chosen) return null
    const { fingering, mark } = chosen
    const text = asked === 'all' ? fingering.label : mark
    if (text === null) return null
    const stopped = fingering.hold.kind === 'string' ? fingering.hold : null
    return { text, string: stopped?.string ?? null, fret: stopped?.stop ?? null }
  })
}

/** The strings of a tablature as they sound, MIDI, the highest first, where one is asked for and the instrument has one; else null. */
export const tablatureOf = (
  { instrument }: Pick<Line, 'instrument'>,
  { tablature = false }: Partial<Pick<Brief, 'tablature'>>,
): readonly number[] | null => (tablature ? (fingeringTableOf(instrument.id)?.tablature ?? null) : null)

/** Where each note of a line is stopped, for its tablature; null for rests and for what the instrument has not. */
export const stopsOf = (line: Line, brief: Pick<Brief, 'tempo'>): readonly (Stop | null)[] =>
  fingerLine(line, brief).map((chosen) => {
    const hold = chosen?.fingering.hold
    return hold?.kind === 'string' ? { string: hold.string, fret: hold.stop } : null
  })

/** Where a tablature is asked for and cannot be written, or lacks a note. */
function untabbed(line: Line, brief: Pick<Brief, 'tempo' | 'tablature'>): Line['relaxed'] {
  if (!brief.tablature) return []
  const [bar] = line.bars
  if (!tablatureOf(line, brief))
    return [
      {
        rule: 'tablature',
        bar,
        why: `players of ${line.instrument.name} read no tablature; guitar and electric bass do`,
      },
    ]
  const stops = stopsOf(line, brief)
  const lacking = line.notes.filter(({ pitch }, i) => pitch !== null && stops[i] === null)
  return [...new Set(lacking.map((note) => note.bar))].map((lackingBar) => ({
    rule: 'tablature',
    bar: lackingBar,
    why: `a note here lies beyond the frets of ${line.instrument.name}`,
  }))
}

/** Where fingerings or a tablature are asked for and cannot be told: no table serves the instrument, or it has not got the note. */
export function unfingered(line: Line, brief: Pick<Brief, 'tempo' | 'fingering' | 'tablature'>): Line['relaxed'] {
  return [...untabbed(line, brief), ...unmarked(line, brief)]
}

function unmarked(line: Line, brief: Pick<Brief, 'tempo' | 'fingering'>): Line['relaxed'] {
  if (brief.fingering === 'none') return []
  if (!fingeringTableOf(line.instrument.id))
    return [
      { rule: 'fingering', bar: line.bars[0], why: `there is no table of fingerings for ${line.instrument.name}` },
    ]
  const chosen = fingerLine(line, brief)
  const lacking = line.notes.filter(({ pitch }, i) => pitch !== null && chosen[i] === null)
  return [...new Set(lacking.map(({ bar }) => bar))].map((bar) => {
    const { pitch } = lacking.find((note) => note.bar === bar)!
    const read = nameOf(writtenPitch(line.instrument, pitch!))
    return { rule: 'fingering', bar, why: `the table for ${line.instrument.name} has no written ${read}` }
  })
}
