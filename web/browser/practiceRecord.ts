/** The practice record in the browser's database: read whole once, changed by rows, by any number of tabs in turn. */
import type { PracticePlan } from '../../lib/practice/plan.ts'
import { readFields } from '../../lib/practice/readRecord.ts'
import { type Entry, emptyRecord, type PracticeRecord, recordFormat, recordVersion } from '../../lib/practice/record.ts'
import type { Problem } from '../../lib/problem.ts'
import { tellOtherTabs, using } from './database.ts'

/** A record, and what of it could not be read. */
export interface HeldRecord {
  readonly record: PracticeRecord
  readonly problems: readonly Problem[]
}

/** The entries of a database as this page last read or wrote them. */
interface Standing {
  /** Rows, those that cannot be read among them. */
  readonly count: number
  readonly deleted: readonly unknown[]
  readonly entries: readonly Entry[]
  readonly problems: readonly Problem[]
}

/**
 * By the connection that they came over. Entries are added and deleted and else stay, and the deleted are named: where there are as many
 * as there were and the same are gone, they are the same ones, and a tap reads none of them again.
 */
const standing = new WeakMap<object, Standing>()

const isSame = (some: readonly unknown[], others: readonly unknown[]): boolean =>
  some.length === others.length && some.every((each, i) => each === others[i])

export const inWords = ({ found, expected, hint }: Problem): string => `Found ${found}; expected ${expected}; ${hint}.`

/**
 * Changes the record and writes down what became other, in one step: what another tab adds meanwhile waits its turn and is not
 * lost. Rows that cannot be read stay as they are.
 */
export async function changeRecord(change: (record: PracticeRecord) => PracticeRecord): Promise<HeldRecord> {
  let refused: Problem | undefined
  let changed = false
  const held = await using(async (db) => {
    const all = db.transaction(['entries', 'plans', 'practice'], 'readwrite')
    const [entries, plans, rest] = [all.objectStore('entries'), all.objectStore('plans'), all.objectStore('practice')]
    const meta = await Promise.all(['version', 'player', 'deleted', 'away'].map((name) => rest.get(name)))
    const [version = recordVersion, player = '', deleted = [], away = {}] = meta
    const [taken, count] = await Promise.all([plans.getAll(), entries.count()])
    const last = standing.get(db)
    const stood =
      last && version === recordVersion && last.count === count && isSame(last.deleted, deleted as unknown[])
        ? last
        : null
    const read = readFields({
      format: recordFormat,
      version,
      player,
      plans: taken,
      entries: stood ? [] : await entries.getAll(),
      deleted,
      away,
    })
    if (read.record === null) {
      refused = read.problems[0]
      return null
    }
    const record = stood ? { ...read.record, entries: stood.entries } : read.record
    const ofEntries = stood?.problems ?? read.problems.filter(({ code }) => code === 'damaged-entry')
    const problems = [...read.problems.filter(({ code }) => code !== 'damaged-entry'), ...ofEntries]
    const stands = (now: number, { deleted, entries }: PracticeRecord): void => {
      standing.set(db, { count: now, deleted, entries, problems: ofEntries })
    }
    const next = change(record)
    if (next === record) {
      if (version === recordVersion) stands(count, record)
      return { record, problems }
    }
    const fresh = freshOf(record, next)
    // What could not be read again, such as what is of no year that a calendar has, is not written down at all.
    refused = readFields({ ...emptyRecord, ...fresh }).problems[0]
    if (refused !== undefined) return null
    changed = true
    const gone = new Set(next.deleted)
    const there = new Set(next.plans.map(({ plan }) => plan.id))
    const writing: Promise<unknown>[] = [
      ...fresh.entries.map((entry) => entries.put(entry)),
      ...record.entries.filter(({ id }) => gone.has(id)).map(({ id }) => entries.delete(id)),
      ...fresh.plans.map((each) => plans.put(each)),
      ...record.plans.filter(({ plan }) => !there.has(plan.id)).map(({ plan }) => plans.delete(plan.id)),
      rest.put(next.version, 'version'),
      rest.put(next.player, 'player'),
      rest.put(next.deleted, 'deleted'),
      rest.put(next.away, 'away'),
    ]
    const counted = entries.count()
    await Promise.all([...writing, all.done])
    stands(await counted, next)
    return { record: next, problems }
  })
  if (held === null) throw refusal(refused)
  if (changed) tellOtherTabs()
  return held
}

/** Adds what was played of a plan to the record, whose other entries are not read; null where there is no such plan. */
export async function noteEntry(plan: string, made: (plan: PracticePlan) => Entry): Promise<Entry | null> {
  let refused: Problem | undefined
  const noted = await using(async (db) => {
    const all = db.transaction(['entries', 'plans', 'practice'], 'readwrite')
    const [version = recordVersion, taken] = await Promise.all([
      all.objectStore('practice').get('version'),
      all.objectStore('plans').get(plan),
    ])
    const read = readFields({ ...emptyRecord, version, plans: taken ? [taken] : [] })
    const entry = read.record?.plans[0] ? made(read.record.plans[0].plan) : null
    refused = read.record ? readFields({ ...emptyRecord, entries: entry ? [entry] : [] }).problems[0] : read.problems[0]
    if (refused === undefined && entry) await all.objectStore('entries').put(entry)
    await all.done
    return entry
  })
  if (refused) throw refusal(refused)
  if (noted) tellOtherTabs()
  return noted
}

/** Why nothing was written down. */
function refusal(refused: Problem | undefined): Error {
  const clock = refused?.code === 'damaged-entry' || refused?.code === 'damaged-plan'
  const words = refused ? inWords(refused) : 'The record cannot be read.'
  return new Error(
    clock ? `Set the date of this device right, then note it again: nothing was written down. ${words}` : words,
  )
}

/** What of a record is not in another as it stands there. */
function freshOf(record: PracticeRecord, next: PracticeRecord): Pick<PracticeRecord, 'plans' | 'entries'> {
  const taken = new Map(record.plans.map((each) => [each.plan.id, each.taken]))
  const known = new Map(record.entries.map((entry) => [entry.id, entry]))
  return {
    plans: next.plans.filter((each) => taken.get(each.plan.id) !== each.taken),
    entries: next.entries.filter((entry) => known.get(entry.id) !== entry),
  }
}

/** The record as it stands. */
export const readHeld = (): Promise<HeldRecord> => changeRecord((record) => record)
