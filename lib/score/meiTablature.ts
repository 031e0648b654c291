/** A staff of strings and frets under the notes, in MEI 5.1 (module `tablature`). */
import { type Meter, upperNumber } from '../theory/meter.ts'
import { naturalAt } from '../theory/pitch.ts'
import { spacesOf } from './meiBrackets.ts'
import type { Score, ScoreBar, ScoreEvent } from './score.ts'

/** The tablature's number among the staves. */
const staff = 2

/** The definition of the staff: a line for each string, the clef of letters, neither signature nor meter. */
export function tablatureStaff({ tablature, bars }: Score): readonly string[] {
  if (!tablature) return []
  const courses = tablature.map((open, i) => {
    const { letter, octave } = naturalAt(open)
    return `<course n="${i + 1}" pname="${letter.toLowerCase()}" oct="${octave}"/>`
  })
  return [
    `<staffDef n="${staff}" lines="${tablature.length}" notationtype="tab.guitar">`,
    `<clef shape="TAB"/>${unseen(bars[0]?.meter ?? { beats: 4, unit: 4 })}`,
    `<tuning>${courses.join('')}</tuning>`,
    '</staffDef>',
  ]
}

/** A new meter within the piece goes unseen there, as the first. */
export const tablatureMeter = ({ tablature }: Score, meter: Meter): readonly string[] =>
  tablature ? [`<staffDef n="${staff}">${unseen(meter)}</staffDef>`] : []

const unseen = (meter: Meter): string =>
  `<keySig sig="0"/><meterSig count="${upperNumber(meter)}" unit="${meter.unit}" visible="false"/>`

/** A bar of it: a fret on its string under each note, nothing under rests and under what a note is tied into. */
export function tablatureBar({ tablature }: Score, bar: ScoreBar): readonly string[] {
  if (!tablature) return []
  const parts = bar.events.map((event, at) => {
    const { tuplet } = event
    const opens = tuplet !== null && bar.events[at - 1]?.tuplet?.id !== tuplet.id
    const closes = tuplet !== null && bar.events[at + 1]?.tuplet?.id !== tuplet.id
    return [
      opens
        ? `<tuplet num="${tuplet.actual}" numbase="${tuplet.normal}" num.visible="false" bracket.visible="false">`
        : '',
      onString(event, bar),
      closes ? '</tuplet>' : '',
    ].join('')
  })
  if (bar.events.length === 0) for (const _ of spacesOf(bar)) parts.push(`<space dur="${bar.meter.unit}"/>`)
  return [`<staff n="${staff}"><layer n="1">${parts.join('')}</layer></staff>`]
}

function onString({ pitch, stop, value, dots }: ScoreEvent, { events }: ScoreBar): string {
  const length = `dur="${value}"${dots === 0 ? '' : ` dots="${dots}"`}`
  if (pitch && stop) return `<tabGrp ${length}><note tab.course="${stop.string}" tab.fret="${stop.fret}"/></tabGrp>`
  return events.length === 1 ? '<mSpace/>' : `<space ${length}/>`
}
