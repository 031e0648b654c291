/** A Standard MIDI File taken apart: whole, and no more of it than a song has. The parser is midi-file; what it does not look after is looked after here. */
import { type MidiData, parseMidi } from 'midi-file'
import { type Reading, refused } from './played.ts'

/**
 * The most that is read: `bytes`, `events` (far more than four voices in thirty-seconds over every bar that a line may have, each
 * note with its end; as objects they take a hundred times the bytes), and bytes of one text.
 */
export const midiLimits = { bytes: 4_000_000, events: 400_000, text: 65_536 }

/** Thrown out of the parser: why a file is not taken apart. */
class Unread extends Error {
  readonly refusal: Reading
  constructor(refusal: Reading) {
    super()
    this.refusal = refusal
  }
}

const broken = (what = ''): Unread =>
  new Unread(refused('unreadable-file', `a MIDI file that breaks off${what}`, 'a whole one', 'export it again'))

/**
 * The events of a track by their lengths alone. SMF 1.0: a length of variable size; a status that goes on where none is given; one or two
 * bytes for a channel; meta events with their type and length, and what is exclusive to a system with its length.
 */
function eventsIn(track: Uint8Array): number {
  let [at, count, status] = [0, 0, 0]
  const number = (): number => {
    let value = 0
    for (let more = true; more && at < track.length; at++) {
      value = value * 128 + (track[at]! & 0x7f)
      more = track[at]! >= 0x80
    }
    return value
  }
  for (; at < track.length; count++) {
    number()
    const first = track[at] ?? 0
    if (first >= 0x80) at += 1
    if (first >= 0xf0) {
      const type = first === 0xff ? track[at++] : undefined
      const length = number()
      at += length
      if (type !== undefined && type < 8 && length > midiLimits.text && at <= track.length)
        throw new Unread(
          refused('too-large', `a text of ${length} bytes`, `at most ${midiLimits.text}`, 'take it out of the file'),
        )
    } else {
      if (first >= 0x80) status = first
      at += (status & 0xe0) === 0xc0 ? 1 : 2
    }
  }
  if (at > track.length) throw broken()
  return count
}

/**
 * Bytes of which no part has less than no length, or more than there is: the parser reads long lengths as negative numbers, goes back
 * by them and reads the same again without end, and takes what is missing for nothing.
 *
 * @param take - is given each part; its slices have no such care, since what an event holds is never read on from
 */
function guarded(bytes: Uint8Array, take: (part: Uint8Array) => Uint8Array): Uint8Array {
  const slice = (from = 0, to = bytes.length): Uint8Array => {
    // A length that is cut off itself is no number.
    if (!(to >= from && to <= bytes.length)) throw broken()
    return take(bytes.subarray(from, to))
  }
  return Object.defineProperty(bytes.subarray(), 'slice', { value: slice })
}

/** What a MIDI file holds; what is wrong with it where it cannot be taken apart. */
export function readMidiFile(bytes: Uint8Array): MidiData | Reading {
  const { bytes: most, events: mostEvents } = midiLimits
  if (bytes.length > most)
    return refused('too-large', `${bytes.length} bytes of MIDI`, `at most ${most}`, 'give the track alone')
  let events = 0
  // A chunk is its name and then what it holds; the first is the head.
  let parts = 0
  const chunk = (part: Uint8Array): Uint8Array => {
    parts += 1
    if (parts % 2 === 1 || parts === 2) return part
    events += eventsIn(part)
    if (events > mostEvents)
      throw new Unread(
        refused('too-large', `more than ${mostEvents} events`, 'a song', 'give the track of the line alone'),
      )
    return guarded(part, (inside) => inside)
  }
  try {
    const file = parseMidi(guarded(bytes, chunk))
    const { numTracks } = file.header
    if (file.tracks.length < numTracks) throw broken(` after ${file.tracks.length} of ${numTracks} tracks`)
    return file
  } catch (error) {
    const strange = refused('unreadable-file', 'bytes that are no MIDI', 'a MIDI file', 'export it again')
    return error instanceof Unread ? error.refusal : strange
  }
}
