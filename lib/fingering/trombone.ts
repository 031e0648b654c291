/** Slide positions of a tenor trombone with an attachment in F, worked out from the harmonic series. */
import type { Fingering, FingeringTable, Hold } from './fingering.ts'
import { partialsOf } from './harmonics.ts'

/** The first partials of the tube in B flat, and with the attachment in F. */
const plainTube = 34
const triggerTube = 29

/** With the attachment the tube is longer, and so is each step of the slide: where the slide stands for each semitone. */
const triggerPositions = [1, 2.2, 3.4, 4.7, 6.1] as const

/** What a position costs by itself: long arms, the flat seventh partial, and the attachment's tone. */
const far = 0.35
const seventh = 0.5
const trigger = 0.9
/** A note on a longer slide and a higher partial than it needs is less steady. */
const alternate = 0.5

const ordinals = ['', '1st', '2nd', '3rd', '4th', '5th', '6th', '7th']

function plainPositions(midi: number): readonly Fingering[] {
  const found = partialsOf(plainTube, 10).flatMap(({ number, midi: open, cents }): readonly Fingering[] => {
    const lower = open - midi
    // What is flat is mended by a shorter slide, which the first position does not have.
    if (lower < 0 || lower > 6 || (cents < -20 && lower === 0)) return []
    const position = 1 + lower
    const cost = far * lower + (number === 7 ? seventh : 0)
    const name = `${ordinals[position]} position${number === 7 ? ', a little short' : ''}`
    return [{ label: String(position), name, hold: { kind: 'slide', position, trigger: false }, cost }]
  })
  const usual = [...found].sort((a, b) => a.cost - b.cost)
  return usual.map((each, i) => (i === 0 ? each : { ...each, cost: each.cost + alternate }))
}

const triggerFingerings = (midi: number): readonly Fingering[] =>
  partialsOf(triggerTube, 4).flatMap(({ midi: open }): readonly Fingering[] => {
    const lower = open - midi
    const position = triggerPositions[lower]
    if (position === undefined) return []
    const nearest = Math.round(position)
    const name = `the attachment in F with the slide at ${nearest === position ? ordinals[nearest] : `a long ${ordinals[nearest]}`} position`
    return [
      { label: `F${nearest}`, name, hold: { kind: 'slide', position, trigger: true }, cost: trigger + far * lower },
    ]
  })

/** The way of the slide, a turn of the thumb for the attachment. */
function move(from: Hold, to: Hold): number {
  if (from.kind !== 'slide' || to.kind !== 'slide') return 0
  return Math.abs(from.position - to.position) + (from.trigger === to.trigger ? 0 : 0.8)
}

export const trombone: FingeringTable = {
  instruments: ['trombone', 'trombone-tenor-clef'],
  source: 'worked out from the harmonic series of a tube in B flat, its slide steps a semitone each; costs our own',
  pitch: 'sounding',
  fingeringsOf: (midi) => {
    const found = [...plainPositions(midi), ...triggerFingerings(midi)]
    return found.length > 0 && found[0]!.hold.kind === 'slide' && !found[0]!.hold.trigger
      ? found
      : [...found].sort((a, b) => a.cost - b.cost)
  },
  move,
}
