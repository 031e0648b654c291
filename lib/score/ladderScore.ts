/** A part as a ladder: each bar alone with the note that it leads to, then two by two, then the line. */
import { ticksPerBar } from '../theory/meter.ts'
import { writeValues } from '../theory/noteValues.ts'
import { eventsInBar, joinScores } from './joinScores.ts'
import type { Score, ScoreBar, ScoreEvent } from './score.ts'

/** Lines of music hold so many bars at most. */
const most = 4

/**
 * The rungs of a ladder as one part: every bar by itself, ending on the note that it leads to; every two bars so; all of them. A
 * double bar line stands after each stretch.
 */
export function ladderOfBars(score: Score): Score {
  const bars = score.bars.filter(({ number }) => number > 0)
  const rungs = [
    { name: 'Each bar alone, into its target', bars: stretches(bars, 1) },
    { name: 'Two bars at a time', bars: stretches(bars, 2) },
    { name: 'The line', bars: score.bars },
  ]
  let rung = 0
  return joinScores(
    rungs.map((each) => ({ ...score, bars: each.bars })),
    () => rungs[rung++]!.name,
  )
}

function stretches(bars: readonly ScoreBar[], size: number): readonly ScoreBar[] {
  const found: ScoreBar[] = []
  let inLine = 0
  for (let from = 0; from < bars.length; from += size) {
    const own = bars.slice(from, from + size)
    const next = bars[from + size]
    const landing = next ? landingOf(next) : null
    const stretch = [...own, ...(landing ? [landing] : [])]
    const turns = found.length === 0 || inLine + stretch.length > most
    inLine = turns ? stretch.length : inLine + stretch.length
    stretch.forEach((bar, b) => {
      const number = found.length + 1
      found.push({
        ...bar,
        number,
        section: null,
        systemStart: turns && b === 0,
        barline: b === stretch.length - 1 ? 'double' : 'single',
        events: eventsInBar(bar, number),
      })
    })
  }
  return found
}

/** A bar that holds the first note of another for its whole length; null where that begins with a rest. */
function landingOf(bar: ScoreBar): ScoreBar | null {
  const [first] = bar.events
  if (!first?.pitch) return null
  const ticks = ticksPerBar(bar.meter)
  const values = writeValues(bar.meter, [{ from: 0, to: ticks, rest: false }])
  const events = values.map(
    (value, i): ScoreEvent => ({
      ...first,
      id: `n-${bar.number}-${value.at}`,
      at: value.at,
      ticks: value.ticks,
      value: value.value,
      dots: value.dots,
      tuplet: null,
      beam: null,
      accidental: i === 0 ? first.accidental : null,
      tie: values.length === 1 ? null : i === 0 ? 'start' : i === values.length - 1 ? 'end' : 'middle',
      degree: i === 0 ? first.degree : null,
      figure: null,
    }),
  )
  return { ...bar, meterShown: false, events, harmony: bar.harmony.filter(({ at }) => at === 0) }
}
