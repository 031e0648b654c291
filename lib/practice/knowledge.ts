/** What a record says of a plan by a day: each stretch in each key that was played, how well it stays, and when it is due. */
import { type Day, numberOfDay } from './days.ts'
import { type PracticePlan, temposOf } from './plan.ts'
import type { Entry, PracticeRecord } from './record.ts'
import { type Memory, remember, type Verdict, waitFor } from './spacing.ts'

/** A stretch of bars in a key, as far as it was played. */
export interface Known {
  readonly key: string
  readonly bars: readonly [number, number]
  readonly memory: Memory
  /** How the last day's last pass went, and how many days running it went so. */
  readonly verdict: Verdict
  readonly running: number
  /** The day it was last played, and the day it is due, as numbers. */
  readonly last: number
  readonly due: number
  /** Which of the plan's tempos comes next, from 0. */
  readonly rung: number
  /** The quickest of the plan's tempos at which it held or came easy; -1 for none. */
  readonly held: number
  /** On how many days it was played. */
  readonly days: number
}

export interface Knowledge {
  /** By key and bars. */
  readonly stretches: ReadonlyMap<string, Known>
  /** The first day on which the plan was played; null where it never was. */
  readonly began: number | null
}

/** The name of a stretch in a key, such as `Eb 5-8`. */
export const stretchName = (key: string, [from, to]: readonly [number, number]): string => `${key} ${from}-${to}`

/** The quickest of some tempos that is no quicker than another, by its place; the first where all are quicker. */
export const rungOf = (tempos: readonly number[], tempo: number): number =>
  Math.max(
    0,
    tempos.findLastIndex((each) => each <= tempo),
  )

/** The tempo to play next, after a pass: slower after one that fell apart, quicker after an easy one, and after two that held. */
function rungAfter(rung: number, verdict: Verdict, before: Verdict | null, rungs: number): number {
  const step =
    verdict === 'fell apart'
      ? -1
      : verdict === 'easy'
        ? before === 'easy'
          ? 2
          : 1
        : before === null || before === 'fell apart'
          ? 0
          : 1
  return Math.max(0, Math.min(rungs - 1, rung + step))
}

/** The entries of a plan before a day. */
const entriesBefore = (plan: PracticePlan, record: PracticeRecord, day: Day): readonly Entry[] =>
  record.entries.filter((entry) => entry.plan === plan.id && entry.day < day)

/** A stretch after one more day: each day is judged by its last pass. */
function after(known: Known | undefined, entry: Entry, tempos: readonly number[]): Known {
  const { key, bars, verdict } = entry
  const day = numberOfDay(entry.day)
  const rung = rungOf(tempos, entry.tempo)
  const before = known && known.held === rung ? known.verdict : null
  // A passage at a new tempo is a new thing to learn: what is known is how hard it is, not how long it stays.
  const sameTempo = known !== undefined && (rung === known.held || verdict === 'fell apart')
  const fresh = remember(null, 0, verdict)
  const learnt = known ? remember(known.memory, day - known.last, verdict) : fresh
  const memory = sameTempo ? learnt : { stability: fresh.stability, difficulty: learnt.difficulty }
  return {
    key,
    bars,
    memory,
    verdict,
    running: known?.verdict === verdict ? known.running + 1 : 1,
    last: day,
    due: day + (verdict === 'fell apart' ? 1 : waitFor(memory)),
    rung: rungAfter(rung, verdict, before, tempos.length),
    held: verdict === 'fell apart' ? (known?.held ?? -1) : rung,
    days: (known?.days ?? 0) + 1,
  }
}

/** What is known of a plan by the morning of a day: entries of that day and later ones do not count yet. */
export function knowledgeOf(plan: PracticePlan, record: PracticeRecord, day: Day): Knowledge {
  const tempos = temposOf(plan)
  const lastOfDay = new Map<string, Entry>()
  for (const entry of entriesBefore(plan, record, day))
    lastOfDay.set(`${entry.day} ${stretchName(entry.key, entry.bars)}`, entry)
  const inOrder = [...lastOfDay.values()].sort((a, b) => (a.day < b.day ? -1 : a.day > b.day ? 1 : 0))
  const stretches = new Map<string, Known>()
  for (const entry of inOrder) {
    const name = stretchName(entry.key, entry.bars)
    stretches.set(name, after(stretches.get(name), entry, tempos))
  }
  return { stretches, began: inOrder[0] === undefined ? null : numberOfDay(inOrder[0].day) }
}
