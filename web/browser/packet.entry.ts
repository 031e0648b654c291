/** The page of a class packet: its list follows what is ticked, and its making tells how far it is. */
import { type WatchedNews, watching } from '../shared/agreed.ts'

const form = document.getElementById('packet') as HTMLFormElement | null
const making = document.getElementById('packet-making')
const said = document.getElementById('packet-said')
const far = document.getElementById('packet-far') as HTMLProgressElement | null
let listing: AbortController | null = null
let going: AbortController | null = null

/** Asks again what the packet would hold, and puts it in place; a later question gives up an earlier one. */
async function list(): Promise<void> {
  if (!form) return
  listing?.abort()
  const asking = new AbortController()
  listing = asking
  const holds = document.getElementById('packet-holds')
  holds?.setAttribute('aria-busy', 'true')
  try {
    const body = new URLSearchParams([...new FormData(form)].map(([name, value]) => [name, String(value)]))
    const response = await fetch(form.action, { method: 'POST', body, signal: asking.signal })
    const page = new DOMParser().parseFromString(await response.text(), 'text/html')
    if (asking.signal.aborted) return
    const next = page.getElementById('packet-holds')
    if (!next) throw new Error(page.querySelector('main')?.textContent?.trim() ?? response.statusText)
    document.getElementById('packet-holds')?.replaceWith(document.adoptNode(next))
    if (response.redirected) history.replaceState(null, '', response.url)
    tell('')
  } catch (error) {
    if (asking.signal.aborted) return
    holds?.removeAttribute('aria-busy')
    const words = error instanceof TypeError ? 'The server cannot be reached.' : (error as Error).message
    tell(`${words} The list is of what was ticked before.`)
  }
}

function tell(words: string, progress: { readonly done: number; readonly of: number } | null = null): void {
  making?.toggleAttribute('hidden', words === '')
  if (said) said.textContent = words
  far?.toggleAttribute('hidden', going === null)
  document.getElementById('packet-stop')?.toggleAttribute('hidden', going === null)
  if (!far) return
  if (progress) {
    far.max = progress.of
    far.value = progress.done
  } else far.removeAttribute('value')
}

/** The lines of an answer as they come. */
async function* linesOf(response: Response): AsyncGenerator<string, void> {
  const reader = response.body!.pipeThrough(new TextDecoderStream()).getReader()
  let rest = ''
  for (;;) {
    const { done, value } = await reader.read()
    if (done) return
    const lines = (rest + value).split('\n')
    rest = lines.pop() ?? ''
    yield* lines
  }
}

/** Has the packet made and tells how far it is; then the browser takes it as any file. */
async function make(link: HTMLAnchorElement): Promise<void> {
  const work = new AbortController()
  going = work
  tell('The packet waits for its turn.')
  try {
    const address = new URL(link.href)
    address.searchParams.set(watching.name, watching.value)
    const response = await fetch(address, { signal: work.signal })
    if (!response.ok) {
      const page = new DOMParser().parseFromString(await response.text(), 'text/html')
      throw new Error(page.querySelector('main p')?.textContent ?? response.statusText)
    }
    let ready = false
    for await (const line of linesOf(response)) {
      const news = JSON.parse(line) as WatchedNews
      ready = news.kind === 'done'
      if (news.kind === 'going') tell(`${news.done} of ${news.of} files are made.`, news)
    }
    if (!ready) throw new Error('The packet was not finished. Ask for fewer keys or parts, or try again.')
    going = null
    tell('The packet is made, and your browser saves it.')
    const taken = document.createElement('a')
    taken.href = link.href
    taken.download = link.download
    taken.click()
  } catch (error) {
    const stopped = work.signal.aborted
    going = null
    const wrong = error instanceof TypeError ? 'The server cannot be reached.' : (error as Error).message
    tell(stopped ? 'Stopped. Nothing was saved.' : wrong)
  }
}

document.documentElement.classList.add('scripted')
form?.addEventListener('change', () => void list())
form?.addEventListener('submit', (event) => {
  event.preventDefault()
  void list()
})
document.getElementById('packet-stop')?.addEventListener('click', () => going?.abort())
document.addEventListener('click', (event) => {
  const link = (event.target as Element).closest<HTMLAnchorElement>('#packet-make')
  if (!link) return
  event.preventDefault()
  if (!going) void make(link)
})
