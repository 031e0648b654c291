/** The clicks of a metronome: on which ticks of a bar they fall, how loud, and when they are heard. */
import type { Brief } from '../brief.ts'
import type { Click } from '../choices/practice.ts'
import type { Meter } from '../theory/meter.ts'
import type { ArrangedBar, Part, SoundNote } from './arrangement.ts'
import { drum } from './bandStyle.ts'
import { countedTicks, groupsOf } from './feel.ts'

/** Where the groups of a bar start; halves are groups of their own, since no one counts 2/2 in one. */
function groupTicks(meter: Meter): readonly number[] {
  const halves = meter.unit <= 2 && !meter.groups
  return groupsOf(halves ? { ...meter, groups: Array<number>(meter.beats).fill(1) } : meter).map(({ at }) => at)
}

/** The even beats of a meter that goes by twos, 2 and 4 of four; none where it does not: in three, in five, in unequal groups. */
function evenTicks(meter: Meter): readonly number[] {
  const counted = countedTicks(meter)
  const groups = groupsOf(meter)
  const twos =
    meter.unit >= 8
      ? groups.every(({ ticks }) => ticks === groups[0]?.ticks)
      : groups.every(({ ticks }) => ticks % 48 === 0)
  return twos && counted.length % 2 === 0 ? counted.filter((_, i) => i % 2 === 1) : []
}

/**
 * The ticks of a bar on which a metronome clicks: on every beat as it is counted; on 2 and 4, or the even beats of any meter that goes
 * by twos; or where the groups of beats start, as the chart says them. A meter without a 2 and 4 clicks by its groups. Common practice.
 *
 * @example
 * clickTicks({ beats: 4, unit: 4 }, '2-and-4') // => [24, 72]
 * clickTicks({ beats: 5, unit: 4 }, 'groups') // => [0, 72]
 * clickTicks({ beats: 6, unit: 8 }, 'beats') // => [0, 36]
 */
export function clickTicks(meter: Meter, click: Click): readonly number[] {
  if (click === 'beats') return countedTicks(meter)
  const even = click === '2-and-4' ? evenTicks(meter) : []
  return even.length > 0 ? even : groupTicks(meter)
}

/** The clicks of bars one after another, the first beat of a bar higher. */
export const writeClicks = (bars: readonly ArrangedBar[], click: Click): readonly SoundNote[] =>
  bars.flatMap(({ meter, start }) =>
    clickTicks(meter, click).map((at) => ({
      start: start + at,
      ticks: 6,
      midi: at === 0 ? drum.highBlock : drum.lowBlock,
      velocity: at === 0 ? 0.9 : 0.7,
    })),
  )

/**
 * The parts that are heard. A click instead of a band sounds where anything of the band is asked for.
 *
 * @example
 * heardParts({ feel: 'click', hear: ['line', 'bass', 'chords', 'drums'] }) // => ['line', 'click', 'count']
 * heardParts({ feel: null, hear: ['line', 'bass'] }) // => ['line', 'bass', 'count']
 */
export function heardParts({ feel, hear }: Pick<Brief, 'feel' | 'hear'>): readonly Part[] {
  if (feel !== 'click') return [...hear, 'count']
  const line = hear.filter((part) => part === 'line')
  return hear.length > line.length ? [...line, 'click', 'count'] : [...line, 'count']
}
