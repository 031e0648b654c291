/** What a worker can be asked: each a plain function of what stands here, so that the same question has one answer. */
import type { Given } from './address.ts'

export interface PageQuestion {
  readonly kind: 'page'
  readonly given: Given
  /** A packed link that could not be read; said on the page. */
  readonly badLink: boolean
  /** Scheme, host and port as the reader sees them, for the printed code; empty where not known. */
  readonly origin: string
}

export interface ChoicesQuestion {
  readonly kind: 'choices'
  readonly given: Given
  readonly badLink: boolean
  /** `BAR.BEAT` of the note chosen. */
  readonly at: string
  /** The bars chosen, `FROM-TO`; empty for the note's own bar. */
  readonly chosen: string
  /** Only the choices themselves, for the page's script to show beside the note. */
  readonly bare: boolean
}

/** The list of figures, for an instrument and in a key. */
export interface FiguresQuestion {
  readonly kind: 'figures'
  readonly given: Given
}

export interface DownloadQuestion {
  readonly kind: 'download'
  readonly given: Given
  readonly badLink: boolean
  readonly format: string
  /** Which of several keys, from 1. */
  readonly part: number
  /** Which page of a picture, from 1. */
  readonly sheet: number
  /** Scheme, host and port as the reader sees them, for the code on a sheet to print; empty where none is printed. */
  readonly origin: string
}

/** One sheet of music as a picture that stands alone. */
export interface SheetQuestion {
  readonly kind: 'sheet'
  readonly given: Given
  readonly part: number
  readonly sheet: number
  /** To stand in the page itself. */
  readonly inline: boolean
}

/** Bars to be kept as they stand: the answer is the pins that do it. */
export interface KeepQuestion {
  readonly kind: 'keep'
  readonly given: Given
  readonly bars: readonly [number, number]
}

/** Something done to the changes: the answer is the new text. */
export interface EditQuestion {
  readonly kind: 'edit'
  readonly changes: string
  readonly edit: 'align' | 'mend' | 'up' | 'down'
}

/** A file that someone dropped: the answer is its changes as text. */
export interface ReadQuestion {
  readonly kind: 'read'
  readonly bytes: Uint8Array
}

/** Lines that someone dropped, to be read back: the body as it was posted, with the type that says how it is packed. */
export interface MarkQuestion {
  readonly kind: 'mark'
  readonly body: Uint8Array
  readonly type: string
}

/** A plan of practising a line, as a page, as paper or as calendar entries. */
export interface PlanQuestion {
  readonly kind: 'plan'
  readonly given: Given
  readonly as: 'page' | 'pdf' | 'ics'
  /** As typed. */
  readonly days: string
  readonly minutes: string
  /** The day it begins. */
  readonly from: string
  /** Scheme, host and port as the reader sees them, for the link; empty where they cannot be known. */
  readonly origin: string
}

/** What a class packet would hold, to be looked at before it is made. */
export interface PacketQuestion {
  readonly kind: 'packet'
  readonly given: Given
  readonly badLink: boolean
}

export type Question =
  | { readonly kind: 'warm' }
  | PageQuestion
  | ChoicesQuestion
  | FiguresQuestion
  | DownloadQuestion
  | SheetQuestion
  | EditQuestion
  | KeepQuestion
  | ReadQuestion
  | MarkQuestion
  | PlanQuestion
  | PacketQuestion
