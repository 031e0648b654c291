/** The music: its notes as things to choose, by pointer and keyboard, and where a click on the page leads. */
import type { ShownNote } from '../shared/agreed.ts'
import { barAt, beginAt, endsDrag, meantPoint, release, stretchTo, tapBar, tapNote } from './bars.ts'
import { settleTyped } from './editing.ts'
import { move, onMusic } from './moving.ts'
import { closePanel, openPanel, panelOpen } from './panel.ts'
import { onSheet } from './sheets.ts'
import { atStand } from './stand.ts'

const svgNamespace = 'http://www.w3.org/2000/svg'
let notes: readonly ShownNote[] = []

export function watchMusic(): void {
  onMusic((music) => {
    closePanel(false)
    const data = music.querySelector('#staff-notes')?.textContent
    notes = data ? (JSON.parse(data) as ShownNote[]) : []
    prepare(music)
  })
  onSheet(prepare)
  document.addEventListener('click', onClick)
  document.addEventListener('keydown', onKey)
  // Marking bars off with Shift must not mark text.
  document.addEventListener('mousedown', (event) => {
    if (event.shiftKey && (event.target as Element).closest('.engraved')) event.preventDefault()
  })
}

/** Makes each note of the staff a thing to choose: one stop for Tab, arrows from there. */
function prepare(within: HTMLElement): void {
  const reachable: SVGGElement[] = []
  for (const svg of within.querySelectorAll('.engraved > svg')) {
    svg.setAttribute('role', 'group')
    for (const inner of svg.querySelectorAll('svg')) inner.setAttribute('role', 'presentation')
  }
  let stop = document.querySelector('[data-note][tabindex="0"]') === null
  for (const note of notes) {
    const element = document.getElementById(note.id)
    if (!element || element.hasAttribute('data-note')) continue
    element.setAttribute('data-note', note.role)
    element.setAttribute('data-at', note.at)
    element.setAttribute('data-bar', String(note.bar))
    element.setAttribute('role', 'button')
    element.classList.toggle('kept', note.kept)
    element.setAttribute('aria-label', note.label)
    element.setAttribute('tabindex', stop ? '0' : '-1')
    stop = false
    reachable.push(element as unknown as SVGGElement)
  }
  // Notes of further keys are there to be lit.
  const others = [...within.querySelectorAll<SVGGElement>('.engraved [id^="k"].note')]
  addReach([...reachable, ...others])
}

/** A note is small: an unseen field around its head and stem takes the pointer, and a ring shows which one is meant. */
function addReach(elements: readonly SVGGElement[]): void {
  const found = elements.flatMap((element) => {
    const head = element.querySelector<SVGGraphicsElement>('.notehead')
    if (!head) return []
    const stem = element.querySelector<SVGGraphicsElement>('.stem')?.getBBox()
    return [{ element, head: head.getBBox(), stem, scale: head.getScreenCTM()?.a || 1 }]
  })
  for (const { element, head, stem, scale } of found) {
    const least = 24 / scale
    const top = Math.min(head.y, stem?.y ?? head.y)
    const bottom = Math.max(head.y + head.height, stem ? stem.y + stem.height : 0)
    const width = Math.max(head.width, least)
    const height = Math.max(bottom - top, least)
    const size = Math.max(head.width, least)
    const shape = (name: string, x: number, y: number, w: number, h: number): void => {
      const rect = document.createElementNS(svgNamespace, 'rect')
      rect.setAttribute('class', name)
      rect.setAttribute('x', String(x))
      rect.setAttribute('y', String(y))
      rect.setAttribute('width', String(w))
      rect.setAttribute('height', String(h))
      rect.setAttribute('rx', String(size / 2))
      element.prepend(rect)
    }
    const middle = head.x + head.width / 2
    shape('ring', middle - size / 2, head.y + head.height / 2 - size / 2, size, size)
    shape('reach', middle - width / 2, (top + bottom) / 2 - height / 2, width, height)
  }
}

const noteAt = (element: Element | null): SVGGElement | null => element?.closest<SVGGElement>('[data-note]') ?? null

function onClick(event: MouseEvent): void {
  const target = event.target as Element
  const doing = target.closest<HTMLElement>('[data-do]')?.dataset.do
  if (doing === 'close') closePanel(true)
  if (doing === 'unmark') release()
  if (doing || endsDrag()) return
  const link = target.closest<HTMLAnchorElement>('a[href]')
  if (link && plainClick(event)) {
    if (link.closest('.shelf, .standing, .choices ul, .chosenbars')) {
      event.preventDefault()
      release()
      void follow(link.href)
      return
    }
    if (link.closest('.words') && link.pathname.endsWith('/choices')) {
      event.preventDefault()
      choose(link, new URL(link.href).searchParams.get('at')!)
      return
    }
  }
  if (atStand()) return
  const point = meantPoint(event)
  const meant = point && target.closest('.engraved') ? barAt(point.x, point.y) : null
  const note = noteAt(target)
  // A tap that the browser moved to a note of the bar beside is a tap in its own bar.
  const moved = note && point && meant !== null && meant !== Number(note.dataset.bar)
  if (note && !(moved && !noteAt(document.elementFromPoint(point.x, point.y) ?? target))) {
    setStop(note)
    // A note held over the bar line is tapped in the bar that it is held into as well.
    if (!tapNote(meant ?? Number(note.dataset.bar), event.shiftKey)) choose(note, note.dataset.at!)
    return
  }
  if (target.closest('.panel, .chosenbars')) return
  closePanel(false)
  if (meant !== null) tapBar(meant, event.shiftKey)
}

/** Goes where a link leads, which was made for the changes as they were: what was typed since stays a step in the history. */
async function follow(address: string): Promise<void> {
  if (await settleTyped()) await move({ to: address, history: 'push' })
}

/** Opens what can be chosen at a place, and shows which note is meant. */
function choose(by: Element, at: string): void {
  void openPanel(by, at).then(() => lightUp(at))
}

const plainClick = (event: MouseEvent): boolean =>
  event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey

function onKey(event: KeyboardEvent): void {
  if (event.key === 'Escape') {
    if (panelOpen()) {
      event.preventDefault()
      closePanel(true)
    } else {
      closePanel(false)
      release()
    }
    return
  }
  const note = noteAt(document.activeElement)
  if (!note || event.ctrlKey || event.metaKey || event.altKey) return
  const all = [...document.querySelectorAll<SVGGElement>('.engraved [data-note]')]
  const here = all.indexOf(note)
  const landings = (from: number, step: number): SVGGElement | undefined => {
    for (let i = from + step; i >= 0 && i < all.length; i += step) if (all[i]!.dataset.note === 'target') return all[i]
    return undefined
  }
  const to: Record<string, () => SVGGElement | undefined> = {
    ArrowRight: () => all[here + 1],
    ArrowLeft: () => all[here - 1],
    ArrowDown: () => landings(here, 1),
    ArrowUp: () => landings(here, -1),
    Home: () => all[0],
    End: () => all.at(-1),
  }
  if (event.key === 'Enter' || event.key === ' ') {
    event.preventDefault()
    choose(note, note.dataset.at!)
    return
  }
  const next = to[event.key]
  if (!next) return
  event.preventDefault()
  const found = next()
  if (!found) return
  if (event.shiftKey) beginAt(Number(note.dataset.bar))
  setStop(found)
  found.focus()
  if (event.shiftKey) stretchTo(Number(found.dataset.bar))
}

function setStop(note: SVGGElement): void {
  for (const each of document.querySelectorAll('.engraved [data-note][tabindex="0"]'))
    each.setAttribute('tabindex', '-1')
  note.setAttribute('tabindex', '0')
}

/** The note that is being chosen about, and the figure it belongs to, stand out. */
function lightUp(at: string): void {
  const note = notes.find((each) => each.at === at)
  if (!note) return
  const together = note.figure === null ? [note] : notes.filter((each) => each.figure === note.figure)
  for (const each of [note, ...together]) document.getElementById(each.id)?.classList.add('lit')
}
