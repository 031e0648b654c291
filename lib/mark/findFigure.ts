/** Where a figure occurs: typed as offsets or a cell's name, or taken from a place in a line; in marked lines and in the counts. */
import { approachCount, approachName, cells, figureKind, type Verdict } from '../line/figures.ts'
import { offsetsInto, runInto, stepsFrom } from '../line/recognise.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import type { MarkedLine } from './markLine.ts'
import { usageOf } from './reportLine.ts'

/** A figure that is looked for: an approach by its offsets, or a cell by its scale steps. */
export interface Wanted {
  readonly kind: 'approach' | 'cell'
  readonly offsets: readonly number[]
}

/** A place where it stands. `target` is false where the notes lead into no target of the line. */
export interface FoundPlace {
  readonly source: number
  readonly bar: number
  readonly beat: number
  readonly degree: string | null
  readonly symbol: string | null
  readonly target: boolean
}

/**
 * Reads what is to be found: offsets such as `2 -1`, a cell such as `1-2-3-5`, or `3.1`, the approach that leads to bar 3, beat 1 of
 * the first line.
 *
 * @returns null where it is none of these
 *
 * @example
 * readWanted('2 -1', []) // => { kind: 'approach', offsets: [2, -1] }
 * readWanted('1-2-3-5', []) // => { kind: 'cell', offsets: [0, 1, 2, 4] }
 */
export function readWanted(text: string, lines: readonly MarkedLine[]): Wanted | null {
  const typed = text.trim()
  const cell = cells.find(({ name }) => name === typed)
  if (cell) return { kind: 'cell', offsets: cell.steps }
  const [, bar, beat] = /^(\d+)\.(\d+(?:\.\d+)?)$/.exec(typed) ?? []
  if (bar !== undefined) {
    const line = lines[0]
    const start = line?.line.harmony.bars[Number(bar) - 1]?.start
    if (!line || start === undefined) return null
    const at = start + Math.round((Number(beat) - 1) * ticksPerQuarter)
    const figure = line.figures.find(
      ({ kind, target }) => kind === 'approach' && line.tones[line.targets[target]!.tone]!.start === at,
    )
    if (!figure) return null
    return { kind: 'approach', offsets: offsetsInto(line.tones, line.targets[figure.target]!.tone, figure.notes) }
  }
  if (!/^[+-]?\d{1,2}(?:[ ,]+[+-]?\d{1,2}){0,3}$/.test(typed)) return null
  return { kind: 'approach', offsets: typed.split(/[ ,]+/).map(Number) }
}

/** Every place of some lines where a figure stands: notes without a break that lead into a note so, or go on from it so. */
export function findFigure({ kind, offsets }: Wanted, lines: readonly MarkedLine[]): readonly FoundPlace[] {
  return lines.flatMap(({ line, tones, targets }, source) => {
    const aims = new Map(targets.map(({ tone, chord }) => [tone, chord]))
    return tones.flatMap(({ midi, bar, start }, tone): FoundPlace[] => {
      if (midi === null) return []
      const chord = line.harmony.chords[aims.get(tone) ?? chordAt(line.harmony.chords, start)]
      const here =
        kind === 'cell'
          ? stepsFrom(tones, tone, chord)
          : runInto(tones, tone).length >= offsets.length
            ? offsetsInto(tones, tone, offsets.length)
            : null
      if (here?.join() !== offsets.join()) return []
      const beat = 1 + (start - (line.harmony.bars[bar - 1]?.start ?? 0)) / ticksPerQuarter
      return [
        { source, bar, beat, degree: line.notes[tone]!.degree, symbol: chord?.symbol ?? null, target: aims.has(tone) },
      ]
    })
  })
}

const chordAt = (chords: readonly { readonly start: number }[], tick: number): number =>
  chords.findLastIndex(({ start }) => start <= tick)

/** What the counts say of a figure. */
export function inTheCounts({ kind, offsets }: Wanted): {
  readonly name: string
  readonly class: string
  readonly heard: number
  readonly verdict: Verdict | null
} {
  if (kind === 'approach')
    return {
      name: approachName(offsets),
      class: figureKind(offsets),
      heard: approachCount(offsets),
      verdict: usageOf(offsets),
    }
  const cell = cells.find(({ steps }) => steps.join() === offsets.join())
  return { name: cell?.name ?? '', class: cell?.name ?? '', heard: cell?.count ?? 0, verdict: null }
}
