/** The page without its server: the script that keeps what was seen is started once the page stands. */
import { askedAcross } from './across.ts'

export function watchOffline(): void {
  if (!('serviceWorker' in navigator)) return
  const begin = async (): Promise<void> => {
    // This script lies in a folder of its build, two below the root of the site.
    const isKept = navigator.serviceWorker.controller !== null
    await navigator.serviceWorker.register(new URL('../../service-worker.js', import.meta.url))
    const { active } = await navigator.serviceWorker.ready
    // A page that came through the script is kept already; asked for again as wide as it came first, it would replace what is seen.
    if (!isKept) active?.postMessage(askedAcross(location.href).href)
  }
  // Where a browser does not let it, the page is as it is without.
  const start = (): void => void begin().catch(() => {})
  if (document.readyState === 'complete') start()
  else window.addEventListener('load', start)
}
