/**
 * How an arrangement is played: swung, and unless it is strict, each note a little about its beat, weighed by the contour and joined as
 * players do. Everything follows from the seed and the note's own place.
 */
import { swingNotes } from '../score/swing.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import type { Arrangement, Part, SoundNote, Track } from './arrangement.ts'
import { type Touch, touches } from './touch.ts'

/** How far a part may lie from the beat, in milliseconds: on average, and either way of that. */
interface Lie {
  readonly late: number
  readonly spread: number
  /** How much louder or softer than written, either way. */
  readonly weight: number
}

/**
 * Bass a little early, chords a little late, the drummer within a few milliseconds: common practice, the amounts from memory of
 * measurements of ensembles. The line's lateness is a share of the beat, below.
 */
const lies: Readonly<Record<'light' | 'loose', Readonly<Record<Part, Lie>>>> = {
  light: {
    line: { late: 0, spread: 4, weight: 0.03 },
    bass: { late: -1, spread: 3, weight: 0.03 },
    chords: { late: 2, spread: 4, weight: 0.03 },
    drums: { late: 0, spread: 2.5, weight: 0.03 },
    click: { late: 0, spread: 0, weight: 0 },
    count: { late: 0, spread: 0, weight: 0 },
  },
  loose: {
    line: { late: 0, spread: 9, weight: 0.06 },
    bass: { late: -2, spread: 5, weight: 0.05 },
    chords: { late: 5, spread: 8, weight: 0.05 },
    drums: { late: 0, spread: 4, weight: 0.05 },
    click: { late: 0, spread: 0, weight: 0 },
    count: { late: 0, spread: 0, weight: 0 },
  },
}

/**
 * How far behind the beat the line lays its notes on the beat, as a share of a quarter, and at most in milliseconds; off the beat a third of
 * it. Soloists wait on the beat and meet the cymbal off it (Friberg and Sundström, *Music Perception* 19, 2002; the amounts smaller).
 */
const behind = {
  light: { share: 0.03, most: 18 },
  loose: { share: 0.06, most: 36 },
} as const

/** A number from 0 to 1 that follows from a seed and a place: a hash of whole numbers (Wang's mixing steps, from memory). */
function drawAt(seed: number, ...place: readonly number[]): number {
  let h = seed >>> 0
  for (const each of place) {
    h = Math.imul(h ^ (each | 0), 0x9e3779b1)
    h ^= h >>> 15
    h = Math.imul(h, 0x85ebca6b)
    h ^= h >>> 13
  }
  return (h >>> 0) / 4_294_967_296
}

/** Notes of a track as they are played, in ticks that may be parts of one: in order, none before the start. */
export function playedNotes(arrangement: Arrangement, track: Track): readonly SoundNote[] {
  const { bars, swing, looseness } = arrangement
  const swung = swingNotes(track.notes, bars, swing)
  if (looseness === 'strict') return swung
  const touched = track.part === 'line' ? weighed(track.notes, swung, arrangement) : swung
  return laidAbout(touched, track.notes, track.part, arrangement)
}

/** Each note moved about its beat; one that was joined to the next still is. */
function laidAbout(
  notes: readonly SoundNote[],
  written: readonly SoundNote[],
  part: Part,
  { tempo, looseness, seed }: Arrangement,
): readonly SoundNote[] {
  if (looseness === 'strict') return notes
  const lie = lies[looseness][part]
  const ticksPerMs = (ticksPerQuarter * tempo) / 60_000
  const { share, most } = behind[looseness]
  const waits = part === 'line' ? Math.min(most, (share * 60_000) / tempo) : 0
  const partNumber = part.charCodeAt(0) * 256 + part.length
  const moves = notes.map((_, i) => {
    const { start, midi } = written[i]!
    const onBeat = start % ticksPerQuarter === 0
    // Notes of one stroke are spread by their own pitch; else all of a place move together.
    const place = part === 'chords' ? start : start * 128 + midi
    const about = (drawAt(seed, partNumber, place) + drawAt(seed, partNumber, place, 1) - 1) * lie.spread
    const rolled = part === 'chords' ? drawAt(seed, partNumber, start, midi) * lie.spread : 0
    return (lie.late + about + rolled + (onBeat ? waits : waits / 3)) * ticksPerMs
  })
  return notes.map((note, i) => {
    const { start, midi } = written[i]!
    const at = Math.max(0, note.start + moves[i]!)
    const next = notes[i + 1]
    const end = note.start + note.ticks
    const joined = next !== undefined && Math.abs(next.start - end) < 1e-6
    const follows = next ? Math.max(0, next.start + moves[i + 1]!) : Number.POSITIVE_INFINITY
    // One voice sounds one note at a time.
    const most = part === 'line' || part === 'bass' ? follows : Number.POSITIVE_INFINITY
    const until = Math.max(at + 0.5, Math.min(most, joined ? follows : end + moves[i]!))
    const weight = (drawAt(seed, partNumber, start, midi, 2) * 2 - 1) * lie.weight
    return { ...note, start: at, ticks: until - at, velocity: Math.max(0.05, Math.min(1, note.velocity + weight)) }
  })
}

/** The line's notes weighed by contour and shortened or joined as they are touched. */
function weighed(
  written: readonly SoundNote[],
  swung: readonly SoundNote[],
  { looseness, seed }: Arrangement,
): readonly SoundNote[] {
  const mean = written.reduce((sum, note) => sum + note.midi, 0) / Math.max(1, written.length)
  const share = looseness === 'loose' ? 0.6 : 0.3
  return swung.map((note, i) => {
    const own = written[i]!
    const touch = own.touch ?? usualTouch(written, i, drawAt(seed, own.start, own.midi, 7) < share)
    const { loud, length } = touches[touch]
    const contour = 0.06 * Math.max(-1, Math.min(1, (own.midi - mean) / 12))
    return { ...note, ticks: note.ticks * length, velocity: Math.min(1, (note.velocity + contour) * loud) }
  })
}

/**
 * How a note is touched where nothing is written: slurred from off the beat onto it, tongued on it, short before a rest, the top of a
 * turn off the beat leaned on, and some of the notes that lie below both their neighbours swallowed. Common practice.
 */
function usualTouch(notes: readonly SoundNote[], i: number, swallows: boolean): Touch {
  const note = notes[i]!
  const before = notes[i - 1]
  const next = notes[i + 1]
  const offBeat = note.start % ticksPerQuarter !== 0
  if (!next || next.start > note.start + note.ticks) return note.ticks <= ticksPerQuarter / 2 ? 'short' : 'tongued'
  if (!offBeat) return 'tongued'
  if (before && before.midi < note.midi && next.midi < note.midi) return 'leaned'
  if (before && before.midi > note.midi && next.midi > note.midi && swallows) return 'swallowed'
  return 'slurred'
}
