/** What to practise on a day: chosen from what a record says, made to fit the minutes, and put in an order that changes key. */
import { randomFrom } from '../lattice/lattice.ts'
import { type Day, dayOfNumber, numberOfDay, practiceDays, practisesOn } from './days.ts'
import { type Knowledge, type Known, knowledgeOf, stretchName } from './knowledge.ts'
import { type PracticePlan, type Size, type Stretch, sizes, stretchesBySize, sumOf, temposOf } from './plan.ts'
import { addEntries, type Entry, type PracticeRecord } from './record.ts'
import { chanceAfter } from './spacing.ts'

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

/** A pause after so many minutes of playing: a short one, and every third a long one (common practice). */
const pauseAfter = 10
const pauseMinutes = (n: number): number => (n % 3 === 0 ? 5 : 1)

/** What the pauses in so many minutes of playing take at the most. */
const pausesIn = (minutes: number): number => {
  const count = Math.max(0, Math.ceil(minutes / pauseAfter) - 1)
  return count + 4 * Math.floor(count / 3)
}

/** The most playing that a day has room for beside its pauses, in half minutes. */
function playingIn(minutes: number): number {
  let playing = minutes
  while (playing + pausesIn(playing) > minutes) playing -= 0.5
  return playing
}

/** What could be played, and how pressing it is: the higher the sooner. */
interface Candidate {
  readonly key: string
  readonly stretch: Stretch
  readonly rung: number
  readonly why: Why
}

/** New stretches of one key on one day, and stretches that may lie apart in a key before it has new ones, at the most. */
const newInKey = 3
const apartInKey = 2
/** What fell apart takes at most this share of the playing while other things wait, and what is new at least this much. */
const apartShare = 0.6
const newShare = 0.2
/** The new stretches of the very first day. */
const firstOfAll = 6

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

/** What choosing looks things up in. */
interface Material {
  readonly plan: PracticePlan
  readonly day: number
  readonly known: Knowledge['stretches']
  readonly bySize: Readonly<Record<Size, readonly Stretch[]>>
  readonly byName: ReadonlyMap<string, Stretch>
}

const barsName = ([from, to]: Stretch['bars']): string => `${from}-${to}`

/** The parts of a stretch: those of the next smaller size within it that has any. */
function partsOf({ bySize }: Material, { size, bars: [from, to] }: Stretch): readonly Stretch[] {
  for (let s = sizes.indexOf(size) - 1; s >= 0; s--) {
    const parts = bySize[sizes[s]!].filter(({ bars }) => bars[0] >= from && bars[1] <= to)
    if (parts.length > 1) return parts
  }
  return []
}

/** Whether a stretch that fell apart is to be taken apart first: twice running, or at the slowest tempo. */
const needsParts = (known: Known): boolean => known.verdict === 'fell apart' && (known.running > 1 || known.rung === 0)

/** Whether a stretch is kept alive by a longer one around it, in the same key, that holds: then it need not come by itself. */
function heldIn({ known }: Material): (each: Known) => boolean {
  const holding = new Map<string, Known[]>()
  for (const each of known.values())
    if (each.verdict !== 'fell apart') holding.set(each.key, [...(holding.get(each.key) ?? []), each])
  return ({ key, bars: [from, to], last }) =>
    (holding.get(key) ?? []).some(
      ({ bars, last: at }) => at >= last && bars[0] <= from && bars[1] >= to && bars[1] - bars[0] > to - from,
    )
}

/** What was played before and is due: what lies apart, its parts in its place where it needs them, and the rest. */
function dueCandidates(material: Material): {
  readonly apart: readonly Candidate[]
  readonly due: readonly Candidate[]
} {
  const { known, day, byName } = material
  const apart = new Map<string, Candidate & { readonly order: number }>()
  const due: (Candidate & { readonly order: number })[] = []
  const waits = new Set<string>()
  const add = (each: Known, stretch: Stretch, why: Why) => {
    const candidate = { key: each.key, stretch, rung: each.rung, why, order: each.memory.difficulty }
    if (why === 'fell apart') apart.set(stretchName(each.key, stretch.bars), candidate)
    else due.push({ ...candidate, order: (day - each.last) / Math.max(1, each.due - each.last) })
  }
  const within = heldIn(material)
  for (const each of known.values()) {
    const stretch = byName.get(barsName(each.bars))
    if (stretch === undefined || each.due > day || within(each)) continue
    if (!needsParts(each)) {
      add(each, stretch, each.verdict === 'fell apart' ? 'fell apart' : 'due')
      continue
    }
    const parts = partsOf(material, stretch)
    const states = parts.map((part) => known.get(stretchName(each.key, part.bars)))
    const unmet = parts.filter((_, i) => states[i] === undefined)
    const ready = states.every(
      (state) => state !== undefined && state.verdict !== 'fell apart' && state.last >= each.last,
    )
    if (parts.length === 0 || ready) add(each, stretch, 'fell apart')
    else waits.add(stretchName(each.key, stretch.bars))
    for (const part of unmet.slice(0, 2)) {
      const candidate = {
        key: each.key,
        stretch: part,
        rung: 0,
        why: 'taken apart' as const,
        order: each.memory.difficulty,
      }
      apart.set(stretchName(each.key, part.bars), candidate)
    }
    // A part that held before the whole fell is played again before the whole is.
    states.forEach((state, i) => {
      if (state && state.verdict !== 'fell apart' && state.last < each.last && state.due > day)
        apart.set(stretchName(each.key, parts[i]!.bars), {
          key: each.key,
          stretch: parts[i]!,
          rung: state.rung,
          why: 'taken apart',
          order: each.memory.difficulty,
        })
    })
  }
  const byOrder = (a: { readonly order: number }, b: { readonly order: number }) => b.order - a.order
  return { apart: [...apart.values()].sort(byOrder), due: due.sort(byOrder) }
}

/** The size at which a key takes new stretches: it grows with each that came easy at once, and shrinks with each that fell apart. */
function levelOf({ known, byName }: Material, key: string): number {
  let level = 0
  for (const each of known.values()) {
    if (each.key !== key || !byName.has(barsName(each.bars))) continue
    const size = sizes.indexOf(byName.get(barsName(each.bars))!.size)
    if (each.verdict === 'fell apart') level = Math.min(level, Math.max(0, size - 1))
    else if (each.held > 0 || each.verdict === 'easy') level = Math.max(level, size + 1)
  }
  return Math.min(level, sizes.indexOf('phrase'))
}

/** The next new stretches of a key, in the order in which a line is built up: small ones first, what is known as part of a larger one left out. */
function newIn(material: Material, key: string, count: number, least: number): readonly Stretch[] {
  const { known, bySize, plan } = material
  const [first, last] = plan.bars
  const covered = new Uint8Array(last - first + 1)
  const met = new Set<string>()
  for (const each of known.values()) {
    if (each.key !== key) continue
    met.add(barsName(each.bars))
    if (each.verdict !== 'fell apart') covered.fill(1, Math.max(0, each.bars[0] - first), each.bars[1] - first + 1)
  }
  const found: Stretch[] = []
  const wholly = ({ bars: [from, to] }: Stretch) =>
    covered.subarray(from - first, to - first + 1).every((each) => each === 1)
  // First what was never covered, at the level of the key; then what puts covered stretches together.
  for (let s = least; s < sizes.length && found.length < count; s++)
    for (const stretch of bySize[sizes[s]!]) {
      if (found.length >= count) break
      if (met.has(barsName(stretch.bars)) || (s < 3 && s === least && wholly(stretch))) continue
      if (s > least && !partsOf(material, stretch).every((part) => wholly(part))) continue
      found.push(stretch)
    }
  return found
}

/** The keys that are to be met today so that all are within two weeks of practising. */
function owedKeys({ plan, known, day }: Material, began: number | null): readonly string[] {
  const met = new Set([...known.values()].map(({ key }) => key))
  const unmet = plan.keys.filter((key) => !met.has(key))
  const end = (began ?? day) + 14
  const left = practiceDays(dayOfNumber(day), Math.max(0, end - day), plan.days).length
  // After a rest no more keys come at once than the plan would have had in a day or two.
  const pace = Math.ceil(plan.keys.length / (2 * plan.days))
  return unmet.slice(0, Math.min(Math.ceil(unmet.length / Math.max(1, left)), left > 0 ? unmet.length : 2 * pace))
}

/** The new stretches of keys that are met, a key at a time in turn, so that none runs ahead. */
function newCandidates(material: Material): readonly Candidate[] {
  const { plan, known } = material
  const inKey = new Map<string, number>()
  const apart = new Map<string, number>()
  for (const { key, verdict } of known.values()) {
    inKey.set(key, (inKey.get(key) ?? 0) + 1)
    if (verdict === 'fell apart') apart.set(key, (apart.get(key) ?? 0) + 1)
  }
  const open = plan.keys
    .filter((key) => inKey.has(key) && (apart.get(key) ?? 0) < apartInKey)
    .sort((a, b) => inKey.get(a)! - inKey.get(b)!)
    .map((key) => ({ key, stretches: newIn(material, key, newInKey, levelOf(material, key)) }))
  return Array.from({ length: newInKey }, (_, turn) =>
    open.flatMap(({ key, stretches }): readonly Candidate[] => {
      const stretch = stretches[turn]
      return stretch === undefined ? [] : [{ key, stretch, rung: firstRung(material, key, stretch), why: 'new' }]
    }),
  ).flat()
}

/** Where a stretch begins: a step slower than the slowest of its parts is at; at the first tempo where they were not all played. */
function firstRung(material: Material, key: string, stretch: Stretch): number {
  const parts = partsOf(material, stretch).map(({ bars }) => material.known.get(stretchName(key, bars))?.rung ?? 0)
  return parts.length === 0 ? 0 : Math.max(0, Math.min(...parts) - 1)
}

/** What is not due, the least sure first: for a day on which nothing is. */
function notDue({ known, day, byName }: Material): readonly Candidate[] {
  return [...known.values()]
    .filter(({ bars }) => byName.has(barsName(bars)))
    .map((each) => ({ each, chance: chanceAfter(each.memory, day - each.last) }))
    .sort((a, b) => a.chance - b.chance)
    .map(({ each }) => ({
      key: each.key,
      stretch: byName.get(barsName(each.bars))!,
      rung: each.rung,
      why: 'kept alive',
    }))
}

/** The items of a day, in the order in which they were chosen. */
function chooseItems(material: Material, began: number | null): readonly PlanItem[] {
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

/** The first day of all: the first bars of the first key, and those alone. */
const openingOf = (material: Material, key: string): readonly Candidate[] =>
  newIn(material, key, firstOfAll, 0).map((stretch) => ({ key, stretch, rung: 0, why: 'new' }))

/** The size at which one more key begins: what the keys before it are at, in the middle, less one. */
function startLevel(material: Material): number {
  const met = material.plan.keys.filter((key) => [...material.known.values()].some((each) => each.key === key))
  const levels = met.map((key) => levelOf(material, key)).sort((a, b) => a - b)
  return Math.max(0, (levels[levels.length >> 1] ?? 0) - 1)
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

/** The pauses between items: one after each ten minutes of playing, none at the end. */
function pausesOf(items: readonly PlanItem[]): readonly Pause[] {
  const pauses: Pause[] = []
  let since = 0
  items.forEach(({ minutes }, i) => {
    since += minutes
    if (since < pauseAfter || i === items.length - 1) return
    pauses.push({ after: i, minutes: pauseMinutes(pauses.length + 1) })
    since = 0
  })
  return pauses
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
