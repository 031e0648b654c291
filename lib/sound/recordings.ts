/** What recorded instrument each instrument sounds of: its own, or a neighbour that is named. */
import { type InstrumentId, instrumentOf, instruments } from '../theory/instrument.ts'

/** Instruments without a recording of their own, and the neighbour that lends them one. Voices share one choir. */
const neighbours: Readonly<Partial<Record<InstrumentId, string>>> = {
  'sopranino-sax': 'soprano saxophone',
  'bass-sax': 'baritone saxophone',
  'bass-clarinet': 'clarinet',
  flugelhorn: 'trumpet',
  'soprano-voice': 'choir',
  'mezzo-voice': 'choir',
  'alto-voice': 'choir',
  'tenor-voice': 'choir',
  'baritone-voice': 'choir',
  'bass-voice': 'choir',
}

/** The programs, from 0, that the band itself plays on: piano and double bass. */
export const bandPrograms = { chords: 0, bass: 32 } as const

/** The General MIDI programs, from 0, that recorded notes are cut for: those of every instrument on offer and of the band. */
export const sampledPrograms: readonly number[] = [
  ...new Set([...Object.values(bandPrograms), ...instruments.map(({ program }) => program)]),
].sort((a, b) => a - b)

/**
 * What to say where an instrument sounds of another's recording; null where it has its own.
 *
 * @example
 * lentRecording('flugelhorn') // => 'Flugelhorn sounds of a recorded trumpet'
 * lentRecording('trumpet') // => null
 */
export function lentRecording(id: InstrumentId): string | null {
  const neighbour = neighbours[id]
  return neighbour ? `${instrumentOf(id).name} sounds of a recorded ${neighbour}` : null
}
