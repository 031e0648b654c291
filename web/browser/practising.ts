/** From the line in the page to its practice: a plan is made of it; an item of a plan opens its stand. */
import { onMusic, say } from './moving.ts'

interface PlanScript {
  readonly planOf: (
    fields: Readonly<Record<string, string>>,
    chosen: { readonly goal: number; readonly days: number; readonly minutes: number },
  ) => string | null
}

const number = (id: string): number => Number((document.getElementById(id) as HTMLInputElement).value)

export function watchPractising(): void {
  document.getElementById('plan-make')?.addEventListener('click', () => {
    void makePlan().catch(() => say('The plan could not be made: the server cannot be reached. Nothing was changed.'))
  })
  if (document.body.dataset.kind !== 'page' || location.hash !== '#stand') return
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
