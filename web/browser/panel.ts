/** The panel of what can be chosen about a note, under its bar. */
import { releaseNote, revealUnder, takenBars } from './bars.ts'
import { say, shownLink } from './moving.ts'

let opener: Element | null = null
/** Counts what was asked for, so that an answer which nobody waits for any more opens nothing. */
let asked = 0

/** Opens the panel for the note at a place, called up by that note or by a word that names it. */
export async function openPanel(by: Element, at: string): Promise<void> {
  if (shownLink() === null) {
    // The address is still that of what stood here before.
    say('Each choice at a note is a link, and these changes are too long for one: choose with fewer bars.')
    return
  }
  const url = new URL('choices', location.href)
  url.search = location.search
  url.searchParams.delete('across')
  // The first visit shows an example that the address does not name.
  url.searchParams.set('at', at)
  const taken = takenBars()
  if (taken && taken[0] !== taken[1]) url.searchParams.set('chosen', taken.join('-'))
  url.searchParams.set('bare', 'yes')
  asked += 1
  const mine = asked
  const text = await fetch(url).then(
    (answer) => answer.text(),
    () => null,
  )
  if (mine !== asked) return
  if (text === null)
    return say('The server cannot be reached, so there are no choices just now: try the note again in a moment.')
  const page = new DOMParser().parseFromString(text, 'text/html')
  const choices = page.querySelector('.choices') ?? insideOf(page)
  drop()
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
  opener = by
  place()
  const note = document.querySelector(`[data-at="${CSS.escape(at)}"]`)
  revealUnder(note?.closest('.system') ?? by, panel)
  panel.querySelector<HTMLElement>('#choices-heading')?.focus({ preventScroll: true })
}

/** What another page says, as a part of this one. */
function insideOf(page: Document): HTMLElement {
  const part = page.createElement('div')
  part.append(...(page.querySelector('main')?.childNodes ?? []))
  return part
}

/** Under the system of the note, so that it never covers the bar, and moves with the page. */
function place(): void {
  const panel = document.querySelector<HTMLElement>('dialog.panel')
  if (!panel || !opener) return
  const box = opener.getBoundingClientRect()
  const system = (opener.closest('.system') ?? opener).getBoundingClientRect()
  const width = panel.getBoundingClientRect().width
  const most = document.documentElement.clientWidth - width - 8
  panel.style.top = `${system.bottom + 6 + window.scrollY}px`
  panel.style.left = `${Math.max(0, Math.min(Math.max(8, box.left + box.width / 2 - width / 2), most))}px`
}

export const panelOpen = (): boolean => document.querySelector('dialog.panel[open]') !== null

function drop(): void {
  document.querySelector('dialog.panel')?.remove()
  for (const lit of document.querySelectorAll('.lit')) lit.classList.remove('lit')
}

/** Closes the panel, and lets its bar go; the focus goes back to what called it up where asked. */
export function closePanel(giveBack: boolean): void {
  asked += 1
  drop()
  if (giveBack && opener?.isConnected) (opener as HTMLElement).focus({ preventScroll: true })
  opener = null
  releaseNote()
}

export function watchPanel(): void {
  window.addEventListener('resize', place)
}
