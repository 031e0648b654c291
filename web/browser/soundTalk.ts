/** What the page's player and its worker say to each other. */
import type { Part } from '../../lib/sound/arrangement.ts'

/** The texts of a brief, by the names of its choices. */
export type Fields = Readonly<Record<string, string>>

export interface LoadOrder {
  readonly kind: 'load'
  /** Answers carry the number of the load that they belong to. */
  readonly load: number
  readonly fields: Fields
}

/** Where playing begins. */
export interface Place {
  /** The played bar to begin at on the first pass; null for the first of those practised. */
  readonly from: number | null
  /** The pass to begin with, from 0. */
  readonly pass: number
  /** The pass that has the tempo chosen, from 0, where a climb begins. */
  readonly climb: number
  /** Begin without a count-in: playing goes on after a change. */
  readonly goOn: boolean
}

/** Begins what is loaded at a place, or begins it anew at another. */
export interface StartOrder {
  readonly kind: 'start'
  readonly load: number
  /** Samples a second. */
  readonly rate: number
  readonly place: Place
}

export interface NextOrder {
  readonly kind: 'next'
  readonly load: number
}

/** What is loaded is wanted no more. */
export interface DropOrder {
  readonly kind: 'drop'
  readonly load: number
}

export type Order = LoadOrder | StartOrder | NextOrder | DropOrder

/** A note to light while it sounds, by its id on the page, in frames from the start. */
export interface LitNote {
  readonly id: string
  readonly start: number
  readonly end: number
}

/** Where a bar begins, in frames from the start, and what is being played there. */
export interface BarMark {
  /** The part of the page that shows it, from 1; 0 where none does. */
  readonly part: number
  readonly at: number
  /** 0 while counting in or resting. */
  readonly bar: number
  /** From 1. */
  readonly pass: number
  /** The last bar was played, and the band comes to rest. */
  readonly ending: boolean
  readonly tempo: number
  readonly key: string
  readonly lineOut: boolean
}

export interface ReadyNews {
  readonly kind: 'ready'
  readonly load: number
  readonly bars: number
  /** The tempo that the first pass has. */
  readonly tempo: number
  readonly swing: number
  readonly feel: string
  /** What sounds otherwise than is written or asked, in words. */
  readonly replaced: readonly string[]
}

export interface ChunkNews {
  readonly kind: 'chunk'
  readonly load: number
  /** The first frame, from the start of playing, and how many there are. */
  readonly at: number
  readonly frames: number
  /** Parts that are silent here are left out. */
  readonly parts: Readonly<Partial<Record<Part, Float32Array<ArrayBuffer>>>>
  readonly notes: readonly LitNote[]
  readonly marks: readonly BarMark[]
  /** Nothing comes after it. */
  readonly last: boolean
}

export interface FailNews {
  readonly kind: 'fail'
  readonly load: number
  readonly message: string
}

/** There is nothing to play at the place that was asked for: the last pass is over. */
export interface OverNews {
  readonly kind: 'over'
  readonly load: number
}

export type News = ReadyNews | ChunkNews | FailNews | OverNews
