/** The music: notes that can be chosen by pointer and keyboard, what may stand there instead, and bars marked off. */
import { across, move, onMusic } from './moving.ts'
import { atStand } from './stand.ts'

interface ShownNote {
  readonly id: string
  readonly at: string
  readonly bar: number
  readonly role: 'target' | 'cell' | 'approach' | 'connect'
  readonly label: string
  readonly kept: boolean
  readonly figure: number | null
}

const svgNamespace = 'http://www.w3.org/2000/svg'
let notes: readonly ShownNote[] = []
/** The bars marked off, first and last; null for none. */
let marked: readonly [number, number] | null = null
let anchor = 0

export function watchMusic(): void {
  onMusic(prepare)
  document.addEventListener('click', onClick)
  document.addEventListener('keydown', onKey)
  // Marking bars off with Shift must not mark text.
  document.addEventListener('mousedown', (event) => {
    if (event.shiftKey && (event.target as Element).closest('.engraved')) event.preventDefault()
  })
}

/** Makes each note of the staff a thing to choose: one stop for Tab, arrows from there. */
function prepare(music: HTMLElement): void {
  closePanel(false)
  const data = music.querySelector('#staff-notes')?.textContent
  notes = data ? (JSON.parse(data) as ShownNote[]) : []
  let stop = true
  const reachable: SVGGElement[] = []
  for (const svg of music.querySelectorAll('.engraved > svg')) {
    svg.setAttribute('role', 'group')
    for (const inner of svg.querySelectorAll('svg')) inner.setAttribute('role', 'presentation')
  }
  for (const note of notes) {
    const element = document.getElementById(note.id)
    if (!element) continue
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
  addReach(reachable)
  wash()
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
  if (doing === 'unmark') mark(null)
  if (doing) return
  const link = target.closest<HTMLAnchorElement>('a[href]')
  if (link && plainClick(event)) {
    if (link.closest('.shelf, .standing, .choices ul, .chosenbars')) {
      event.preventDefault()
      mark(null)
      void move({ to: link.href, history: 'push' })
      return
    }
    if (link.closest('.words') && link.pathname === '/choices') {
      event.preventDefault()
      void openPanel(link, new URL(link.href).searchParams.get('at')!)
      return
    }
  }
  if (atStand()) return
  const note = noteAt(target)
  if (note) {
    setStop(note)
    if (event.shiftKey) extend(Number(note.dataset.bar))
    else void openPanel(note, note.dataset.at!)
    return
  }
  const bar = barAt(target)
  if (bar !== null && target.closest('.engraved')) {
    if (event.shiftKey) extend(bar)
    else if (marked && marked[0] === bar && marked[1] === bar) mark(null)
    else {
      anchor = bar
      mark([bar, bar])
    }
    return
  }
  if (!target.closest('.panel')) closePanel(false)
}

const plainClick = (event: MouseEvent): boolean =>
  event.button === 0 && !event.ctrlKey && !event.metaKey && !event.shiftKey && !event.altKey

function barAt(element: Element): number | null {
  const measure = element.closest('g.measure')
  const note = measure?.querySelector<SVGElement>('[data-bar]')
  return note ? Number(note.dataset.bar) : null
}

function onKey(event: KeyboardEvent): void {
  if (event.key === 'Escape') {
    if (document.querySelector('dialog.panel[open]')) {
      event.preventDefault()
      closePanel(true)
    } else if (marked) mark(null)
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
    void openPanel(note, note.dataset.at!)
    return
  }
  const next = to[event.key]
  if (!next) return
  event.preventDefault()
  const found = next()
  if (!found) return
  if (event.shiftKey && !marked) anchor = Number(note.dataset.bar)
  setStop(found)
  found.focus()
  if (event.shiftKey) extend(Number(found.dataset.bar))
}

function setStop(note: SVGGElement): void {
  for (const each of document.querySelectorAll('.engraved [data-note][tabindex="0"]'))
    each.setAttribute('tabindex', '-1')
  note.setAttribute('tabindex', '0')
}

/** The dialog with what can be chosen, beside the note or at the foot of a narrow screen. */
async function openPanel(by: Element, at: string): Promise<void> {
  const url = new URL('/choices', location.href)
  url.search = location.search
  url.searchParams.delete('across')
  // The first visit shows an example that the address does not name.
  url.searchParams.set('at', at)
  if (marked) url.searchParams.set('chosen', `${marked[0]}-${marked[1]}`)
  url.searchParams.set('bare', 'yes')
  const response = await fetch(url)
  const page = new DOMParser().parseFromString(await response.text(), 'text/html')
  const choices = page.querySelector('.choices') ?? page.querySelector('main')
  if (!choices) return
  closePanel(false)
  const panel = document.createElement('dialog')
  panel.className = 'panel'
  panel.setAttribute('aria-labelledby', 'choices-heading')
  const close = document.createElement('button')
  close.type = 'button'
  close.className = 'ink close'
  close.dataset.do = 'close'
  close.textContent = 'Close'
  panel.append(close, document.adoptNode(choices))
  document.body.append(panel)
  panel.show()
  place(panel, by)
  opener = by
  lightUp(at)
  panel.querySelector<HTMLElement>('#choices-heading')?.focus({ preventScroll: true })
}

let opener: Element | null = null

function place(panel: HTMLElement, by: Element): void {
  const box = by.getBoundingClientRect()
  const room = panel.getBoundingClientRect()
  if (across() === '2') {
    // On a narrow screen the panel lies at the foot: the note comes up from under it.
    const hidden = box.bottom + 40 - room.top
    if (hidden > 0) window.scrollBy(0, hidden)
    return
  }
  const below = box.bottom + 14 + room.height <= window.innerHeight || box.top < room.height + 14
  const top = below ? Math.min(box.bottom + 14, window.innerHeight - room.height - 8) : box.top - room.height - 14
  const left = Math.min(Math.max(8, box.left + box.width / 2 - room.width / 2), window.innerWidth - room.width - 8)
  panel.style.top = `${Math.max(8, top)}px`
  panel.style.left = `${left}px`
}

function closePanel(giveBack: boolean): void {
  const panel = document.querySelector<HTMLDialogElement>('dialog.panel')
  if (!panel) return
  panel.remove()
  for (const lit of document.querySelectorAll('.lit')) lit.classList.remove('lit')
  if (giveBack && opener?.isConnected) (opener as HTMLElement).focus({ preventScroll: true })
  opener = null
}

/** The note that is being chosen about, and the figure it belongs to, stand out. */
function lightUp(at: string): void {
  const note = notes.find((each) => each.at === at)
  if (!note) return
  const together = note.figure === null ? [note] : notes.filter((each) => each.figure === note.figure)
  for (const each of [note, ...together]) document.getElementById(each.id)?.classList.add('lit')
}

function extend(bar: number): void {
  if (anchor === 0) anchor = bar
  mark([Math.min(anchor, bar), Math.max(anchor, bar)])
}

function mark(bars: readonly [number, number] | null): void {
  marked = bars
  wash()
  // The sound part of the page listens, to loop them.
  document.dispatchEvent(new CustomEvent('bars', { detail: bars }))
}

/** Tints the bars marked off, and offers what can be done with them. */
function wash(): void {
  for (const old of document.querySelectorAll('.barwash, .chosenbars')) old.remove()
  if (!marked) return
  const [from, to] = marked
  for (const measure of document.querySelectorAll<SVGGElement>('.engraved g.measure')) {
    const bar = barAt(measure.firstElementChild ?? measure)
    if (bar === null || bar < from || bar > to) continue
    const staff = measure.querySelector<SVGGraphicsElement>('.staff > path')
    const lines = [...measure.querySelectorAll<SVGGraphicsElement>('.staff > path')]
    if (!staff) continue
    const first = staff.getBBox()
    const last = lines.at(-1)!.getBBox()
    const rect = document.createElementNS(svgNamespace, 'rect')
    const margin = (last.y - first.y) * 0.6
    rect.setAttribute('class', 'barwash')
    rect.setAttribute('x', String(first.x))
    rect.setAttribute('y', String(first.y - margin))
    rect.setAttribute('width', String(first.width))
    rect.setAttribute('height', String(last.y - first.y + 2 * margin))
    measure.prepend(rect)
  }
  const bar = document.createElement('div')
  bar.className = 'chosenbars'
  bar.setAttribute('role', 'group')
  const words = from === to ? `Bar ${from}` : `Bars ${from} to ${to}`
  bar.setAttribute('aria-label', words)
  bar.append(words)
  const button = (text: string, name: string, value: string): void => {
    const made = document.createElement('button')
    made.className = 'ink'
    made.textContent = text
    if (name === '') {
      made.type = 'button'
      made.dataset.do = value
    } else {
      made.type = 'submit'
      made.name = name
      made.value = value
      made.setAttribute('form', 'brief')
    }
    bar.append(made)
  }
  button('New notes in these bars', 'another', `${from}-${to}`)
  button('Show only these bars', 'only', `${from}-${to}`)
  button('All bars', '', 'unmark')
  document.getElementById('music')?.append(bar)
}

export { across }
