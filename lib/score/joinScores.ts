/** Written parts in several keys as one part that flows on, each key under its name. */
import { keyName } from '../theory/key.ts'
import { withSigns } from '../theory/signs.ts'
import type { Score, ScoreBar, ScoreEvent } from './score.ts'

/**
 * One part of several, in the order given: bars numbered on, a double bar line and a new line of music where a key begins, its name
 * over it and its signature stated. Clef, instrument and head are those of the first.
 *
 * @param nameOf - what stands over the first bar of a part
 */
export function joinScores(scores: readonly Score[], nameOf: (score: Score) => string): Score {
  const first = scores[0]!
  const bars: ScoreBar[] = []
  let [note, figure, figures] = [0, 0, [] as Score['figures']]
  scores.forEach((score, s) => {
    const before = bars.filter(({ number }) => number > 0).length
    const opens = score.bars.findIndex(({ number }) => number > 0)
    score.bars.forEach((bar, b) => {
      const number = bar.number === 0 ? 0 : bar.number + before
      const last = b === score.bars.length - 1
      const barline = last && s < scores.length - 1 ? 'double' : bar.barline
      bars.push({
        ...bar,
        number,
        section: b === opens ? nameOf(score) : bar.section,
        meterShown: bar.meterShown && (s === 0 || b > 0 || differs(bar, bars.at(-1))),
        barline,
        events: eventsInBar(bar, number).map((event) => ({
          ...event,
          note: event.note + note,
          figure: event.figure === null ? null : event.figure + figure,
        })),
      })
    })
    const counted = note
    for (const { events } of score.bars) for (const event of events) note = Math.max(note, event.note + counted + 1)
    figure += score.figures.length
    figures = [...figures, ...score.figures]
  })
  return { ...first, bars, figures }
}

/** The events of a bar that has another number, by which their ids begin. */
export const eventsInBar = ({ events }: ScoreBar, number: number): readonly ScoreEvent[] =>
  events.map(({ id, tuplet, ...event }) => ({
    ...event,
    id: id.replace(/^([nr])-\d+/, `$1-${number}`),
    tuplet: tuplet && { ...tuplet, id: tuplet.id.replace(/^t-\d+/, `t-${number}`) },
  }))

/** The key as the player reads it, and as it sounds where that is another: `C major (concert E♭)`. */
export function writtenKeyName({ key, concertKey, transposition }: Score): string {
  const [read, sounds] = [key, concertKey].map((each) => withSigns(keyName(each))) as [string, string]
  return transposition.semitones % 12 === 0 ? read : `${read} (concert ${sounds.split(' ')[0]!})`
}

const differs = ({ meter }: ScoreBar, before: ScoreBar | undefined): boolean =>
  before?.meter.beats !== meter.beats || before.meter.unit !== meter.unit
