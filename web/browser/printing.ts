/**
 * Printing, from the page's button and from the browser's own menu alike: every sheet of every key as paper has it, four bars a line, and
 * of the bars that are taken those alone. The browser tells of it just before and waits for nothing, so what is not there yet is
 * fetched while it waits for us.
 */

import { across } from './across.ts'
import { takenBars } from './bars.ts'
import { say } from './moving.ts'

/** Milliseconds after which no further sheet is fetched: what is missing then prints as the picture that it is on the screen. */
const patience = 20_000
/** Sheets that one key may have. */
const mostSheets = 64

/** A sheet of music from its address, at once; null where there is none to be had, 'none' where the server knows of no such sheet. */
function askNow(address: URL): SVGElement | 'none' | null {
  try {
    const request = new XMLHttpRequest()
    request.open('GET', address, false)
    request.send()
    if (request.status !== 200) return request.status === 404 || request.status === 422 ? 'none' : null
    const { documentElement } = new DOMParser().parseFromString(request.responseText, 'image/svg+xml')
    return documentElement instanceof SVGElement ? document.adoptNode(documentElement) : null
  } catch {
    return null
  }
}

function fetchNow(address: URL): SVGElement | null {
  const answer = askNow(address)
  return answer === 'none' ? null : answer
}

/** Stands on paper in place of what a sheet is on the screen. */
function putOnPaper(sheet: Element, drawn: readonly SVGElement[]): void {
  for (const each of drawn) {
    const paper = document.createElement('div')
    paper.className = 'onpaper engraved'
    paper.append(each)
    sheet.insertBefore(paper, sheet.querySelector(':scope > .code'))
  }
}

/** Whether a sheet is there, as music or as a picture. */
function isThere(sheet: Element): boolean {
  const image = sheet.querySelector<HTMLImageElement>('picture img')
  return image === null || (image.complete && image.naturalWidth > 0)
}

/** Whether a sheet prints well as it stands: four bars a line. */
const isReady = (sheet: Element): boolean => across() === '4' && isThere(sheet)

/** The taken bars of a key, on as many sheets as they need; none where one of them is not to be had. */
function takenSheets(address: URL, bars: string, until: number): readonly SVGElement[] {
  const drawn: SVGElement[] = []
  address.searchParams.set('bars', bars)
  address.searchParams.delete('v')
  for (let sheet = 1; sheet <= mostSheets && performance.now() < until; sheet++) {
    address.searchParams.set('sheet', String(sheet))
    const svg = askNow(address)
    if (!svg) return []
    if (svg === 'none') break
    drawn.push(svg)
  }
  return drawn
}

/** Stands on paper where a sheet should, and is said on the screen: what is missing is never a blank. */
function sayMissing(sheet: Element): void {
  const paper = document.createElement('p')
  paper.className = 'onpaper notice'
  paper.textContent = 'This music could not be fetched from the server: print it again once there is a connection.'
  sheet.prepend(paper)
  say('Not all of the music could be fetched for printing: print again once there is a connection.')
}

function prepare(): void {
  clear()
  const until = performance.now() + patience
  const taken = takenBars()
  for (const part of document.querySelectorAll('.part')) {
    const sheets = [...part.querySelectorAll<HTMLElement>('.sheet')]
    const [first] = sheets
    if (taken && first?.dataset.paper) {
      const drawn = takenSheets(new URL(first.dataset.paper, location.href), taken.join('-'), until)
      putOnPaper(first, drawn)
      if (drawn.length === 0) sayMissing(first)
      for (const sheet of sheets.slice(1)) sheet.classList.add('offpaper')
      continue
    }
    for (const sheet of sheets) {
      const { paper } = sheet.dataset
      if (isReady(sheet)) continue
      const svg = !paper || performance.now() > until ? null : fetchNow(new URL(paper, location.href))
      if (svg) putOnPaper(sheet, [svg])
      else if (!isThere(sheet)) sayMissing(sheet)
    }
  }
}

function clear(): void {
  for (const each of document.querySelectorAll('.onpaper')) each.remove()
  for (const each of document.querySelectorAll('.offpaper')) each.classList.remove('offpaper')
}

export function watchPrinting(): void {
  window.addEventListener('beforeprint', prepare)
  window.addEventListener('afterprint', clear)
  document.addEventListener('click', (event) => {
    if ((event.target as Element).closest('[data-do="print"], [data-do="print-bars"]')) window.print()
  })
}
