/** How the page itself is shown, beside the brief: choices that change no note. Field names of the form and the address alike. */
import { choice } from '../../lib/choices/choice.ts'
import { oneOf } from '../../lib/choices/reader.ts'

export const viewChoices = {
  /** Paper and ink as the reader's system asks, or as chosen. */
  tone: choice(oneOf('auto', 'light', 'dark'), {
    usual: 'auto',
    help: 'the light of the page',
    page: {
      group: 'reading',
      label: 'Light',
      explanation: 'Ink on paper, paper on ink, or whichever your screen is set to.',
      words: [
        ['auto', 'as my screen is set'],
        ['light', 'ink on paper'],
        ['dark', 'paper on ink'],
      ],
    },
  }),
  /** Roles told by ink as well as by their marks. */
  ink: choice(oneOf('blue', 'black'), {
    usual: 'blue',
    help: 'the ink of the marks',
    page: {
      group: 'reading',
      label: 'Ink',
      explanation: 'Blue ink shows the targets at a glance; every mark is also told by its shape.',
    },
  }),
  /** Bars to a line on the screen. The page's script asks for fewer on a narrow screen. */
  across: choice(oneOf('4', '2', '1'), {
    usual: '4',
    help: 'bars to a line on the screen',
    page: { group: 'aside', label: 'Bars to a line', explanation: 'How many bars stand on a line on the screen.' },
  }),
} as const

export type View = { readonly [K in keyof typeof viewChoices]: (typeof viewChoices)[K]['usual'] }

export const viewNames = Object.keys(viewChoices) as (keyof View)[]

/** Reads how to show the page; anything unknown is as usual, since no note depends on it. */
export function readView(given: Readonly<Record<string, string | undefined>>): View {
  const read = <K extends keyof View>(name: K): View[K] => {
    const reading = viewChoices[name].read(given[name] ?? '')
    return ('value' in reading ? reading.value : viewChoices[name].usual) as View[K]
  }
  return { tone: read('tone'), ink: read('ink'), across: read('across') }
}

/** What differs from the usual view, by name. */
export function writeView(view: View): Readonly<Record<string, string>> {
  return Object.fromEntries(
    viewNames.filter((name) => view[name] !== viewChoices[name].usual).map((name) => [name, view[name]]),
  )
}
