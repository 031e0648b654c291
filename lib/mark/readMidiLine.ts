/** The line in a Standard MIDI File: one track's notes brought to written time, swing undone. The file is parsed by midi-file. */
import type { MidiData } from 'midi-file'
import { limits } from '../brief.ts'
import { readSymbol } from '../changes/symbol/readSymbol.ts'
import { chartOfMeasures } from '../changes/xml/scoreBars.ts'
import { emptyMeasure, type ScoreMeasure } from '../changes/xml/scoreMeasure.ts'
import { xmlLimits } from '../changes/xml/xmlTree.ts'
import { plainPitch } from '../line/pins.ts'
import { carriedName, tripletName } from '../score/carriedRoles.ts'
import type { Key } from '../theory/key.ts'
import { commonTime, type Meter, ticksPerBar, ticksPerQuarter } from '../theory/meter.ts'
import { noteAtFifths } from '../theory/pitch.ts'
import { choosePart } from './choosePart.ts'
import { readMidiFile } from './midiFile.ts'
import { type PlayedNote, problem, type Reading, refused, withoutPickup } from './played.ts'
import { type Struck, writtenTimes } from './writtenTimes.ts'

export const isMidi = (bytes: Uint8Array): boolean =>
  bytes[0] === 0x4d && bytes[1] === 0x54 && bytes[2] === 0x68 && bytes[3] === 0x64

interface Track {
  readonly name: string
  readonly program: number | null
  readonly drums: boolean
  readonly notes: readonly Struck[]
}

/** What a file says besides notes, at quarters from its start. */
interface Told {
  readonly meters: readonly { at: number; meter: Meter }[]
  readonly keys: readonly { at: number; key: Key }[]
  readonly markers: readonly { at: number; text: string }[]
  readonly title: string | null
  readonly tempo: number | null
  readonly carried: string | null
  /** Beats that are triplets though they sound like swung eighths. */
  readonly triplets: ReadonlySet<number>
  readonly end: number
}

/** Reads the line of a MIDI file; `part` by number or track name, else the first track with notes that is no drum kit. */
export function readMidiLine(bytes: Uint8Array, part: string | null): Reading {
  if (bytes.length < 14)
    return refused('unreadable-file', 'a MIDI file that breaks off', 'a whole one', 'export it again')
  const file = readMidiFile(bytes)
  if ('problems' in file) return file
  const { ticksPerBeat } = file.header
  if (!ticksPerBeat)
    return refused('unreadable-file', 'MIDI timed in film frames', 'MIDI timed in beats', 'export it with a tempo')
  const { tracks, told } = readTracks(file, ticksPerBeat)
  if (told.markers.length > xmlLimits.chords)
    return refused(
      'too-large',
      `more than ${xmlLimits.chords} markers`,
      'a chord or so a beat',
      'leave out what is no chord',
    )
  const chosen = choosePart(
    [...tracks].sort((a, b) => Number(a.drums) - Number(b.drums)),
    part,
  )
  if ('problems' in chosen) return { played: null, problems: chosen.problems }
  const { notes: struck, name, program } = chosen.part
  const stacked = struck.find(({ from }, i) => i > 0 && from - struck[i - 1]!.from < 1 / 32)
  const measures = measuresOf(told, struck)
  if (measures === null)
    return refused(
      'too-many-bars',
      `a file of more than ${limits.bars} bars`,
      `at most ${limits.bars}`,
      'give a part of it',
    )
  if (stacked) {
    const beat = Math.floor(stacked.from) + 1
    return {
      played: null,
      problems: [
        problem(
          'polyphony',
          `notes that sound together at beat ${beat} of the file`,
          'one note at a time',
          'give the line a track of its own',
        ),
      ],
    }
  }
  // A first bar whose chords begin with the second, and whose notes begin late, is a pickup; in a file of ours one that is full, too.
  const [first, second] = measures
  const isPickup = first?.chords.length === 0 && second?.chords[0]?.at === 0 && (struck[0]!.from > 0.25 || told.carried)
  const before = isPickup && first ? ticksPerBar(first.meter) : 0
  const notes = writtenTimes(struck, told.triplets).map(
    ({ start, ticks, midi }): PlayedNote => ({ start: start - before, ticks, pitch: plainPitch(midi), mark: null }),
  )
  const words = { title: told.title, composer: null, style: null, tempo: told.tempo }
  const whole = chartOfMeasures(measures, words, [])
  return {
    played: {
      chart: isPickup ? withoutPickup(whole) : whole,
      notes,
      name,
      program,
      transposition: { steps: 0, semitones: 0 },
      parts: tracks.map((each) => each.name),
      spelled: false,
      carried: told.carried,
    },
    problems: [],
  }
}

interface Channel {
  program: number | null
  readonly notes: Struck[]
  /** When each note that sounds was struck. */
  readonly open: Map<number, number>
}

function readTracks(file: MidiData, perQuarter: number): { tracks: readonly Track[]; told: Told } {
  const meters: { at: number; meter: Meter }[] = []
  const keys: { at: number; key: Key }[] = []
  const markers: { at: number; text: string }[] = []
  let [title, carried, tempo, end]: [string | null, string | null, number | null, number] = [null, null, null, 0]
  const triplets = new Set<number>()
  const tracks: Track[] = []
  for (const [t, events] of file.tracks.entries()) {
    const channels = new Map<number, Channel>()
    let name: string | null = null
    let now = 0
    for (const event of events) {
      now += event.deltaTime
      const at = now / perQuarter
      if (
        'channel' in event &&
        (event.type === 'noteOn' || event.type === 'noteOff' || event.type === 'programChange')
      ) {
        const channel: Channel = channels.get(event.channel) ?? { program: null, notes: [], open: new Map() }
        channels.set(event.channel, channel)
        if (event.type === 'programChange') channel.program ??= event.programNumber
        else {
          const from = channel.open.get(event.noteNumber)
          if (from !== undefined) channel.notes.push({ from, to: at, midi: event.noteNumber })
          channel.open.delete(event.noteNumber)
          if (event.type === 'noteOn' && event.velocity > 0) channel.open.set(event.noteNumber, at)
        }
      } else if (event.type === 'timeSignature')
        meters.push({ at, meter: { beats: event.numerator, unit: event.denominator } })
      else if (event.type === 'keySignature') {
        const minor = event.scale === 1
        keys.push({ at, key: { tonic: noteAtFifths(event.key + (minor ? 3 : 0)), mode: minor ? 'minor' : 'major' } })
      } else if (event.type === 'setTempo') tempo ??= Math.round(60_000_000 / event.microsecondsPerBeat)
      else if (event.type === 'marker') markers.push({ at, text: utf8(event.text) })
      else if (event.type === 'text') {
        const said = (name: string) => (event.text.startsWith(`${name} `) ? event.text.slice(name.length + 1) : null)
        carried ??= said(carriedName)
        for (const beat of said(tripletName)?.split(' ') ?? []) triplets.add(Number(beat))
      } else if (event.type === 'trackName') {
        if (t === 0 && file.tracks.length > 1) title ??= utf8(event.text) || null
        else name ??= utf8(event.text)
      }
    }
    end = Math.max(end, now / perQuarter)
    for (const [channel, { program, notes }] of channels) {
      notes.sort((a, b) => a.from - b.from || b.midi - a.midi)
      const told = channels.size > 1 ? `${name ?? 'Track'} ${channel + 1}` : (name ?? `Track ${t + 1}`)
      if (notes.length > 0) tracks.push({ name: told, program, drums: channel === 9, notes })
    }
  }
  return { tracks, told: { meters, keys, markers, title, tempo, carried, triplets, end } }
}

/** Texts of MIDI come as bytes; ours are UTF-8. */
function utf8(text: string): string {
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(Uint8Array.from(text, (sign) => sign.charCodeAt(0))).trim()
  } catch {
    return text.trim()
  }
}

/** Of what is told at quarters, the last before a tick; ticks are asked for in order, so that each is passed once. */
function lastAt<T extends { readonly at: number }>(told: readonly T[]): (tick: number) => T | undefined {
  const list = [...told].sort((a, b) => a.at - b.at)
  let next = 0
  return (tick) => {
    while (next < list.length && list[next]!.at * ticksPerQuarter <= tick + 1) next += 1
    return list[next - 1]
  }
}

/** The bars of a file, with the markers that are chords; null where there would be too many. */
function measuresOf({ meters, keys, markers, end }: Told, notes: readonly Struck[]): readonly ScoreMeasure[] | null {
  const last = Math.max(notes.at(-1)?.to ?? 0, markers.at(-1)?.at ?? 0, markers.length > 0 ? end - 0.01 : 0)
  const chords = markers.flatMap(({ at, text }) => {
    const { symbol } = readSymbol(text)
    return symbol ? [{ at: Math.round(at * ticksPerQuarter), symbol }] : []
  })
  const measures: ScoreMeasure[] = []
  const meterAt = lastAt(meters)
  const keyAt = lastAt(keys)
  let start = 0
  let next = 0
  while (start < last * ticksPerQuarter - 0.5) {
    if (measures.length >= limits.bars) return null
    const meter = meterAt(start)?.meter ?? commonTime
    const size = ticksPerBar(meter)
    if (!(size >= 6 && size <= 960)) return null
    const here: ScoreMeasure['chords'][number][] = []
    for (; next < chords.length && chords[next]!.at < start + size; next++)
      here.push({ at: Math.max(0, chords[next]!.at - start), symbol: chords[next]!.symbol, span: { start: 0, end: 0 } })
    const key = keyAt(start)?.key ?? null
    measures.push({ ...emptyMeasure, meter, key, chords: here, span: { start: 0, end: 0 } })
    start += size
  }
  return measures
}
