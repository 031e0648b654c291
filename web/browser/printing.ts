/** Printing: pictures that wait to be scrolled to are fetched first. */

import { onMusic } from './moving.ts'

export function watchPrinting(): void {
  const hurry = (): readonly HTMLImageElement[] => {
    const waiting = [...document.querySelectorAll<HTMLImageElement>('.part img[loading="lazy"]:not(.narrow)')]
    for (const image of waiting) image.loading = 'eager'
    return waiting
  }
  window.addEventListener('beforeprint', hurry)
  document.addEventListener('click', (event) => {
    const strip = (event.target as Element).closest('[data-do="print-bars"]')?.closest('.chosenbars')
    const only = strip?.querySelector<HTMLButtonElement>('[name="only"]')
    // Alone on the page, and so on paper; back to the whole afterwards.
    if (only) {
      let printed = false
      onMusic(() => {
        if (printed) return
        printed = true
        window.addEventListener('afterprint', () => history.back(), { once: true })
        window.print()
      })
      only.click()
    }
    if (!(event.target as Element).closest('[data-do="print"]')) return
    const images = hurry()
    void Promise.allSettled(images.map((image) => image.decode())).then(() => window.print())
  })
}
