/**
 * What the page does without its server: pages are asked of the server each time and kept as they were last seen; what belongs
 * to a build never changes and comes from here. The server puts the build's name, and what belongs to it, before this script.
 */
interface Build {
  readonly build: string
  /** Files of the build that the page and its sound need, from the root of the site. */
  readonly files: readonly string[]
}

interface Extendable extends Event {
  waitUntil(work: Promise<unknown>): void
}
interface Fetched extends Extendable {
  readonly request: Request
  respondWith(answer: Promise<Response>): void
}
interface Worker {
  readonly throughlineBuild: Build
  readonly registration: { readonly scope: string }
  readonly clients: { claim(): Promise<void> }
  skipWaiting(): Promise<void>
  addEventListener(kind: 'install' | 'activate', listener: (event: Extendable) => void): void
  addEventListener(kind: 'fetch', listener: (event: Fetched) => void): void
  addEventListener(kind: 'message', listener: (event: Extendable & { readonly data: unknown }) => void): void
}

const worker = self as unknown as Worker
const { build, files } = worker.throughlineBuild
const root = new URL(worker.registration.scope)
/** Two copies of the page on one site, below paths of their own, keep apart what they hold. */
const stores = `throughline ${root.pathname} `
const assets = `${stores}assets ${build}`
const pages = `${stores}pages`
/** Pages and pictures that are kept; the ones seen longest ago go first. */
const most = 80
/** Paths below the root that are kept as last seen. */
const seenPaths = ['', 'help', 'figures', 'mark', 'choices', 'sheet.svg', 'practice']

/** Stores from before they said whose they are. */
const isOld = (name: string): boolean => /^throughline (assets \S+|pages)$/.test(name)

const below = (url: URL): string | null =>
  url.origin === root.origin && url.pathname.startsWith(root.pathname) ? url.pathname.slice(root.pathname.length) : null

/**
 * Whether an answer is a file of a build. Who stands between, as a network that first asks for a name, answers 200 to everything with
 * a page of its own, and kept it would be the script for ever.
 */
const isFile = (answer: Response): boolean => answer.ok && !typeOf(answer).startsWith('text/html')
const typeOf = ({ headers }: Response): string => headers.get('Content-Type') ?? ''

/** Whether an answer is a page or a picture of ours, of whatever build. */
async function isOurs(answer: Response): Promise<boolean> {
  if (!typeOf(answer).startsWith('text/html')) return typeOf(answer).startsWith('image/svg+xml')
  const text = await answer.clone().text()
  return text.includes('<body data-kind="') && /assets\/[\w-]+\//.test(text) && text.trimEnd().endsWith('</html>')
}

worker.addEventListener('install', (event) => {
  const fetchAll = async (): Promise<void> => {
    const cache = await caches.open(assets)
    await Promise.all(
      files.map(async (file) => {
        const { href } = new URL(file, root)
        const answer = await fetch(href)
        if (!isFile(answer)) throw new Error(`no ${file}`)
        await cache.put(href, answer)
      }),
    )
    await worker.skipWaiting()
  }
  event.waitUntil(fetchAll())
})

worker.addEventListener('activate', (event) => {
  const tidy = async (): Promise<void> => {
    const names = await caches.keys()
    await Promise.all(
      names
        .filter((name) => (name.startsWith(stores) && name !== assets && name !== pages) || isOld(name))
        .map((name) => caches.delete(name)),
    )
    // A page of another build would ask for files that are no longer there.
    const cache = await caches.open(pages)
    for (const request of await cache.keys()) {
      const kept = await cache.match(request)
      const isPage = kept?.headers.get('Content-Type')?.startsWith('text/html')
      if (!isPage || !(await kept!.text()).includes(`assets/${build}/`)) await cache.delete(request)
    }
    await worker.clients.claim()
  }
  event.waitUntil(tidy())
})

/** The page tells which address it stands at: the first was there before this script was. */
worker.addEventListener('message', (event) => {
  const address = event.data
  if (typeof address !== 'string') return
  const url = new URL(address, root)
  const path = below(url)
  if (path !== null && seenPaths.includes(path)) event.waitUntil(fromServer(new Request(url.href)).catch(() => {}))
})

worker.addEventListener('fetch', (event) => {
  const { request } = event
  const path = below(new URL(request.url))
  if (path === null) return
  if (request.method === 'GET' && path.startsWith('assets/')) event.respondWith(ofBuild(request))
  else if (request.method === 'GET' && seenPaths.includes(path)) event.respondWith(asSeen(event))
  else if (request.method === 'POST' && path === '' && request.mode !== 'navigate')
    event.respondWith(fromServer(request))
})

/** A file of a build: from here where it was fetched before, recorded notes among them. */
async function ofBuild(request: Request): Promise<Response> {
  const kept = await caches.match(request.url)
  if (kept) return kept
  const answer = await fetch(request)
  if (isFile(answer) && request.url.includes(`/assets/${build}/`)) await keepAs(assets, request.url, answer)
  return answer
}

/** An address whatever the width of the screen: what is seen on it is the same line. */
function plain(address: string): string {
  const url = new URL(address)
  url.searchParams.delete('across')
  url.hash = ''
  return url.href
}

/** Full storage or a private window keeps nothing: then the page is as it is without this script. */
async function keepAs(name: string, address: string, answer: Response): Promise<void> {
  try {
    const { status, headers } = answer
    const body = await answer.clone().arrayBuffer()
    const kept = new Headers(headers)
    // The body is unpacked already.
    kept.delete('Content-Encoding')
    kept.delete('Content-Length')
    const cache = await caches.open(name)
    await cache.delete(address)
    await cache.put(address, new Response(body, { status, headers: kept }))
    if (name !== pages) return
    const all = await cache.keys()
    for (const old of all.slice(0, Math.max(0, all.length - most))) await cache.delete(old)
  } catch {
    // Nothing is kept.
  }
}

/** Asks the server, and keeps what came under the address that it came from. */
async function fromServer(request: Request): Promise<Response> {
  const answer = await fetch(request)
  const path = below(new URL(answer.url || request.url))
  // An answer to the post itself has no address to come back to.
  const addressed = request.method === 'GET' || answer.redirected
  const seen = answer.status === 200 && addressed && path !== null && seenPaths.includes(path)
  // What breaks off is no page either, and is told where it is read.
  if (seen && (await isOurs(answer).catch(() => false))) await keepAs(pages, plain(answer.url || request.url), answer)
  return answer
}

/**
 * The server's answer. Without it, or where the server fails, what was last seen at this address; without it the last music for the
 * first page, too.
 */
async function asSeen(event: Fetched): Promise<Response> {
  const { request } = event
  const address = plain(request.url)
  try {
    const answer = await fromServer(request)
    if (answer.status < 500) return answer
    return (await (await caches.open(pages)).match(address)) ?? answer
  } catch {
    const cache = await caches.open(pages)
    const music = (await cache.keys()).map(({ url }) => url).filter((url) => below(new URL(url)) === '')
    const last = music.at(-1)
    // Opened as a program, or by its name alone: the music goes on where it was left, under its own address.
    if (request.mode === 'navigate' && address === root.href && last !== undefined && last !== address)
      return Response.redirect(last)
    const kept = await cache.match(address)
    if (kept) return kept
    if (request.mode !== 'navigate') return Response.error()
    return new Response(notSeen(last), { status: 503, headers: { 'Content-Type': 'text/html; charset=utf-8' } })
  }
}

const escaped = (text: string): string =>
  text.replaceAll('&', '&amp;').replaceAll('"', '&quot;').replaceAll('<', '&lt;')

/** Says that this page was not seen on this device; its look is that of the build. */
function notSeen(last: string | undefined): string {
  const style = files.find((file) => file.endsWith('page.css')) ?? ''
  const back = last === undefined ? '' : `<p><a href="${escaped(last)}">The music you saw last</a></p>`
  return `<!doctype html><html lang="en" class="tone-auto ink-blue"><head><meta charset="utf-8"><title>Not seen yet – Throughline</title><meta name="viewport" content="width=device-width, initial-scale=1"><link rel="stylesheet" href="${escaped(new URL(style, root).href)}"></head><body data-kind="message"><main class="reading"><h1>The server cannot be reached</h1><p>This page was not opened on this device before, so it cannot be shown now. Its address still holds everything: load it again once there is a connection.</p>${back}</main></body></html>`
}
