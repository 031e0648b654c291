/** Woodwind keys: fingerings read from short rows, and what it costs the fingers to go from one to the next. */
import { midiOf, readPitch } from '../theory/pitch.ts'
import type { Fingering, Hold } from './fingering.ts'

/**
 * A fingering in a row: fingers as `L1 L2 R4=Eb` (left and right from the index finger, `t` the thumb, `p` the palm, `s` the
 * side of the index finger), then what is printed where it is not the plain one, and what it costs by itself.
 */
export type KeyRow = readonly [fingers: string, label?: string | undefined, name?: string | undefined, cost?: number]

/** The fingers of a row. */
const fingersOf = (text: string): Readonly<Record<string, string>> =>
  Object.fromEntries(
    text
      .split(' ')
      .filter((word) => word !== '')
      .map((word) => {
        const [finger = '', key = 'own'] = word.split('=')
        return [finger, key] as const
      }),
  )

/** How a plain fingering is printed: `12|1`, with the keys that are pressed beside the holes. */
function plainLabel(fingers: Readonly<Record<string, string>>): string {
  const hand = (side: string) => ['1', '2', '3'].filter((finger) => fingers[`${side}${finger}`] !== undefined).join('')
  const extra = Object.entries(fingers)
    .filter(([finger, key]) => key !== 'own' && !/^L?t$/.test(finger))
    .map(([, key]) => key)
  const holes = hand('R') === '' ? hand('L') : `${hand('L')}|${hand('R')}`
  return [holes || 'open', ...extra].join(' ')
}

/** How a row is printed without keys that are held for what comes or came. */
export const plainRow = (text: string): string => plainLabel(fingersOf(text))

/** Reads a table of rows by written note, such as `{ 'Bb4': [['L1=bis', 'bis', 'bis B flat']] }`, into fingerings by MIDI. */
export function readKeys(rows: Readonly<Record<string, readonly KeyRow[]>>): ReadonlyMap<number, readonly Fingering[]> {
  return new Map(
    Object.entries(rows).map(([note, choices]) => [
      midiOf(readPitch(note)!),
      choices.map(([text, label, name, cost = 0]): Fingering => {
        const fingers = fingersOf(text)
        const plain = plainLabel(fingers)
        return {
          label: label ?? plain,
          name: name ?? `the usual fingering, ${plain}`,
          hold: { kind: 'keys', fingers },
          cost,
        }
      }),
    ]),
  )
}

/** What a finger costs more, or less, than an index finger. */
const weights: Readonly<Record<string, number>> = { L4: 1.3, R4: 1.3, L3: 1.1, R3: 1.1, Lp: 1.4, Rs: 1.2, Lt: 0.7 }

/** A finger that slides from one key to another; keys made for it, with rollers or for a roll of the finger, cost less. */
const slide = 5

/** Fingers that go down while others go up have to be together: for each such pair. */
const contrary = 0.8

/**
 * What the fingers do between two fingerings: each that goes down or up, slides dearest, and those that cross.
 *
 * @param easy - slides that cost less, as `R4:C>Eb`, both ways
 */
export const moveKeys =
  (easy: Readonly<Record<string, number>>) =>
  (from: Hold, to: Hold): number => {
    if (from.kind !== 'keys' || to.kind !== 'keys') return 0
    let [cost, ups, downs] = [0, 0, 0]
    for (const finger of new Set([...Object.keys(from.fingers), ...Object.keys(to.fingers)])) {
      const [before, after] = [from.fingers[finger], to.fingers[finger]]
      if (before === after) continue
      const weight = weights[finger] ?? 1
      if (before === undefined) downs += 1
      else if (after === undefined) ups += 1
      if (before === undefined || after === undefined) cost += weight
      else cost += easy[`${finger}:${before}>${after}`] ?? easy[`${finger}:${after}>${before}`] ?? slide
    }
    return cost + contrary * Math.min(ups, downs)
  }
