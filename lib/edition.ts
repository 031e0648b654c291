/**
 * The edition of the line-writing: raised whenever the notes of any line change, so that a link, a file or a JSON tells what it
 * was drawn by. Held against notes that were drawn, in `test/data/editions/`.
 */

/** Today's. Links from before editions were named are of the first. */
export const edition = 6

/** The latest that a link may name. */
export const latestEdition = 9_999

/**
 * What is to be said of a line whose link names an edition, before a line of today's is shown; null where it is today's.
 *
 * @example
 * editionSaid(1) // => 'this was drawn by edition 1 of the lines; this program draws edition 6, so the notes may be others'
 */
export const editionSaid = (named: number): string | null =>
  named === edition
    ? null
    : named < edition
      ? `this was drawn by edition ${named} of the lines; this program draws edition ${edition}, so the notes may be others`
      : `this was drawn by edition ${named} of the lines, which is later than this program’s, ${edition}; the notes may be others`
