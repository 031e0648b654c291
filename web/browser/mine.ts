/** What this device keeps, as the page shows it: tunes by name, tables of figures, and the file that holds them all. */
import { agreed } from '../shared/agreed.ts'
import { forget, forgetAll, type KeptFigures, type KeptTune, keep, keepNew, listKept, onOtherTab } from './database.ts'
import { settleTyped } from './editing.ts'
import { newBeside, readKept, roomBeside, writeKept } from './keptFile.ts'
import { move, shownLink } from './moving.ts'
import { putInPlace } from './remember.ts'
import { copyLink, showCode } from './sharing.ts'

type Kind = 'tunes' | 'figures'

/** Random names of things; not secret, so a browser without its own source of them does as well. */
const newId = (): string =>
  globalThis.crypto?.randomUUID?.() ?? `${Date.now().toString(36)}-${Math.random().toString(36).slice(2)}`

const byId = <T extends HTMLElement>(id: string): T => document.getElementById(id) as T

/** Says how it went, with something that can still be done about it. */
function tell(words: string, more?: { readonly name: string; readonly act: () => void }): void {
  const line = byId('mine-said')
  line.replaceChildren(words)
  if (!more) return
  const made = button(more.name, () => {
    line.replaceChildren()
    more.act()
  })
  line.append(' ', made)
}

/** Does something; what stands in its way is said. */
function attempt(deed: () => Promise<void>): void {
  deed().catch((error: unknown) => tell(error instanceof Error ? error.message : String(error)))
}

function button(text: string, act: () => void, label = text): HTMLButtonElement {
  const made = document.createElement('button')
  made.type = 'button'
  made.className = 'ink'
  made.textContent = text
  if (label !== text) made.setAttribute('aria-label', label)
  made.addEventListener('click', act)
  return made
}

export function watchMine(): void {
  if (!document.getElementById('mine')) return
  const deeds: Readonly<Record<string, () => void>> = {
    copy: () => attempt(async () => tell(await copyLink())),
    code: () => attempt(async () => tell(await showCode())),
    over: () => attempt(startOver),
    keep: () => attempt(keepOnce),
    counted: () => attempt(() => choose({ own: null, mixOwn: null })),
    export: () => attempt(saveFile),
    forget: () =>
      tell('All tunes, figures and settings of this device go for good; the practice record stays.', {
        name: 'Yes, delete them',
        act: () => attempt(deleteAll),
      }),
  }
  byId('mine').addEventListener('click', (event) => {
    const deed = (event.target as Element).closest<HTMLElement>('[data-mine]')?.dataset.mine
    // The other half of a double click asks for nothing more.
    if (deed !== undefined && event.detail < 2) deeds[deed]?.()
  })
  byId('mine-name').addEventListener('keydown', (event) => {
    // Enter may be the end of a composed sign.
    if (event.key === 'Enter' && !event.repeat && !event.isComposing) attempt(keepOnce)
  })
  onFile('mine-file', openFile)
  onFile('mine-table', openTable)
  for (const details of document.querySelectorAll<HTMLDetailsElement>('.mine-part'))
    details.addEventListener('toggle', () => {
      if (!details.open) return
      const name = byId<HTMLInputElement>('mine-name')
      if (name.value === '') name.value = nameHere()
      attempt(show)
    })
  onOtherTab(() => {
    // A name that is being typed is not taken away; the list comes with it.
    if (!document.querySelector('.mine-list input')) attempt(show)
  })
}

function onFile(id: string, open: (file: File) => Promise<void>): void {
  byId<HTMLInputElement>(id).addEventListener('change', (event) => {
    const input = event.target as HTMLInputElement
    const file = input.files?.[0]
    // The same file can be chosen again.
    if (file) attempt(() => open(file).finally(() => (input.value = '')))
  })
}

/** The lists as they stand, from the database. */
async function show(): Promise<void> {
  if (!document.querySelector('.mine-part[open]')) return
  const [tunes, figures] = await Promise.all([listKept('tunes'), listKept('figures')])
  byId('mine-tunes').replaceChildren(
    ...tunes.map((tune) =>
      row('tunes', tune, [button(tune.name, () => attempt(() => openTune(tune)), `Open ${tune.name}`)]),
    ),
  )
  const used = plain(fieldsHere().find(([name]) => name === 'own')?.[1] ?? '')
  byId('mine-figures').replaceChildren(
    ...figures.map((table) =>
      row('figures', table, [
        `${table.name}${plain(table.csv) === used ? ', in use' : ''}`,
        button('Draw from these', () => attempt(() => choose({ own: table.csv, mixOwn: null }))),
        button('Mix with the counted', () => attempt(() => choose({ own: table.csv, mixOwn: 'yes' }))),
        button('Save as CSV', () => save(`${table.name}.csv`, 'text/csv', table.csv)),
      ]),
    ),
  )
}

function row(kind: Kind, thing: KeptTune | KeptFigures, parts: readonly (string | Node)[]): HTMLLIElement {
  const item = document.createElement('li')
  const again = (): void =>
    attempt(async () => {
      await keepNew(
        kind === 'tunes' ? { tunes: [thing as KeptTune], figures: [] } : { tunes: [], figures: [thing as KeptFigures] },
      )
      await show()
    })
  const rename = button('Rename', () => item.replaceChildren(...renaming(kind, thing)), `Rename ${thing.name}`)
  const away = button(
    'Delete',
    () =>
      attempt(async () => {
        await forget(kind, thing.id)
        await show()
        tell(`“${thing.name}” is deleted.`, { name: 'Bring it back', act: again })
      }),
    `Delete ${thing.name}`,
  )
  item.append(...[...parts, rename, away].flatMap((part) => [part, ' ']))
  return item
}

function renaming(kind: Kind, thing: KeptTune | KeptFigures): readonly Node[] {
  const field = document.createElement('input')
  field.className = 'field field-long'
  field.maxLength = agreed.nameLength
  field.value = thing.name
  field.setAttribute('aria-label', `Another name for ${thing.name}`)
  const done = (): void =>
    attempt(async () => {
      const name = field.value.trim()
      if (name !== '') await keep(kind, { ...thing, name } as KeptTune & KeptFigures)
      await show()
    })
  field.addEventListener('keydown', (event) => {
    if (event.isComposing) return
    if (event.key === 'Enter') done()
    else if (event.key === 'Escape') attempt(show)
  })
  queueMicrotask(() => field.select())
  return [field, button('Keep the name', done)]
}

/** The form as it would be posted. */
function fieldsHere(): readonly (readonly [string, string])[] {
  const form = document.getElementById('brief') as HTMLFormElement
  return [...new FormData(form)].flatMap(([name, text]) => (typeof text === 'string' ? [[name, text] as const] : []))
}

/** What the tune is called: its title, or the heading of its music. */
function nameHere(): string {
  const heading = document.getElementById('music-heading')?.textContent ?? ''
  return heading.replace(/ – .*$/, '').slice(0, agreed.nameLength)
}

/** Whether something is being kept: asked for twice at once it is kept once. */
let keeping = false

async function keepOnce(): Promise<void> {
  if (keeping) return
  keeping = true
  await keepTune().finally(() => {
    keeping = false
  })
}

async function keepTune(): Promise<void> {
  const field = byId<HTMLInputElement>('mine-name')
  const wanted = field.value.trim() || nameHere()
  const there = new Set((await listKept('tunes')).map(({ name }) => name))
  const full = roomBeside(there.size, 1)
  if (full !== null) return tell(full)
  // A second one of a name stands beside the first.
  let name = wanted
  for (let n = 2; there.has(name); n++) name = `${wanted.slice(0, agreed.nameLength - 6)} (${n})`
  await keep('tunes', { id: newId(), name, fields: fieldsHere(), saved: Date.now() })
  field.value = ''
  await show()
  tell(`Kept as “${name}” on this device.`)
}

/** What has no link and is not kept either would go for good where something else opens: that is said first. */
async function mayGo(then: () => Promise<void>): Promise<boolean> {
  if (!(await settleTyped())) return false
  if (shownLink() !== null) return true
  const changes = plain(fieldsHere().find(([name]) => name === 'changes')?.[1] ?? '')
  const isKept = ({ fields }: KeptTune): boolean =>
    fields.some(([name, text]) => name === 'changes' && plain(text) === changes)
  if ((await listKept('tunes').catch(() => [])).some(isKept)) return true
  tell('What stands here is too long for a link and is not kept: it goes for good.', {
    name: 'Let it go',
    act: () => attempt(then),
  })
  return false
}

const plain = (text: string): string => text.replace(/\r\n?/g, '\n').trim()

async function openTune(tune: KeptTune): Promise<void> {
  if (await mayGo(() => goToTune(tune))) await goToTune(tune)
}

async function goToTune({ name, fields }: KeptTune): Promise<void> {
  await move({ to: new URLSearchParams(fields.map(([field, text]) => [field, text])), history: 'push' })
  tell(`“${name}” is open. Back goes to where you were.`)
}

/** Draws with other choices; null for one that is as usual again. */
async function choose(other: Readonly<Record<string, string | null>>): Promise<void> {
  const rest = fieldsHere().filter(([name]) => !(name in other))
  const chosen = Object.entries(other).filter((each): each is [string, string] => each[1] !== null)
  await move({ to: new URLSearchParams([...rest, ...chosen].map(([name, text]) => [name, text])), history: 'push' })
  await show()
}

async function openTable(file: File): Promise<void> {
  // No more than four bytes a character: what is longer need not be read.
  const csv = file.size > 4 * agreed.tableLength ? ' '.repeat(agreed.tableLength + 1) : await file.text()
  const { checkTable } = (await import(new URL('./ownTable.js', import.meta.url).href)) as {
    readonly checkTable: (csv: string) => number | string
  }
  const found =
    csv.length > agreed.tableLength
      ? 'That table is too long: leave out what is rarest. Nothing was kept.'
      : checkTable(csv)
  if (typeof found === 'string') return tell(`${file.name}: ${found}`)
  const name = file.name.replace(/\.\w+$/, '').slice(0, agreed.nameLength) || 'My figures'
  const table = { id: newId(), name, csv, saved: Date.now() }
  const there = await listKept('figures')
  const fresh = newBeside(there, [table], newId)
  const full = roomBeside(there.length, fresh.length)
  if (full !== null) return tell(full)
  await keepNew({ tunes: [], figures: fresh })
  await show()
  tell(fresh.length === 0 ? `“${name}” is kept already.` : `“${name}” is kept: ${found} figures.`)
}

async function startOver(): Promise<void> {
  if (await mayGo(beginAnew)) await beginAnew()
}

async function beginAnew(): Promise<void> {
  await move({ to: location.pathname, history: 'push' })
  await putInPlace()
  tell('Begun anew. Back brings the last line again.')
}

async function saveFile(): Promise<void> {
  const [tunes, figures] = await Promise.all([listKept('tunes'), listKept('figures')])
  save('throughline-kept.json', 'application/json', writeKept({ tunes, figures }))
  tell(`Saved: ${tunes.length} tunes, ${figures.length} tables of figures.`)
}

function save(name: string, type: string, text: string): void {
  const link = document.createElement('a')
  link.href = URL.createObjectURL(new Blob([text], { type }))
  link.download = name
  link.click()
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10_000)
}

async function openFile(file: File): Promise<void> {
  if (file.size > agreed.keptSize) return tell('That file is too long to be one of kept tunes. Nothing was changed.')
  const read = readKept(await file.text())
  if (typeof read === 'string') return tell(read)
  const there = await Promise.all([listKept('tunes'), listKept('figures')])
  const tunes = newBeside(there[0], read.things.tunes, newId)
  const figures = newBeside(there[1], read.things.figures, newId)
  const full = roomBeside(there[0].length, tunes.length) ?? roomBeside(there[1].length, figures.length)
  if (full !== null) return tell(full)
  await keepNew({ tunes, figures })
  await show()
  const left = read.left === 0 ? '' : ` ${read.left} could not be read and were left out.`
  tell(`Added ${tunes.length} tunes and ${figures.length} tables of figures; nothing was overwritten.${left}`)
}

async function deleteAll(): Promise<void> {
  await forgetAll()
  await show()
  tell('All of it is deleted.')
}
