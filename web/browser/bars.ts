/** Bars taken: one by a tap anywhere in it, several by a second tap, a drag or Shift; what can be done with them stands at the foot. */
import { onMusic, say } from './moving.ts'
import { onSheet } from './sheets.ts'
import { atStand } from './stand.ts'

type Bars = readonly [number, number]

const svgNamespace = 'http://www.w3.org/2000/svg'
let taken: Bars | null = null
/** Where a range is stretched from. */
let anchor = 0
/** Taken for a note that is being chosen about, and let go with it. */
let forNote = false
/** A pointer that went down in a bar, until it comes up. */
let dragged: { readonly from: number; readonly pointer: number; moved: boolean } | null = null
let swallow = false

/** A place on the screen, in CSS pixels. */
interface Point {
  readonly x: number
  readonly y: number
}

let pressed: Point | null = null

export const takenBars = (): Bars | null => taken

export function watchBars(): void {
  onMusic((music) => {
    tintRests(music)
    const shown = [...document.querySelectorAll('.engraved g.measure')].map(numberOf)
    // What stands there alone needs no mark.
    if (taken && shown[0] === taken[0] && shown.at(-1) === taken[1]) taken = null
    // Bars that another tune does not have are let go.
    const ends = [...music.querySelectorAll<HTMLElement>('.sheet')].map(({ dataset }) => Number(dataset.to))
    if (taken && ends.length > 0 && taken[1] > Math.max(...ends)) release()
    showTaken()
  })
  onSheet((sheet) => {
    tintRests(sheet)
    showTaken()
  })
  document.addEventListener('pointerdown', (event) => {
    pressed = { x: event.clientX, y: event.clientY }
    const inMusic = event.button === 0 && event.isPrimary && !atStand() && isMusic(event.target as Element)
    const from = inMusic && !event.shiftKey ? barAt(event.clientX, event.clientY) : null
    dragged = from === null ? null : { from, pointer: event.pointerId, moved: false }
  })
  document.addEventListener('pointermove', (event) => {
    if (dragged?.pointer !== event.pointerId) return
    const bar = barAt(event.clientX, event.clientY)
    if (bar === null || (bar === dragged.from && !dragged.moved)) return
    dragged.moved = true
    anchor = dragged.from
    stretchTo(bar)
  })
  document.addEventListener('pointerup', () => {
    swallow = dragged?.moved === true
    // Where no click follows, the next one counts again.
    if (swallow) window.setTimeout(() => (swallow = false), 0)
    dragged = null
    bringUp()
  })
  document.addEventListener('pointercancel', () => (dragged = null))
}

/**
 * Where a click was meant: where the finger came down, since a browser moves a tap to what can be pressed near by. Keys, which come
 * down nowhere, mean what they press; null.
 */
export const meantPoint = (event: MouseEvent): Point | null => (event.detail > 0 ? pressed : null)

/** Whether a click is but the end of a drag. */
export const endsDrag = (): boolean => swallow

const isMusic = (element: Element): boolean => element.closest('.engraved') !== null

const numberOf = (measure: Element): number => Number(/measure-(\d+)$/.exec(measure.id)?.[1] ?? Number.NaN)

/** The staff lines of a measure, from bar line to bar line, on the screen. */
const linesOf = (measure: Element): DOMRect | undefined =>
  measure.querySelector('.staff > path')?.getBoundingClientRect()

/** The bar at a point of the screen: anywhere between its bar lines, from what stands above its staff to what stands below. */
export function barAt(x: number, y: number): number | null {
  const sheet = document.elementsFromPoint(x, y).find((element) => element.matches('.engraved'))
  if (!sheet) return null
  const systems = [...sheet.querySelectorAll('.system')].map((system) => ({
    system,
    box: system.getBoundingClientRect(),
  }))
  const row = systems.findIndex(({ box }, i) => {
    const next = systems[i + 1]?.box
    return y < (next ? (box.bottom + next.top) / 2 : box.bottom + 1)
  })
  const found = systems[row]
  if (!found || (row === 0 && y < found.box.top)) return null
  const measures = [...found.system.querySelectorAll('g.measure')]
  const at = measures.find((measure) => {
    const box = linesOf(measure)
    return box && x >= box.left && x <= box.right
  })
  return at ? numberOf(at) : null
}

/** A tap in a bar beside its notes. */
export function tapBar(bar: number, shift: boolean): void {
  const alone = taken && taken[0] === taken[1] && !forNote
  if (!shift && alone && taken?.[0] === bar) release()
  else if (shift || alone) stretchTo(bar)
  else takeAlone(bar)
}

/** A tap on a note: true where it only stretched what is taken, and is no choice of the note. */
export function tapNote(bar: number, shift: boolean): boolean {
  if (shift) {
    stretchTo(bar)
    return true
  }
  if (taken && !forNote) {
    const inside = bar >= taken[0] && bar <= taken[1]
    if (inside) return false
    if (taken[0] === taken[1]) {
      stretchTo(bar)
      return true
    }
  }
  takeAlone(bar)
  forNote = true
  return false
}

/** Lets go what was taken for a note. */
export function releaseNote(): void {
  if (forNote) release()
}

function takeAlone(bar: number): void {
  forNote = false
  anchor = bar
  take([bar, bar])
}

/** Takes the bars from where taking began to this one. */
export function stretchTo(bar: number): void {
  forNote = false
  if (!taken && !dragged) anchor = anchor || bar
  take([Math.min(anchor, bar), Math.max(anchor, bar)])
}

/** Where the next range begins, for the keyboard. */
export function beginAt(bar: number): void {
  if (!taken) anchor = bar
}

export function release(): void {
  forNote = false
  anchor = 0
  take(null)
}

function take(bars: Bars | null): void {
  if (taken?.[0] === bars?.[0] && taken?.[1] === bars?.[1]) return
  taken = bars
  showTaken()
  if (!dragged) bringUp()
  if (bars) say(nameOf(bars), false)
  // The sound listens, to leave a loop of them.
  else document.dispatchEvent(new Event('release'))
}

const nameOf = ([from, to]: Bars): string => (from === to ? `Bar ${from}` : `Bars ${from} to ${to}`)

/** Tints the bars taken, in every key, and offers what can be done with them. */
function showTaken(): void {
  for (const old of document.querySelectorAll('.barwash, .chosenbars')) old.remove()
  if (!taken) return
  const [from, to] = taken
  for (const measure of document.querySelectorAll<SVGGElement>('.engraved g.measure')) {
    const bar = numberOf(measure)
    if (bar >= from && bar <= to) tint(measure, 'barwash')
  }
  document.getElementById('music')?.append(makeStrip(taken))
}

/** Marks the bars that are rests because they could not be read. */
function tintRests(within: HTMLElement): void {
  const rests = document.getElementById('music')?.dataset.rests?.split(',').map(Number) ?? []
  if (rests.length === 0) return
  for (const measure of within.querySelectorAll<SVGGElement>('.engraved g.measure'))
    if (rests.includes(numberOf(measure))) tint(measure, 'barwrong')
}

function tint(measure: SVGGElement, name: 'barwash' | 'barwrong'): void {
  const lines = [...measure.querySelectorAll<SVGGraphicsElement>('.staff > path')].map((line) => line.getBBox())
  const [first, last] = [lines[0], lines.at(-1)]
  if (!first || !last) return
  const rect = document.createElementNS(svgNamespace, 'rect')
  const margin = (last.y - first.y) * 0.6
  rect.setAttribute('class', name)
  rect.setAttribute('x', String(first.x))
  rect.setAttribute('y', String(first.y - margin))
  rect.setAttribute('width', String(first.width))
  rect.setAttribute('height', String(last.y - first.y + 2 * margin))
  measure.prepend(rect)
}

function makeStrip(bars: Bars): HTMLElement {
  const strip = document.createElement('div')
  strip.className = 'chosenbars'
  strip.setAttribute('role', 'group')
  strip.setAttribute('aria-label', nameOf(bars))
  const value = bars.join('-')
  strip.dataset.bars = value
  const name = document.createElement('strong')
  name.textContent = nameOf(bars)
  strip.append(name)
  const button = (text: string, deed: { readonly does: string } | { readonly posts: string }): void => {
    const made = document.createElement('button')
    made.className = 'ink'
    made.textContent = text
    if ('does' in deed) {
      made.type = 'button'
      made.dataset.do = deed.does
    } else {
      made.name = deed.posts
      made.value = value
      made.setAttribute('form', 'brief')
    }
    strip.append(made)
  }
  button('Loop', { does: 'loop-bars' })
  button('New notes in these bars', { posts: 'another' })
  button('Keep', { posts: 'keep' })
  button('Show only these bars', { posts: 'only' })
  button('Print', { does: 'print-bars' })
  button('All bars', { does: 'unmark' })
  return strip
}

/** The system that the last bar taken stands in. */
function lastSystem(): Element | null {
  const measures = [...document.querySelectorAll('.engraved g.measure')]
  return measures.find((measure) => numberOf(measure) === taken?.[1])?.closest('.system') ?? null
}

/** The strip lies at the foot of the screen: the bar last taken comes up from under it. */
function bringUp(): void {
  const [strip, system] = [document.querySelector('.chosenbars'), lastSystem()]
  if (!strip || !system) return
  const [foot, box] = [strip.getBoundingClientRect().top, system.getBoundingClientRect()]
  if (box.bottom > foot) window.scrollBy(0, Math.min(box.bottom - foot + 4, box.top - 4))
}

/** Scrolls so that what stands under a system is seen, as far as the system itself stays in sight. */
export function revealUnder(system: Element, under: Element): void {
  const bar = document.querySelector('.standbar')?.getBoundingClientRect()
  const foot = bar && bar.height > 0 ? bar.top : window.innerHeight
  const hidden = under.getBoundingClientRect().bottom + 6 - foot
  const room = system.getBoundingClientRect().top - 4
  if (room < 0) window.scrollBy(0, room)
  else if (hidden > 0) window.scrollBy(0, Math.min(hidden, room))
}
