/** What to practise on a day: chosen from what a record says, made to fit the minutes, and put in an order that changes key. */
import { randomFrom } from '../lattice/lattice.ts'
import { barsName } from './candidates.ts'
import { chooseItems } from './chooseItems.ts'
import { type Day, dayOfNumber, numberOfDay, practisesOn } from './days.ts'
import { knowledgeOf } from './knowledge.ts'
import { pausesOf } from './pauses.ts'
import { type PracticePlan, type Size, sizes, stretchesBySize, sumOf } from './plan.ts'
import { addEntries, type Entry, type PracticeRecord } from './record.ts'

/** Why something is to be played. */
export type Why = 'new key' | 'new' | 'fell apart' | 'taken apart' | 'due' | 'kept alive'

/** One thing to play: some bars in a key at a tempo, several times over. */
export interface PlanItem {
  /** Its name in its plan, such as `Eb 5-8`. */
  readonly id: string
  readonly size: Size
  readonly bars: readonly [number, number]
  readonly key: string
  /** Quarter notes a minute. */
  readonly tempo: number
  readonly passes: number
  /** Bars of rest between passes. */
  readonly rest: number
  /** With rests and a bar counted in, in half minutes rounded up. */
  readonly minutes: number
  readonly why: Why
}

/** A day of a plan. */
export interface PlanDay {
  readonly day: Day
  /** A day of rest: nothing is asked for. */
  readonly rest: boolean
  readonly items: readonly PlanItem[]
  /** Pauses, each after so many items. */
  readonly pauses: readonly Pause[]
  /** All of it, pauses among it: never more than the plan's. */
  readonly minutes: number
}

export interface Pause {
  /** The place of the item that it follows, from 0. */
  readonly after: number
  readonly minutes: number
}

/** Items in an order in which the key changes wherever it can; it begins with something that is not new and did not fall apart. */
function interleave(items: readonly PlanItem[], seed: number): readonly PlanItem[] {
  const random = randomFrom(seed)
  const waiting = new Map<string, PlanItem[]>()
  for (const item of items) waiting.set(item.key, [...(waiting.get(item.key) ?? []), item])
  const ties = new Map([...waiting.keys()].map((key) => [key, random()]))
  const ordered: PlanItem[] = []
  const calm = ({ why }: PlanItem) => why === 'due' || why === 'kept alive'
  while (ordered.length < items.length) {
    const others = [...waiting].filter(([key, rest]) => rest.length > 0 && key !== ordered.at(-1)?.key)
    const open = others.length > 0 ? others : [...waiting].filter(([, rest]) => rest.length > 0)
    const most = Math.max(...open.map(([, rest]) => rest.length))
    const total = items.length - ordered.length
    // A key with more than half of what is left has to come now, or it would stand beside itself at the end.
    const pressing = open.filter(([, rest]) => 2 * rest.length > total)
    const fair = pressing.length > 0 ? pressing : open.filter(([, rest]) => rest.length >= most - 1)
    const opening = ordered.length === 0 ? fair.filter(([, rest]) => rest.some(calm)) : []
    const [key, rest] = (opening.length > 0 ? opening : fair).sort(([a], [b]) => ties.get(a)! - ties.get(b)!)[0]!
    const at = ordered.length === 0 ? Math.max(0, rest.findIndex(calm)) : 0
    ordered.push(...rest.splice(at, 1))
    ties.set(key, random())
  }
  return ordered
}

/** What may be asked beside a day. */
export interface DayChoices {
  /** Whether a day of rest is filled all the same, since the player asks for it. */
  readonly anyway?: boolean
}

/**
 * What to practise on a day. It follows from the plan, the day and what was played on the days before; what is played on the day
 * itself changes the days after, so that a list once read stays what it was.
 *
 * @returns items in playing order with their pauses, never longer than the plan's minutes; none on a day of rest
 */
export function planDay(
  plan: PracticePlan,
  record: PracticeRecord,
  day: Day,
  { anyway = false }: DayChoices = {},
): PlanDay {
  const rest = !practisesOn(day, plan.days)
  if ((rest && !anyway) || day < plan.from) return { day, rest, items: [], pauses: [], minutes: 0 }
  const { stretches: known, began } = knowledgeOf(plan, record, day)
  const bySize = stretchesBySize(plan)
  const byName = new Map(sizes.flatMap((size) => bySize[size].map((each) => [barsName(each.bars), each] as const)))
  const chosen = chooseItems({ plan, day: numberOfDay(day), known, bySize, byName }, began)
  const items = interleave(chosen, sumOf(`${plan.id} ${day}`))
  const pauses = pausesOf(items)
  const minutes = [...items, ...pauses].reduce((sum, each) => sum + each.minutes, 0)
  return { day, rest, items, pauses, minutes }
}

/**
 * The days of a plan from a day on, days of rest among them: the first as `planDay` has it, later ones as they would be if all held
 * until then. What comes of practising changes them.
 */
export function planDays(plan: PracticePlan, record: PracticeRecord, from: Day, count: number): readonly PlanDay[] {
  const days: PlanDay[] = []
  let now = record
  for (let i = 0; i < count; i++) {
    const day = dayOfNumber(numberOfDay(from) + i)
    const planned = planDay(plan, now, day)
    days.push(planned)
    const entries = planned.items.map((item, n) =>
      entryOf(plan, item, { id: `${day}-if-held-${n}`, verdict: 'held', time: numberOfDay(day) * 86_400_000 + n, day }),
    )
    now = addEntries(now, entries)
  }
  return days
}

/** The entry of an item that was played, as long as it says unless told otherwise. */
export const entryOf = (
  plan: PracticePlan,
  item: Pick<PlanItem, 'key' | 'bars' | 'tempo' | 'minutes'>,
  played: Pick<Entry, 'id' | 'verdict' | 'time' | 'day'> & Partial<Pick<Entry, 'tempo' | 'minutes'>>,
): Entry => ({
  id: played.id,
  plan: plan.id,
  key: item.key,
  bars: item.bars,
  tempo: played.tempo ?? item.tempo,
  minutes: played.minutes ?? item.minutes,
  verdict: played.verdict,
  time: played.time,
  day: played.day,
})
