/** From one state to the next: fetch the page of an address, swap what changed, keep the focus, and let history undo it. */
import { Idiomorph } from 'idiomorph'
import { across, askedAcross, narrow } from './across.ts'

export interface Move {
  /** An address to get, or the form's fields to post. */
  readonly to: string | URLSearchParams
  /** A new step in the history, the same step again, or a step that the browser has taken itself. */
  readonly history: 'push' | 'replace' | 'none'
}

const swapped = new EventTarget()
let going: AbortController | null = null
/** The step that is under way; null for none. */
let underWay: Move | null = null
/** Whether what is going on is a step that the browser has taken itself: there and back again is such a step too. */
let traversing = false
/** Milliseconds after which something shows that an answer is being waited for. */
const sign = 20
/** The step that did not come about; it is tried again once there is a connection. */
let lost: Move | null = null
/** Whether the last step did not come about. */
export const isLost = (): boolean => lost !== null
/** What the form said when the music in the page was written. */
let written: readonly (readonly [element: HTMLInputElement | HTMLSelectElement, value: string, checked: boolean])[] = []
let writtenText = ''

/** Calls back whenever the music in the page is new, the first time included. */
export const onMusic = (listener: (music: HTMLElement) => void): void => {
  swapped.addEventListener('music', () => listener(document.getElementById('music')!))
}

/** The address whose state stands in the page, or else the fields of it, and the bars across in its music. */
let shownAddress = plain(location.href)
let shownPosted: string | null = null
let shownAcross = document.body.dataset.across

/** The whole link of the state in the page; null where it is too long for one. */
export const shownLink = (): string | null =>
  shownAddress === '' ? null : new URL(plain(location.href), location.href).href

const isPage = (): boolean => document.body.dataset.kind === 'page'

let holdsBack = (): boolean => false
/** Asks before a step back or forward whether something else comes in its place. */
export const holdBack = (asked: () => boolean): void => {
  holdsBack = asked
}

/** What no link could hold: the fields of a step in the history, kept with it. */
interface Step {
  readonly posted: string
}
const postedOf = (state: unknown): string | null => (state as Step | null)?.posted ?? null

/** Whether the step in the history that the page stands at is of fields that no link could hold. */
export const isPosted = (): boolean => postedOf(history.state) !== null

/** Writes anew the state that the history is at, as wide as this screen is. */
function writeAnew(): void {
  const posted = postedOf(history.state)
  void move({ to: posted === null ? location.href : new URLSearchParams(posted), history: 'none' })
}

/** A jump from what no link could hold to a place in the page: a step of the browser's own, which is of the same fields. */
function isJump(): boolean {
  if (shownPosted === null || isPosted() || ['', '#stand'].includes(location.hash)) return false
  history.replaceState({ posted: shownPosted } satisfies Step, '')
  return true
}

/** Reads the page as it stands, and from now on follows the browser's back and forward. */
export function start(): void {
  if (!isPage()) return
  window.addEventListener('popstate', () => {
    // A jump within the page is no other state.
    const elsewhere = plain(location.href) !== shownAddress || traversing || isPosted()
    if (elsewhere && !isJump() && !holdsBack()) writeAnew()
  })
  narrow.addEventListener('change', () => {
    // What was typed a moment ago is written as wide, and does not go.
    if (shownAcross === across() || holdsBack()) return
    // So does a choice that is under way.
    if (underWay) void move(underWay)
    else writeAnew()
  })
  if (shownAcross !== across() || isPosted()) writeAnew()
  window.addEventListener('online', tryAgain)
  noteForm()
  swapped.dispatchEvent(new Event('music'))
}

/** Goes to a state; whether it came about. A later move gives up an earlier one that is still under way. */
export async function move({ to, history: step }: Move): Promise<boolean> {
  going?.abort()
  const controller = new AbortController()
  going = controller
  underWay = { to, history: step }
  traversing = step === 'none'
  document.getElementById('music')?.setAttribute('aria-busy', 'true')
  const waiting = window.setTimeout(() => document.body.setAttribute('data-waits', ''), sign)
  lost = null
  try {
    const response = await ask(to, controller.signal)
    const text = await response.text()
    if (controller.signal.aborted) return false
    const page = new DOMParser().parseFromString(text, 'text/html')
    if (page.body.dataset.kind !== 'page') {
      const words = page.querySelector('main')?.textContent?.trim() ?? 'There is no answer just now.'
      return fail(words.replace(/\s+/g, ' '), { to, history: step })
    }
    const posted = typeof to !== 'string' && !response.redirected
    if (buildOf(page) !== buildOf(document)) {
      outdated = true
      if (!posted && step !== 'none' && !isBusy()) return await loadWhole(response.url, step)
    }
    if (!swap(page, step === 'none')) return fail('The answer broke off.', { to, history: step })
    noteForm()
    // An answer to the post itself has no address of its own: the last one stays, and the fields are kept with the step.
    const address = plain(response.url)
    // The stand stays open, and the address goes on to say so.
    const open = document.documentElement.classList.contains('at-stand') ? '#stand' : ''
    if (posted && step === 'push') history.pushState({ posted: String(to) } satisfies Step, '')
    else if (posted && step === 'replace') history.replaceState({ posted: String(to) } satisfies Step, '')
    else if (!posted && step === 'push' && address !== plain(location.href)) history.pushState(null, '', address + open)
    // What was chosen beside the playing while the answer was under way is not of this state.
    else if (!posted && (step !== 'none' || address !== plain(location.href)))
      history.replaceState(null, '', address + open)
    shownAddress = posted ? '' : address
    shownPosted = posted ? String(to) : null
    return true
  } catch (error) {
    if (controller.signal.aborted) return false
    const wrong = error instanceof TypeError ? 'The server cannot be reached' : (error as Error).message
    return fail(`${wrong}. What plays and what is kept here still works.`, { to, history: step })
  } finally {
    window.clearTimeout(waiting)
    if (going === controller) {
      document.body.removeAttribute('data-waits')
      going = null
      underWay = null
      traversing = false
      document.getElementById('music')?.removeAttribute('aria-busy')
    }
  }
}

/** The build that a page came with. */
const buildOf = (page: Document): string | undefined =>
  /assets\/([\w-]+)\//.exec(page.querySelector('script[src*="assets/"]')?.getAttribute('src') ?? '')?.[1]

let outdated = false
/** Whether the server has another build by now than these scripts are of, which may write other lines. */
export const isOutdated = (): boolean => outdated

/** Whether something goes on here that a page loaded anew would break off: typing, or playing. */
const isBusy = (): boolean =>
  document.activeElement?.id === 'changes' || document.documentElement.classList.contains('plays')

/** Goes to a state with the scripts of its own build, which sound what is shown; nothing follows here. */
function loadWhole(address: string, step: Move['history']): Promise<never> {
  const open = document.documentElement.classList.contains('at-stand') ? '#stand' : ''
  const whole = new URL(plain(address) + open, location.href).href
  if (step === 'push') location.assign(whole)
  else location.replace(whole)
  return new Promise(() => {})
}

const typedText = (): string => (document.getElementById('changes') as HTMLTextAreaElement | null)?.value ?? ''

/** Notes what the form says now that its music stands. */
function noteForm(): void {
  const form = document.getElementById('brief') as HTMLFormElement | null
  const controls = [...(form?.elements ?? [])].filter(
    (each): each is HTMLInputElement | HTMLSelectElement =>
      each instanceof HTMLSelectElement || (each instanceof HTMLInputElement && each.type !== 'hidden'),
  )
  written = controls.map((each) => [each, each.value, each instanceof HTMLInputElement && each.checked])
  writtenText = typedText()
}

/** Nothing came of a step: the choices say again what the music is of, what was typed stays, and the step can be tried again. */
function fail(words: string, step: Move): false {
  for (const [control, value, checked] of written) {
    if (control instanceof HTMLInputElement) control.checked = checked
    control.value = value
  }
  lost = step
  const typed = typedText() !== writtenText
  if (typed) document.getElementById('music')?.classList.add('stale')
  say(`${words} ${typed ? 'The music is still of the changes as they were.' : 'The music is as it was.'}`)
  const again = document.createElement('button')
  again.type = 'button'
  again.className = 'ink'
  again.textContent = 'Try again'
  again.addEventListener('click', tryAgain)
  document.getElementById('teller')?.append(' ', again)
  return false
}

function tryAgain(): void {
  if (lost) void move(lost)
}

function ask(to: string | URLSearchParams, signal: AbortSignal): Promise<Response> {
  if (typeof to === 'string') return fetch(askedAcross(to), { signal })
  to.set('across', across())
  return fetch('./', { method: 'POST', body: to, signal })
}

/** An address without what only says how wide this screen is. */
function plain(address: string): string {
  const url = new URL(address, location.href)
  if (!url.searchParams.has('across')) return url.pathname + url.search
  url.searchParams.delete('across')
  return url.pathname + url.search
}

/** A choice that was under way when this state was asked for is not of it, whatever the browser still shows. */
function takeChoices(form: HTMLFormElement): void {
  for (const each of form.elements) {
    if (each === document.activeElement && !(each instanceof HTMLSelectElement)) continue
    // Keys of one's own are still being typed.
    if (each.id === 'keys' && document.activeElement?.id === 'keyList') continue
    if (each instanceof HTMLSelectElement) {
      const chosen = [...each.options].findIndex((option) => option.defaultSelected)
      each.selectedIndex = Math.max(0, chosen)
    } else if (each instanceof HTMLInputElement && each.type !== 'file') {
      if (each.checked !== each.defaultChecked) each.checked = each.defaultChecked
      else if (each.value !== each.defaultValue) each.value = each.defaultValue
    }
  }
}

/** Whether the page had all that is swapped; `all` of it, or but for what is being typed. */
function swap(page: Document, all: boolean): boolean {
  const form = document.getElementById('brief')
  const next = page.getElementById('brief')
  const [typed, retyped] = [document, page].map((each) => each.querySelector('.changes'))
  const music = document.getElementById('music')
  const played = page.getElementById('music')
  if (!form || !next || !typed || !retyped || !music || !played) return false
  // What was opened stays open.
  for (const details of document.querySelectorAll('details[open]')) {
    const same = [...page.querySelectorAll('details')].find(
      (each) => each.className === details.className && nth(each) === nth(details),
    )
    same?.setAttribute('open', '')
  }
  document.title = page.title
  // What is going on here, playing or a stand, goes on.
  const root = document.documentElement
  const going = ['scripted', 'at-stand', 'plays'].filter((each) => root.classList.contains(each))
  root.className = [page.documentElement.className, ...going].join(' ')
  const how = { morphStyle: 'outerHTML', ignoreActiveValue: !all, restoreFocus: true } as const
  Idiomorph.morph(form, next, how)
  Idiomorph.morph(typed, retyped, how)
  takeChoices(document.getElementById('brief') as HTMLFormElement)
  const empty = played.querySelector('.part') === null
  // What was emptied on purpose shows what to begin with.
  if (empty && played.dataset.blank === undefined && music.querySelector('.part')) {
    // Nothing to show for what is typed so far: the last music stays, faded, with what is said of it.
    music.classList.add('stale')
    say(played.querySelector('.notice')?.textContent ?? '')
    return true
  }
  shownAcross = page.body.dataset.across
  const held = document.activeElement?.closest('[data-at]')?.getAttribute('data-at')
  const inMusic = music.contains(document.activeElement) || document.activeElement?.closest('.panel') != null
  music.replaceWith(document.adoptNode(played))
  swapped.dispatchEvent(new Event('music'))
  if (inMusic) {
    const again = held ? played.querySelector<SVGElement>(`[data-at="${CSS.escape(held)}"]`) : null
    ;(again ?? played).focus({ preventScroll: true })
  }
  say(`Written: ${played.querySelector('h2')?.textContent ?? ''}`, false)
  return true
}

const nth = (details: Element): number =>
  [...(details.ownerDocument.querySelectorAll('details') ?? [])]
    .filter((each) => each.className === details.className)
    .indexOf(details as HTMLDetailsElement)

/** Says something to screen readers; what went wrong, to everyone. */
export function say(words: string, wrong = true): void {
  let teller = document.getElementById('teller')
  if (!teller) {
    teller = document.createElement('p')
    teller.id = 'teller'
    teller.setAttribute('role', 'status')
    document.body.append(teller)
  }
  teller.className = wrong ? 'teller' : 'unseen'
  teller.textContent = words
}
