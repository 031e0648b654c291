/** The stand: the music alone, as large as the screen allows, with a bar of controls that never leaves. */
import { onMusic } from './moving.ts'

const root = document.documentElement
let lock: WakeLockSentinel | null = null

/** Whether the focus was last set by a pointer. */
let pointed = false

/** What a tap works; a tap anywhere else on the stand turns the page. */
const worksItself = 'button, a, input, select, label, summary, .standbar'

export const atStand = (): boolean => root.classList.contains('at-stand')

const button = (deed: string, text: string, label = text): HTMLButtonElement => {
  const made = document.createElement('button')
  made.type = 'button'
  made.className = 'ink'
  made.dataset.do = deed
  made.textContent = text
  if (label !== text) made.setAttribute('aria-label', label)
  return made
}

/** The bar: what plays is told by its script, the rest is done here. */
function makeBar(): HTMLElement {
  const bar = document.createElement('div')
  bar.className = 'standbar'
  bar.setAttribute('role', 'toolbar')
  bar.setAttribute('aria-label', 'Stand')
  const play = button('play', 'Play')
  play.classList.add('main')
  const tempo = document.createElement('input')
  tempo.className = 'field'
  tempo.id = 'stand-tempo'
  tempo.inputMode = 'numeric'
  tempo.setAttribute('aria-label', 'Tempo, beats a minute')
  const where = document.createElement('span')
  where.className = 'where'
  const next = button('next', 'Next', 'Next line')
  bar.append(
    play,
    button('tempo-down', '−', 'Slower'),
    tempo,
    button('tempo-up', '+', 'Faster'),
    button('tap', 'Tap', 'Tap the tempo'),
    where,
    button('loop', 'Loop'),
    next,
    button('large', 'Aa', 'Large print'),
    button('leave', '×', 'Close the stand'),
  )
  return bar
}

export function watchStand(): void {
  if (document.body.dataset.kind !== 'page') return
  const bar = makeBar()
  // In the page's main part, so that who goes by landmarks finds it.
  document.querySelector('main')?.append(bar)
  const tempo = bar.querySelector<HTMLInputElement>('#stand-tempo')!
  onMusic((music) => {
    const said = music.querySelector<HTMLElement>('#sound')?.dataset.tempo
    if (said && document.activeElement !== tempo) tempo.value = said
    sayLarge()
  })
  document.addEventListener('click', (event) => {
    const target = event.target as Element
    const deed = target.closest<HTMLElement>('[data-do]')?.dataset.do
    if (deed === 'stand') enter()
    else if (deed === 'leave') leave()
    else if (deed === 'large') changeSize()
    else if (deed === 'next') document.querySelector<HTMLButtonElement>('button[name="another"][value="all"]')?.click()
    else if (atStand() && !deed && target.closest('main') && !target.closest(worksItself))
      turn(event.clientX < window.innerWidth / 3 ? -1 : 1)
  })
  document.addEventListener('keydown', onKey)
  document.addEventListener('pointerdown', () => (pointed = true), true)
  document.addEventListener('keydown', ({ key }) => (pointed &&= key !== 'Tab'), true)
  // A screen that was put away lets go of the lock; it is taken again when the screen comes back.
  document.addEventListener('visibilitychange', () => {
    if (document.visibilityState === 'visible' && atStand()) void stayAwake()
  })
}

const print = (): HTMLSelectElement | null => document.getElementById('print') as HTMLSelectElement | null

/** Large print, with fewer bars on a line, or the usual size again. */
function changeSize(): void {
  const field = print()
  if (!field) return
  field.value = field.value === 'large' ? 'normal' : 'large'
  field.dispatchEvent(new Event('change', { bubbles: true }))
  sayLarge()
}

const sayLarge = (): void =>
  document
    .querySelector('.standbar [data-do="large"]')
    ?.setAttribute('aria-pressed', String(print()?.value === 'large'))

/** The address says that the stand is open, so that it is when the address is opened again. */
function sayInAddress(hash: '#stand' | ''): void {
  history.replaceState(history.state, '', location.pathname + location.search + hash)
}

function enter(): void {
  root.classList.add('at-stand')
  sayInAddress('#stand')
  window.scrollTo(0, 0)
  document.querySelector<HTMLElement>('.standbar button')?.focus({ preventScroll: true })
  void stayAwake()
  // Where a browser has no full screen, the music fills its window.
  void root.requestFullscreen?.().catch(() => {})
}

function leave(): void {
  root.classList.remove('at-stand')
  sayInAddress('')
  void lock?.release()
  lock = null
  if (document.fullscreenElement) void document.exitFullscreen()
  document.querySelector<HTMLElement>('#sound [data-do="stand"]')?.focus()
}

async function stayAwake(): Promise<void> {
  try {
    lock = (await navigator.wakeLock?.request('screen')) ?? null
  } catch {
    // Where it is not allowed, the screen goes dark as it always does.
  }
}

/** Turns so that the first line not wholly seen comes to the top, or back by a screen. */
function turn(way: 1 | -1): void {
  // What plays does not turn back at once.
  window.dispatchEvent(new Event('turned'))
  const foot = window.innerHeight - (document.querySelector('.standbar')?.getBoundingClientRect().height ?? 0)
  const lines = [...document.querySelectorAll('.engraved .system, .part picture')].map((each) =>
    each.getBoundingClientRect(),
  )
  const next =
    way === 1 ? lines.find((box) => box.bottom > foot + 2 && box.top > 8) : lines.find((box) => box.top > 8 - foot)
  // Before the first line stands the title.
  if (way === -1 && next === lines[0]) window.scrollTo(0, 0)
  else window.scrollBy({ top: next ? next.top - 6 : way * foot * 0.8 })
}

const turning: Readonly<Record<string, 1 | -1>> = {
  ArrowRight: 1,
  ArrowDown: 1,
  PageDown: 1,
  ArrowLeft: -1,
  ArrowUp: -1,
  PageUp: -1,
}

/** Keys of the stand, which foot pedals send too; Space plays and stops wherever it has no other work. */
function onKey(event: KeyboardEvent): void {
  if (event.defaultPrevented || event.ctrlKey || event.metaKey || event.altKey) return
  const on = event.target as HTMLElement
  if (on.closest('input:not([type="checkbox"], [type="range"]), textarea')) return
  // Who came to a thing by keyboard works it with Space; what was clicked last does not hold the music back.
  const worked = on.closest('select, summary, a, dialog, button, input, [data-note]') && !pointed
  if (event.key === ' ' && (atStand() || !worked)) {
    const deed = '.standbar :is([data-do="play"], [data-do="stop"])'
    event.preventDefault()
    if (document.getElementById('sound')) document.querySelector<HTMLButtonElement>(deed)?.click()
    return
  }
  if (!atStand() || on.closest('select, input[type="range"]')) return
  if (event.key === 'Escape') leave()
  const way = turning[event.key]
  if (way === undefined) return
  event.preventDefault()
  turn(way)
}
