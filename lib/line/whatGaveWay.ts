/** What gave way in a draft, said by its bar: kinds of approach, that none comes twice, that no two notes go back and forth. */
import type { Harmony } from '../harmony/harmony.ts'
import type { Target } from './chooseTargets.ts'
import type { Draft, DraftBrief, Relaxed } from './draftLine.ts'
import { type DrawnNote, isTrill } from './drawLine.ts'
import { approachName, figureKind } from './figures.ts'
import type { Moment } from './planRhythm.ts'

const an = (name: string) => `${/^[aeiou]/.test(name) ? 'an' : 'a'} ${name}`

/** Whether a brief would not have drawn an approach. */
const bars = (offsets: readonly number[], { approach, notes }: DraftBrief): boolean =>
  offsets.length > notes || !(approach as readonly string[]).includes(figureKind(offsets))

/** Which rules gave way: kinds of approach where none that was asked for fits, or where a pin overrides them. */
export function relaxedOf(
  harmony: Harmony,
  figures: Draft['figures'],
  targets: readonly Target[],
  brief: DraftBrief,
  pins: ReadonlyMap<number, unknown>,
): readonly Relaxed[] {
  return figures.flatMap(({ kind, forced, target, offsets }): Relaxed[] => {
    const pinned = kind === 'approach' && pins.has(target) && bars(offsets, brief)
    if (kind !== 'approach' || !(forced || pinned)) return []
    const asked =
      brief.figures.length > 0
        ? 'approach that was asked for'
        : brief.own !== null && !brief.mixOwn
          ? 'approach of your own'
          : `${brief.approach.join(' or ')} approach of at most ${brief.notes} ${brief.notes === 1 ? 'note' : 'notes'}`
    const bar = harmony.bars.findLast(({ start }) => start <= targets[target]!.start)!.bar
    const why = pinned
      ? `the pinned ${approachName(offsets)} stays, though only ${an(asked)} was asked for`
      : `no ${asked} fits here; ${an(approachName(offsets))} leads in instead`
    return [{ rule: 'approach-kinds', bar, why }]
  })
}

/** Approaches that come a second time, where none should before all have been used. */
export function comeAgain(harmony: Harmony, figures: Draft['figures'], targets: readonly Target[]): readonly Relaxed[] {
  const used = new Set<string>()
  return figures.flatMap(({ kind, target, offsets }): Relaxed[] => {
    if (kind !== 'approach') return []
    const name = offsets.join(' ')
    const again = used.has(name)
    used.add(name)
    if (!again) return []
    const { bar } = harmony.bars.findLast(({ start }) => start <= targets[target]!.start)!
    return [{ rule: 'different', bar, why: `${name} comes again: no unused approach joins what stands around it here` }]
  })
}

/** Where a line goes back and forth between two notes, though it should not. */
export function backAndForth(
  harmony: Harmony,
  moments: readonly Moment[],
  notes: readonly DrawnNote[],
): readonly Relaxed[] {
  return notes.flatMap(({ moment }, n): Relaxed[] => {
    const four = notes.slice(n - 3, n + 1)
    if (n < 3 || four[0]!.moment !== moment - 3 || !isTrill(four.map(({ midi }) => midi))) return []
    const { bar } = harmony.bars.findLast(({ start }) => start <= moments[moment]!.start)!
    return [
      {
        rule: 'trill',
        bar,
        why: 'it goes back and forth between two notes here: nothing else joins what stands around',
      },
    ]
  })
}
