/** A finished line: its targets, figures and notes, spelled at sounding pitch, over the harmony it was written for. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import type { Degree } from '../theory/degree.ts'
import type { Instrument } from '../theory/instrument.ts'
import type { Key } from '../theory/key.ts'
import type { Pitch } from '../theory/pitch.ts'

/** target: lands where the chord says; cell: carries on from a target; approach: leads into the next; connect: between. */
export type Role = 'target' | 'cell' | 'approach' | 'connect' | 'rest'

export interface LineTarget {
  readonly bar: number
  /** Ticks from the start of the first bar. */
  readonly start: number
  readonly pitch: Pitch
  /** Above the root of the chord it lands on. */
  readonly degree: Degree
  /** Index into the harmony's chords. */
  readonly chord: number
  /** Why this note: the motion from the last target, the degree, the range. */
  readonly reason: string
}

export interface LineFigure {
  /** motif: what was played earlier comes back; its notes may belong to approaches and cells as well. */
  readonly kind: 'approach' | 'cell' | 'motif'
  readonly name: string
  readonly bar: number
  readonly start: number
  /** Semitones from the target, in playing order; a cell's include the target's own 0; a motif's count from its first note. */
  readonly offsets: readonly number[]
  /** How often exactly these offsets (this cell) were counted in real solos; 0 for a motif. */
  readonly count: number
  /** Index into targets: the one it leads into, or leaves; one past the last where it leads into what comes next. A motif's: the next. */
  readonly target: number
  /** Of a motif: where it was first played. */
  readonly origin?: { readonly bar: number; readonly start: number }
}

/** How a note is played, where that is asked for. */
export interface NoteArticulation {
  /** A slur begins here, ends here, does both, or goes on over the note. */
  readonly slur: 'start' | 'stop' | 'both' | 'inside' | null
  readonly accent: boolean
  /** Staccato. */
  readonly short: boolean
  /** Swallowed: fingered, and hardly sounded. */
  readonly ghost: boolean
}

export interface LineNote {
  /** 0 for the notes of a pickup. */
  readonly bar: number
  /** Ticks from the start of the first bar; below 0 in a pickup. */
  readonly start: number
  readonly ticks: number
  /** Sounding; null is a rest. */
  readonly pitch: Pitch | null
  readonly role: Role
  /** Above the root of the chord that sounds (a note held over: of the chord it belongs to); null for rests and no-chord. */
  readonly degree: Degree | null
  /** Index into figures: an approach note's approach; a cell's for its notes and for the target that it starts from. */
  readonly figure: number | null
  readonly articulation?: NoteArticulation
}

export interface Line {
  /** The key of the tune as put here, concert. */
  readonly key: Key
  readonly instrument: Instrument
  readonly harmony: Harmony
  /** The first and last played bar to write out; the line itself is whole. */
  readonly bars: readonly [number, number]
  readonly targets: readonly LineTarget[]
  readonly figures: readonly LineFigure[]
  /** In order, without gap or overlap, rests included: every bar is exactly full. A note may cross a bar line. */
  readonly notes: readonly LineNote[]
  /** Where its last notes lead: the first target of what comes next, and the chord there; null where the line ends. */
  readonly leadsTo?: { readonly pitch: Pitch; readonly chord: HarmonyChord } | null
  /** The pitches as they stood on the paper that a line was read from, a note each; the part is spelled anew where there are none. */
  readonly written?: readonly (Pitch | null)[]
  /** Rules that could not be kept, named, each with where. */
  readonly relaxed: readonly { readonly rule: string; readonly bar: number; readonly why: string }[]
}
