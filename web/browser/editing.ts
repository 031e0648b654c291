/** The form: each change is a new state; the changes themselves are read while they are typed; a file can be dropped in. */
import { agreed } from '../shared/agreed.ts'
import { holdBack, isLost, move, say } from './moving.ts'

/** Milliseconds without typing after which the changes are read. */
const pause = 450

export function watchChanges(): void {
  watchForm()
  watchLeaving()
  watchProblems()
  watchFiles()
}

let waiting = 0
/** Whether the text has been posted since the focus came: what is typed on is the same state in the history. */
let burst = false
/** Whether something was typed that no music has been written of yet. */
let typed = false

const textBox = (): HTMLTextAreaElement | null => document.getElementById('changes') as HTMLTextAreaElement | null

/** Writes what was typed a moment ago before another tune takes its place, so that Back brings it; whether nothing stands in the way. */
export async function settleTyped(): Promise<boolean> {
  return !typed || (await post(null, burst ? 'replace' : 'push'))
}

async function post(submitter: HTMLElement | null, history: 'push' | 'replace'): Promise<boolean> {
  window.clearTimeout(waiting)
  const text = textBox()?.value
  const form = document.getElementById('brief') as HTMLFormElement
  const fields = new URLSearchParams()
  for (const [name, value] of new FormData(form)) if (typeof value === 'string') fields.append(name, value)
  if (submitter instanceof HTMLButtonElement && submitter.name) fields.append(submitter.name, submitter.value)
  const came = await move({ to: fields, history })
  if (came && (submitter instanceof HTMLButtonElement || textBox()?.value === text)) typed = false
  giveFocusBack(submitter)
  return came
}

function watchForm(): void {
  // What was typed a moment ago comes first, as a step of its own, which Back then undoes.
  holdBack(() => {
    if (typed) void post(null, 'push')
    return typed
  })
  document.addEventListener('submit', (event) => {
    const submitter = event.submitter
    if ((event.target as HTMLElement).id !== 'brief' || submitter?.hasAttribute('formaction')) return
    event.preventDefault()
    // A hint put in place or bars lined up must show even while the text has the focus.
    if (submitter instanceof HTMLButtonElement && submitter.name) (document.activeElement as HTMLElement | null)?.blur()
    burst = false
    void post(submitter, 'push')
  })
  document.addEventListener('change', (event) => {
    const field = event.target as HTMLElement
    if ((field as HTMLInputElement).form?.id !== 'brief' || field.id === 'changes' || field.id === 'file') return
    // The number stands for a line: choosing to type one's own keys waits for the keys.
    if (field.id === 'keys' && (field as HTMLSelectElement).value === 'list') {
      const list = document.getElementById('keyList') as HTMLInputElement
      if (list.value.trim() === '') return list.focus()
    }
    void post(null, 'push')
  })
  document.addEventListener('input', (event) => {
    if ((event.target as HTMLElement).id !== 'changes') return
    typed = true
    window.clearTimeout(waiting)
    waiting = window.setTimeout(() => {
      void post(null, burst ? 'replace' : 'push')
      burst = true
    }, pause)
  })
  document.addEventListener('focusout', (event) => {
    if ((event.target as HTMLElement).id === 'changes') burst = false
  })
}

/** What was typed and could not be written, since the server is away, goes with the page: the browser asks before that. */
function watchLeaving(): void {
  window.addEventListener('beforeunload', (event) => {
    if (typed && isLost()) event.preventDefault()
  })
}

/** A problem clicked puts the cursor on its characters. */
function watchProblems(): void {
  document.addEventListener('click', (event) => {
    const typed = (event.target as Element).closest<HTMLElement>('.typed')
    const text = document.getElementById('changes') as HTMLTextAreaElement | null
    if (!typed || !text) return
    text.focus()
    text.setSelectionRange(Number(typed.dataset.start), Number(typed.dataset.end))
  })
}

/** Counts the files that were handed over: the last one stands, however long an earlier one is read. */
let opened = 0

/** Reads a file, typed text or a score, into the changes. */
function open(file: File): void {
  if (file.size > agreed.fileSize) {
    say(`${file.name} has ${Math.ceil(file.size / 1e6)} MB; a chart or a score has at most ${agreed.fileSize / 1e6}.`)
    return
  }
  opened += 1
  const mine = opened
  void fetch('read', { method: 'POST', body: file, headers: { 'content-type': 'application/octet-stream' } }).then(
    async (response) => {
      const words = await response.text()
      if (mine !== opened) return
      if (response.ok) {
        if (!(await settleTyped())) return
        textBox()!.value = words
        void post(null, 'push')
      } else if (response.status === 503) say('The server is busy: open the file again in a moment.')
      else
        say(
          response.headers.get('content-type')?.startsWith('text/plain')
            ? `${file.name}: ${words}`
            : `${file.name} cannot be read here.`,
        )
    },
    () => say('The server cannot be reached.'),
  )
}

function watchFiles(): void {
  document.addEventListener('change', (event) => {
    const picker = event.target as HTMLInputElement
    const file = picker.id === 'file' ? picker.files?.[0] : undefined
    if (file) open(file)
  })

  // Wherever on the page it is dropped: left to itself, a browser would show the file in place of what was typed.
  const over = (event: DragEvent): HTMLElement | null =>
    event.dataTransfer?.types.includes('Files') ? document.getElementById('changes') : null
  document.addEventListener('dragover', (event) => {
    const text = over(event)
    if (!text) return
    event.preventDefault()
    text.classList.add('over')
  })
  document.addEventListener('dragleave', (event) => {
    // Left for outside the window, not for the next element in it.
    if (!event.relatedTarget) over(event)?.classList.remove('over')
  })
  document.addEventListener('drop', (event) => {
    const text = over(event)
    if (!text) return
    event.preventDefault()
    text.classList.remove('over')
    const file = event.dataTransfer?.files[0]
    if (file) open(file)
  })
}

/** A button that went with its hint leaves the focus to the next hint, or to the form's own button. */
function giveFocusBack(submitter: HTMLElement | null): void {
  if (!(submitter instanceof HTMLButtonElement) || !submitter.name || document.activeElement !== document.body) return
  const same = submitter.isConnected ? submitter : null
  const next = same ?? document.querySelector<HTMLElement>('#problems button, .changes .tools button')
  next?.focus({ preventScroll: true })
}
