/** What can be chosen about one note: other landings, other figures, another line here; each a link to the state it leads to. */

import { addressOf, type Given } from './address.ts'
import { type Answer, pageAnswer } from './answer.ts'
import { assetsPath } from './assets.ts'
import { another, readBars, unpinned } from './choosing.ts'
import { plainGiven, problemPage, readState } from './pages.ts'
import type { ChoicesQuestion } from './question.ts'
import { partOf } from './sheets.ts'
import { fill } from './templates.ts'
import { shownNotes } from './words.ts'

interface Group {
  readonly heading: string
  readonly kind: string
  readonly note: string
  readonly options: readonly {
    readonly what: string
    readonly detail: string
    readonly href: string
    readonly chosen: boolean
  }[]
}

/** Answers with the choices at a place: a page of its own, or bare for the page's script. */
export function answerChoices({ given: asked, badLink, at, chosen, bare }: ChoicesQuestion): Answer {
  const state = readState(asked, badLink)
  const { given, brief, written } = state
  const [line] = written.lines
  if (state.wrong || !line) return problemPage(state)
  const note = shownNotes(partOf(line, brief, '4'), line).find((each) => each.at === at)
  if (!note) return problemPage(state, 'There is no note at that place any more.')
  const to = (next: Given) => addressOf(plainGiven(next)) ?? '/'
  const bars = readBars(chosen) ?? ([note.bar, note.bar] as const)
  const range = bars[0] === bars[1] ? `${bars[0]}` : `${bars[0]}-${bars[1]}`
  const these = bars[0] === bars[1] ? `in bar ${bars[0]}` : `in bars ${bars[0]} to ${bars[1]}`
  const option = (what: string, next: Given, detail = '', isChosen = false) => ({
    what,
    detail,
    href: to(next),
    chosen: isChosen,
  })
  const groups: Group[] = [
    {
      heading: 'Another line',
      kind: 'deeds',
      note: '',
      options: [
        option(these.charAt(0).toUpperCase() + these.slice(1), another(given, range)),
        option('Everywhere', another(given, 'all')),
        option(`Only ${these.slice(3)}`, { ...given, bars: `${bars[0]}-${bars[1]}` }),
      ],
    },
  ]
  if (brief.pins.length > 0)
    groups.push({
      heading: 'Let go of pins',
      kind: 'deeds',
      note: '',
      options: [
        option(these.charAt(0).toUpperCase() + these.slice(1), unpinned(given, bars)),
        option('Everywhere', unpinned(given, 'all')),
      ],
    })
  const choices = { at, heading: note.label, now: '', groups }
  if (bare) return pageAnswer(200, fill('choices', choices))
  return pageAnswer(
    200,
    fill('choicesPage', {
      title: `${note.label} – Throughline`,
      assets: assetsPath,
      view: state.view,
      choices,
      back: to(given),
    }),
  )
}
