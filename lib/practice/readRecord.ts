/** Reading a record from a file, whoever wrote it: an older form is brought up to today's, and what cannot be read is said. */
import { limits } from '../brief.ts'
import type { Problem } from '../problem.ts'
import { dayAt, isDay } from './days.ts'
import { misfitOfPlan, plainPlan } from './plan.ts'
import {
  type Entry,
  emptyRecord,
  mergeRecords,
  type PracticeRecord,
  recordFormat,
  recordVersion,
  type TakenPlan,
} from './record.ts'
import { type Verdict, verdicts } from './spacing.ts'

/** The longest file that is read, in characters: over a hundred thousand entries. */
const longest = 40_000_000

/** The most that one entry may last, in minutes. */
const longestEntry = 24 * 60

type Fields = Readonly<Record<string, unknown>>

const isFields = (value: unknown): value is Fields =>
  typeof value === 'object' && value !== null && !Array.isArray(value)
const isId = (value: unknown): value is string => typeof value === 'string' && /^[\w-]{8,64}$/.test(value)
const isTime = (value: unknown): value is number =>
  Number.isInteger(value) && (value as number) >= 0 && (value as number) < 7_258_118_400_000

const said = (
  severity: Problem['severity'],
  code: string,
  found: string,
  expected: string,
  hint: string,
  span = { start: 0, end: 0 },
): Problem => ({ severity, code, span, found, expected, hint })

const nothingLost = 'nothing was changed'

/** What an entry lacks, in words; null where it is whole. */
function misfitOfEntry(value: Fields): string | null {
  const { id, plan, key, bars, tempo, minutes, verdict, time, day } = value
  if (!isId(id)) return 'no id'
  if (!isId(plan)) return 'no plan'
  if (typeof key !== 'string' || !/^[A-G][b#]?m?$/.test(key)) return 'no key'
  const inTune = (bar: unknown) => Number.isInteger(bar) && (bar as number) >= 1 && (bar as number) <= limits.bars
  if (!Array.isArray(bars) || bars.length !== 2 || !bars.every(inTune) || bars[0] > bars[1]) return 'no bars'
  if (typeof tempo !== 'number' || !(tempo >= 1 && tempo <= 1000)) return 'no tempo'
  if (typeof minutes !== 'number' || !(minutes >= 0 && minutes <= longestEntry)) return 'no minutes'
  if (!(verdicts as readonly unknown[]).includes(verdict)) return 'no word on how it went'
  if (!isTime(time)) return 'no time'
  return isDay(day) ? null : 'no day'
}

/** An entry by its own fields alone, in their order. */
function plainEntry(value: Fields): Entry {
  const { id, plan, key, bars, tempo, minutes, verdict, time, day } = value as unknown as Entry
  return { id, plan, key, bars: [bars[0], bars[1]], tempo, minutes, verdict: verdict as Verdict, time, day }
}

/**
 * What each older version lacks, put in. Version 1, from before records were given out, wrote times as ISO 8601 alone, named no
 * day and no player, and knew neither deletions nor when a plan was taken up.
 */
const raised: Readonly<Record<number, (file: Fields) => Fields>> = {
  1: (file) => ({
    player: '',
    deleted: [],
    away: {},
    ...file,
    version: 2,
    plans: Array.isArray(file.plans) ? file.plans.map((plan) => ({ plan, taken: 0 })) : file.plans,
    entries: Array.isArray(file.entries) ? file.entries.map(raisedEntry) : file.entries,
  }),
}

function raisedEntry(entry: unknown): unknown {
  if (!isFields(entry) || typeof entry.time !== 'string') return entry
  const time = Date.parse(entry.time)
  if (Number.isNaN(time)) return entry
  // A time that tells its place tells the day there.
  const day = /^(\d{4}-\d\d-\d\d)T[^Z]*[+-]\d\d:?\d\d$/.exec(entry.time)?.[1] ?? dayAt(time)
  return { ...entry, time, day }
}

/** A record from a file, and what is to be said of it. */
export interface ReadRecord {
  /** Null where the file is no record that this program can read: then nothing is to be done with it. */
  readonly record: PracticeRecord | null
  /** Errors where there is no record; warnings where it was read but something of it is missing. */
  readonly problems: readonly Problem[]
}

const refused = (code: string, found: string, expected: string, hint: string, span?: Problem['span']): ReadRecord => ({
  record: null,
  problems: [said('error', code, found, expected, hint, span)],
})

const aRecord = 'a practice record, as this program exports it'

/**
 * Reads the text of a record. A file that is damaged, of something else or of a later version comes back as no record, with the
 * reason; entries that are damaged by themselves are left out, and said.
 *
 * @example
 * readRecord('{}').problems[0].code // => 'foreign-file'
 */
export function readRecord(text: string): ReadRecord {
  if (text.length > longest)
    return refused('file-too-long', `${text.length} characters`, `at most ${longest}`, 'export it in parts')
  const typed = text.replace(/^\uFEFF/, '')
  if (typed.trim() === '')
    return refused('empty-file', 'an empty file', aRecord, 'export it again; nothing was changed')
  let file: unknown
  try {
    file = JSON.parse(typed)
  } catch {
    const cut = typed.includes(recordFormat)
    return cut
      ? refused(
          'damaged-file',
          'a record that breaks off or was altered',
          `${aRecord}, whole`,
          `copy it again; ${nothingLost}`,
        )
      : refused('foreign-file', `a file that begins ${JSON.stringify(typed.trim().slice(0, 20))}`, aRecord, nothingLost)
  }
  return isFields(file) ? readFields(file) : refused('foreign-file', 'a file of something else', aRecord, nothingLost)
}

/** Reads what a record's JSON holds, such as the rows of a browser's database put together. */
export function readFields(file: Fields): ReadRecord {
  if (file.format !== recordFormat) return refused('foreign-file', 'a file of something else', aRecord, nothingLost)
  const { version } = file
  if (!Number.isInteger(version) || (version as number) < 1)
    return refused('damaged-file', 'a record without its version', aRecord, `export it again; ${nothingLost}`)
  if ((version as number) > recordVersion)
    return refused(
      'newer-version',
      `a record of version ${version}`,
      `version ${recordVersion} or before`,
      `open it with a later version of this program; ${nothingLost}`,
    )
  let now = file
  for (let v = version as number; v < recordVersion; v++) now = raised[v]!(now)
  const lists = [now.plans, now.entries, now.deleted]
  if (!lists.every(Array.isArray) || typeof now.player !== 'string' || !isFields(now.away))
    return refused('damaged-file', 'a record without its lists', `${aRecord}, whole`, `copy it again; ${nothingLost}`)
  const [plans, entries, deleted] = lists as [unknown[], unknown[], unknown[]]
  const away = Object.entries(now.away)
  const wrongPlans = plans.map(misfitOfTaken)
  const wrongEntries = entries.map((entry) => (isFields(entry) ? misfitOfEntry(entry) : 'no entry'))
  const wrongDeletions = [
    ...deleted.map((id) => (isId(id) ? null : 'no id')),
    ...away.map(([id, time]) => (isId(id) && isTime(time) ? null : 'no time')),
  ]
  const record = mergeRecords(emptyRecord, {
    ...emptyRecord,
    player: now.player.slice(0, limits.title),
    plans: (plans as TakenPlan[])
      .filter((_, i) => wrongPlans[i] === null)
      .map(({ plan, taken }) => ({ plan: plainPlan(plan), taken })),
    entries: entries.filter((_, i) => wrongEntries[i] === null).map((entry) => plainEntry(entry as Fields)),
    deleted: deleted.filter(isId),
    away: Object.fromEntries(away.filter(([id, time]) => isId(id) && isTime(time)) as [string, number][]),
  })
  return {
    record,
    problems: [
      ...damaged('plan', wrongPlans),
      ...damaged('entry', wrongEntries),
      ...damaged('deletion', wrongDeletions),
    ],
  }
}

/** What a plan in a record lacks, in words; null where it is whole. */
function misfitOfTaken(taken: unknown): string | null {
  if (!isFields(taken)) return 'no plan'
  return isTime(taken.taken) ? misfitOfPlan(taken.plan) : 'no time'
}

const plurals: Readonly<Record<string, string>> = { plan: 'plans', entry: 'entries', deletion: 'deletions' }

/** That some of a list could not be read: how many, and the first by its place. */
function damaged(what: string, wrong: readonly (string | null)[]): readonly Problem[] {
  const places = wrong.flatMap((why, i) => (why === null ? [] : [i]))
  if (places.length === 0) return []
  const first = `number ${places[0]! + 1} has ${wrong[places[0]!]}`
  const count =
    places.length === 1
      ? `${what === 'entry' ? 'an' : 'a'} ${what} that cannot be read`
      : `${places.length} ${plurals[what]} that cannot be read`
  return [
    said(
      'warning',
      `damaged-${what}`,
      `${count}: ${first}`,
      `every ${what} whole`,
      'it is left out; the rest was read, and the file stays as it is',
    ),
  ]
}

/**
 * What is wrong with the time on a device: entries that are later than now, so the clock was set back, or was ahead when they were
 * made. They are kept; those of later days count once their day has come.
 *
 * @param now - in milliseconds since 1970
 */
export function checkClock(record: PracticeRecord, now: number): Problem | null {
  const last = record.entries.at(-1)
  // Two devices are seldom together to the minute.
  if (!last || last.time <= now + 10 * 60_000) return null
  const count = record.entries.filter(({ time }) => time > now).length
  const when = (time: number) => new Date(time).toISOString().slice(0, 16).replace('T', ' ')
  return said(
    'warning',
    'clock-set-back',
    `${count === 1 ? 'an entry' : `${count} entries`} up to ${when(last.time)} UTC, where this clock says ${when(now)}`,
    'a clock that goes on',
    'look at the date of this device; nothing was lost',
  )
}
