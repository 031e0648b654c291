/** The sound of the page, fetched when it is first wanted: playing, practising, and the notes lit while they sound. */
import './sound.css'
import { type Brief, limits, readBrief } from '../../lib/brief.ts'
import { prefixOfPart } from '../../lib/score/meiMarks.ts'
import { heardParts } from '../../lib/sound/clicks.ts'
import { withSigns } from '../../lib/theory/signs.ts'
import { Player } from './player.ts'
import { makePanel } from './soundPanel.ts'
import type { BarMark, Fields } from './soundTalk.ts'

const player = new Player(new URL('./soundWorker.js', import.meta.url), {
  onState: (state, message) => {
    document.documentElement.classList.toggle('plays', state !== 'stopped')
    sayState(state, message)
    for (const button of document.querySelectorAll<HTMLButtonElement>(
      ':is(#sound, .standbar) :is([data-do="play"], [data-do="stop"])',
    )) {
      button.dataset.do = state === 'stopped' ? 'play' : 'stop'
      button.textContent = state === 'stopped' ? 'Play' : 'Stop'
    }
  },
  onReady: ({ bars, tempo, swing, replaced }) => {
    usual = tempo
    panel.ready(bars, tempo, swing)
    remark = replaced.join(' · ')
  },
  onNow: (bar, sounding) => {
    light(sounding)
    if (bar) sayBar(bar)
  },
})

const panel = makePanel({
  onChoice: (name, text) => choose(name, text),
  onFrom: (bar) => {
    from = bar
  },
  onLevel: (part, level) => {
    levels.set(part, level)
    balance()
  },
})

const levels = new Map<Brief['hear'][number], number>()
let fields: Fields = {}
let from: number | null = null
/** The tempo of the tune where none is chosen. */
let usual = 120
let open = false
let loopedByMark = false

/** Parts that are not to be heard are turned down, so that they can come back in the middle of a bar. */
function balance(): void {
  const { brief } = readBrief(fields)
  const heard = heardParts({ feel: brief.feel, hear: panel.hears() })
  for (const part of ['line', 'bass', 'chords', 'drums', 'click'] as const)
    player.level(part, heard.includes(part) ? (levels.get(part) ?? 1) : 0)
}

/** Does what a button of the sound asks for. */
export function doSound(deed: string): void {
  mount()
  if (deed === 'play') void player.play(fields, from)
  else if (deed === 'stop') player.stop()
  else if (deed === 'practise') show(!open)
  else if (deed === 'slower') slower()
  else if (deed === 'heard') rememberWord()
  else if (deed === 'tempo-down') takeTempo(tempoNow() - 4)
  else if (deed === 'tempo-up') takeTempo(tempoNow() + 4)
  else if (deed === 'tempo-typed') takeTempo(Number(standTempo().value))
  else if (deed === 'tap') tap()
  else if (deed === 'loop') goRound()
  else if (deed === 'loop-bars') loopBars()
}

const standTempo = (): HTMLInputElement => document.getElementById('stand-tempo') as HTMLInputElement
const tempoNow = (): number => readBrief(fields).brief.tempo ?? usual

/** Takes a tempo within the limits; what is no number leaves it as it was. */
function takeTempo(wanted: number): void {
  const [least, most] = limits.tempo
  const tempo = Number.isFinite(wanted) && wanted > 0 ? Math.min(most, Math.max(least, Math.round(wanted))) : tempoNow()
  standTempo().value = String(tempo)
  if (tempo !== tempoNow()) choose('tempo', String(tempo))
}

/** Times of the last taps, in milliseconds; a pause of two seconds begins anew. */
let taps: readonly number[] = []
function tap(): void {
  const now = performance.now()
  taps = [...(now - (taps.at(-1) ?? 0) < 2000 ? taps.slice(-4) : []), now]
  if (taps.length > 2) takeTempo((60_000 * (taps.length - 1)) / (now - taps[0]!))
}

/** Goes round until stopped, or once. */
function goRound(): void {
  choose('passes', fields.passes === '0' ? null : '0')
  sayRound()
}

function sayRound(): void {
  document.querySelector('.standbar [data-do="loop"]')?.setAttribute('aria-pressed', String(fields.passes === '0'))
  const strip = document.querySelector<HTMLElement>('.chosenbars')
  const pressed = strip?.dataset.bars !== undefined && strip.dataset.bars === fields.loop
  strip?.querySelector('[data-do="loop-bars"]')?.setAttribute('aria-pressed', String(pressed))
}

/** Takes the tempo down by a step of the climb, 5 % where there is none, and goes on in the same pass. */
function slower(): void {
  const { brief } = readBrief(fields)
  const step = brief.faster ?? { by: 5, unit: '%' }
  const by = Math.abs(step.by)
  const now = brief.tempo ?? usual
  const down = Math.round(step.unit === '%' ? now / (1 + by / 100) : now - by)
  const tempo = String(Math.max(limits.tempo[0], down))
  write({ tempo })
  panel.show(fields)
  player.change(fields, false)
  // What the stand says is what a tap notes.
  standTempo().value = tempo
  writeTempo()
}

/** The heading says the tempo, so the music is written again. */
const writeTempo = (): void => {
  document.getElementById('tempo')?.dispatchEvent(new Event('change', { bubbles: true }))
}

/** The music in the page is new: its buttons come back to life, and what plays goes on with it. */
export function renewSound(): void {
  const before = saidBy(fields)
  mount()
  if (saidBy(fields) !== before) player.change(fields, false)
}

/** What fields say, in whatever order they stand. */
const saidBy = (given: Fields): string => JSON.stringify(Object.entries(given).sort(([a], [b]) => (a < b ? -1 : 1)))

/** Goes round the bars taken, and plays; once more, and it plays the whole again. */
function loopBars(): void {
  const bars = document.querySelector<HTMLElement>('.chosenbars')?.dataset.bars
  if (!bars) return
  if (loopedByMark && fields.loop === bars) leaveLoop()
  else {
    loopedByMark = true
    choose('loop', bars, { passes: '0' })
    if (!player.playing) void player.play(fields, null)
  }
  sayRound()
}

function leaveLoop(): void {
  if (!loopedByMark) return
  loopedByMark = false
  choose('loop', null, fields.passes === '0' ? { passes: null } : {})
  sayRound()
}

document.addEventListener('release', leaveLoop)

function mount(): void {
  const sound = document.getElementById('sound')
  if (!sound) return
  fields = JSON.parse(document.getElementById('fields')?.textContent || '{}') as Fields
  usual = Number(sound.dataset.tempo) || usual
  panel.usualTempo(usual)
  sayRound()
  if (panel.root.parentElement !== sound) {
    sound.querySelector('[data-do="practise"]')?.after(panel.status)
    sound.append(panel.root)
    volumeWord(sound)
    const play = sound.querySelector<HTMLButtonElement>('[data-do="play"]')
    if (play && player.playing) {
      play.dataset.do = 'stop'
      play.textContent = 'Stop'
    }
    show(open)
  }
  panel.show(fields)
  balance()
}

function show(wanted: boolean): void {
  open = wanted
  panel.root.hidden = !wanted
  document.querySelector('#sound [data-do="practise"]')?.setAttribute('aria-expanded', String(wanted))
}

/** Makes a choice of the brief: in the address, in the form, in what plays. */
function choose(name: keyof Brief, text: string | null, more: Readonly<Record<string, string | null>> = {}): void {
  // The page shows every key that is played.
  const keys = name === 'keyAfter' && text !== null && fields.keys === undefined
  write({ [name]: text, ...more, ...(keys ? { keys: 'fourths' } : {}) })
  panel.show(fields)
  // Another tempo begins its own climb.
  if (name !== 'hear') player.change(fields, name === 'tempo')
  balance()
  if (keys) showKeys()
  if (name === 'tempo') writeTempo()
}

function showKeys(): void {
  const keys = document.getElementById('keys') as HTMLSelectElement | null
  if (!keys) return
  keys.value = 'fourths'
  keys.dispatchEvent(new Event('change', { bubbles: true }))
}

/** Writes choices into the fields that the page keeps, the form that it posts and the address that can be sent. */
function write(chosen: Readonly<Record<string, string | null>>): void {
  const now: Record<string, string> = { ...fields }
  const form = document.getElementById('brief')
  const url = new URL(location.href)
  for (const [name, text] of Object.entries(chosen)) {
    if (text === null) delete now[name]
    else now[name] = text
    if (text === null) url.searchParams.delete(name)
    else url.searchParams.set(name, text)
    const field = form?.querySelector<HTMLInputElement>(`input[name="${name}"]`)
    if (field) field.value = text ?? ''
    else if (text !== null && form) {
      const made = document.createElement('input')
      made.type = 'hidden'
      made.name = name
      made.value = text
      form.append(made)
    }
    if (field?.type === 'hidden' && text === null) field.remove()
  }
  fields = now
  const script = document.getElementById('fields')
  if (script) script.textContent = JSON.stringify(now)
  history.replaceState(history.state, '', url)
  for (const link of document.querySelectorAll<HTMLAnchorElement>('.recordings a')) {
    const file = new URL(link.href)
    for (const [name, text] of Object.entries(chosen))
      if (text === null) file.searchParams.delete(name)
      else file.searchParams.set(name, text)
    link.href = file.href
  }
}

let lit: readonly string[] = []
const still = window.matchMedia('(prefers-reduced-motion: reduce)')

function light(ids: readonly string[]): void {
  for (const id of lit) if (!ids.includes(id)) document.getElementById(id)?.classList.remove('sounding')
  for (const id of ids) {
    const note = document.getElementById(id)
    if (!note || note.classList.contains('sounding')) continue
    note.classList.add('sounding')
  }
  lit = ids
}

/** Brings the bar that is played into view, in the key that is played, unless someone has turned elsewhere a moment ago. */
function follow({ part, bar }: BarMark): void {
  if (part === 0 || bar === 0) return
  document.dispatchEvent(new CustomEvent('bar', { detail: { part, bar } }))
  if (performance.now() - scrolled < 4000) return
  const measure = document.getElementById(`${prefixOfPart(part)}measure-${bar}`)
  const system = measure?.closest('.system') ?? document.querySelector(sheetOf(part, bar))
  if (!system) return
  const bars = document.querySelector('.standbar')?.getBoundingClientRect()
  const foot = bars && bars.height > 0 ? bars.top : window.innerHeight
  const box = system.getBoundingClientRect()
  if (box.top >= 0 && box.bottom <= foot) return
  window.scrollBy({ top: box.top - 8, behavior: still.matches ? 'auto' : 'smooth' })
}

/** The picture of a sheet that is not music yet. */
function sheetOf(part: number, bar: number): string {
  const sheets = [...document.querySelectorAll<HTMLElement>(`.sheet[data-part="${part}"]`)]
  const found = sheets.find(({ dataset }) => Number(dataset.from) <= bar && bar <= Number(dataset.to))
  return `.sheet[data-part="${part}"][data-from="${found?.dataset.from ?? 0}"]`
}

let scrolled = Number.NEGATIVE_INFINITY
for (const way of ['wheel', 'touchmove', 'turned'] as const)
  window.addEventListener(
    way,
    () => {
      scrolled = performance.now()
    },
    { passive: true },
  )

function sayState(state: 'waiting' | 'playing' | 'stopped', message: string | null): void {
  panel.status.classList.toggle('wrong', message !== null)
  panel.status.textContent = message ?? (state === 'waiting' ? 'A moment…' : '')
}

/** Something to say beside the bar while it plays. */
let remark = ''
let said: BarMark | null = null
function sayBar(bar: BarMark): void {
  if (bar === said) return
  said = bar
  follow(bar)
  const place = bar.bar === 0 ? 'Counting in' : `Bar ${bar.bar}`
  const key = withSigns(bar.key)
  const words = [place, `pass ${bar.pass}`, `♩ = ${Math.round(bar.tempo)}`, `in ${key}`]
  if (bar.lineOut) words.push('you play')
  if (remark !== '') words.push(remark)
  // Read on screen only: a voice that counts every bar would talk over the music.
  panel.status.setAttribute('aria-live', 'off')
  panel.status.textContent = words.join(' · ')
  const where = document.querySelector('.standbar .where')
  if (where) where.textContent = `${bar.bar === 0 ? 'Count' : place} · ${key}`
}

const wordKey = 'throughline.volume-word'

/** A word on volume and pauses, once, where playing starts. */
function volumeWord(sound: HTMLElement): void {
  let heard = false
  try {
    heard = localStorage.getItem(wordKey) !== null
  } catch {
    // Without storage it is said each time.
  }
  if (heard || sound.querySelector('.word')) return
  const word = document.createElement('p')
  word.className = 'word'
  word.append(
    'Start softly and turn it up from there, above all with headphones. Rest your lip, hands and ears every half hour, and stop where something hurts. ',
  )
  const done = document.createElement('button')
  done.type = 'button'
  done.className = 'ink'
  done.dataset.do = 'heard'
  done.textContent = 'I will'
  word.append(done)
  sound.append(word)
}

function rememberWord(): void {
  document.querySelector('#sound .word')?.remove()
  try {
    localStorage.setItem(wordKey, 'said')
  } catch {
    // Then it is said again next time.
  }
}
