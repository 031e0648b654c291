/** One gap of an exact drill, from a target to where it leads: every way to fill it, and what gives way where none keeps the brief. */
import { approachKinds } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import type { Goal } from '../line/draftLine.ts'
import { cells as everyCell } from '../line/figures.ts'
import { type GapNote, layGap } from './gapRhythm.ts'
import { cellsFrom, type GapMoment, joined, type LeadIn, type LeavingCell, leadInsTo, momentsFrom } from './gapWays.ts'
import { type Pool, type PoolBrief, readPool } from './pool.ts'

/** From where to where; `from` is null where nothing is played before the approach. */
export interface Gap {
  readonly start: number
  readonly end: number
  readonly from: { readonly midi: number; readonly chord: number } | null
  readonly to: Goal
  /** The approach or cell that a pin keeps here. */
  readonly pinned?: { readonly approach?: readonly number[] | undefined; readonly cell?: readonly number[] | undefined }
}

/** A lead-in that may stand in a gap, with the rhythm it asks for and the cells that join it. */
export interface Filling {
  readonly leadIn: LeadIn
  readonly moments: readonly GapMoment[]
  readonly cells: readonly LeavingCell[]
  /** With the cell that joins best. */
  readonly cost: number
}

/** All that may fill a gap, and the rule that gave way for it, if one had to. */
export interface Fillings {
  readonly fillings: readonly Filling[]
  readonly gaveWay: { readonly rule: string; readonly why: string } | null
}

type Range = readonly [number, number]

/** What was found for one end of a gap, by that end: gaps that are tried with many targets come back to the same few. */
export interface Known {
  readonly moments: Map<string, readonly GapMoment[] | null>
  readonly cells: Map<string, readonly LeavingCell[]>
  readonly leadIns: Map<string, readonly LeadIn[]>
}

export const nothingKnown = (): Known => ({ moments: new Map(), cells: new Map(), leadIns: new Map() })

function remember<T>(known: Map<string, T>, key: string, make: () => T): T {
  const found = known.get(key)
  if (found !== undefined) return found
  const made = make()
  known.set(key, made)
  return made
}

/** A gap in one rhythm: what may leave and what may lead in, not yet joined. */
interface OpenGap {
  readonly moments: readonly GapMoment[]
  readonly cells: readonly LeavingCell[]
  readonly leadIns: readonly LeadIn[]
}

/** A gap in every rhythm that its approaches ask for. What is known must be of the same harmony, range and pool. */
function openGaps(
  harmony: Harmony,
  gap: Gap,
  range: Range,
  pool: Pool,
  withCell: boolean,
  known: Known,
): readonly OpenGap[] {
  const { from, to } = gap
  return lengthsOf(pool).flatMap((notes) => {
    const place = `${gap.start} ${gap.end} ${notes} ${from?.chord} ${withCell}`
    const moments = remember(known.moments, place, () => {
      const rhythm = rhythmOf(gap, notes, withCell)
      return rhythm && momentsFrom(harmony, gap.start, rhythm, from?.chord ?? 0)
    })
    if (!moments) return []
    const cells = from
      ? remember(known.cells, `${place} ${from.midi}`, () => cellsFrom(harmony, moments, from, range, pool.cells))
      : []
    if (cells.length === 0 && moments.some(({ part }) => part === 'cell')) return []
    const leadIns = remember(known.leadIns, `${place} ${to.midi}`, () => leadInsTo(harmony, moments, to, range, pool))
    return [{ moments, cells, leadIns }]
  })
}

const lengthsOf = (pool: Pool): readonly number[] => [...new Set(pool.approaches.map(({ steps }) => steps.length))]

/** The fillings of a gap that keep the brief. */
export function fillGap(
  harmony: Harmony,
  gap: Gap,
  range: Range,
  pool: Pool,
  withCell = pool.cells.length > 0,
): readonly Filling[] {
  return openGaps(harmony, gap, range, pool, withCell, nothingKnown()).flatMap(({ moments, cells, leadIns }) =>
    leadIns.flatMap((leadIn): readonly Filling[] => {
      const best = joined(cells, gap.from?.midi ?? null, gap.to.midi, leadIn)
      return best ? [{ leadIn, moments, cells, cost: best.cost }] : []
    }),
  )
}

/** Whether anything that keeps the brief fills a gap. */
export function canFill(harmony: Harmony, gap: Gap, range: Range, pool: Pool, known: Known): boolean {
  const own = gap.pinned?.approach || gap.pinned?.cell ? nothingKnown() : known
  const from = pinnedPool(pool, gap)
  return openGaps(harmony, gap, range, from, from.cells.length > 0, own).some(({ cells, leadIns }) =>
    leadIns.some((leadIn) => joined(cells, gap.from?.midi ?? null, gap.to.midi, leadIn) !== null),
  )
}

/** With nothing to leave from, rests stand before the approach. */
function rhythmOf(gap: Gap, notes: number, withCell: boolean): readonly GapNote[] | null {
  const ticks = gap.end - gap.start
  if (gap.from) return layGap(ticks, notes, withCell)
  const laid = layGap(ticks + 12, notes, false)
  const led = laid?.filter(({ part }) => part === 'approach') ?? []
  const rest = ticks - led.reduce((sum, each) => sum + each.ticks, 0)
  if (!laid || rest < 0) return null
  return [...(rest > 0 ? [{ ticks: rest, part: 'rest' } as const] : []), ...led]
}

/**
 * What fills a gap: all that keeps the brief; where nothing does, rules give way one after the other, the dearest last: the cells
 * asked for, any cell, the kinds of approach, the number of notes.
 */
export function fillAnyhow(harmony: Harmony, gap: Gap, range: Range, pool: Pool, brief: PoolBrief): Fillings {
  const kept = fillGap(harmony, gap, range, pinnedPool(pool, gap))
  const silent = pool.cells.length === 0 && gap.from !== null
  const noCell = { rule: 'cells', why: `no cell was counted ${brief.heard} times; the target is held instead` }
  if (kept.length > 0) return { fillings: kept, gaveWay: silent ? noCell : null }
  const asked = brief.cells.length > 0
  const anyCell: Pool = { ...pool, cells: everyCell.filter(({ count }) => count >= brief.heard) }
  const free = readPool({
    ...brief,
    approach: approachKinds,
    figures: [],
    own: null,
    cells: [],
  })
  const what = pool.asked ? 'none of the figures asked for' : `no such approach of ${brief.notes} notes`
  const tries: (() => Fillings)[] = [
    () => given('cells', 'none of the cells asked for fits here; another leaves the target', anyCell, true, asked),
    () => given('cells', 'no cell fits between this target and its approach', pool, false),
    () =>
      given(
        'approach-kinds',
        `${what} fits here in range; another kind leads in`,
        'problems' in free ? null : free,
        true,
      ),
    ...[4, 3, 2, 1]
      .filter((notes) => notes < brief.notes)
      .map((notes) => () => {
        const fewer = readPool({ ...brief, notes: notes as 1, figures: [], own: null, cells: [] })
        const any = readPool({
          ...brief,
          notes: notes as 1,
          heard: 0,
          figures: [],
          own: null,
          cells: [],
          approach: approachKinds,
        })
        const list = [fewer, any].filter((each) => !('problems' in each))
        const why = `there is no room or range for ${brief.notes} notes here; ${notes === 1 ? 'one leads' : `${notes} lead`} in`
        return (
          list.map((each) => given('exact', why, each as Pool, true)).find(({ fillings }) => fillings.length > 0) ??
          none
        )
      }),
  ]
  for (const attempt of tries) {
    const found = attempt()
    if (found.fillings.length > 0) return found
  }
  return none

  function given(rule: string, why: string, from: Pool | null, withCell: boolean, when = true): Fillings {
    if (!from || !when) return none
    const first = fillGap(harmony, gap, range, from, withCell)
    const fillings = first.length > 0 ? first : fillGap(harmony, gap, range, from, false)
    return { fillings, gaveWay: { rule, why } }
  }
}

const none: Fillings = {
  fillings: [],
  gaveWay: { rule: 'exact', why: 'no approach of any length fits here; the target is reached without one' },
}

/** The pool where a pin keeps an approach or a cell. */
function pinnedPool(pool: Pool, { pinned }: Gap): Pool {
  if (!pinned?.approach && !pinned?.cell) return pool
  const { approach, cell } = pinned
  const steps = approach?.map((by) => ({ by, diatonic: false }))
  return {
    ...pool,
    asked: pool.asked || approach !== undefined,
    approaches: steps ? [{ steps, text: approach!.join(' ') }] : pool.approaches,
    cells: cell ? everyCell.filter((each) => each.steps.join() === cell.join()) : pool.cells,
  }
}
