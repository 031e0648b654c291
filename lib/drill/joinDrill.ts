/** A line that goes round: its last bar leads into what comes next, and an approach stands before its first. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import type { Draft, Goal, Relaxed } from '../line/draftLine.ts'
import type { DrawnNote } from '../line/drawLine.ts'
import type { Motif } from '../line/motifs.ts'
import type { Moment } from '../line/planRhythm.ts'
import { againBecause, blankSheet, endOf, luck, pickCell, writeGap } from './draftDrill.ts'
import { type Filling, type Fillings, fillAnyhow, type Gap } from './gap.ts'
import { type PoolBrief, readPool } from './pool.ts'

/** What of a brief joins and pickups need. */
export type JoinBrief = PoolBrief & Pick<Brief, 'different'>

type Range = readonly [number, number]

/** Nats for an approach that the line holds already, where none is to come twice. */
const againCost = 1e4

/** The approaches of a draft, by their offsets. */
const approachesOf = (draft: Draft): ReadonlySet<string> =>
  new Set(draft.figures.filter(({ kind }) => kind === 'approach').map(({ offsets }) => offsets.join(' ')))

/** The best filling of a gap: chance and counts decide, and what the draft holds already comes last where none is to come twice. */
function best(
  fillings: readonly Filling[],
  gap: Gap,
  used: ReadonlySet<string>,
  different: boolean,
  seed: number,
): Filling | null {
  const cost = ({ leadIn, cost: own }: Filling) =>
    own - luck(seed, gap.end, leadIn.text) + (different && used.has(leadIn.offsets.join(' ')) ? againCost : 0)
  return fillings.reduce<Filling | null>((least, each) => (least && cost(least) <= cost(each) ? least : each), null)
}

function saidOf(
  { gaveWay, fillings }: Fillings,
  filling: Filling | null,
  used: ReadonlySet<string>,
  brief: JoinBrief,
  bar: number,
): readonly Relaxed[] {
  const said: Relaxed[] = gaveWay ? [{ ...gaveWay, bar }] : []
  const name = filling?.leadIn.offsets.join(' ')
  const pool = readPool(brief)
  if (name !== undefined && brief.different && used.has(name) && !('problems' in pool)) {
    const all = new Set([...used, ...fillings.map(({ leadIn }) => leadIn.offsets.join(' '))])
    said.push({ rule: 'different', bar, why: againBecause(name, used, all, pool) })
  }
  return said
}

/** The line with its last bar leading into a goal: the cell of the last target, then an approach. */
export function joinDraft(
  draft: Draft,
  harmony: Harmony,
  goal: Goal,
  brief: JoinBrief,
  range: Range,
  seed: number,
): Draft {
  const pool = readPool(brief)
  const last = draft.targets.at(-1)
  if (!last || 'problems' in pool) return draft
  const end = endOf(harmony)
  const gap: Gap = { start: last.start, end, from: last, to: goal }
  const fillings = fillAnyhow(harmony, gap, range, pool, brief)
  const from = draft.moments.findIndex(({ start }) => start === last.start)
  const kept = draft.figures.filter(({ kind, target }) => kind === 'approach' || target < draft.targets.length - 1)
  const used = approachesOf(draft)
  const filling = best(fillings.fillings, gap, used, brief.different, seed)
  const bar = harmony.bars.at(-1)!.bar
  const relaxed = [...draft.relaxed, ...saidOf(fillings, filling, used, brief, bar)]
  if (!filling) return { ...draft, relaxed }
  const sheet = blankSheet()
  const cell = pickCell(filling, gap, [], seed)
  writeGap(sheet, filling.moments, gap, draft.targets.length, filling.leadIn.offsets, cell)
  const places = new Map(draft.figures.map((figure, f) => [f, kept.indexOf(figure)]))
  const before = draft.notes
    .filter(({ moment }) => moment < from)
    .map((note): DrawnNote => ({ ...note, figure: note.figure === null ? null : places.get(note.figure)! }))
  const after = sheet.notes.map(
    (note): DrawnNote => ({
      ...note,
      moment: note.moment + from,
      figure: note.figure === null ? null : note.figure + kept.length,
    }),
  )
  return {
    ...draft,
    moments: [...draft.moments.slice(0, from), ...sheet.moments],
    notes: [...before, ...after],
    figures: [...kept, ...sheet.figures],
    // What came back in the last bar is no longer there.
    ...(draft.motifs ? { motifs: draft.motifs.filter((motif) => motif.from + motif.notes <= from) } : {}),
    relaxed,
    cost: draft.cost + filling.cost,
    leadsTo: goal,
  }
}

const laterBy = (motif: Motif, moments: number): Motif => ({
  ...motif,
  from: motif.from + moments,
  origin: motif.origin + moments,
})

/** The line with an approach before its first bar; where the first target waits later in that bar, there is room for one already. */
export function pickUpDraft(draft: Draft, harmony: Harmony, brief: JoinBrief, range: Range, seed: number): Draft {
  const pool = readPool(brief)
  const first = draft.targets[0]
  const bar = harmony.bars[0]
  if (!first || !bar || 'problems' in pool) return draft
  if (first.start > bar.start) {
    const why = 'the first target waits inside bar 1, so what leads there stands in that bar'
    return { ...draft, relaxed: [...draft.relaxed, { rule: 'pickup', bar: 1, why }] }
  }
  const to: Goal = { midi: first.midi, degree: first.degree, chord: harmony.chords[first.chord]! }
  const longest = Math.max(...pool.approaches.map(({ steps }) => steps.length))
  const gap: Gap = { start: bar.start - Math.min(bar.ticks, longest * 12), end: bar.start, from: null, to }
  const fillings = fillAnyhow(harmony, gap, range, pool, brief)
  const used = approachesOf(draft)
  const filling = best(fillings.fillings, gap, used, brief.different, seed)
  const relaxed = [...draft.relaxed, ...saidOf(fillings, filling, used, brief, 1)]
  if (!filling) return { ...draft, relaxed }
  const sheet = blankSheet()
  const moments = filling.moments.filter(({ part }) => part === 'approach')
  writeGap(sheet, moments, gap, 0, filling.leadIn.offsets, null)
  const led = sheet.moments.map((moment): Moment => ({ ...moment, bar: 0 }))
  return {
    ...draft,
    moments: [...led, ...draft.moments],
    notes: [
      ...sheet.notes.map((note): DrawnNote => ({ ...note, figure: draft.figures.length })),
      ...draft.notes.map((note): DrawnNote => ({ ...note, moment: note.moment + led.length })),
    ],
    figures: [...draft.figures, ...sheet.figures],
    ...(draft.motifs ? { motifs: draft.motifs.map((motif) => laterBy(motif, led.length)) } : {}),
    relaxed,
    cost: draft.cost + filling.cost,
  }
}
