/** Sheets that stand as pictures become music of the page once they are come to or played, so that each note can be chosen and lit. */
import { askedAcross } from './across.ts'
import { onMusic } from './moving.ts'

const brought = new EventTarget()

/** Calls back with each sheet that has become music, after the page's own. */
export const onSheet = (listener: (sheet: HTMLElement) => void): void =>
  brought.addEventListener('sheet', (event) => listener((event as CustomEvent<HTMLElement>).detail))

/** Bars before a sheet's first at which it is brought while playing. */
const early = 8

export function watchSheets(): void {
  const near = new IntersectionObserver(
    (entries) => {
      for (const { isIntersecting, target } of entries) if (isIntersecting) void bring(target as HTMLElement)
    },
    { rootMargin: '800px 0px' },
  )
  onMusic((music) => {
    near.disconnect()
    for (const sheet of music.querySelectorAll('.sheet[data-music]')) near.observe(sheet)
  })
  document.addEventListener('bar', (event) => {
    const { part, bar } = (event as CustomEvent<{ readonly part: number; readonly bar: number }>).detail
    for (const sheet of document.querySelectorAll<HTMLElement>(`.sheet[data-part="${part}"][data-music]`))
      if (Number(sheet.dataset.from) <= bar + early && bar <= Number(sheet.dataset.to)) void bring(sheet)
  })
}

async function bring(sheet: HTMLElement): Promise<void> {
  const address = sheet.dataset.music
  if (!address) return
  delete sheet.dataset.music
  try {
    const response = await fetch(askedAcross(address))
    if (!response.ok) throw new Error(response.statusText)
    const svg = new DOMParser().parseFromString(await response.text(), 'image/svg+xml').documentElement
    if (!sheet.isConnected) return
    const engraved = document.createElement('div')
    engraved.className = 'engraved'
    engraved.append(document.adoptNode(svg))
    sheet.querySelector('picture')?.replaceWith(engraved)
    brought.dispatchEvent(new CustomEvent('sheet', { detail: sheet }))
  } catch {
    // The picture stays, and the next time it is come to it is asked for again.
    sheet.dataset.music = address
  }
}
