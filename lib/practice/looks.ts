/** What came of practising, to look at: keys against tempos, minutes by week, what is due. Data; `looksSvg.ts` draws it. */
import { type Day, dayAfter, dayOfNumber, mondayOf, numberOfDay } from './days.ts'
import { knowledgeOf, rungOf, stretchName } from './knowledge.ts'
import { type PracticePlan, temposOf } from './plan.ts'
import type { PracticeRecord } from './record.ts'

/** A key at a tempo. */
export interface GridCell {
  readonly tempo: number
  /** How many of the plan's bars held or came easy there or quicker, the last time that they were played so fast. */
  readonly bars: number
  /** How often something was played there. */
  readonly times: number
  /** `bars` in words of the eye: nothing played, played but nothing held, some of the bars, all of them. */
  readonly state: 'empty' | 'tried' | 'part' | 'all'
}

export interface Grid {
  readonly tempos: readonly number[]
  /** The bars of the plan. */
  readonly bars: number
  readonly rows: readonly { readonly key: string; readonly cells: readonly GridCell[] }[]
}

/** Keys against tempos: for each tempo how much of the line holds there. A tempo between two of the plan's counts as the slower. */
export function gridOf(plan: PracticePlan, record: PracticeRecord): Grid {
  const tempos = temposOf(plan)
  const [first, last] = plan.bars
  const length = last - first + 1
  const rows = new Map(
    plan.keys.map((key) => [key, tempos.map(() => ({ times: 0, held: new Uint8Array(length) }))] as const),
  )
  for (const { plan: id, key, bars, tempo, verdict } of record.entries) {
    const row = id === plan.id ? rows.get(key) : undefined
    if (!row || tempo < tempos[0]!) continue
    const rung = rungOf(tempos, tempo)
    row[rung]!.times += 1
    // What fell apart at a tempo is not held there, nor quicker; what held, held at all that are slower.
    const [from, to] = [Math.max(0, bars[0] - first), Math.min(length, bars[1] - first + 1)]
    row.forEach(({ held }, r) => {
      if (verdict === 'fell apart' ? r >= rung : r <= rung) held.fill(verdict === 'fell apart' ? 0 : 1, from, to)
    })
  }
  const cellsOf = (row: readonly { readonly times: number; readonly held: Uint8Array }[]) =>
    row.map(({ times, held }, r): GridCell => {
      const bars = held.reduce((sum, each) => sum + each, 0)
      const state = bars === length ? 'all' : bars > 0 ? 'part' : times > 0 ? 'tried' : 'empty'
      return { tempo: tempos[r]!, bars, times, state }
    })
  return { tempos, bars: length, rows: [...rows].map(([key, row]) => ({ key, cells: cellsOf(row) })) }
}

/** A week of practising. */
export interface Week {
  readonly monday: Day
  readonly minutes: number
  /** On how many of its days something was played. */
  readonly days: number
}

/**
 * Minutes by week, the latest last; weeks of rest among them, the longest row being a year.
 *
 * @param plan - the id of the plan that counts; all where none is named
 */
export function weeksOf(record: PracticeRecord, plan?: string): readonly Week[] {
  const weeks = new Map<Day, { minutes: number; readonly days: Set<Day> }>()
  for (const entry of record.entries) {
    if (plan !== undefined && entry.plan !== plan) continue
    const monday = mondayOf(entry.day)
    const week = weeks.get(monday) ?? { minutes: 0, days: new Set<Day>() }
    week.minutes += entry.minutes
    week.days.add(entry.day)
    weeks.set(monday, week)
  }
  const mondays = [...weeks.keys()].sort()
  const last = mondays.at(-1)
  if (last === undefined) return []
  const count = Math.min(53, (numberOfDay(last) - numberOfDay(mondays[0]!)) / 7 + 1)
  return Array.from({ length: count }, (_, i): Week => {
    const monday = dayAfter(last, -7 * (count - 1 - i))
    const { minutes, days } = weeks.get(monday) ?? { minutes: 0, days: new Set() }
    return { monday, minutes: Math.round(10 * minutes) / 10, days: days.size }
  })
}

/** A stretch in a key that is due, or will be. */
export interface Due {
  readonly id: string
  readonly key: string
  readonly bars: readonly [number, number]
  readonly tempo: number
  readonly day: Day
  /** Days since it was due; below 0 for days to come. */
  readonly since: number
}

/** Everything that was played of a plan, by when it is due: the longest due first. */
export function dueOf(plan: PracticePlan, record: PracticeRecord, day: Day): readonly Due[] {
  const tempos = temposOf(plan)
  const today = numberOfDay(day)
  return [...knowledgeOf(plan, record, dayAfter(day, 1)).stretches.values()]
    .map(({ key, bars, rung, due }) => ({
      id: stretchName(key, bars),
      key,
      bars,
      tempo: tempos[rung]!,
      day: dayOfNumber(due),
      since: today - due,
    }))
    .sort((a, b) => b.since - a.since || (a.id < b.id ? -1 : 1))
}
