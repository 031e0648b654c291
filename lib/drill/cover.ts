/** Covering: every figure once, commonest first, in as few places as can be. */

/** Which figure stands at each place, by its index, -1 for none; and the figures that no place can have. */
export interface Covering {
  readonly taken: readonly number[]
  readonly unplaced: readonly number[]
}

/**
 * Covers places, in order, with figures: the fewest places from the first on in which as many figures as can be placed at all stand
 * once each; among such ways the first figure as early as can be, then the second, and so on.
 *
 * @param fits - for each place, the figures that it can have, by their index
 *
 * @example
 * coverPlaces([[1], [0, 1], [0]], 3) // => { taken: [1, 0], unplaced: [2] }
 */
export function coverPlaces(fits: readonly (readonly number[])[], figures: number): Covering {
  const most = matched(fits, new Map())
  let length = 0
  while (matched(fits.slice(0, length), new Map()) < most) length += 1
  const places = fits.slice(0, length)
  const fixed = new Map<number, number>()
  const placed: number[] = []
  for (let figure = 0; figure < figures; figure++) {
    const wanted = most - fixed.size
    for (const [place, own] of places.entries()) {
      if (fixed.has(place) || !own.includes(figure)) continue
      // Here, if all the rest can still be placed.
      const rest = places.map((each, p) =>
        p === place || fixed.has(p) ? [] : each.filter((f) => f !== figure && !placed.includes(f)),
      )
      if (matched(rest, new Map()) < wanted - 1) continue
      fixed.set(place, figure)
      placed.push(figure)
      break
    }
  }
  return {
    taken: places.map((_, place) => fixed.get(place) ?? -1),
    unplaced: Array.from({ length: figures }, (_, figure) => figure).filter((figure) => !placed.includes(figure)),
  }
}

/** How many figures can stand at once, one a place: a largest matching, along ways on which places hand figures on. */
function matched(fits: readonly (readonly number[])[], holder: Map<number, number>): number {
  const seek = (place: number, seen: Set<number>): boolean =>
    fits[place]!.some((figure) => {
      if (seen.has(figure)) return false
      seen.add(figure)
      const held = holder.get(figure)
      if (held !== undefined && !seek(held, seen)) return false
      holder.set(figure, place)
      return true
    })
  return fits.filter((_, place) => seek(place, new Set())).length
}
