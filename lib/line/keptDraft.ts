/** What stays of an earlier draft while a stretch of it is drawn anew: its targets, notes, approaches, and what comes back in it. */
import type { Target } from './chooseTargets.ts'
import type { Draft } from './draftLine.ts'
import type { DrawnPhrases } from './drawPhrases.ts'
import type { Motif } from './motifs.ts'

/** What stays of an earlier draft while a stretch is drawn anew. */
export interface Kept {
  readonly draft: Draft
  /** Whether what begins at a tick stays. */
  readonly keeps: (tick: number) => boolean
}

/** What comes back in a line, and what came back before a stretch was drawn anew and is still there. */
export function motifsOf({ motifs, notes }: DrawnPhrases, kept: Kept | null): readonly Motif[] {
  const now = new Map(notes.map(({ moment, midi }) => [moment, midi]))
  const before = new Map(kept?.draft.notes.map(({ moment, midi }) => [moment, midi]))
  const stands = ({ from, origin, notes: count }: Motif) =>
    Array.from({ length: count }, (_, i) => [from + i, origin + i])
      .flat()
      .every((moment) => now.get(moment) === before.get(moment))
  const own = new Set(motifs.map(({ from }) => from))
  const still = kept?.draft.motifs?.filter((motif) => !own.has(motif.from) && stands(motif)) ?? []
  return [...still, ...motifs].sort((a, b) => a.from - b.from)
}

/** The targets outside the stretch, and that on which it begins where the notes that lead there stay. */
export function keptTargets({ draft, keeps }: Kept): readonly Target[] {
  const ledTo = new Set(
    draft.notes.flatMap(({ moment, figure }) =>
      figure !== null && draft.figures[figure]!.kind === 'approach' && keeps(draft.moments[moment]!.start)
        ? [draft.figures[figure]!.target]
        : [],
    ),
  )
  return draft.targets.filter(({ start }, t) => keeps(start) || ledTo.has(t))
}

/** Keeps every note outside the stretch, and every approach that lies outside it whole. */
export function keepNotes(
  { draft, keeps }: Kept,
  notes: Map<number, number>,
  approaches: Map<number, readonly number[]>,
): void {
  const at = (moment: number) => draft.moments[moment]!.start
  for (const { moment, midi } of draft.notes) if (keeps(at(moment))) notes.set(moment, midi)
  const touched = new Set(draft.notes.filter(({ moment }) => !keeps(at(moment))).map(({ figure }) => figure))
  draft.figures.forEach(({ kind, target, offsets }, f) => {
    if (kind === 'approach' && !touched.has(f)) approaches.set(target, offsets)
  })
}
