/** A chart as written: bars with their chords, and the order in which they are played. */
import type { Problem, Span } from '../problem.ts'
import type { Chord } from '../theory/chord.ts'
import type { Key } from '../theory/key.ts'
import type { Meter } from '../theory/meter.ts'
import type { PitchClass } from '../theory/pitch.ts'

/** A chord symbol read. No-chord has neither root nor chord. */
export interface ChordSymbol {
  /** Canonical ASCII spelling, such as `Fm7/Bb`, `C7(b9)`, `N.C.`. */
  readonly symbol: string
  readonly root: PitchClass | null
  readonly chord: Chord | null
  readonly bass: PitchClass | null
}

/** What stands where no chord sounds. */
export const noChord: ChordSymbol = { symbol: 'N.C.', root: null, chord: null, bass: null }

export interface ChartChord extends ChordSymbol {
  /** In units of the meter's lower number. */
  readonly beats: number
  /** Where it stands in the text as typed; for a repeat sign, where the sign stands. */
  readonly span: Span
  /** Written in parentheses: may be left out. */
  readonly optional: boolean
}

/** Signs that steer the way through a chart, in the order in which a bar names them. A coda, a segno open their bar; the others close it. */
export const markOrder = [
  'Segno',
  'Coda',
  'To Coda',
  'Fine',
  'D.C.',
  'D.C. al Fine',
  'D.C. al Coda',
  'D.S.',
  'D.S. al Fine',
  'D.S. al Coda',
] as const
export type Mark = (typeof markOrder)[number]

export interface Bar {
  readonly index: number
  /** The section the bar belongs to, as labelled; null before any label. */
  readonly section: string | null
  readonly meter: Meter
  /** The key from here on, where the chart changes key at this bar. */
  readonly key: Key | null
  /** The passes on which this ending is played; null outside endings. */
  readonly ending: readonly number[] | null
  readonly repeatStart: boolean
  readonly repeatEnd: boolean
  /** How often the repeat that closes here is played in all, where the chart says so. */
  readonly times?: number
  readonly marks?: readonly Mark[]
  readonly chords: readonly ChartChord[]
}

export interface Chart {
  readonly title: string | null
  readonly composer: string | null
  /** What the chart says of feel or style, such as `Medium swing`. */
  readonly style: string | null
  /** Quarter notes a minute, where the chart says it. */
  readonly tempo: number | null
  readonly key: Key | null
  readonly meter: Meter
  /** False where the text shows chords without bars (chords over lyrics): one bar a chord. */
  readonly barsKnown: boolean
  readonly bars: readonly Bar[]
  /** Bar indexes in the order played, after repeats, endings, counts and jumps. */
  readonly playOrder: readonly number[]
  readonly problems: readonly Problem[]
}
