/** The page without its server: the script that keeps what was seen is started once the page stands. */

export function watchOffline(): void {
  if (!('serviceWorker' in navigator)) return
  const begin = async (): Promise<void> => {
    // This script lies in a folder of its build, two below the root of the site.
    await navigator.serviceWorker.register(new URL('../../service-worker.js', import.meta.url))
    const { active } = await navigator.serviceWorker.ready
    active?.postMessage(location.href)
  }
  // Where a browser does not let it, the page is as it is without.
  const start = (): void => void begin().catch(() => {})
  if (document.readyState === 'complete') start()
  else window.addEventListener('load', start)
}
