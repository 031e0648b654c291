/** The list of figures: every approach and cell that was counted, and the textbook's, with how often and on which degrees. */
import {
  approachCount,
  type Cell,
  cells,
  type FigureKind,
  figureKind,
  textbookEnclosures,
  type Verdict,
  verdictOf,
} from './figures.ts'
import { packedApproachDegrees, packedApproaches, packedCellDegrees } from './soloCounts.ts'

/** What players call the kinds of approach, in messages and lists. */
export const kindNames: Readonly<Record<FigureKind, string>> = {
  enclosure: 'enclosure',
  chromatic: 'chromatic approach',
  scale: 'approach by scale',
  arpeggio: 'approach by chord tones',
  mixed: 'free approach',
}

/** A figure of the list. */
export interface ListedFigure {
  readonly kind: 'approach' | 'cell'
  /** The kind of an approach; the name of a cell. */
  readonly class: FigureKind | string
  /** Semitones from the target in playing order; a cell's, scale steps from its first note. */
  readonly offsets: readonly number[]
  readonly count: number
  /** How often the textbook's enclosures are used; null for any other figure. */
  readonly verdict: Verdict | null
  /** Whether recordings hardly hold it: fewer than one landing in a thousand, at 95 % confidence. */
  readonly dead: boolean
  /** How often each degree was landed on, or started from, over all solos of the table; commonest first. */
  readonly degrees: Readonly<Record<string, number>>
}

export interface ListChoices {
  readonly kind: 'approach' | 'cell' | null
  /** Kinds of approach; null for all. */
  readonly classes: readonly string[] | null
  /** Approaches of so many notes; null for any number. Cells have four. */
  readonly notes: number | null
  readonly heard: number
  /** Whether enclosures that books teach and recordings do not hold are listed too. */
  readonly textbook: boolean
}

const readDegrees = (packed: string): ReadonlyMap<string, Readonly<Record<string, number>>> =>
  new Map(
    packed.split(',').map((entry) => {
      const [offsets = '', counts = ''] = entry.split('=')
      const pairs = counts.split(';').map((pair) => pair.split(':') as [string, string])
      return [offsets, Object.fromEntries(pairs.map(([degree, count]) => [degree, Number(count)]))]
    }),
  )

let known: readonly ListedFigure[] | null = null

/** Every figure that was counted or is taught, approaches before cells, commonest first, then the shorter. */
function everyFigure(): readonly ListedFigure[] {
  const ofApproaches = readDegrees(packedApproachDegrees)
  const ofCells = readDegrees(packedCellDegrees)
  const counted = packedApproaches.split(',').map((entry) => entry.slice(0, entry.lastIndexOf(':')))
  const names = [...new Set([...counted, ...textbookEnclosures])]
  const approaches = names.map((name): ListedFigure => {
    const offsets = name.split(' ').map(Number)
    const verdict = verdictOf(offsets)
    return {
      kind: 'approach',
      class: figureKind(offsets),
      offsets,
      count: approachCount(offsets),
      verdict,
      dead: verdict === 'dead',
      degrees: ofApproaches.get(name) ?? {},
    }
  })
  const carrying = cells.map(
    ({ name, steps, count }: Cell): ListedFigure => ({
      kind: 'cell',
      class: name,
      offsets: steps,
      count,
      verdict: null,
      dead: false,
      degrees: ofCells.get(steps.join(' ')) ?? {},
    }),
  )
  const order = (a: ListedFigure, b: ListedFigure) => b.count - a.count || a.offsets.length - b.offsets.length
  return [...approaches.sort(order), ...carrying.sort(order)]
}

/**
 * The figures that a person asks to see, approaches before cells, commonest first.
 *
 * @example
 * listFigures({ kind: 'approach', classes: ['enclosure'], notes: 2, heard: 50, textbook: false }).map(({ offsets }) => offsets) // => [[1, -1], [-1, 2], [2, -1]]
 */
export function listFigures({ kind, classes, notes, heard, textbook }: ListChoices): readonly ListedFigure[] {
  known ??= everyFigure()
  return known.filter(
    (figure) =>
      (kind === null || figure.kind === kind) &&
      (classes === null || figure.kind === 'cell' || classes.includes(figure.class)) &&
      (notes === null || figure.kind === 'cell' || figure.offsets.length === notes) &&
      figure.count >= heard &&
      (textbook || (figure.count > 0 && !figure.dead)),
  )
}

/** Why a textbook's enclosure is marked, in a sentence; null for a figure that is not. */
export function deadBecause({ verdict, count }: Pick<ListedFigure, 'verdict' | 'count'>): string | null {
  const heard = count === 0 ? 'never heard' : count === 1 ? 'heard once' : `heard ${count} times`
  if (verdict === 'dead') return `books teach it, but ${heard} here: surely fewer than 1 target in 1,000`
  return verdict === 'rare' ? `rare: ${heard}, surely fewer than 2 targets in 1,000` : null
}
