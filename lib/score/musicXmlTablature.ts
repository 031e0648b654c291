/** A staff of strings and frets under the notes, in MusicXML 4.0 (`staff-details`, `technical`). */
import { naturalAt } from '../theory/pitch.ts'
import type { Score, ScoreEvent } from './score.ts'

/** How many staves the part has, said only where it has more than one. */
export const stavesOf = ({ tablature }: Score): readonly string[] => (tablature ? ['<staves>2</staves>'] : [])

/** Its clef, and its lines with the open string of each, the lowest first. */
export function tablatureDetails({ tablature }: Score): readonly string[] {
  if (!tablature) return []
  const tunings = tablature.toReversed().map((open, i) => {
    const { letter, octave } = naturalAt(open)
    return `<staff-tuning line="${i + 1}"><tuning-step>${letter}</tuning-step><tuning-octave>${octave}</tuning-octave></staff-tuning>`
  })
  return [
    '<clef number="2"><sign>TAB</sign><line>5</line></clef>',
    `<staff-details number="2"><staff-lines>${tablature.length}</staff-lines>${tunings.join('')}</staff-details>`,
  ]
}

/** Which staff a note of the part stands on, said only where there are two. */
export const staffOfNote = ({ tablature }: Score, staff: 1 | 2): readonly string[] =>
  tablature ? [`<staff>${staff}</staff>`] : []

/** The second voice of a measure: back to its start, then each note again on its string, without a stem. */
export function tablatureNotes(
  { tablature }: Score,
  events: readonly ScoreEvent[],
  pitched: (event: ScoreEvent) => string,
): readonly string[] {
  if (!tablature || events.length === 0) return []
  const length = events.reduce((sum, { ticks }) => sum + ticks, 0)
  return [
    `<backup><duration>${length}</duration></backup>`,
    ...events.map((event) => {
      if (!event.pitch || !event.stop)
        return `<forward><duration>${event.ticks}</duration><voice>2</voice><staff>2</staff></forward>`
      const { string, fret } = event.stop
      const technical = `<technical><string>${string}</string><fret>${fret}</fret></technical>`
      return (
        `<note>${pitched(event)}<duration>${event.ticks}</duration><voice>2</voice><stem>none</stem>` +
        `<staff>2</staff><notations>${technical}</notations></note>`
      )
    }),
  ]
}
