/** What may stand in a drill: the approaches and cells that a brief asks for and that players were counted using. */
import type { Brief, BriefProblem } from '../brief.ts'
import { kindNames } from '../line/figureList.ts'
import { type FigureStep, readFigure } from '../line/figureSteps.ts'
import { approachCount, approaches, type Cell, cells, cellsNamed, verdictOf } from '../line/figures.ts'
import { type OwnCatalogue, ownCatalogue } from '../line/ownFigures.ts'

/** An approach that qualifies: its steps in playing order, and what it is called in an option. */
export interface PoolApproach {
  readonly steps: readonly FigureStep[]
  readonly text: string
}

export interface Pool {
  readonly approaches: readonly PoolApproach[]
  /** Whether these very approaches were asked for, so that they stand even where they leave the scale. */
  readonly asked: boolean
  readonly cells: readonly Cell[]
  /** What was asked for and cannot be had anywhere, in a sentence. */
  readonly dropped: readonly string[]
}

export type PoolBrief = Pick<
  Brief,
  'approach' | 'notes' | 'textbook' | 'cells' | 'heard' | 'figures' | 'own' | 'mixOwn'
>

const chromatic = (offsets: readonly number[]): readonly FigureStep[] => offsets.map((by) => ({ by, diatonic: false }))

/** What qualifies for an exact drill; problems where nothing does, with what would. */
export function readPool(brief: PoolBrief): Pool | { readonly problems: readonly BriefProblem[] } {
  const least = Math.max(1, brief.heard)
  const cellPool = (brief.cells.length > 0 ? cellsNamed(brief.cells) : cells).filter(({ count }) => count >= least)
  const badCells = cellProblem(brief)
  if (badCells) return { problems: [badCells] }
  if (brief.figures.length > 0) return askedPool(brief, cellPool)
  const theirs = ownCatalogue(brief.own)
  if (theirs && !brief.mixOwn) return ownPool(brief, theirs, cellPool)
  const own = approaches[brief.notes]!.filter(
    ({ kind, offsets }) =>
      (brief.approach as readonly string[]).includes(kind) &&
      (brief.textbook || verdictOf(offsets) !== 'dead') &&
      // A last note on the target's own pitch repeats it rather than lead there.
      offsets.at(-1) !== 0,
  )
  const list = own.filter(({ count }) => count >= least)
  if (list.length === 0) return { problems: [poolProblem(brief, own)] }
  const more = (theirs?.approaches[brief.notes] ?? []).filter(
    (each) => !list.some(({ offsets }) => offsets.join(' ') === each.offsets.join(' ')),
  )
  return {
    approaches: [...list, ...more].map(({ offsets }) => ({ steps: chromatic(offsets), text: offsets.join(' ') })),
    asked: false,
    cells: cellPool,
    dropped: [],
  }
}

/** The pool of a table of one's own: its approaches as if they had been typed, and its cells, if it has any. */
function ownPool(brief: PoolBrief, own: OwnCatalogue, counted: readonly Cell[]): ReturnType<typeof readPool> {
  const exact = own.approaches[brief.notes] ?? []
  const figures = (exact.length > 0 ? exact : own.approaches.flat()).map(({ offsets }) => offsets.join(' '))
  const cellPool = brief.cells.length === 0 && own.cells.length > 0 ? own.cells : counted
  if (figures.length > 0) return askedPool({ ...brief, figures, heard: 0 }, cellPool)
  return readPool({ ...brief, own: null })
}

/** The pool of figures typed by a person. Those of the asked number of notes, if there are such; else all, each as long as it is. */
function askedPool(brief: PoolBrief, cellPool: readonly Cell[]): Pool | { readonly problems: readonly BriefProblem[] } {
  const read = brief.figures.map((text) => ({ text, steps: readFigure(text) ?? [] }))
  const exact = read.filter(({ steps }) => steps.length === brief.notes)
  const fitting = exact.length > 0 ? exact : read
  const wrongLength = read.filter((each) => !fitting.includes(each))
  // A figure held by scale steps is counted where it stands; one in semitones can be looked up here.
  const rare = fitting.filter(
    ({ steps }) => steps.every(({ diatonic }) => !diatonic) && approachCount(steps.map(({ by }) => by)) < brief.heard,
  )
  const kept = fitting.filter((each) => !rare.includes(each))
  if (kept.length === 0) {
    const counts = rare.map(({ text, steps }) => `${text} (${approachCount(steps.map(({ by }) => by))} times)`)
    return {
      problems: [
        {
          ...problem('figures', brief.figures.join('; ')),
          code: 'figures-not-heard',
          found: counts.join('; '),
          expected: `approaches counted ${brief.heard} times or more`,
          hint: 'lower --heard, or see throughline figures for what is heard',
        },
      ],
    }
  }
  const dropped = [
    ...wrongLength.map(({ text, steps }) => `${text} has ${steps.length} notes, and ${brief.notes} were asked for`),
    ...rare.map(({ text }) => `${text} is heard fewer than ${brief.heard} times`),
  ]
  return { approaches: kept, asked: true, cells: cellPool, dropped }
}

/** A cell asked for that nobody was counted playing. */
function cellProblem(brief: PoolBrief): BriefProblem | null {
  const known = cellsNamed(brief.cells)
  const unknown = brief.cells.filter((name) => !known.some((cell) => cell.name === name))
  const typed = brief.cells.join(',')
  if (unknown.length > 0) {
    const start = typed.indexOf(unknown[0]!)
    return {
      ...problem('cells', typed),
      span: { start, end: start + unknown[0]!.length },
      code: 'cell-not-heard',
      found: unknown[0]!,
      expected: `a cell that was counted in solos, such as ${cells
        .slice(0, 6)
        .map(({ name }) => name)
        .join(', ')}`,
      hint: 'try 1-2-3-5, or see throughline figures --kind cell',
    }
  }
  return null
}

function poolProblem(brief: PoolBrief, own: readonly { readonly count: number }[]): BriefProblem {
  const kinds = brief.approach.map((kind) => kindNames[kind]).join(' or ')
  const notes = brief.notes === 1 ? 'one note' : `${brief.notes} notes`
  const most = Math.max(0, ...own.map(({ count }) => count))
  if (most > 0)
    return {
      ...problem('heard', String(brief.heard)),
      code: 'nothing-heard-so-often',
      found: `${kinds} of ${notes} counted ${brief.heard} times or more`,
      expected: `at most ${most}, which is how often the commonest was counted`,
      hint: `try --heard ${Math.min(most, 5)}`,
    }
  const lengths = [1, 2, 3, 4].filter((k) =>
    approaches[k]!.some(({ kind, count }) => count > 0 && (brief.approach as readonly string[]).includes(kind)),
  )
  return {
    ...problem('notes', String(brief.notes)),
    code: 'no-such-approach',
    found: `${kinds} of ${notes}`,
    expected: `${lengths.join(', ')} notes, or another kind of approach`,
    hint: `try --notes ${lengths[0] ?? 2}, or --approach chromatic`,
  }
}

const problem = (choice: BriefProblem['choice'], typed: string) =>
  ({ severity: 'error', choice, span: { start: 0, end: typed.length } }) as const
