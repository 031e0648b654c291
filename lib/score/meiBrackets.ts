/** Brackets over the staff in MEI: one over each approach and, higher and dashed, one over each ii–V. */
import type { Meter } from '../theory/meter.ts'
import { ticksPerBeat } from '../theory/meter.ts'
import type { Score, ScoreBar, ScoreEvent, ScoreHarmony } from './score.ts'

/** A tick of a bar as MEI counts beats: from 1, in the meter's own unit. */
export const beatAt = ({ meter }: { readonly meter: Meter }, tick: number): string => {
  const beat = 1 + tick / ticksPerBeat(meter)
  return String(Number(beat.toFixed(4)))
}

/** The ids of the spaces of a bar that is left free to write in, with their ticks. */
export const spacesOf = ({ number, meter }: ScoreBar): readonly Pick<ScoreEvent, 'id' | 'at'>[] =>
  Array.from({ length: meter.beats }, (_, beat) => {
    const at = beat * ticksPerBeat(meter)
    return { id: `s-${number}-${at}`, at }
  })

/** The first and last notes of an approach, and the bars they stand in. */
interface Span {
  readonly first: ScoreEvent
  readonly firstBar: number
  readonly last: ScoreEvent
  readonly lastBar: number
}

function spansOf(score: Score): readonly Span[] {
  const spans = new Map<number, Span>()
  score.bars.forEach((bar, index) => {
    for (const event of bar.events) {
      if (event.figure === null || event.role !== 'approach') continue
      const before = spans.get(event.figure)
      if (before) spans.set(event.figure, { ...before, last: event, lastBar: index })
      else spans.set(event.figure, { first: event, firstBar: index, last: event, lastBar: index })
    }
  })
  return [...spans.values()]
}

/** Brackets by the index of the bar that they are to be written in. */
export type Brackets = ReadonlyMap<number, readonly string[]>

function byBar(brackets: readonly (readonly [bar: number, mei: string])[]): Brackets {
  const found = new Map<number, string[]>()
  for (const [bar, mei] of brackets) found.set(bar, [...(found.get(bar) ?? []), mei])
  return found
}

/**
 * A bracket over each approach. Over several notes it runs from the first to the last; over one it spans that note's time, since
 * a span that starts and ends on one note is not drawn.
 *
 * @param ref - a reference to an id of the score
 */
export function approachBrackets(score: Score, ref: (id: string) => string): Brackets {
  return byBar(
    spansOf(score).map(({ first, firstBar, last, lastBar }) => {
      const open = `<bracketSpan func="ligature" lform="solid" type="approach" startid="${ref(first.id)}"`
      if (first !== last) return [firstBar, `${open} endid="${ref(last.id)}"/>`]
      const end = beatAt(score.bars[lastBar]!, first.at + first.ticks * 0.8)
      return [firstBar, `${open} tstamp2="${lastBar - firstBar}m+${end}"/>`]
    }),
  )
}

interface Chord extends Pick<ScoreHarmony, 'at' | 'ticks' | 'twoFive'> {
  readonly bar: number
}

/**
 * A bracket over each ii–V, from the ii to before the middle of the V. The engraver sets brackets the higher the later it meets them, and
 * so that this one comes over those of the approaches it is written in the last bar it reaches into; but one that a line break
 * goes through in its first, since of that one it would draw the end only.
 *
 * @param ref - a reference to an id of the score
 */
export function twoFiveBrackets({ bars }: Pick<Score, 'bars'>, ref: (id: string) => string): Brackets {
  return byBar(
    twoFivesOf(bars).flatMap(([from, to]) => {
      const [first, last] = [bars[from.bar]!, bars[to.bar]!]
      const open = '<bracketSpan func="ligature" lform="dashed" type="two-five"'
      const reach = to.at + to.ticks * 0.4
      const write = (bar: number, start: string, end: string): [number, string] => [bar, `${open} ${start} ${end}/>`]
      const stamp = `tstamp="${beatAt(first, from.at)}"`
      const endStamp = `tstamp2="${to.bar - from.bar}m+${beatAt(last, reach)}"`
      if (from.bar === to.bar) return [write(from.bar, stamp, endStamp)]
      const start = anchorsOf(first).find(({ at }) => at >= from.at)
      if (bars.slice(from.bar + 1, to.bar + 1).some(({ systemStart }) => systemStart)) {
        const end = anchorsOf(last).findLast(({ at }) => at <= reach)
        const ends = start && end
        return ends ? [write(from.bar, `startid="${ref(start.id)}"`, `endid="${ref(end.id)}"`)] : []
      }
      // A rest that fills its bar stands in the middle of it.
      const middle = first.events.length === 1 && first.events[0]!.pitch === null
      if (start?.at !== from.at || middle) return [write(from.bar, stamp, endStamp)]
      return [write(to.bar, `startid="${ref(start.id)}"`, `tstamp2="0m+${beatAt(last, reach)}"`)]
    }),
  )
}

/** What a bracket may be hung on in a bar: its notes and rests, or its spaces. */
const anchorsOf = (bar: ScoreBar): readonly Pick<ScoreEvent, 'id' | 'at'>[] =>
  bar.events.length === 0 ? spacesOf(bar) : bar.events

/** The first and the last chord of each ii–V; one that begins before these bars, or ends after them, reaches to their end. */
function twoFivesOf(bars: readonly ScoreBar[]): readonly (readonly [from: Chord, to: Chord])[] {
  const chords = bars.flatMap(({ harmony }, bar) => harmony.map((chord): Chord => ({ ...chord, bar })))
  const found: [Chord, Chord][] = []
  // A cut may begin within one.
  let open = chords[0] && ['middle', 'end'].includes(chords[0].twoFive ?? '') ? chords[0] : null
  for (const chord of chords) {
    if (chord.twoFive === 'start') open = chord
    if (chord.twoFive !== 'end' || open === null) continue
    found.push([open, chord])
    open = null
  }
  if (open) found.push([open, chords.at(-1)!])
  return found
}
