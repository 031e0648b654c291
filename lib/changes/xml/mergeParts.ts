/** The parts of a score as one: the leading part's measures, with what others say of the form, and their chords where it has none. */
import type { Problem } from '../../problem.ts'
import { pitchClassesOf } from '../../theory/chord.ts'
import { chromaOf } from '../../theory/pitch.ts'
import { placedIn, type ScoreChord, type ScoreMeasure } from './scoreMeasure.ts'

/** A measure of one part, with what there is to say of its chords. */
export interface PartMeasure {
  readonly measure: ScoreMeasure
  readonly problems: readonly Problem[]
}

export const chordsIn = (part: readonly PartMeasure[]): number =>
  part.reduce((sum, { measure }) => sum + measure.chords.length, 0)

/** A measure of the leading part with what the other parts say of the form, and their chords where it has none. */
export function mergeMeasures(
  own: PartMeasure,
  parts: readonly (readonly PartMeasure[])[],
  index: number,
  problems: Problem[],
): ScoreMeasure {
  const others = parts.flatMap((part) => (part[index] && part[index] !== own ? [part[index]] : []))
  const all = [own, ...others].map(({ measure }) => measure)
  const silent = own.measure.chords.length === 0 && own.measure.repeats === 0
  const speaks = silent ? (others.find(({ measure }) => measure.chords.length > 0) ?? own) : own
  problems.push(
    ...speaks.problems,
    ...passedOver(
      speaks.measure,
      others.map(({ measure }) => measure),
    ),
  )
  const codas = new Set(all.flatMap((measure) => measure.codas ?? []))
  const marks = new Set(all.flatMap((measure) => measure.marks))
  if (marks.has('To Coda') && codas.size > 0 && !all.some((measure) => measure.codas?.includes('start'))) codas.clear()
  return {
    ...own.measure,
    section: all.find((measure) => measure.section)?.section ?? null,
    ending: all.find((measure) => measure.ending)?.ending ?? null,
    endingOpen: all.find((measure) => measure.ending)?.endingOpen ?? false,
    repeatStart: all.some((measure) => measure.repeatStart),
    repeatEnd: all.some((measure) => measure.repeatEnd),
    times: all.find((measure) => measure.times !== null)?.times ?? null,
    marks: [...marks],
    codas: [...codas],
    chords: speaks.measure.chords,
    length: all.reduce((most, measure) => Math.max(most, measure.length ?? 0), 0),
    partial: all.some((measure) => measure.partial),
  }
}

/** A chord by its sound, whatever its name: parts are written in keys of their own. */
const soundOf = ({ symbol: { root, chord } }: ScoreChord): string =>
  root && chord ? `${chromaOf(root)}:${pitchClassesOf(chord)}` : ''

/** The chords of other parts that sound in none of those that are read: said once each. */
function passedOver(read: ScoreMeasure, others: readonly ScoreMeasure[]): readonly Problem[] {
  const heard = new Set(['', ...read.chords.map(soundOf)])
  return others.flatMap(({ chords }) =>
    chords.flatMap((chord): readonly Problem[] => {
      if (heard.has(soundOf(chord))) return []
      heard.add(soundOf(chord))
      const { symbol } = chord.symbol
      const expected = 'the chords of the part with the most of them; this one, of another part, is left out'
      return [
        {
          severity: 'warning',
          code: 'lost-chord',
          span: chord.span,
          found: placedIn(symbol, read),
          expected,
          hint: symbol,
        },
      ]
    }),
  )
}
