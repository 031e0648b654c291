/** The notes of a tube: its harmonic series, worked out from its length, and how far each lies from equal temperament. */

/** A partial of a tube as a note: the nearest MIDI number and the cents that it lies above it. */
export interface Partial {
  readonly number: number
  readonly midi: number
  readonly cents: number
}

/**
 * The partials of a tube whose first sounds at a MIDI number: partial n has n times its frequency.
 *
 * @example
 * partialsOf(34, 7).at(-1) // => { number: 7, midi: 68, cents: -31 }
 */
export const partialsOf = (fundamental: number, most: number): readonly Partial[] =>
  Array.from({ length: most - 1 }, (_, i) => {
    const number = i + 2
    const exact = fundamental + 12 * Math.log2(number)
    const midi = Math.round(exact)
    return { number, midi, cents: Math.round(100 * (exact - midi)) }
  })

/** Partials that are too far from any note to be lipped in, unless a slide mends them. */
export const outOfTune = 20
