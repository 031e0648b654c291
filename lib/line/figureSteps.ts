/** A figure as a person types it: steps from the target, in semitones or in steps of the scale. */

/** A step of a figure: semitones from the target, or steps of the scale from it. */
export interface FigureStep {
  readonly by: number
  readonly diatonic: boolean
}

/** A figure starts so many semitones from its target at most. */
const widestStep = 12

/**
 * Reads a figure: one to four numbers, semitones from the target in playing order; a `d` after a number makes it steps of the
 * scale. Null for anything else.
 *
 * @example
 * readFigure('1d -1') // => [{ by: 1, diatonic: true }, { by: -1, diatonic: false }]
 * readFigure('99') // => null
 */
export function readFigure(text: string): readonly FigureStep[] | null {
  const words = text.trim().split(/\s+/)
  if (words.length > 4 || !words.every((word) => /^[+-]?\d{1,2}d?$/.test(word))) return null
  const steps = words.map((word) => ({ by: Number.parseInt(word, 10), diatonic: word.endsWith('d') }))
  return steps.every(({ by, diatonic }) => Math.abs(by) <= (diatonic ? 7 : widestStep)) ? steps : null
}
