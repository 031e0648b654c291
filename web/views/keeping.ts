/** Lines that are kept: the state that holds a line's own notes, its link for paper, and what a link of another edition is told. */
import { edition, editionSaid } from '../../lib/edition.ts'
import { keepLine } from '../../lib/lines/kept.ts'
import { draftHome } from '../../lib/lines/write.ts'
import { type Given, linkerOf, plainGiven, wholeOf } from '../server/address.ts'
import { agreed } from '../shared/agreed.ts'
import type { State } from './pages.ts'

/** The state that holds the notes of the line themselves, what was chosen in it included; null where no one line is shown. */
export function keptGiven({ given, brief, wrong }: State): Given | null {
  if (wrong || (brief.each === 'fresh' && brief.keys !== null)) return null
  const home = draftHome(brief)
  const kept = home && keepLine(home.draft, home.harmony)
  if (!kept) return null
  const { pins: _p, again: _a, around: _r, ...rest } = plainGiven(given)
  return { ...rest, kept }
}

/** The link for paper: with the notes themselves where a code can hold it, else the plain one; null where there is none. */
export function printedLink(state: State, origin: string): string | null {
  const kept = keptGiven(state)
  const [own, plain] = [kept, plainGiven(state.given)].map((given) => {
    const link = given && linkerOf(given)('./')
    return link && wholeOf(origin, link)
  })
  return (own && own.length <= agreed.codeLength ? own : plain) ?? null
}

/** What is told of the edition that a link names, and where the line that is drawn today stands; null where there is nothing to tell. */
export function editionNotice({
  given,
  brief,
}: State): { readonly summary: string; readonly words: string; readonly href: string; readonly link: string } | null {
  const said = editionSaid(brief.edition)
  const { kept: _, ...rest } = plainGiven(given)
  const today = linkerOf(rest)('./') ?? './'
  if (said !== null && brief.kept === '')
    return {
      summary: 'Drawn by another edition',
      words: `This link names another edition: ${said}.`,
      href: today,
      link: 'A link to the line as it is now',
    }
  if (brief.kept === '') return null
  const from = said === null ? '' : ` from edition ${brief.edition}`
  return {
    summary: 'Kept notes',
    words: `These notes were kept${from}; they stay as they are.`,
    href: today,
    link: `The line that edition ${edition} draws`,
  }
}
