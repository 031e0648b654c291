/** A written part: what stands on the paper for one instrument in one key, bar by bar, ready to be printed in any format. */

import type { ChordSymbol } from '../changes/chart.ts'
import type { SymbolStyle } from '../changes/symbol/printSymbol.ts'
import type { FingeringMark, Stop } from '../line/fingerLine.ts'
import type { LineFigure, NoteArticulation, Role } from '../line/line.ts'
import type { Instrument } from '../theory/instrument.ts'
import type { Key } from '../theory/key.ts'
import type { Meter } from '../theory/meter.ts'
import type { Beam, NoteValue } from '../theory/noteValues.ts'
import type { Interval, Pitch } from '../theory/pitch.ts'

/** A chord symbol over the staff, in the part's own (written) key. */
export interface ScoreHarmony extends ChordSymbol {
  /** Ticks from the start of the bar. */
  readonly at: number
  readonly ticks: number
  /** Where an analysis is asked for: the numeral with its quality, `V7/ii`, accidentals as signs; null where it goes on. */
  readonly numeral: string | null
  /** The key that it is heard in, `E♭ major`, where that is another than the chord's before. */
  readonly newKey: string | null
  /** The name of its chord scale, where that is asked for; null where scale and root go on. */
  readonly scaleName: string | null
  /** Its place in a ii–V that has a bracket over it. */
  readonly twoFive: 'start' | 'middle' | 'end' | null
  /** Where the chord before it goes on, on the same line of the same section: paper does not say it again. */
  readonly again?: true
}

/** One notehead or rest with a value that can be written: a line's note over a bar line becomes two, tied. */
export interface ScoreEvent extends Pick<NoteValue, 'at' | 'ticks' | 'value' | 'dots'> {
  /** `n-BAR-TICK` for a note, `r-BAR-TICK` for a rest: its bar's number and its ticks from the start of that bar. */
  readonly id: string
  /** Three in the time of two and so on; events of one tuplet share an id. */
  readonly tuplet: { readonly id: string; readonly actual: number; readonly normal: number } | null
  readonly beam: Beam
  /** Written; null is a rest. */
  readonly pitch: Pitch | null
  readonly sounding: Pitch | null
  /** The accidental to print: `shown` because the bar needs it, `cautionary` as a courtesy, null for none. */
  readonly accidental: 'shown' | 'cautionary' | null
  readonly tie: 'start' | 'middle' | 'end' | null
  readonly role: Role
  /** A target that comes before the chord it lands on. */
  readonly early?: true
  /** The degree, on targets and wherever a label is asked for; only on the first of tied notes. */
  readonly degree: string | null
  /** Index into the line's notes and figures. */
  readonly note: number
  readonly figure: number | null
  /** How it is played: accents and the like on the first of tied notes. */
  readonly articulation?: NoteArticulation | null
  /** How to finger it, on the first of tied notes, where that is asked for. */
  readonly fingering?: FingeringMark | null
  /** Where a tablature has it, on the first of tied notes. */
  readonly stop?: Stop | null
}

export interface ScoreBar {
  /** From 1; 0 for a pickup, which is as long as its notes. */
  readonly number: number
  readonly meter: Meter
  readonly meterShown: boolean
  /** Sharps or flats of the signature in force. */
  readonly signature: number
  readonly section: string | null
  readonly systemStart: boolean
  readonly barline: 'single' | 'double' | 'final'
  readonly harmony: readonly ScoreHarmony[]
  readonly events: readonly ScoreEvent[]
}

export interface Score {
  readonly title: string
  readonly composer: string | null
  /** Style and tempo, as a line for the page's head: `Medium swing, ♩ = 140`. */
  readonly styleLine: string
  readonly tempo: number
  readonly instrument: Instrument
  /** True where the part is written at concert pitch (guitar and basses still an octave above what sounds). */
  readonly concert: boolean
  /** The instrument's own clef; at concert pitch, whichever keeps its range on the staff. */
  readonly clef: Instrument['clef']
  /**
   * Sounding minus written, as this part is spelled: the instrument's own, but for its letters where the written key is put
   * enharmonically (concert B for a B flat part reads D flat, so two letters down and two semitones).
   */
  readonly transposition: Interval
  /** The written key. */
  readonly key: Key
  readonly concertKey: Key
  readonly bars: readonly ScoreBar[]
  readonly figures: readonly LineFigure[]
  /** The strings of the tablature under the staff as they sound, MIDI, the highest first; none where there is no tablature. */
  readonly tablature?: readonly number[]
  /** How its chord symbols are written; words and real accidentals unless it says otherwise. */
  readonly symbols?: SymbolStyle
}
