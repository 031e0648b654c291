/** How far lines are from real solos, and how a drill shares out its figures: the measures, apart from what is measured. */
import type { Draft } from '../../lib/line/draftLine.ts'
import { bigramCounts, figureKind, intervalCounts, verdictOf } from '../../lib/line/figures.ts'

/** Unbroken runs of a draft's notes, as MIDI. */
export function runsOf(draft: Draft): readonly (readonly number[])[] {
  const runs: number[][] = []
  let last = -2
  for (const { moment, midi } of draft.notes) {
    if (moment !== last + 1) runs.push([])
    runs.at(-1)!.push(midi)
    last = moment
  }
  return runs.filter((run) => run.length > 1)
}

const count = (items: readonly string[]): Map<string, number> =>
  items.reduce((m, k) => m.set(k, (m.get(k) ?? 0) + 1), new Map<string, number>())
const total = (m: ReadonlyMap<string, number>) => [...m.values()].reduce((a, b) => a + b, 0)

/** Jensen-Shannon divergence of two tables of counts, in bits. */
export function divergence(a: ReadonlyMap<string, number>, b: ReadonlyMap<string, number>): number {
  const [na, nb] = [total(a), total(b)]
  let bits = 0
  for (const k of new Set([...a.keys(), ...b.keys()])) {
    const p = (a.get(k) ?? 0) / na
    const q = (b.get(k) ?? 0) / nb
    const m = (p + q) / 2
    if (p) bits += (p / 2) * Math.log2(p / m)
    if (q) bits += (q / 2) * Math.log2(q / m)
  }
  return bits
}

export interface Realism {
  readonly notes: number
  /** Bits, against the counts of lib/line/soloCounts.ts. */
  readonly intervals: number
  readonly bigrams: number
  /** Shares: direction turns among moving pairs, steps among all intervals. */
  readonly turns: number
  readonly steps: number
}

export function realismOf(drafts: readonly Draft[]): Realism {
  const runs = drafts.flatMap(runsOf)
  const steps = runs.map((run) => run.slice(1).map((n, i) => n - run[i]!))
  const pairs = steps.flatMap((s) => s.slice(1).map((d, i) => [s[i]!, d] as const))
  const moving = pairs.filter(([a, b]) => a !== 0 && b !== 0)
  const all = steps.flat()
  return {
    notes: runs.flat().length,
    intervals: divergence(count(all.map(String)), intervalCounts),
    bigrams: divergence(count(pairs.map((p) => p.join(' ')).filter((k) => bigramCounts.has(k))), bigramCounts),
    turns: moving.filter(([a, b]) => a > 0 !== b > 0).length / moving.length,
    steps: all.filter((d) => d !== 0 && Math.abs(d) <= 2).length / all.length,
  }
}

export interface DrillShares {
  readonly targets: number
  /** Shares of the targets that have anything before them. */
  readonly twoNotesOrMore: number
  readonly enclosures: number
  readonly enclosuresAndChromatic: number
  readonly dead: number
  /** Different approaches of two notes or more. */
  readonly different: number
  /** Of neighbouring approaches, how many are the same. */
  readonly sameAgain: number
  /** Times that a pitch sounds three times running. */
  readonly threeRunning: number
  /** Of four targets in a row, how many stand on two pitches or fewer. */
  readonly hovering: number
  /** The range of 16 notes without a break, in semitones, at the median. */
  readonly range16: number
}

export function drillShares(drafts: readonly Draft[]): DrillShares {
  const approaches = drafts.map((d) => d.figures.filter(({ kind }) => kind === 'approach'))
  const all = approaches.flat()
  // The first target of a line has nothing before it.
  const targets = drafts.reduce((sum, d) => sum + d.targets.length - 1, 0)
  const names = approaches.map((list) => list.map(({ offsets }) => offsets.join(' ')))
  const neighbours = names.flatMap((list) => list.slice(1).map((name, i) => name === list[i]))
  const fours = drafts.flatMap(({ targets: list }) =>
    list.slice(3).map((_, i) => new Set(list.slice(i, i + 4).map(({ midi }) => midi)).size),
  )
  const ranges = drafts
    .flatMap(runsOf)
    .flatMap((run) => run.slice(15).map((_, i) => run.slice(i, i + 16)))
    .map((pitches) => Math.max(...pitches) - Math.min(...pitches))
    .sort((a, b) => a - b)
  const share = (test: (offsets: readonly number[]) => boolean) =>
    all.filter(({ offsets }) => test(offsets)).length / targets
  return {
    targets,
    twoNotesOrMore: share((o) => o.length >= 2),
    enclosures: share((o) => figureKind(o) === 'enclosure'),
    enclosuresAndChromatic: share((o) => figureKind(o) === 'enclosure' || figureKind(o) === 'chromatic'),
    dead: all.filter(({ offsets }) => verdictOf(offsets) === 'dead').length,
    different: new Set(names.flat().filter((name) => name.includes(' '))).size,
    sameAgain: neighbours.filter(Boolean).length / neighbours.length,
    threeRunning: drafts
      .flatMap(runsOf)
      .reduce((n, run) => n + run.filter((p, i) => i > 1 && p === run[i - 1] && p === run[i - 2]).length, 0),
    hovering: fours.filter((size) => size <= 2).length / fours.length,
    range16: ranges[ranges.length >> 1] ?? Number.NaN,
  }
}
