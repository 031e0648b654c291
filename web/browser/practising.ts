/** From the line in the page to its practice: a plan is made of it; an item of a plan opens its stand. */
import type { PlanItem } from '../../lib/practice/planDay.ts'
import type { Verdict } from '../../lib/practice/spacing.ts'
import { onMusic, say } from './moving.ts'
import { minutesSince, type Opened, readOpened, verdictWords } from './openedItem.ts'
import { keepTempo } from './playedTempo.ts'

interface PlanScript {
  readonly planOf: (
    fields: Readonly<Record<string, string>>,
    chosen: { readonly goal: number; readonly days: number; readonly minutes: number },
  ) => string | null
}

const number = (id: string): number => Number((document.getElementById(id) as HTMLInputElement).value)

export function watchPractising(): void {
  document.getElementById('plan-make')?.addEventListener('click', () => {
    void makePlan().catch(() =>
      say('The plan could not be made: try again, or load the page again. Nothing was changed.'),
    )
  })
  if (document.body.dataset.kind !== 'page') return
  const opened = readOpened()
  if (location.hash !== '#stand') return
  if (opened) offerTaps(opened)
  // An item of a plan opens its stand, once its music is there as wide as this screen has it, until somebody closes it.
  let over = false
  document.addEventListener('click', (event) => {
    if ((event.target as Element).closest('[data-do="leave"]')) over = true
  })
  onMusic((music) =>
    window.setTimeout(() => {
      if (over || document.documentElement.classList.contains('at-stand')) return
      music.querySelector<HTMLButtonElement>('#sound [data-do="stand"]')?.click()
    }),
  )
}

async function makePlan(): Promise<void> {
  const fields = JSON.parse(document.getElementById('fields')?.textContent || '{}') as Record<string, string>
  const { planOf } = (await import(new URL('./makePlan.js', import.meta.url).href)) as PlanScript
  const packed = planOf(fields, {
    goal: number('plan-goal'),
    days: number('plan-days'),
    minutes: number('plan-minutes'),
  })
  if (packed === null) say('There is no line to practise yet: put right what is marked in the changes.')
  else location.assign(`${new URL('../../practice', import.meta.url).href}#${packed}`)
}

interface TapScript {
  readonly tapPass: (plan: string, item: PlanItem, verdict: Verdict, tempo: number, minutes: number) => Promise<void>
}

/** On the stand, one tap says how it went, and leads back to the list. */
function offerTaps(opened: Opened): void {
  let noting = false
  const place = document.createElement('p')
  place.className = 'taps'
  place.setAttribute('role', 'group')
  place.setAttribute('aria-label', 'How did it go?')
  for (const [verdict, name] of Object.entries(verdictWords) as [Verdict, string][]) {
    const tap = document.createElement('button')
    tap.type = 'button'
    tap.className = 'ink'
    tap.textContent = name
    tap.addEventListener('click', () => {
      // One pass is one tap, also under a double click.
      if (noting) return
      noting = true
      void note(opened, verdict).catch((error: Error) => {
        noting = false
        say(error.message)
      })
    })
    place.append(tap)
  }
  document.getElementById('music')?.before(place)
  window.addEventListener('pagehide', () => {
    keepTempo(opened.plan, opened.item, number('stand-tempo') || opened.item.tempo)
  })
}

/** The tempo is that of the stand, the minutes those since it was opened, unless it was left open. */
async function note({ plan, item, opened }: Opened, verdict: Verdict): Promise<void> {
  const script = await import(new URL('./tapPass.js', import.meta.url).href).catch(() => null)
  if (!script) throw new Error('The pass is not noted yet: tap again, or note it on the list.')
  const { tapPass } = script as TapScript
  const tempo = number('stand-tempo') || item.tempo
  await tapPass(plan, item, verdict, tempo, minutesSince(opened, item))
  location.assign(new URL('../../practice', import.meta.url).href)
}
