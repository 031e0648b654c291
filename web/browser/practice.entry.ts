/** A plan followed day by day: what to play today, a tap for how it went, and what came of it. All of it stays in this browser. */
import { dayAt } from '../../lib/practice/days.ts'
import { addressOfItem } from '../../lib/practice/itemAddress.ts'
import { stretchName } from '../../lib/practice/knowledge.ts'
import { dueOf, gridOf, weeksOf } from '../../lib/practice/looks.ts'
import { gridSvg, weeksSvg } from '../../lib/practice/looksSvg.ts'
import type { PracticePlan } from '../../lib/practice/plan.ts'
import { entryOf, type PlanItem, planDay, type Why } from '../../lib/practice/planDay.ts'
import { unpackPlan } from '../../lib/practice/planLink.ts'
import { checkClock, readRecord } from '../../lib/practice/readRecord.ts'
import {
  addEntries,
  clearRecord,
  deleteEntries,
  type Entry,
  lostPlans,
  mergeRecords,
  type PracticeRecord,
  putPlanAway,
  takePlan,
  writeRecord,
} from '../../lib/practice/record.ts'
import { type Verdict, verdicts } from '../../lib/practice/spacing.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import { askedAcross } from './across.ts'
import { onOtherTab } from './database.ts'
import { keepOpened, minutesSince, timeOpened, verdictWords } from './openedItem.ts'
import { tempoPlayed } from './playedTempo.ts'
import { changeRecord, type HeldRecord, inWords, readHeld } from './practiceRecord.ts'

const byId = <T extends HTMLElement>(id: string): T => document.getElementById(id) as T
const whyWords: Readonly<Record<Why, string>> = {
  'new key': 'a key to begin',
  new: 'new',
  'fell apart': 'fell apart last time',
  'taken apart': 'taken apart, to be put together',
  due: 'due again',
  'kept alive': 'kept alive',
}
/** The plan that is followed, and whether a day of rest is to be filled all the same. */
let chosen: string | null = null
let anyway = false

function make<K extends keyof HTMLElementTagNameMap>(
  name: K,
  className: string,
  ...inside: readonly (string | Node)[]
): HTMLElementTagNameMap[K] {
  const made = document.createElement(name)
  if (className !== '') made.className = className
  made.append(...inside)
  return made
}

function button(text: string, act: () => void, label = text): HTMLButtonElement {
  const made = make('button', 'ink', text)
  made.type = 'button'
  if (label !== text) made.setAttribute('aria-label', label)
  made.addEventListener('click', act)
  return made
}

function say(words: string, more?: { readonly name: string; readonly act: () => void }): void {
  const line = byId('practice-said')
  line.replaceChildren(words)
  if (more)
    line.append(
      ' ',
      button(more.name, () => {
        line.replaceChildren()
        more.act()
      }),
    )
}

/** Does something; what stands in its way is said. */
function attempt(deed: () => Promise<void>): void {
  deed().catch((error: unknown) => say(error instanceof Error ? error.message : String(error)))
}

const change = async (how: (record: PracticeRecord) => PracticeRecord): Promise<void> => show(await changeRecord(how))

const sayBars = ([from, to]: readonly [number, number]): string =>
  from === to ? `bar ${from}` : `bars ${from} to ${to}`
const sayPlan = ({ title, keys, goal }: PracticePlan): string =>
  `${title || 'Untitled'}: ${keys.length} ${keys.length === 1 ? 'key' : 'keys'}, to ♩ = ${goal}`
const plural = (count: number, one: string): string => `${count} ${count === 1 ? one : `${one}s`}`

/** Everything that hangs on the record, written anew. */
function show({ record, problems }: HeldRecord): void {
  const focused = document.activeElement?.getAttribute('aria-label') ?? null
  const plans = record.plans.map(({ plan }) => plan)
  const plan = plans.find(({ id }) => id === chosen) ?? plans[0] ?? null
  chosen = plan?.id ?? null
  showPlans(plans, plan, record)
  showToday(plan, record)
  showLooks(plan, record)
  showTaps(record)
  // What has the focus is written anew with the rest.
  if (focused !== null && document.activeElement === document.body)
    document
      .querySelector<HTMLElement>(`.practice [aria-label="${CSS.escape(focused)}"]`)
      ?.focus({ preventScroll: true })
  const clock = checkClock(record, Date.now())
  const lost = lostPlans(record)
  const words = [
    ...problems.map(inWords),
    ...(clock ? [inWords(clock)] : []),
    ...(lost.length > 0
      ? [
          `${plural(lost.length, 'plan')} that entries name ${lost.length === 1 ? 'is' : 'are'} no longer here; the entries stay.`,
        ]
      : []),
  ]
  if (words.length > 0) say(words.join(' '))
}

function showPlans(plans: readonly PracticePlan[], plan: PracticePlan | null, record: PracticeRecord): void {
  const place = byId('practice-plans')
  if (!plan) {
    place.replaceChildren(
      make(
        'p',
        '',
        'No plan is open here. Open the link that a teacher gave you, or choose “Practise this day by day” under a line.',
      ),
    )
    return
  }
  const choice = document.createElement('select')
  choice.id = 'practice-plan'
  choice.append(...plans.map((each) => new Option(sayPlan(each), each.id, false, each.id === plan.id)))
  choice.addEventListener('change', () => {
    chosen = choice.value
    anyway = false
    attempt(async () => show(await readHeld()))
  })
  const label = make('label', '', 'Plan ', choice)
  const away = button('Put this plan away', () => {
    const { taken } = record.plans.find((each) => each.plan.id === plan.id) ?? { taken: 0 }
    attempt(async () => {
      await change((now) => putPlanAway(now, plan.id, Math.max(Date.now(), taken)))
      say('The plan is put away; its entries stay.', {
        name: 'Take it up again',
        act: () => attempt(() => change((now) => takePlan(now, plan, Date.now() + 1))),
      })
    })
  })
  place.replaceChildren(make('p', 'tools', label, away))
}

function showToday(plan: PracticePlan | null, record: PracticeRecord): void {
  const place = byId('practice-today').querySelector('div')!
  byId('practice-today').hidden = plan === null
  if (!plan) return
  const day = dayAt(Date.now())
  const today = planDay(plan, record, day, { anyway })
  if (today.rest) {
    const all = button('Play all the same', () => {
      anyway = true
      attempt(async () => show(await readHeld()))
    })
    place.replaceChildren(make('p', '', 'A day of rest: nothing is asked for. Rest is part of the work. '), all)
    return
  }
  const played = record.entries.filter((entry) => entry.plan === plan.id && entry.day === day)
  const rows = today.items.flatMap((item, i) => {
    const taps = played.filter((entry) => stretchName(entry.key, entry.bars) === item.id)
    const pause = today.pauses.find(({ after }) => after === i)
    const rest = pause
      ? [make('li', 'pause', `Pause: ${plural(pause.minutes, 'minute')}, hands and lips at rest.`)]
      : []
    return [itemRow(plan, item, taps), ...rest]
  })
  const list = make('ol', 'practice-list', ...rows)
  place.replaceChildren(
    make('p', '', `${plural(today.items.length, 'thing')}, ${plural(today.minutes, 'minute')} with pauses.`),
    list,
  )
  keepForLater(today.items.map((item) => here(plan, item)))
}

const here = (plan: PracticePlan, item: PlanItem): string =>
  new URL(addressOfItem(plan, item).replace(/^\//, './'), new URL('../../', import.meta.url)).href

/** Today's music is fetched while there is a connection, so that it opens without one. */
function keepForLater(addresses: readonly string[]): void {
  if (!('serviceWorker' in navigator)) return
  void navigator.serviceWorker.ready.then(({ active }) => {
    for (const address of addresses) active?.postMessage(askedAcross(address).href)
  })
}

function itemRow(plan: PracticePlan, item: PlanItem, taps: readonly Entry[]): HTMLLIElement {
  const name = `${withSigns(item.key)}, ${sayBars(item.bars)}`
  const how = `♩ = ${item.tempo}, ${plural(item.passes, 'time')}, ${plural(item.minutes, 'minute')}; ${whyWords[item.why]}`
  const last = taps.at(-1)
  const link = make('a', '', 'To the stand')
  link.href = `${here(plan, item)}#stand`
  link.setAttribute('aria-label', `To the stand: ${name}`)
  link.addEventListener('click', () => {
    keepOpened({ plan: plan.id, item, opened: Date.now(), at: link.href })
  })
  const tap = (verdict: Verdict) =>
    button(verdictWords[verdict], () => attempt(() => note(plan, item, verdict)), `${verdictWords[verdict]}: ${name}`)
  const row = make(
    'li',
    last ? 'done' : '',
    make('span', 'what', make('strong', '', name), `, ${how}${last ? `. ${verdictWords[last.verdict]}` : ''} `),
    link,
    ...verdicts.map(tap),
  )
  return row
}

/** Milliseconds within which the same tap on an item is the other half of a double click, or a key held down. */
const bounce = 700
let tapped = { what: '', at: Number.NEGATIVE_INFINITY }

async function note(plan: PracticePlan, item: PlanItem, verdict: Verdict): Promise<void> {
  const time = Date.now()
  const what = `${plan.id} ${item.id} ${verdict}`
  const again = tapped.what === what && performance.now() - tapped.at < bounce
  tapped = { what, at: performance.now() }
  if (again) return
  const id = globalThis.crypto?.randomUUID?.() ?? `${time.toString(36)}-${Math.random().toString(36).slice(2, 12)}`
  const entry = entryOf(plan, item, {
    id,
    verdict,
    time,
    day: dayAt(time),
    tempo: tempoPlayed(plan.id, item),
    minutes: minutesSince(timeOpened(plan.id, item), item),
  })
  await change((record) => addEntries(record, [entry]))
  say(`Noted: ${verdictWords[verdict].toLowerCase()}, ♩ = ${entry.tempo}, ${plural(entry.minutes, 'minute')}.`, {
    name: 'Take it back',
    act: () => attempt(() => change((record) => deleteEntries(record, [id]))),
  })
}

const picture = (svg: string): HTMLElement => {
  const drawn = new DOMParser().parseFromString(svg, 'image/svg+xml').documentElement
  return make('div', 'looks', document.adoptNode(drawn))
}

function showLooks(plan: PracticePlan | null, record: PracticeRecord): void {
  const place = byId('practice-looks').querySelector('div')!
  byId('practice-looks').hidden = plan === null
  if (!plan) return
  const due = dueOf(plan, record, dayAt(Date.now())).filter(({ since }) => since >= 0)
  const list = due.slice(0, 12).map(({ key, bars, tempo, since }) => {
    const when = since === 0 ? 'today' : `since ${plural(since, 'day')}`
    return make('li', '', `${withSigns(key)}, ${sayBars(bars)}, ♩ = ${tempo}: ${when}`)
  })
  place.replaceChildren(
    make('h3', '', 'Keys and tempos'),
    make('p', 'fine', 'In each box how many bars hold at that tempo; a tick: all of them; a dash: tried.'),
    picture(gridSvg(gridOf(plan, record))),
    make('h3', '', 'Minutes by week'),
    picture(weeksSvg(weeksOf(record, plan.id))),
    make('h3', '', 'Due'),
    list.length === 0 ? make('p', '', 'Nothing yet.') : make('ul', '', ...list),
  )
}

function showTaps(record: PracticeRecord): void {
  const rows = record.entries.slice(-12).reverse()
  byId('practice-taps').hidden = rows.length === 0
  byId('practice-taps')
    .querySelector('ul')!
    .replaceChildren(
      ...rows.map(({ id, day, key, bars, tempo, minutes, verdict }) => {
        const words = `${day}: ${withSigns(key)}, ${sayBars(bars)}, ♩ = ${tempo}, ${plural(minutes, 'minute')}, ${verdictWords[verdict].toLowerCase()}`
        return make(
          'li',
          '',
          words,
          button('Delete', () => attempt(() => change((now) => deleteEntries(now, [id]))), `Delete ${words}`),
        )
      }),
    )
}

/** Takes up the plan that the link's fragment holds. */
async function openLink(): Promise<void> {
  const packed = location.hash.slice(1)
  if (packed === '') return show(await readHeld())
  const { plan, problems } = unpackPlan(packed)
  if (!plan) {
    show(await readHeld())
    return say(`This link holds no plan that can be read. ${problems.map(inWords).join(' ')} Nothing was changed.`)
  }
  chosen = plan.id
  await change((record) =>
    record.plans.some((each) => each.plan.id === plan.id) ? record : takePlan(record, plan, Date.now()),
  )
}

/** Puts a file's record together with this one; what was deleted there goes here too, but not before it is said. */
async function putTogether(file: File): Promise<void> {
  const read = readRecord(await file.text())
  if (!read.record) return say(read.problems.map(inWords).join(' '))
  await merge(read.record, read.problems, false)
}

async function merge(theirs: PracticeRecord, problems: HeldRecord['problems'], agreed: boolean): Promise<void> {
  let added = 0
  let gone: readonly string[] = []
  await change((mine) => {
    const both = mergeRecords(mine, theirs)
    const [entries, plans] = [new Set(both.entries.map(({ id }) => id)), new Set(both.plans.map(({ plan }) => plan.id))]
    const lost = [
      mine.entries.filter(({ id }) => !entries.has(id)).length,
      mine.plans.filter(({ plan }) => !plans.has(plan.id)).length,
    ] as const
    added = both.entries.length - mine.entries.length + lost[0]
    gone = [
      ...(lost[0] > 0 ? [`${count(lost[0], 'entry')} of this record ${lost[0] === 1 ? 'was' : 'were'} deleted`] : []),
      ...(lost[1] > 0 ? [`${count(lost[1], 'plan')} put away`] : []),
    ]
    return gone.length > 0 && !agreed ? mine : both
  })
  if (gone.length > 0 && !agreed)
    return say(`In that file ${gone.join(', ')}: put together, the same goes here. Nothing was changed so far.`, {
      name: 'Put them together',
      act: () => attempt(() => merge(theirs, problems, true)),
    })
  say([`Put together: ${count(added, 'entry')} more.`, ...problems.map(inWords)].join(' '))
}

const count = (some: number, one: string): string => plural(some, one).replace('entrys', 'entries')

async function saveFile(): Promise<void> {
  const { record } = await readHeld()
  const link = document.createElement('a')
  link.href = URL.createObjectURL(new Blob([writeRecord(record)], { type: 'application/json' }))
  link.download = `practice-${dayAt(Date.now())}.json`
  link.click()
  window.setTimeout(() => URL.revokeObjectURL(link.href), 10_000)
}

document.addEventListener('click', (event) => {
  const deed = (event.target as Element).closest<HTMLElement>('[data-practice]')?.dataset.practice
  if (deed === 'export') attempt(saveFile)
  if (deed === 'clear')
    say('Every entry and plan of this record goes for good.', {
      name: 'Yes, delete it',
      act: () => attempt(() => change((record) => clearRecord(record, Date.now()))),
    })
})
byId<HTMLInputElement>('practice-file').addEventListener('change', (event) => {
  const input = event.target as HTMLInputElement
  const file = input.files?.[0]
  if (file) attempt(() => putTogether(file).finally(() => (input.value = '')))
})
window.addEventListener('hashchange', () => attempt(openLink))
onOtherTab(() => attempt(async () => show(await readHeld())))
attempt(openLink)
