/** What is chosen for a day: candidates made into items that fit the minutes, in the order in which they press. */
import {
  type Candidate,
  dueCandidates,
  type Material,
  newCandidates,
  newIn,
  notDue,
  openingOf,
  owedKeys,
  startLevel,
} from './candidates.ts'
import { stretchName } from './knowledge.ts'
import { playingIn } from './pauses.ts'
import { type PracticePlan, type Stretch, temposOf } from './plan.ts'
import type { PlanItem } from './planDay.ts'

/** What fell apart takes at most this share of the playing while other things wait, and what is new at least this much. */
const apartShare = 0.6
const newShare = 0.2

const lengthOf = ({ bars: [from, to] }: Stretch): number => to - from + 1

/** So much of an item's time as its passes take, in minutes, with rests, a bar counted in, and a breath to get ready. */
function minutesOf(plan: PracticePlan, stretch: Stretch, tempo: number, passes: number): number {
  const bar = (plan.quarters * 60) / tempo
  const seconds = bar + passes * lengthOf(stretch) * bar + (passes - 1) * bar + 5
  return Math.ceil(seconds / 30) / 2
}

/** The item that a candidate comes to in the minutes left; null where not even one pass fits. */
function itemOf(plan: PracticePlan, tempos: readonly number[], candidate: Candidate, left: number): PlanItem | null {
  const { key, stretch, why } = candidate
  const tempo = tempos[candidate.rung]!
  // A block is an eighth of the day, but a minute at the least and three at the most.
  const block = Math.min(left, Math.max(1, Math.min(3, plan.minutes / 8)))
  const most = lengthOf(stretch) > 8 ? 3 : 8
  let passes = most
  while (passes > 1 && minutesOf(plan, stretch, tempo, passes) > block) passes -= 1
  const minutes = minutesOf(plan, stretch, tempo, passes)
  if (minutes > left) return null
  return {
    id: stretchName(key, stretch.bars),
    size: stretch.size,
    bars: stretch.bars,
    key,
    tempo,
    passes,
    rest: 1,
    minutes,
    why,
  }
}

/** The items of a day, in the order in which they were chosen. */
export function chooseItems(material: Material, began: number | null): readonly PlanItem[] {
  const { plan } = material
  const tempos = temposOf(plan)
  const room = playingIn(plan.minutes)
  const items = new Map<string, PlanItem>()
  let left = room
  const take = (candidates: readonly Candidate[], share = room) => {
    let spent = 0
    for (const candidate of candidates) {
      if (items.has(stretchName(candidate.key, candidate.stretch.bars))) continue
      const item = itemOf(plan, tempos, candidate, Math.min(left, share - spent))
      if (item === null) continue
      items.set(item.id, item)
      left -= item.minutes
      spent += item.minutes
    }
  }
  const owed = owedKeys(material, began)
  owed.forEach((key, i) => {
    // What is left is shared out among the keys still to come.
    const level = owed.length > 2 ? 0 : startLevel(material)
    const [stretch] = newIn(material, key, 1, level)
    if (stretch)
      take([{ key, stretch, rung: 0, why: 'new key' }], Math.max(0.5, Math.floor((2 * left) / (owed.length - i)) / 2))
  })
  const { apart, due } = dueCandidates(material)
  const first = owed[0]
  const fresh = began === null && first !== undefined ? openingOf(material, first) : newCandidates(material)
  take(apart, apartShare * room)
  take(fresh, newShare * room)
  take(due)
  take(apart)
  take(fresh)
  if (items.size === 0) take(notDue(material), room / 3)
  return [...items.values()]
}
