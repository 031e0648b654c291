/** What stands in order, bars and chords by their ticks or lines of text by their characters: where in it a place falls. */

/**
 * The index of the last that has started at a place; -1 before the first.
 *
 * @example
 * lastStarted([{ start: 0 }, { start: 96 }, { start: 192 }], 100) // => 1
 * lastStarted([{ start: 0 }], -1) // => -1
 */
export function lastStarted(all: readonly { readonly start: number }[], at: number): number {
  let low = -1
  let high = all.length - 1
  while (low < high) {
    const middle = (low + high + 1) >> 1
    if (all[middle]!.start <= at) low = middle
    else high = middle - 1
  }
  return low
}
