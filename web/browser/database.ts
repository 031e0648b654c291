/** What this device keeps of the page, in the browser's own database: tunes, tables of figures, settings, the practice record. Nothing of it is sent. */
import { type DBSchema, type IDBPDatabase, openDB } from 'idb'
import type { Entry, TakenPlan } from '../../lib/practice/record.ts'

/** A state of the page under a name: the fields of its form, in order. */
export interface KeptTune {
  readonly id: string
  readonly name: string
  readonly fields: readonly (readonly [string, string])[]
  /** Milliseconds since 1970. */
  readonly saved: number
}

/** A table of figures of one's own, as `mark --format csv` writes it. */
export interface KeptFigures {
  readonly id: string
  readonly name: string
  readonly csv: string
  /** Milliseconds since 1970. */
  readonly saved: number
}

export interface Kept extends DBSchema {
  tunes: { key: string; value: KeptTune }
  figures: { key: string; value: KeptFigures }
  settings: { key: string; value: string }
  entries: { key: string; value: Entry }
  plans: { key: string; value: TakenPlan }
  /** What else a practice record holds, by name. */
  practice: { key: string; value: unknown }
}

const name = 'throughline'
/** 1 had tunes, figures and settings; 2 has the practice record too. */
const version = 2

let opened: Promise<IDBPDatabase<Kept>> | null = null

const said = (words: string): Error => new Error(words)

/** The database, opened once; what stands in the way is an error whose words can be shown. */
function database(): Promise<IDBPDatabase<Kept>> {
  opened ??= open().catch((error: unknown) => {
    opened = null
    throw error
  })
  return opened
}

function open(): Promise<IDBPDatabase<Kept>> {
  return new Promise((resolve, reject) => {
    let late = false
    // Some browsers have no database in a private window, others refuse to open it.
    const opening = () =>
      openDB<Kept>(name, version, {
        upgrade(db, before) {
          if (before < 1) {
            db.createObjectStore('tunes', { keyPath: 'id' })
            db.createObjectStore('figures', { keyPath: 'id' })
            db.createObjectStore('settings')
          }
          if (before < 2) {
            db.createObjectStore('entries', { keyPath: 'id' })
            db.createObjectStore('plans', { keyPath: 'plan.id' })
            db.createObjectStore('practice')
          }
        },
        blocked() {
          late = true
          reject(said('Another tab holds what is kept here, in an older form. Close that tab, then try again.'))
        },
        blocking(_now, _next, event) {
          ;(event.target as IDBDatabase).close()
          opened = null
        },
        terminated() {
          opened = null
        },
      })
    Promise.resolve()
      .then(opening)
      .then(
        (db) => (late ? db.close() : resolve(db)),
        (error: unknown) => reject(said(troubleOf(error))),
      )
  })
}

/** What is wrong, in words for whoever reads the page. */
function troubleOf(error: unknown): string {
  const kind = error instanceof Error ? error.name : ''
  if (kind === 'VersionError')
    return 'What is kept here was written by a newer version of this page. Load the page again; nothing was changed.'
  if (kind === 'QuotaExceededError')
    return 'There is no room left on this device for more. Nothing was kept and nothing lost: free some room, or save to a file.'
  if (['SecurityError', 'InvalidStateError', 'TypeError', 'ReferenceError', 'UnknownError'].includes(kind))
    return 'This browser keeps nothing for this page: its storage is switched off or cannot be opened. Links and files still hold everything.'
  return `What is kept here could not be opened: ${error instanceof Error ? error.message : String(error)}`
}

/** Does something with the database; an error comes back with words that can be shown. */
export async function using<T>(deed: (db: IDBPDatabase<Kept>) => Promise<T>): Promise<T> {
  const db = await database()
  try {
    return await deed(db)
  } catch (error) {
    throw said(troubleOf(error))
  }
}

/** Other tabs hear when something was kept, changed or deleted here. */
const channel = 'BroadcastChannel' in globalThis ? new BroadcastChannel('throughline') : null
export const onOtherTab = (listener: () => void): void => channel?.addEventListener('message', listener)
export const tellOtherTabs = (): void => channel?.postMessage('kept')

type Listed = 'tunes' | 'figures'

/** Everything of a kind, by name. */
export async function listKept<S extends Listed>(store: S): Promise<readonly Kept[S]['value'][]> {
  const all = await using<Kept[S]['value'][]>((db) => db.getAll(store))
  return all.sort((a, b) => a.name.localeCompare(b.name) || a.saved - b.saved)
}

/** Keeps one under its id, in place of what had that id. */
export async function keep<S extends Listed>(store: S, value: Kept[S]['value']): Promise<void> {
  await using((db) => db.put(store, value))
  tellOtherTabs()
}

/** Keeps several at once, or none: one that is there under its id stays as it is. */
export async function keepNew(some: {
  readonly tunes: readonly KeptTune[]
  readonly figures: readonly KeptFigures[]
}): Promise<void> {
  await using(async (db) => {
    const all = db.transaction(['tunes', 'figures'], 'readwrite')
    const adding = [
      ...some.tunes.map((tune) => all.objectStore('tunes').add(tune)),
      ...some.figures.map((table) => all.objectStore('figures').add(table)),
    ]
    await Promise.all([...adding, all.done])
  })
  tellOtherTabs()
}

export async function forget(store: Listed, id: string): Promise<void> {
  await using((db) => db.delete(store, id))
  tellOtherTabs()
}

/** Deletes all tunes, figures and settings; the practice record has a deletion of its own, and stays. */
export async function forgetAll(): Promise<void> {
  await using(async (db) => {
    const all = db.transaction(['tunes', 'figures', 'settings'], 'readwrite')
    const clearing = (['tunes', 'figures', 'settings'] as const).map((store) => all.objectStore(store).clear())
    await Promise.all([...clearing, all.done])
  })
  tellOtherTabs()
}

/** The choices that this device goes back to, by name. */
export async function readSettings(): Promise<ReadonlyMap<string, string>> {
  return using(async (db) => {
    const all = db.transaction('settings')
    const [names, values] = await Promise.all([all.store.getAllKeys(), all.store.getAll()])
    return new Map(names.map((each, i) => [each, values[i]!]))
  })
}

/** Remembers choices; null for one that is as usual again. */
export async function keepSettings(some: ReadonlyMap<string, string | null>): Promise<void> {
  await using(async (db) => {
    const all = db.transaction('settings', 'readwrite')
    const writing = [...some].map(([each, value]) =>
      value === null ? all.store.delete(each) : all.store.put(value, each),
    )
    await Promise.all([...writing, all.done])
  })
}
