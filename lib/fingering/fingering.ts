/** What a fingering is, on any instrument, and what a table of fingerings has to tell. */

/** What the hands hold: keys by finger, valves, a slide, or a string stopped somewhere. */
export type Hold =
  | {
      readonly kind: 'keys'
      /** What each finger presses, its own key where nothing else is said; fingers that press nothing are left out. */
      readonly fingers: Readonly<Record<string, string>>
    }
  | { readonly kind: 'valves'; readonly valves: readonly number[]; readonly thumb: boolean }
  | {
      readonly kind: 'slide'
      /** From 1, closed, to 7; between them where the tuning asks for it. */
      readonly position: number
      readonly trigger: boolean
    }
  | {
      readonly kind: 'string'
      /** From 1, the highest. */
      readonly string: number
      /** Semitones above the open string: the fret. */
      readonly stop: number
      /** 1 the index finger to 4 the little one; 0 an open string. */
      readonly finger: number
      /** The stop at which the index finger lies. */
      readonly position: number
    }

export interface Fingering {
  /** What stands over a note: `bis`, `1-2`, `4`. */
  readonly label: string
  /** The same in words. */
  readonly name: string
  readonly hold: Hold
  /** What it costs by itself (tuning, tone, weakness), in moves of one finger. */
  readonly cost: number
}

/** All there is to know of how an instrument is fingered. */
export interface FingeringTable {
  /** Ids of the instruments that it serves. */
  readonly instruments: readonly string[]
  /** Where it comes from. */
  readonly source: string
  /** Open strings as they sound, MIDI, the highest first, where its players also read tablature. */
  readonly tablature?: readonly number[]
  /** Whether notes are looked up as the player reads them or as they sound. */
  readonly pitch: 'written' | 'sounding'
  /** Every fingering of a note (MIDI) that is worth a thought, the usual one first; none where the instrument has no such note. */
  readonly fingeringsOf: (midi: number, instrument: string) => readonly Fingering[]
  /** What is marked over a note where only choices are: as a rule a fingering that is not the usual one. */
  readonly markOf?: (fingering: Fingering, before: Fingering | null) => string | null
  /** What it costs to go from one to the next, in moves of one finger, where there is no hurry and no leisure. */
  readonly move: (from: Hold, to: Hold) => number
}
