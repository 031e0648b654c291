/** The drums: the style's figures bar after bar, a fill where a section ends, and a stroke where one begins. */
import type { Feel } from '../choices/practice.ts'
import { randomFrom } from '../lattice/lattice.ts'
import { type Meter, ticksPerBeat } from '../theory/meter.ts'
import type { ArrangedBar, SoundNote } from './arrangement.ts'
import { type DrumFigure, drawVaried, drum, type Hit, readDrums } from './bandStyle.ts'
import { bandStyles } from './bandStyles.ts'
import { groupsFor, groupsOf } from './feel.ts'

/** Beats that answer: 2 and 4 of four, 2 of two, 2 of three, the last of each group elsewhere. In ticks from the bar's start. */
export function backBeats(meter: Meter): readonly number[] {
  const beat = ticksPerBeat(meter)
  if (meter.unit >= 8) return groupsOf(meter).map(({ at, ticks }) => at + ticks - beat)
  return groupsOf(meter)
    .flatMap(({ at, ticks }) => (ticks / beat === 4 ? [at + beat, at + 3 * beat] : [at + beat]))
    .filter((at) => at < meter.beats * beat)
}

/** Whether a figure goes over two bars. */
const isLong = (figure: DrumFigure | undefined): boolean =>
  figure !== undefined && Object.values(figure).some((row) => row.includes('|'))

/** What of a figure stands where, however loud. */
const shapeOf = (figure: DrumFigure): string => JSON.stringify(figure).replace(/[1-9]/g, 'x')

/** What keeps time or makes colour stops for a fill; the bass drum and the foot go on. */
const goesOn: readonly number[] = [drum.kick, drum.foot]

/**
 * Plays the drums for bars one after another: each layer of the style's figures drawn for itself, so that no bar wears out. The
 * last bar of a section ends in a fill and the next opens with a stroke of its own; the last bar of all fills where `round`
 * leads back or an ending follows, as `leads` says; `fresh` keeps any figure from standing too often. `click` is silent.
 */
export function playDrums(
  bars: readonly ArrangedBar[],
  feel: Feel,
  seed: number,
  { leads = false, fresh = false }: { readonly leads?: boolean; readonly fresh?: boolean } = {},
): readonly SoundNote[] {
  const style = bandStyles[feel]
  if (feel === 'click') return []
  const random = randomFrom(seed ^ 0xd4a35)
  const draw = drawVaried(random, fresh)
  const going = new Map<string, DrumFigure>()
  return bars.flatMap((bar, index) => {
    const inPair = Math.abs(bar.bar - 1) % 2
    const hits = groupsFor(bar.meter, style.drums).flatMap(({ at, ticks }, group) =>
      (style.drums[ticks] ?? []).flatMap((layer, i): readonly Hit[] => {
        const name = `${group} ${i} ${ticks}`
        const before = going.get(name)
        const figure = inPair === 1 && isLong(before) ? before! : draw(layer, undefined, shapeOf)
        going.set(name, figure)
        return readDrums(figure, ticks, inPair).map(([tick, key, loud]): Hit => [at + tick, key, loud])
      }),
    )
    const after = bars[index + 1]
    const fills = style.fills.length > 0 && bar.ticks >= 36 && (after ? after.opens : leads)
    const filled = fills ? withFill(hits, bar, draw(style.fills)) : hits
    const opened = bar.opens && index > 0 ? withOpening(filled, drum[style.opens]) : filled
    return notesOf(
      bar,
      opened.map(([at, key, loud]): Hit => [at, key, loud + 0.04 * (random() - 0.5)]),
    )
  })
}

/** A bar with its last two beats, or one of a short bar, given to a fill. */
function withFill(hits: readonly Hit[], bar: ArrangedBar, fill: DrumFigure): readonly Hit[] {
  const ticks = bar.meter.unit >= 8 ? 36 : bar.ticks >= 72 ? 48 : 24
  const from = bar.ticks - ticks
  const left = hits.filter(([at, key]) => at < from || goesOn.includes(key))
  const added = readDrums(fill, ticks, 0).map(([at, key, loud]): Hit => [from + Math.round(at), key, loud])
  return [...left.filter(([at, key]) => !added.some(([a, k]) => a === at && k === key)), ...added]
}

function withOpening(hits: readonly Hit[], key: number): readonly Hit[] {
  const left = hits.filter(([at, other]) => at > 0 || (other !== key && other !== drum.kick && other !== drum.ride))
  return [...left, [0, key, key === drum.crash ? 0.5 : 0.6], [0, drum.kick, 0.55]]
}

const notesOf = (bar: ArrangedBar, hits: readonly Hit[]): readonly SoundNote[] =>
  [...hits]
    .sort((a, b) => a[0] - b[0] || a[1] - b[1])
    .map(([at, midi, velocity]) => ({ start: bar.start + at, ticks: 6, midi, velocity }))
