/** The door to the sound: its script is fetched when play is first wanted, and then told what it was wanted for. */
import { isOutdated, onMusic, say } from './moving.ts'

interface SoundScript {
  /** Does what a button of the sound asks for; puts the controls in place. */
  readonly doSound: (deed: string) => void
  /** The music in the page is new. */
  readonly renewSound: () => void
}

let script: Promise<SoundScript> | null = null

export function watchSound(): void {
  document.addEventListener('click', (event) => {
    const deed = (event.target as Element).closest<HTMLElement>(
      '#sound [data-do], .standbar [data-do], [data-do="loop-bars"]',
    )?.dataset.do
    // The music came from another build than the sound would.
    if (deed === 'play' && isOutdated()) location.reload()
    else if (deed && !['stand', 'leave', 'next', 'large'].includes(deed))
      void open().then((sound) => sound?.doSound(deed))
  })
  document.addEventListener('change', (event) => {
    if ((event.target as Element).id === 'stand-tempo') void open().then((sound) => sound?.doSound('tempo-typed'))
  })
  onMusic(() => void script?.then((sound) => sound?.renewSound()))
}

async function open(): Promise<SoundScript | null> {
  script ??= fetchSound()
  try {
    return await script
  } catch {
    // The next click tries again.
    script = null
    say(
      'The sound could not be fetched from the server: try again, or load the page again. Everything else still works.',
    )
    return null
  }
}

async function fetchSound(): Promise<SoundScript> {
  const style = document.createElement('link')
  style.rel = 'stylesheet'
  style.href = new URL('./sound.css', import.meta.url).href
  document.head.append(style)
  return import(new URL('./sound.js', import.meta.url).href) as Promise<SoundScript>
}
