/** The drums and the clicks: what each feel plays in each meter, on General MIDI's percussion keys. */
import type { Feel } from '../brief.ts'
import { randomFrom } from '../lattice/lattice.ts'
import { type Meter, strongTicks, ticksPerBeat } from '../theory/meter.ts'
import type { ArrangedBar, SoundNote } from './arrangement.ts'
import { countedTicks, groupsOf } from './feel.ts'

/** Keys of General MIDI's percussion map (GM level 1, from memory). */
export const drum = {
  kick: 36,
  stick: 37,
  snare: 38,
  brush: 40,
  hat: 42,
  foot: 44,
  ride: 51,
  highBlock: 76,
  lowBlock: 77,
} as const

type Hit = readonly [at: number, key: number, velocity: number]

/** Beats that answer: 2 and 4 of four, 2 of two, 2 of three, the last of each group elsewhere. In ticks from the bar's start. */
export function backBeats(meter: Meter): readonly number[] {
  const beat = ticksPerBeat(meter)
  if (meter.unit >= 8) return groupsOf(meter).map(({ at, ticks }) => at + ticks - beat)
  return groupsOf(meter)
    .flatMap(({ at, ticks }) => (ticks / beat === 4 ? [at + beat, at + 3 * beat] : [at + beat]))
    .filter((at) => at < meter.beats * beat)
}

/** Ride on every beat, and the skip: the eighth after each back beat that leads to the next beat. */
function swingHits(bar: ArrangedBar): Hit[] {
  const beats = countedTicks(bar.meter)
  const back = new Set(backBeats(bar.meter))
  return beats.flatMap((at) => {
    const hits: Hit[] = [[at, drum.ride, back.has(at) ? 0.66 : 0.56]]
    if (back.has(at)) hits.push([at + 12, drum.ride, 0.44], [at, drum.foot, 0.6])
    // A bass drum so soft that it is felt more than heard.
    hits.push([at, drum.kick, 0.22])
    return hits
  })
}

function balladHits(bar: ArrangedBar): Hit[] {
  const back = backBeats(bar.meter)
  return [
    ...countedTicks(bar.meter).map((at): Hit => [at, drum.brush, back.includes(at) ? 0.5 : 0.36]),
    ...back.map((at): Hit => [at, drum.foot, 0.4]),
    ...strongTicks(bar.meter).map((at): Hit => [at, drum.kick, 0.24]),
  ]
}

/** Even eighths on the hat, the bass drum on each group and the eighth before, a stick on a two-bar pattern in four. */
function evenHits(bar: ArrangedBar, index: number): Hit[] {
  const { meter } = bar
  const groups = groupsOf(meter)
  const starts = new Set(groups.map(({ at }) => at))
  const hits: Hit[] = []
  for (let at = 0; at < bar.ticks; at += 12)
    hits.push([at, drum.hat, starts.has(at) ? 0.5 : at % 24 === 0 ? 0.42 : 0.32])
  for (const { at, ticks } of groups) {
    hits.push([at, drum.kick, 0.6])
    if (ticks >= 48) hits.push([at + ticks - 12, drum.kick, 0.4])
  }
  const four = meter.unit <= 4 && bar.ticks === 96
  const sticks = four ? (index % 2 === 0 ? [0, 36, 72] : [24, 60]) : backBeats(meter)
  for (const at of sticks) hits.push([at, drum.stick, 0.55])
  if (!four || meter.unit >= 8) return hits
  for (const at of backBeats(meter)) hits.push([at, drum.foot, 0.35])
  return hits
}

/**
 * Plays the drums for bars one after another. Swing: the ride on every beat and the skip after the back beats (1, 2 and, 3,
 * 4 and), foot hat on 2 and 4. Waltz: the same in three, foot hat on 2. Ballad: brushes. Even: eighths on the hat. `click` is
 * silent. The seed adds a few light strokes of the snare.
 */
export function playDrums(bars: readonly ArrangedBar[], feel: Feel, seed: number): readonly SoundNote[] {
  if (feel === 'click') return []
  const random = randomFrom(seed ^ 0xd4a35)
  return bars.flatMap((bar, index) => {
    const hits = feel === 'ballad' ? balladHits(bar) : feel === 'even' ? evenHits(bar, index) : swingHits(bar)
    if (feel === 'swing' || feel === 'waltz') {
      const places = countedTicks(bar.meter).map((at) => at + 12)
      for (const at of places) if (random() < 0.16) hits.push([at, drum.snare, 0.18 + 0.14 * random()])
    }
    return notesOf(bar, hits)
  })
}

/** A click on 2 and 4, or the back beats of any other meter: what a player sets a metronome to. */
export const clickBackBeats = (bars: readonly ArrangedBar[]): readonly SoundNote[] =>
  bars.flatMap((bar) =>
    notesOf(
      bar,
      backBeats(bar.meter).map((at): Hit => [at, drum.lowBlock, 0.7]),
    ),
  )

/** A click on every beat, the first of the bar higher. */
export const clickBeats = (bars: readonly ArrangedBar[]): readonly SoundNote[] =>
  bars.flatMap((bar) =>
    notesOf(
      bar,
      countedTicks(bar.meter).map((at): Hit => (at === 0 ? [at, drum.highBlock, 0.9] : [at, drum.lowBlock, 0.7])),
    ),
  )

const notesOf = (bar: ArrangedBar, hits: readonly Hit[]): readonly SoundNote[] =>
  [...hits]
    .sort((a, b) => a[0] - b[0] || a[1] - b[1])
    .map(([at, midi, velocity]) => ({ start: bar.start + at, ticks: 6, midi, velocity }))
