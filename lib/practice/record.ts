/** The record of practising: what was played when and how it went, kept by its player, and put together from several devices. */
import type { Day } from './days.ts'
import type { PracticePlan } from './plan.ts'
import type { Verdict } from './spacing.ts'

/** What a file of a record says that it is. */
export const recordFormat = 'throughline practice record'

/** The form in which records are written today; `readRecord` brings older ones up to it. */
export const recordVersion = 2

/** One thing practised: the tap after a pass. Entries are never changed, only added and deleted. */
export interface Entry {
  /** Its own for ever, on whatever device it was made; at least 8 letters, digits or hyphens, such as a UUID (RFC 9562). */
  readonly id: string
  /** The plan's id. */
  readonly plan: string
  /** As the plan names it. */
  readonly key: string
  /** Played bars, counted from 1, both included. */
  readonly bars: readonly [number, number]
  /** Quarter notes a minute. */
  readonly tempo: number
  /** How long it was played, rests among it. */
  readonly minutes: number
  readonly verdict: Verdict
  /** When it was, in milliseconds since 1970. */
  readonly time: number
  /** The day it then was where the player was. */
  readonly day: Day
}

/** A plan that the player has taken up. */
export interface TakenPlan {
  readonly plan: PracticePlan
  /** When it was taken up, in milliseconds since 1970. */
  readonly taken: number
}

export interface PracticeRecord {
  readonly format: typeof recordFormat
  readonly version: typeof recordVersion
  /** Who practised, where they say; else empty. */
  readonly player: string
  /** The plans that are taken up, in the order of their ids. */
  readonly plans: readonly TakenPlan[]
  /** By time, then by id. */
  readonly entries: readonly Entry[]
  /** The ids of entries that were deleted, so that no other device brings them back. In order. */
  readonly deleted: readonly string[]
  /** When each plan that was put away was last put away, by its id: it is back once it is taken up later than that. */
  readonly away: Readonly<Record<string, number>>
}

export const emptyRecord: PracticeRecord = {
  format: recordFormat,
  version: recordVersion,
  player: '',
  plans: [],
  entries: [],
  deleted: [],
  away: {},
}

const compare = (a: string, b: string): number => (a < b ? -1 : a > b ? 1 : 0)

/** Of two entries under one id the later in the order of a dictionary, which is as good as any and the same from either side. */
const either = (a: Entry, b: Entry): Entry => (compare(JSON.stringify(a), JSON.stringify(b)) >= 0 ? a : b)

function keptEntries(some: readonly Entry[], gone: ReadonlySet<string>): readonly Entry[] {
  const all = new Map<string, Entry>()
  for (const entry of some) {
    if (gone.has(entry.id)) continue
    const known = all.get(entry.id)
    all.set(entry.id, known === undefined ? entry : either(known, entry))
  }
  return [...all.values()].sort((a, b) => a.time - b.time || compare(a.id, b.id))
}

function keptPlans(some: readonly TakenPlan[], away: ReadonlyMap<string, number>): readonly TakenPlan[] {
  const all = new Map<string, TakenPlan>()
  for (const each of some) {
    const { id } = each.plan
    if (each.taken > (away.get(id) ?? -1) && each.taken > (all.get(id)?.taken ?? -1)) all.set(id, each)
  }
  return [...all.values()].sort((a, b) => compare(a.plan.id, b.plan.id))
}

/**
 * Puts two records together: every entry of either that neither has deleted, and every plan that was not put away since it was
 * last taken up. Whichever is named first, in whatever order several are put together, and however often, the same comes of it.
 *
 * @example
 * mergeRecords(emptyRecord, emptyRecord) // => emptyRecord
 */
export function mergeRecords(a: PracticeRecord, b: PracticeRecord): PracticeRecord {
  const gone = new Set([...a.deleted, ...b.deleted])
  const away = new Map<string, number>()
  for (const [id, time] of [...Object.entries(a.away), ...Object.entries(b.away)])
    away.set(id, Math.max(time, away.get(id) ?? 0))
  return {
    format: recordFormat,
    version: recordVersion,
    player: compare(a.player, b.player) >= 0 ? a.player : b.player,
    plans: keptPlans([...a.plans, ...b.plans], away),
    entries: keptEntries([...a.entries, ...b.entries], gone),
    deleted: [...gone].sort(compare),
    away: Object.fromEntries([...away].sort(([x], [y]) => compare(x, y))),
  }
}

/** A record with entries added; one that was deleted before stays so. */
export const addEntries = (record: PracticeRecord, entries: readonly Entry[]): PracticeRecord =>
  mergeRecords(record, { ...emptyRecord, entries })

/**
 * A record with a plan taken up, at a time in milliseconds since 1970. Where a clock that was ahead put it away later than now, it is
 * taken up right after that.
 */
export function takePlan(record: PracticeRecord, plan: PracticePlan, time: number): PracticeRecord {
  const away = Object.hasOwn(record.away, plan.id) ? record.away[plan.id]! : -1
  return mergeRecords(record, { ...emptyRecord, plans: [{ plan, taken: Math.max(time, away + 1) }] })
}

/** A record without some of its entries, for good. */
export const deleteEntries = (record: PracticeRecord, ids: Iterable<string>): PracticeRecord =>
  mergeRecords(record, { ...emptyRecord, deleted: [...ids] })

/** A record with a plan put away, at a time; its entries stay where nothing else is said. */
export function putPlanAway(record: PracticeRecord, id: string, time: number, entriesToo = false): PracticeRecord {
  const taken = record.plans.find(({ plan }) => plan.id === id)?.taken ?? 0
  const entries = entriesToo ? record.entries.filter(({ plan }) => plan === id) : []
  const deleted = entries.map((entry) => entry.id)
  return mergeRecords(record, { ...emptyRecord, deleted, away: { [id]: Math.max(time, taken) } })
}

/** A record of which nothing is left but that it was deleted. */
export function clearRecord(record: PracticeRecord, time: number): PracticeRecord {
  const away = Object.fromEntries(record.plans.map(({ plan, taken }) => [plan.id, Math.max(time, taken)]))
  const deleted = record.entries.map(({ id }) => id)
  return { ...mergeRecords(record, { ...emptyRecord, deleted, away }), player: '' }
}

/** A record as the text of its file, the same for the same record. */
export const writeRecord = (record: PracticeRecord): string =>
  `${JSON.stringify(mergeRecords(record, emptyRecord), null, 1)}\n`

/** The ids of plans that entries name but that are not there, such as plans of a line that no longer exists. */
export function lostPlans(record: PracticeRecord): readonly string[] {
  const there = new Set(record.plans.map(({ plan }) => plan.id))
  return [...new Set(record.entries.map(({ plan }) => plan))].filter((id) => !there.has(id))
}
