/** The practice record in the browser's database: read whole, changed by rows, by any number of tabs in turn. */
import { readFields } from '../../lib/practice/readRecord.ts'
import { emptyRecord, type PracticeRecord, recordFormat, recordVersion } from '../../lib/practice/record.ts'
import type { Problem } from '../../lib/problem.ts'
import { tellOtherTabs, using } from './database.ts'

/** A record, and what of it could not be read. */
export interface HeldRecord {
  readonly record: PracticeRecord
  readonly problems: readonly Problem[]
}

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
    const { record, problems } = readFields({
      format: recordFormat,
      version,
      player,
      plans: await plans.getAll(),
      entries: await entries.getAll(),
      deleted,
      away,
    })
    if (record === null) {
      refused = problems[0]
      return null
    }
    const next = change(record)
    if (next === record) return { record, problems }
    const [known, taken] = [
      new Set(record.entries.map(({ id }) => id)),
      new Map(record.plans.map((each) => [each.plan.id, each.taken])),
    ]
    const fresh = {
      plans: next.plans.filter((each) => taken.get(each.plan.id) !== each.taken),
      entries: next.entries.filter(({ id }) => !known.has(id)),
    }
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
    await Promise.all([...writing, all.done])
    return { record: next, problems }
  })
  if (held === null) {
    const clock = refused?.code === 'damaged-entry' || refused?.code === 'damaged-plan'
    const words = refused ? inWords(refused) : 'The record cannot be read.'
    throw new Error(
      clock ? `Set the date of this device right, then note it again: nothing was written down. ${words}` : words,
    )
  }
  if (changed) tellOtherTabs()
  return held
}

/** The record as it stands. */
export const readHeld = (): Promise<HeldRecord> => changeRecord((record) => record)
