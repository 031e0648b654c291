/** What could be played on a day: keys still to be met, what fell apart, what is new, what is due, and in which order each presses. */
import { dayOfNumber, practiceDays } from './days.ts'
import { type Knowledge, type Known, stretchName } from './knowledge.ts'
import { type PracticePlan, type Size, type Stretch, sizes } from './plan.ts'
import type { Why } from './planDay.ts'
import { chanceAfter } from './spacing.ts'

/** What could be played, and how pressing it is: the higher the sooner. */
export interface Candidate {
  readonly key: string
  readonly stretch: Stretch
  readonly rung: number
  readonly why: Why
}

/** New stretches of one key on one day, and stretches that may lie apart in a key before it has new ones, at the most. */
const newInKey = 3
const apartInKey = 2
/** The new stretches of the very first day. */
const firstOfAll = 6

/** What choosing looks things up in. */
export interface Material {
  readonly plan: PracticePlan
  readonly day: number
  readonly known: Knowledge['stretches']
  readonly bySize: Readonly<Record<Size, readonly Stretch[]>>
  readonly byName: ReadonlyMap<string, Stretch>
}

export const barsName = ([from, to]: Stretch['bars']): string => `${from}-${to}`

/** The parts of a stretch: those of the next smaller size within it that has any. */
function partsOf({ bySize }: Material, { size, bars: [from, to] }: Stretch): readonly Stretch[] {
  for (let s = sizes.indexOf(size) - 1; s >= 0; s--) {
    const parts = bySize[sizes[s]!].filter(({ bars }) => bars[0] >= from && bars[1] <= to)
    if (parts.length > 1) return parts
  }
  return []
}

/** Whether a stretch that fell apart is to be taken apart first: twice running, or at the slowest tempo. */
const needsParts = (known: Known): boolean => known.verdict === 'fell apart' && (known.running > 1 || known.rung === 0)

/** Whether a stretch is kept alive by a longer one around it, in the same key, that holds: then it need not come by itself. */
function heldIn({ known }: Material): (each: Known) => boolean {
  const holding = new Map<string, Known[]>()
  for (const each of known.values())
    if (each.verdict !== 'fell apart') holding.set(each.key, [...(holding.get(each.key) ?? []), each])
  return ({ key, bars: [from, to], last }) =>
    (holding.get(key) ?? []).some(
      ({ bars, last: at }) => at >= last && bars[0] <= from && bars[1] >= to && bars[1] - bars[0] > to - from,
    )
}

/** What was played before and is due: what lies apart, its parts in its place where it needs them, and the rest. */
export function dueCandidates(material: Material): {
  readonly apart: readonly Candidate[]
  readonly due: readonly Candidate[]
} {
  const { known, day, byName } = material
  const apart = new Map<string, Candidate & { readonly order: number }>()
  const due: (Candidate & { readonly order: number })[] = []
  const waits = new Set<string>()
  const add = (each: Known, stretch: Stretch, why: Why) => {
    const candidate = { key: each.key, stretch, rung: each.rung, why, order: each.memory.difficulty }
    if (why === 'fell apart') apart.set(stretchName(each.key, stretch.bars), candidate)
    else due.push({ ...candidate, order: (day - each.last) / Math.max(1, each.due - each.last) })
  }
  const within = heldIn(material)
  for (const each of known.values()) {
    const stretch = byName.get(barsName(each.bars))
    if (stretch === undefined || each.due > day || within(each)) continue
    if (!needsParts(each)) {
      add(each, stretch, each.verdict === 'fell apart' ? 'fell apart' : 'due')
      continue
    }
    const parts = partsOf(material, stretch)
    const states = parts.map((part) => known.get(stretchName(each.key, part.bars)))
    const unmet = parts.filter((_, i) => states[i] === undefined)
    const ready = states.every(
      (state) => state !== undefined && state.verdict !== 'fell apart' && state.last >= each.last,
    )
    if (parts.length === 0 || ready) add(each, stretch, 'fell apart')
    else waits.add(stretchName(each.key, stretch.bars))
    for (const part of unmet.slice(0, 2)) {
      const candidate = {
        key: each.key,
        stretch: part,
        rung: 0,
        why: 'taken apart' as const,
        order: each.memory.difficulty,
      }
      apart.set(stretchName(each.key, part.bars), candidate)
    }
    // A part that held before the whole fell is played again before the whole is.
    states.forEach((state, i) => {
      if (state && state.verdict !== 'fell apart' && state.last < each.last && state.due > day)
        apart.set(stretchName(each.key, parts[i]!.bars), {
          key: each.key,
          stretch: parts[i]!,
          rung: state.rung,
          why: 'taken apart',
          order: each.memory.difficulty,
        })
    })
  }
  const byOrder = (a: { readonly order: number }, b: { readonly order: number }) => b.order - a.order
  return { apart: [...apart.values()].sort(byOrder), due: due.sort(byOrder) }
}

/** The size at which a key takes new stretches: it grows with each that came easy at once, and shrinks with each that fell apart. */
function levelOf({ known, byName }: Material, key: string): number {
  let level = 0
  for (const each of known.values()) {
    if (each.key !== key || !byName.has(barsName(each.bars))) continue
    const size = sizes.indexOf(byName.get(barsName(each.bars))!.size)
    if (each.verdict === 'fell apart') level = Math.min(level, Math.max(0, size - 1))
    else if (each.held > 0 || each.verdict === 'easy') level = Math.max(level, size + 1)
  }
  return Math.min(level, sizes.indexOf('phrase'))
}

/** The next new stretches of a key, in the order in which a line is built up: small ones first, what is known as part of a larger one left out. */
export function newIn(material: Material, key: string, count: number, least: number): readonly Stretch[] {
  const { known, bySize, plan } = material
  const [first, last] = plan.bars
  const covered = new Uint8Array(last - first + 1)
  const met = new Set<string>()
  for (const each of known.values()) {
    if (each.key !== key) continue
    met.add(barsName(each.bars))
    if (each.verdict !== 'fell apart') covered.fill(1, Math.max(0, each.bars[0] - first), each.bars[1] - first + 1)
  }
  const found: Stretch[] = []
  const wholly = ({ bars: [from, to] }: Stretch) =>
    covered.subarray(from - first, to - first + 1).every((each) => each === 1)
  // First what was never covered, at the level of the key; then what puts covered stretches together.
  for (let s = least; s < sizes.length && found.length < count; s++)
    for (const stretch of bySize[sizes[s]!]) {
      if (found.length >= count) break
      if (met.has(barsName(stretch.bars)) || (s < 3 && s === least && wholly(stretch))) continue
      if (s > least && !partsOf(material, stretch).every((part) => wholly(part))) continue
      found.push(stretch)
    }
  return found
}

/** The keys that are to be met today so that all are within two weeks of practising. */
export function owedKeys({ plan, known, day }: Material, began: number | null): readonly string[] {
  const met = new Set([...known.values()].map(({ key }) => key))
  const unmet = plan.keys.filter((key) => !met.has(key))
  const end = (began ?? day) + 14
  const left = practiceDays(dayOfNumber(day), Math.max(0, end - day), plan.days).length
  // After a rest no more keys come at once than the plan would have had in a day or two.
  const pace = Math.ceil(plan.keys.length / (2 * plan.days))
  return unmet.slice(0, Math.min(Math.ceil(unmet.length / Math.max(1, left)), left > 0 ? unmet.length : 2 * pace))
}

/** The new stretches of keys that are met, a key at a time in turn, so that none runs ahead. */
export function newCandidates(material: Material): readonly Candidate[] {
  const { plan, known } = material
  const inKey = new Map<string, number>()
  const apart = new Map<string, number>()
  for (const { key, verdict } of known.values()) {
    inKey.set(key, (inKey.get(key) ?? 0) + 1)
    if (verdict === 'fell apart') apart.set(key, (apart.get(key) ?? 0) + 1)
  }
  const open = plan.keys
    .filter((key) => inKey.has(key) && (apart.get(key) ?? 0) < apartInKey)
    .sort((a, b) => inKey.get(a)! - inKey.get(b)!)
    .map((key) => ({ key, stretches: newIn(material, key, newInKey, levelOf(material, key)) }))
  return Array.from({ length: newInKey }, (_, turn) =>
    open.flatMap(({ key, stretches }): readonly Candidate[] => {
      const stretch = stretches[turn]
      return stretch === undefined ? [] : [{ key, stretch, rung: firstRung(material, key, stretch), why: 'new' }]
    }),
  ).flat()
}

/** Where a stretch begins: a step slower than the slowest of its parts is at; at the first tempo where they were not all played. */
function firstRung(material: Material, key: string, stretch: Stretch): number {
  const parts = partsOf(material, stretch).map(({ bars }) => material.known.get(stretchName(key, bars))?.rung ?? 0)
  return parts.length === 0 ? 0 : Math.max(0, Math.min(...parts) - 1)
}

/** What is not due, the least sure first: for a day on which nothing is. */
export function notDue({ known, day, byName }: Material): readonly Candidate[] {
  return [...known.values()]
    .filter(({ bars }) => byName.has(barsName(bars)))
    .map((each) => ({ each, chance: chanceAfter(each.memory, day - each.last) }))
    .sort((a, b) => a.chance - b.chance)
    .map(({ each }) => ({
      key: each.key,
      stretch: byName.get(barsName(each.bars))!,
      rung: each.rung,
      why: 'kept alive',
    }))
}

/** The first day of all: the first bars of the first key, and those alone. */
export const openingOf = (material: Material, key: string): readonly Candidate[] =>
  newIn(material, key, firstOfAll, 0).map((stretch) => ({ key, stretch, rung: 0, why: 'new' }))

/** The size at which one more key begins: what the keys before it are at, in the middle, less one. */
export function startLevel(material: Material): number {
  const met = material.plan.keys.filter((key) => [...material.known.values()].some((each) => each.key === key))
  const levels = met.map((key) => levelOf(material, key)).sort((a, b) => a - b)
  return Math.max(0, (levels[levels.length >> 1] ?? 0) - 1)
}
