/** Printing: pictures that wait to be scrolled to are fetched first. */

export function watchPrinting(): void {
  const hurry = (): readonly HTMLImageElement[] => {
    const waiting = [...document.querySelectorAll<HTMLImageElement>('.part img[loading="lazy"]:not(.narrow)')]
    for (const image of waiting) image.loading = 'eager'
    return waiting
  }
  window.addEventListener('beforeprint', hurry)
  document.addEventListener('click', (event) => {
    if (!(event.target as Element).closest('[data-do="print"]')) return
    const images = hurry()
    void Promise.allSettled(images.map((image) => image.decode())).then(() => window.print())
  })
}
