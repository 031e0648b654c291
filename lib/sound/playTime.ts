/** Playing time: from an arrangement's ticks to seconds, swung or even, strict or loose, at its tempo. One swing ratio holds for every part. */
import { ticksPerQuarter } from '../theory/meter.ts'
import type { Arrangement, Part } from './arrangement.ts'
import { shareOf } from './balance.ts'
import { playedNotes } from './loosen.ts'

/** A note as it sounds, in seconds from the start of the count-in. */
export interface TimedNote {
  readonly part: Part
  readonly start: number
  readonly end: number
  readonly midi: number
  /** 0 to 1. */
  readonly velocity: number
  /** A factor of loudness besides, where the part has one in its style: the balance, not the touch. */
  readonly gain?: number
  /** The id of the written note, `n-BAR-TICK`, for notes of the line. */
  readonly id: string | null
}

/** Everything that sounds once through, in order of its start. */
export interface Performance {
  readonly notes: readonly TimedNote[]
  /** From the first click to the end of the last bar; what rings on after it may be cut or mixed with what follows. */
  readonly seconds: number
  /** The sound of the line's instrument, as a General MIDI program from 0. */
  readonly program: number
  /** Whether it is heard in a small room; what is strict is dry. */
  readonly room: boolean
}

/**
 * Seconds that a number of ticks takes at a tempo in quarter notes a minute.
 *
 * @example
 * secondsOf(96, 120) // => 2
 */
export const secondsOf = (ticks: number, tempo: number): number => (ticks * 60) / (ticksPerQuarter * tempo)

/**
 * Plays an arrangement at its tempo and swing. Where a beat of a part holds triplets or sixteenths, that part plays the whole
 * beat as written, so tuplets stay even and no two notes change places.
 */
export function playTime(arrangement: Arrangement): Performance {
  const { bars, tempo } = arrangement
  const end = bars.at(-1)
  const notes = arrangement.tracks.flatMap((track) => {
    const gain = shareOf(arrangement.feel, track.part)
    return playedNotes(arrangement, track).map(
      ({ start, ticks, midi, velocity, id }): TimedNote => ({
        part: track.part,
        start: secondsOf(start, tempo),
        end: secondsOf(start + ticks, tempo),
        midi,
        velocity,
        id: id ?? null,
        ...(gain === 1 ? {} : { gain }),
      }),
    )
  })
  notes.sort((a, b) => a.start - b.start)
  return {
    notes,
    seconds: secondsOf(end ? end.start + end.ticks : 0, tempo),
    program: arrangement.program,
    room: arrangement.looseness !== 'strict',
  }
}
