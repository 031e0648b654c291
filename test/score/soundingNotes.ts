/** The notes of a score as they sound, and those of a MIDI file as `midi-file` reads it: to compare one with the other. */
import { parseMidi } from 'midi-file'
import type { Score } from '../../lib/score/score.ts'
import { ticksPerBar } from '../../lib/theory/meter.ts'
import { midiOf } from '../../lib/theory/pitch.ts'

export interface SoundingNote {
  /** 24 to the quarter, from the start of the first bar. */
  readonly start: number
  readonly ticks: number
  readonly midi: number
}

/** The notes of a score at sounding pitch, tied ones joined. */
export function soundingNotes(score: Score): readonly SoundingNote[] {
  const notes: SoundingNote[] = []
  let barStart = 0
  for (const bar of score.bars) {
    for (const { at, ticks, sounding, tie } of bar.events) {
      if (sounding === null) continue
      const before = notes.at(-1)
      if (before && (tie === 'end' || tie === 'middle'))
        notes[notes.length - 1] = { ...before, ticks: before.ticks + ticks }
      else notes.push({ start: barStart + at, ticks, midi: midiOf(sounding) })
    }
    barStart += ticksPerBar(bar.meter)
  }
  return notes
}

/** Every note of a MIDI file, its ticks brought to 24 to the quarter, in the order of their starts. */
export function notesOfMidi(bytes: Uint8Array): readonly SoundingNote[] {
  const file = parseMidi(bytes)
  const scale = 24 / file.header.ticksPerBeat!
  return file.tracks
    .flatMap((track) => {
      const notes: SoundingNote[] = []
      const open = new Map<number, number>()
      let now = 0
      for (const event of track) {
        now += event.deltaTime
        if (event.type === 'noteOn' && event.velocity > 0) open.set(event.noteNumber, now)
        else if (event.type === 'noteOff' || event.type === 'noteOn') {
          const start = open.get(event.noteNumber)!
          open.delete(event.noteNumber)
          notes.push({ start: start * scale, ticks: (now - start) * scale, midi: event.noteNumber })
        }
      }
      return notes
    })
    .sort((a, b) => a.start - b.start || a.midi - b.midi)
}
