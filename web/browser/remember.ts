/** Instrument, print and sound as this device last had them: put in place where an address asks for nothing. */
import { keepSettings, readSettings } from './database.ts'
import { isPosted, move, onMusic } from './moving.ts'

/** The choices that a device remembers, as the form names them. */
const remembered = (): readonly string[] => document.getElementById('brief')?.dataset.remembered?.split(' ') ?? []

/** How they stand in the form; one that is not there is as usual. */
function standing(): ReadonlyMap<string, string> {
  const form = document.getElementById('brief') as HTMLFormElement
  const fields = new FormData(form)
  const said = remembered().flatMap((name) => {
    const text = fields.getAll(name).join(',')
    return text === '' ? [] : [[name, text] as const]
  })
  return new Map(said)
}

export function watchSettings(): void {
  if (document.body.dataset.kind !== 'page') return
  let known = standing()
  // A state that came by a link or from the shelf is nobody's habit: only what is chosen by hand is remembered.
  onMusic(() => {
    known = standing()
  })
  const compare = (): void => {
    const now = standing()
    const changed = remembered().filter((name) => now.get(name) !== known.get(name))
    known = now
    if (changed.length === 0) return
    // Where nothing can be kept, the section of what is kept says so.
    void keepSettings(new Map(changed.map((name) => [name, now.get(name) ?? null]))).catch(() => {})
  }
  document.addEventListener('change', compare, { capture: true })
  document.addEventListener('change', () => window.setTimeout(compare))
  document.addEventListener('click', (event) => {
    if ((event.target as Element).closest('#sound, .standbar')) window.setTimeout(compare)
  })
  void putInPlace()
}

/** Goes to the first page as this device last had it, where the address asks for nothing. */
export async function putInPlace(): Promise<void> {
  if (isPosted() || [...new URLSearchParams(location.search).keys()].some((name) => name !== 'across')) return
  const settings = await readSettings().catch(() => new Map<string, string>())
  const now = standing()
  const other = [...settings].filter(([name, text]) => remembered().includes(name) && now.get(name) !== text)
  if (other.length > 0) await move({ to: `?${new URLSearchParams(other)}`, history: 'replace' })
}
