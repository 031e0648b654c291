/** A covering drill: a brief's figures once each, commonest first, in as few bars of its scale or tune as can be. */
import type { Brief } from '../brief.ts'
import { coverPlaces } from '../drill/cover.ts'
import { draftDrill } from '../drill/draftDrill.ts'
import { fillGap, type Gap } from '../drill/gap.ts'
import type { Pool } from '../drill/pool.ts'
import type { Harmony } from '../harmony/harmony.ts'
import type { Draft } from '../line/draftLine.ts'
import { type FigureStep, readFigure } from '../line/figureSteps.ts'
import { approachCount, cells } from '../line/figures.ts'
import { ticksPerQuarter } from '../theory/meter.ts'

/** A brief that covers, with the figures that it could not place. */
export interface CoveredBrief {
  readonly brief: Brief
  readonly unplaced: readonly string[]
}

/** How often a plan or a tune is gone through at most before a figure counts as one that cannot be placed. */
const rounds = 4

/** The brief to draft in order to see where figures fit: its plan, or its tune, several times over. */
export function briefToCover(brief: Brief): Brief {
  const several = brief.plan.trim() === '' ? brief.plan : Array(rounds).fill(brief.plan.trim()).join(' | ')
  const choruses = brief.changes.trim() === '' ? brief.choruses : Math.max(2, brief.choruses)
  return {
    ...brief,
    cover: false,
    different: true,
    join: false,
    pickup: false,
    keys: null,
    pins: [],
    plan: several,
    choruses,
  }
}

/**
 * Where each figure of a brief is to stand, as pins, and how many bars that takes.
 *
 * @param brief - as `briefToCover` gives it; `asked` is the brief of which it was made
 */
export function coverBrief(
  asked: Brief,
  brief: Brief,
  harmony: Harmony,
  range: readonly [number, number],
): CoveredBrief | null {
  const draft = draftDrill(harmony, brief, range, brief.seed)
  if ('problems' in draft) return null
  const figures = brief.figures
    .map((text) => ({ text, steps: readFigure(text) ?? [] }))
    .sort((a, b) => countOf(b.steps) - countOf(a.steps))
  const gaps = gapsIn(harmony, draft)
  const fits = gaps.map((gap) =>
    figures.flatMap(({ text, steps }, f) => (fitsIn(harmony, gap, range, text, steps) ? [f] : [])),
  )
  const { taken, unplaced } = coverPlaces(fits, figures.length)
  const pins = taken.flatMap((f, g) => {
    if (f < 0) return []
    const target = draft.targets[g + 1]!
    const bar = harmony.bars.findLast(({ start }) => start <= target.start)!
    const offsets = offsetsIn(harmony, gaps[g]!, range, figures[f]!)
    return [
      `${bar.bar}.${1 + (target.start - bar.start) / ticksPerQuarter}=${offsets.map((o, i) => (i === 0 && o >= 0 ? `+${o}` : `${o}`)).join(' ')}`,
    ]
  })
  const last = draft.targets[taken.length]
  const bars = asked.bars ?? (last ? ([1, last.bar] as const) : null)
  const plan =
    brief.plan.trim() === ''
      ? brief.plan
      : brief.plan
          .split(/[\s|,]+/)
          .slice(0, taken.length + 1)
          .join(' ')
  const covered: Brief = {
    ...asked,
    cover: false,
    plan,
    pins,
    choruses: brief.choruses,
    bars: plan === '' ? bars : asked.bars,
  }
  return { brief: covered, unplaced: unplaced.map((f) => figures[f]!.text) }
}

/** How often a figure was counted; one held by scale steps as its commonest form. */
const countOf = (steps: readonly FigureStep[]): number =>
  Math.max(
    ...[1, 2].map((whole) =>
      approachCount(
        steps.map(({ by, diatonic }) => (diatonic ? Math.sign(by) * (Math.abs(by) * 2 - (whole === 1 ? 1 : 0)) : by)),
      ),
    ),
  )

const gapsIn = (harmony: Harmony, { targets }: Draft): readonly Gap[] =>
  targets.slice(1).map((to, i) => {
    const from = targets[i]!
    return { start: from.start, end: to.start, from, to: { ...to, chord: harmony.chords[to.chord]! } }
  })

const poolOf = (text: string, steps: readonly FigureStep[]): Pool => ({
  approaches: [{ steps, text }],
  asked: true,
  cells,
  dropped: [],
})

const inScale = (
  harmony: Harmony,
  gap: Gap,
  range: readonly [number, number],
  text: string,
  steps: readonly FigureStep[],
) => fillGap(harmony, gap, range, poolOf(text, steps)).filter(({ leadIn }) => !leadIn.outside)

const fitsIn = (...place: Parameters<typeof inScale>): boolean => inScale(...place).length > 0

const offsetsIn = (
  harmony: Harmony,
  gap: Gap,
  range: readonly [number, number],
  { text, steps }: { readonly text: string; readonly steps: readonly FigureStep[] },
): readonly number[] => inScale(harmony, gap, range, text, steps)[0]!.leadIn.offsets
