/** ii–Vs a tritone away from the ones they stand in for: Abm7 Db7 before C, or before Gm7 C7. */
import type { Key } from '../theory/key.ts'
import { type Event, tonicOf, upTo } from './events.ts'
import { isDominant, type Reading } from './functions.ts'
import type { Place } from './whatFormSays.ts'

export interface Member {
  readonly event: Event
  readonly reading: Reading
}

const placeOf = ({ event, reading }: Member): Place => ({
  tonic: tonicOf(event, reading),
  mode: reading.mode,
})
const same = (a: Place, b: Place) => a.tonic === b.tonic && a.mode === b.mode
/** A dominant that has come to sound: one still suspended stands in for nothing. */
const sounds = ({ event: { kind } }: Member) => isDominant(kind) && kind !== 'sus'
const isPair = (two: Member | undefined, five: Member | undefined): boolean =>
  two !== undefined &&
  five !== undefined &&
  two.reading.above === 2 &&
  five.reading.above === 7 &&
  sounds(five) &&
  same(placeOf(two), placeOf(five))

/** The degrees of a key that a substitute may lead to. */
const leadable: Readonly<Record<Key['mode'], readonly number[]>> = {
  major: [0, 2, 4, 5, 7, 9],
  minor: [0, 2, 3, 5, 7, 8, 10],
}

/**
 * The key that a ii–V leads into by a half step, where it does not go to its own: that of the chord it falls to, or of another
 * ii–V a half step lower. A chord that sets out again must be in the key of the tune or in the one just left, since chains of
 * ii–Vs fall by half steps too.
 */
function ledInto(members: readonly Member[], i: number, home: Place): Place | null {
  const five = members[i + 1]!
  const next = members[i + 2]
  if (!next) return null
  const place = placeOf(next)
  const after = members[i + 3]
  const before = members[i - 1]
  const known = same(place, home) || (before !== undefined && same(place, placeOf(before)))
  if (upTo(five.event, next.event) === 11) {
    const rests = next.reading.above === 0 && !sounds(next)
    if (leadable[place.mode].includes(next.reading.above) && (rests || known)) return place
    // A degree of the tune's key that sets out again as a ii of its own is still led to from the tune's key.
    const fromHome = before !== undefined && same(placeOf(before), home)
    return fromHome && isPair(next, after) && leadable[home.mode].includes((next.event.root - home.tonic + 12) % 12)
      ? home
      : null
  }
  const lower = upTo(five.event, next.event) === 6 && isPair(next, after)
  if (!lower || !known) return null
  const goal = members[i + 4] ?? members[0]!
  return upTo(after!.event, goal.event) === 5 ? place : null
}

/** The members, with each ii–V that stands in for another heard in the key that it leads into. */
export function withSubstitutes(members: readonly Member[], home: Place): readonly Member[] {
  const heard = [...members]
  for (let i = 0; i + 1 < members.length; i++) {
    if (!isPair(members[i], members[i + 1])) continue
    const place = ledInto(members, i, home)
    if (!place || same(place, placeOf(members[i]!))) continue
    for (const at of [i, i + 1]) {
      const { event, reading } = members[at]!
      const above = (event.root - place.tonic + 12) % 12
      heard[at] = { event, reading: { mode: place.mode, above, cost: reading.cost, substitute: true } }
    }
  }
  return heard
}
