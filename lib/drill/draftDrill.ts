/** An exact drill in numbers: before every target exactly so many notes, between them one counted cell, and none twice before its turn. */
import type { Brief, BriefProblem } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { randomFrom } from '../lattice/lattice.ts'
import { placeTargets, type Target, type TargetSlot } from '../line/chooseTargets.ts'
import { type Draft, type DraftBrief, draftLine, type Relaxed, rangeProblem } from '../line/draftLine.ts'
import { approachName } from '../line/figures.ts'
import { type Pins, readPins } from '../line/pins.ts'
import { planSlots } from '../line/plan.ts'
import { drillTargets } from './drillTargets.ts'
import { canFill, type Fillings, fillAnyhow, type Gap, nothingKnown } from './gap.ts'
import { layEnd } from './gapRhythm.ts'
import { cellsFrom, type GapMoment, joined, type LeavingCell, momentsFrom } from './gapWays.ts'
import { type Pool, type PoolBrief, readPool } from './pool.ts'
import { type Offer, useOnce } from './useOnce.ts'

/** What of a brief an exact drill needs. */
export type DrillBrief = DraftBrief & PoolBrief & Pick<Brief, 'different' | 'join' | 'pickup'>

type Range = readonly [number, number]
type Refused = { readonly problems: readonly BriefProblem[] }

/** How far chance may bend costs, in nats, so that another seed gives another drill. */
const chance = 0.7
/** Nats for the cell of the gap before, and of the one before that. */
const cellAgain = [2.5, 1.2] as const
/** Nats, where approaches may come again, for that of the gap before and of the three before it. */
const sameAgain = { next: 4, lately: 1.5 }

/**
 * Drafts an exact drill over a harmony. What cannot be kept stands in `relaxed`, bar by bar. Problems where nothing qualifies, where
 * a figure leaves the range wherever it is put, or where the plan asks for what the scale lacks.
 */
export function draftDrill(harmony: Harmony, brief: DrillBrief, range: Range, seed: number): Draft | Refused {
  const pool = readPool(brief)
  if ('problems' in pool) return pool
  const { pins, problems: pinProblems } = readPins(brief.pins, harmony)
  const planned = planSlots(harmony, placeTargets(harmony, brief), brief.plan)
  const problems = [...pinProblems, ...planned.problems]
  if (problems.length > 0) return { problems }
  const slots = planned.slots.map((slot) => ({ ...slot, pinned: pins.notes.get(slot.start) ?? slot.pinned }))
  if (slots.length === 0) return draftLine(harmony, brief, range, seed)
  const targets = targetsOf(harmony, brief, slots, range, pool, pins, seed)
  if ('problems' in targets) return targets
  const gaps = gapsOf(harmony, targets, pins)
  const fillings = gaps.map((gap) => fillAnyhow(harmony, gap, range, pool, brief))
  const taken = takeLeadIns(fillings, brief.different, seed, gaps)
  const draft = assemble(harmony, targets, range, pool, gaps, fillings, taken, brief, seed)
  return { ...draft, relaxed: [...unkept(harmony, brief, pins, targets), ...draft.relaxed] }
}

/** What a person keeps or draws anew of a line and an exact drill does not: notes and bars besides its targets, stretches of it. */
function unkept(harmony: Harmony, brief: DrillBrief, pins: Pins, targets: readonly Target[]): readonly Relaxed[] {
  const at = new Set(targets.map(({ start }) => start))
  const barOf = (tick: number) => harmony.bars.findLast(({ start }) => start <= tick)?.bar ?? 1
  const lost = [...pins.notes.keys(), ...pins.approaches.keys(), ...pins.cells.keys()].filter((tick) => !at.has(tick))
  const why = 'an exact drill keeps targets, and the approaches and cells at them; this pin does not stand'
  return [
    ...[...lost.map(barOf), ...pins.bars.keys()].map((bar) => ({ rule: 'pins', bar, why })),
    ...brief.again.map(({ from }) => ({
      rule: 'again',
      bar: from,
      why: 'an exact drill is drawn as a whole; another line number draws another',
    })),
  ]
}

/** The gaps into each target in order; the first leads out of silence, and is there only if it has room. */
function gapsOf(harmony: Harmony, targets: readonly Target[], pins: Pins): readonly Gap[] {
  return targets.flatMap((to, i): readonly Gap[] => {
    const from = targets[i - 1]
    const start = from?.start ?? harmony.bars[0]?.start ?? 0
    if (!from && to.start === start) return []
    return [gapBetween(harmony, from ?? null, to, start, pins)]
  })
}

const gapBetween = (harmony: Harmony, from: Target | null, to: Target, start: number, pins: Pins): Gap => ({
  start,
  end: to.start,
  from,
  to: { midi: to.midi, degree: to.degree, chord: harmony.chords[to.chord]! },
  pinned: { approach: pins.approaches.get(to.start), cell: from ? pins.cells.get(from.start) : undefined },
})

function targetsOf(
  harmony: Harmony,
  brief: DrillBrief,
  slots: readonly TargetSlot[],
  range: Range,
  pool: Pool,
  pins: Pins,
  seed: number,
): readonly Target[] | Refused {
  let at = -1
  let known = new Map<number, boolean>()
  let ends = nothingKnown()
  const joins = (index: number, from: Target, to: Target): boolean => {
    // Gaps are tried in order, and what was found for one is no use to the next.
    if (index !== at) [at, known, ends] = [index, new Map(), nothingKnown()]
    const key = 128 * from.midi + to.midi
    let found = known.get(key)
    if (found === undefined) {
      found = canFill(harmony, gapBetween(harmony, from, to, from.start, pins), range, pool, ends)
      known.set(key, found)
    }
    return found
  }
  const planned = brief.plan.trim() !== ''
  const ledInto = brief.join || brief.pickup
  const best = drillTargets(harmony, slots, range, planned, seed, ledInto, joins)
  if (best) return best
  const lost = pool.asked ? leavesRange(harmony, slots, range, pool) : null
  if (lost) return { problems: [lost] }
  return drillTargets(harmony, slots, range, planned, seed, ledInto, () => true) ?? { problems: [rangeProblem(range)] }
}

/** The asked figure that stays in range before no target of some bar, in any octave; null where there is none. */
function leavesRange(
  harmony: Harmony,
  slots: readonly TargetSlot[],
  [low, high]: Range,
  pool: Pool,
): BriefProblem | null {
  const reach = (steps: Pool['approaches'][number]['steps']) =>
    steps.map(({ by, diatonic }) => (diatonic ? by * 2 : by))
  for (const slot of slots.slice(1)) {
    const pitches = Array.from({ length: high - low + 1 }, (_, i) => low + i).filter((midi) =>
      slot.choices.some(({ chroma }) => chroma === midi % 12),
    )
    const fits = pool.approaches.some(({ steps }) =>
      pitches.some((midi) => reach(steps).every((by) => midi + by >= low && midi + by <= high)),
    )
    if (fits) continue
    const { text } = pool.approaches[0]!
    return {
      severity: 'error',
      code: 'figure-out-of-range',
      choice: 'figures',
      span: { start: 0, end: text.length },
      found: `${text}, which leaves the range wherever it leads into the ${slot.choices[0]?.degree} of ${harmony.chords[slot.chord]!.symbol} in bar ${slot.bar}`,
      expected: `figures that stay within the ${high - low} semitones of this range`,
      hint: 'try --compass full, a wider --low and --high, or a smaller figure such as 2 -1',
    }
  }
  return null
}

/** A number from 0 to 1 of its own for each place and word, the same for the same seed. */
function chanceOf(seed: number, place: number, word: string): number {
  let hash = (seed ^ Math.imul(place + 1, 0x9e3779b1)) >>> 0
  for (let i = 0; i < word.length; i++) hash = Math.imul(hash ^ word.charCodeAt(i), 0x01000193) >>> 0
  return randomFrom(hash)()
}

/** Chance as nats: mostly small, now and then more (Gumbel), so that the cheapest is one drawn by its weight. */
export const luck = (seed: number, place: number, word: string): number =>
  chance * -Math.log(-Math.log(chanceOf(seed, place, word) * 0.999998 + 1e-6))

/** Which filling stands in each gap, by its index; -1 where there is none. */
function takeLeadIns(
  fillings: readonly Fillings[],
  different: boolean,
  seed: number,
  gaps: readonly Gap[],
): readonly number[] {
  const items = new Map<string, number>()
  const item = (offsets: readonly number[]): number => {
    const name = offsets.join(' ')
    if (!items.has(name)) items.set(name, items.size)
    return items.get(name)!
  }
  const offers = fillings.map(({ fillings: list }, place): readonly Offer[] =>
    list.map(({ leadIn, cost }) => ({
      item: item(leadIn.offsets),
      cost: cost - luck(seed, gaps[place]!.end, leadIn.text),
    })),
  )
  if (different) return useOnce(offers)
  const lately: number[] = []
  return offers.map((list) => {
    if (list.length === 0) return -1
    const cost = (offer: Offer) => {
      const back = lately.indexOf(offer.item)
      return offer.cost + (back === 0 ? sameAgain.next : back > 0 ? sameAgain.lately : 0)
    }
    const best = list.reduce((least, offer, i) => (cost(offer) < cost(list[least]!) ? i : least), 0)
    lately.unshift(list[best]!.item)
    lately.splice(4)
    return best
  })
}

/** Puts a drill together: targets, the cell and approach of each gap, what is left after the last target. */
function assemble(
  harmony: Harmony,
  targets: readonly Target[],
  range: Range,
  pool: Pool,
  gaps: readonly Gap[],
  fillings: readonly Fillings[],
  taken: readonly number[],
  brief: DrillBrief,
  seed: number,
): Draft {
  const sheet = blankSheet()
  const cellNames: string[] = []
  const lead = targets.length - gaps.length
  gaps.forEach((gap, g) => {
    const filling = fillings[g]!.fillings[taken[g]!]
    const to = g + lead
    if (!filling) {
      writeBare(sheet, harmony, gap, to)
      return
    }
    const cell = pickCell(filling, gap, cellNames, seed)
    if (cell) cellNames.unshift(cell.name)
    writeGap(sheet, filling.moments, gap, to, filling.leadIn.offsets, cell)
    sheet.cost += filling.cost
  })
  const last = targets.at(-1)!
  const end = endOf(harmony)
  const laid = (withCell: boolean) => momentsFrom(harmony, last.start, layEnd(end - last.start, withCell), last.chord)
  const cells = cellsFrom(harmony, laid(true), last, range, pool.cells)
  const cost = cellCost(cellNames, seed, last.start)
  const cell = cells.length > 0 ? cells.reduce((a, b) => (cost(b) < cost(a) ? b : a)) : null
  writeGap(sheet, laid(cell !== null), { from: last, to: null }, targets.length, [], cell)
  return {
    targets,
    moments: sheet.moments,
    notes: sheet.notes,
    figures: sheet.figures,
    relaxed: relaxedOf(targets.slice(lead), fillings, taken, pool, brief),
    cost: sheet.cost,
  }
}

export const endOf = (harmony: Harmony): number =>
  harmony.bars.reduce((at, bar) => Math.max(at, bar.start + bar.ticks), 0)

/** A draft that is being written. */
export interface Sheet {
  readonly moments: Draft['moments'][number][]
  readonly notes: Draft['notes'][number][]
  readonly figures: Draft['figures'][number][]
  cost: number
}

export const blankSheet = (): Sheet => ({ moments: [], notes: [], figures: [], cost: 0 })

/** Cells are priced by their counts, by chance, and dearer where they have just been played. */
const cellCost =
  (before: readonly string[], seed: number, start: number) =>
  ({ name, cost }: LeavingCell): number => {
    const back = before.indexOf(name)
    return cost - luck(seed, start, name) + (cellAgain[back] ?? 0)
  }

export const pickCell = (
  filling: Fillings['fillings'][number],
  gap: Pick<Gap, 'from' | 'to' | 'start'>,
  before: readonly string[],
  seed: number,
): LeavingCell | null =>
  joined(filling.cells, gap.from?.midi ?? null, gap.to.midi, filling.leadIn, cellCost(before, seed, gap.start))?.cell ??
  null

/** Writes a gap: the target that it leaves, its cell, what is held or rests, and the approach into the target after. */
export function writeGap(
  sheet: Sheet,
  moments: readonly GapMoment[],
  gap: { readonly from: Gap['from']; readonly to: Gap['to'] | null },
  to: number,
  offsets: readonly number[],
  cell: LeavingCell | null,
): void {
  const add = (list: 'approach' | 'cell', target: number, own: readonly number[]) =>
    sheet.figures.push({ kind: list, target, offsets: own, forced: false }) - 1
  const cellFigure = cell ? add('cell', to - 1, cell.offsets) : null
  const approach = gap.to && offsets.length > 0 ? add('approach', to, offsets) : null
  let inCell = 0
  let led = 0
  for (const { part, ...moment } of moments) {
    const index =
      sheet.moments.push({ ...moment, rest: part === 'rest', target: part === 'target' ? to - 1 : null }) - 1
    if (part === 'target') sheet.notes.push({ moment: index, midi: gap.from!.midi, figure: null })
    if (part === 'cell') {
      inCell += 1
      sheet.notes.push({ moment: index, midi: gap.from!.midi + cell!.offsets[inCell]!, figure: cellFigure })
    }
    if (part === 'approach') {
      sheet.notes.push({ moment: index, midi: gap.to!.midi + offsets[led]!, figure: approach })
      led += 1
    }
  }
}

/** A gap that nothing fills: the target held, then rest. */
function writeBare(sheet: Sheet, harmony: Harmony, gap: Gap, to: number): void {
  const ticks = gap.end - gap.start
  const held = Math.min(ticks, 48)
  const rhythm = gap.from
    ? [
        { ticks: held, part: 'target' } as const,
        ...(ticks > held ? [{ ticks: ticks - held, part: 'rest' } as const] : []),
      ]
    : [{ ticks, part: 'rest' } as const]
  writeGap(sheet, momentsFrom(harmony, gap.start, rhythm, gap.from?.chord ?? 0), { ...gap, to: null }, to, [], null)
}

/** What a drill could not keep, bar by bar: rules that gave way, approaches that come again or leave the scale. */
function relaxedOf(
  targets: readonly Target[],
  fillings: readonly Fillings[],
  taken: readonly number[],
  pool: Pool,
  brief: DrillBrief,
): readonly Relaxed[] {
  const all = new Set(fillings.flatMap((each) => each.fillings.map(({ leadIn }) => leadIn.offsets.join(' '))))
  const used = new Set<string>()
  const dropped = pool.dropped.map((why) => ({ rule: 'figures', bar: 1, why }))
  const gaveWay = fillings.flatMap(({ fillings: list, gaveWay: rule }, g): readonly Relaxed[] => {
    const { bar } = targets[g]!
    const leadIn = list[taken[g]!]?.leadIn
    const said: Relaxed[] = rule ? [{ ...rule, bar }] : []
    if (!leadIn) return said
    const name = leadIn.offsets.join(' ')
    if (leadIn.outside)
      said.push({
        rule: 'scale',
        bar,
        why: `${approachName(leadIn.offsets)} (${name}) holds a note outside the scale where it weighs`,
      })
    if (brief.different && used.has(name))
      said.push({ rule: 'different', bar, why: againBecause(name, used, all, pool) })
    used.add(name)
    return said
  })
  return [...dropped, ...gaveWay]
}

export function againBecause(name: string, used: ReadonlySet<string>, all: ReadonlySet<string>, pool: Pool): string {
  const many = all.size === 1 ? 'the only one that qualifies' : `all ${all.size} that qualify`
  const more = pool.asked ? 'name more figures' : 'allow other kinds, another number of notes or a lower --heard'
  if (used.size >= all.size) return `${many} have been used before: ${name} comes again; ${more}`
  const open = [...all].filter((each) => !used.has(each)).join('; ')
  return `none of those unused (${open}) fits this target: ${name} comes again; ${more}`
}
