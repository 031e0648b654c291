/** Slurs, accents, ghosted and shortened notes, as horn players of swung eighths set them: common practice, from memory. */
import { ticksPerQuarter } from '../theory/meter.ts'
import { midiOf } from '../theory/pitch.ts'
import type { Line, LineNote, NoteArticulation } from './line.ts'

const plain: NoteArticulation = { slur: null, accent: false, short: false, ghost: false }
const eighth = ticksPerQuarter / 2
/** A note dips or peaks where its neighbours lie so many semitones away. */
const dip = 3
/** So many notes apart accents stand at least. */
const accentsApart = 3

/**
 * How each note of a line is played: tongued off the beat and slurred into the beat, whole triplets and sixteenths under one slur,
 * an accent where the line turns down off the beat, a note ghosted where it dips between two higher ones, a short last note off
 * the beat. Null for rests.
 */
export function articulate(line: Line): readonly (NoteArticulation | null)[] {
  const { notes } = line
  const slurs = slursOf(line)
  let lastAccent = -accentsApart
  return notes.map((note, i) => {
    if (!note.pitch) return null
    const [before, after] = [soundingBeside(notes, i, -1), soundingBeside(notes, i, 1)]
    const midi = midiOf(note.pitch)
    const off = modulo24(note.start) !== 0
    const rises = before !== null && midi - before
    const falls = after !== null && midi - after
    const ends = after === null
    const short = ends && off && note.ticks <= eighth && before !== null
    const peaks = off && rises !== false && falls !== false && rises > 0 && falls > 0
    const accent = (peaks || short) && i - lastAccent >= accentsApart
    if (accent) lastAccent = i
    const ghost = off && note.role !== 'target' && rises !== false && falls !== false && rises <= -dip && falls <= -dip
    return { ...plain, slur: slurs[i] ?? null, accent, short, ghost: ghost && !accent }
  })
}

const modulo24 = (tick: number): number => ((tick % ticksPerQuarter) + ticksPerQuarter) % ticksPerQuarter

/** The sounding neighbour of a note, as MIDI; null where a rest or the end is. */
function soundingBeside(notes: readonly LineNote[], i: number, way: 1 | -1): number | null {
  const pitch = notes[i + way]?.pitch
  return pitch ? midiOf(pitch) : null
}

/** For each note, whether a slur begins, ends, or does both there. */
function slursOf({ notes }: Line): readonly NoteArticulation['slur'][] {
  const slurs: NoteArticulation['slur'][] = notes.map(() => null)
  const joins = (i: number): boolean => {
    const [note, next] = [notes[i], notes[i + 1]]
    if (!note?.pitch || !next?.pitch || note.ticks > ticksPerQuarter) return false
    if (midiOf(note.pitch) === midiOf(next.pitch)) return false
    // Inside a beat only where it is divided in more than two; into the beat from what lies just before it.
    return modulo24(next.start) === 0 ? modulo24(note.start) !== 0 : note.ticks < eighth && next.ticks < eighth
  }
  for (let i = 0; i < notes.length; i++) {
    const [from, to] = [i > 0 && joins(i - 1), joins(i)]
    // A slur that has come to a beat ends there.
    const onBeat = modulo24(notes[i]!.start) === 0
    slurs[i] = from && to && onBeat ? 'both' : from && to ? 'inside' : from ? 'stop' : to ? 'start' : null
  }
  return slurs
}
