/** Lines in several keys as one line, each leading into the next without a gap. */
import type { Brief } from '../brief.ts'
import type { Harmony } from '../harmony/harmony.ts'
import type { Line } from '../line/line.ts'
import { keyName } from '../theory/key.ts'

/** Whether lines are to be heard and read as one piece: joined, several, and whole. */
export const isOnePiece = (lines: readonly Line[], brief: Pick<Brief, 'join' | 'bars'>): boolean =>
  brief.join && lines.length > 1 && brief.bars === null

/** The lines of a brief as they are played: one long one where they are joined. */
export const linesAsPlayed = (lines: readonly Line[], brief: Pick<Brief, 'join' | 'bars'>): readonly Line[] =>
  isOnePiece(lines, brief) ? [joinLines(lines)] : lines

/**
 * One line of several, key after key: bars numbered on, each key a section under its name, its signature stated. What led on from
 * one line now leads into the first target of the next.
 */
export function joinLines(lines: readonly Line[]): Line {
  const first = lines[0]!
  const bars: Harmony['bars'][number][] = []
  const chords: Harmony['chords'][number][] = []
  const targets: Line['targets'][number][] = []
  const figures: Line['figures'][number][] = []
  const notes: Line['notes'][number][] = []
  let start = 0
  for (const line of lines) {
    const [bar, chord, target, figure] = [bars.length, chords.length, targets.length, figures.length]
    const later = <T extends { readonly bar: number; readonly start: number }>(each: T): T => ({
      ...each,
      // A pickup stays before the first bar of all.
      bar: each.bar === 0 ? bar : each.bar + bar,
      start: each.start + start,
    })
    bars.push(
      ...line.harmony.bars.map((own, i) =>
        i === 0 ? { ...later(own), key: line.key, section: keyName(line.key) } : later(own),
      ),
    )
    chords.push(...line.harmony.chords.map(later))
    targets.push(...line.targets.map((each) => ({ ...later(each), chord: each.chord + chord })))
    figures.push(...line.figures.map((each) => ({ ...later(each), target: each.target + target })))
    notes.push(
      ...line.notes.map((note) => ({ ...later(note), figure: note.figure === null ? null : note.figure + figure })),
    )
    start = line.harmony.bars.reduce((end, own) => Math.max(end, own.start + own.ticks), 0) + start
  }
  return {
    ...first,
    harmony: { ...first.harmony, bars, chords },
    bars: [1, bars.length],
    targets,
    figures,
    notes,
    leadsTo: lines.at(-1)!.leadsTo ?? null,
    relaxed: lines.flatMap(({ relaxed }) => relaxed),
  }
}
