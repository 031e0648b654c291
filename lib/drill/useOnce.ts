/** Which figure goes where, so that none comes twice until all that fit have been used: matching, cheapest way first. */

/** What may stand at a place: an item by its number, and its cost in nats. */
export interface Offer {
  readonly item: number
  readonly cost: number
}

/**
 * Gives each place, in order, one of the items offered there, none twice before all have been used: as long as an unused one can be had, if need be by
 * handing earlier places others, it is had; when all items have been used, a new round begins. Where every item that is offered
 * somewhere is used up for a place, the one used least comes again. Among such ways the cheapest, place by place. Returns the index of the
 * offer taken at each place, -1 where nothing is offered.
 *
 * @example
 * useOnce([[{ item: 1, cost: 0 }, { item: 2, cost: 1 }], [{ item: 1, cost: 0 }]]) // => [1, 0]
 */
export function useOnce(places: readonly (readonly Offer[])[]): readonly number[] {
  const all = new Set(places.flatMap((offers) => offers.map(({ item }) => item)))
  const taken: number[] = places.map(() => -1)
  const uses = new Map<number, number>()
  /** Item to the place that holds it in this round. */
  let holder = new Map<number, number>()
  let round = 0
  places.forEach((offers, place) => {
    if (offers.length === 0) return
    if (holder.size === all.size) {
      for (const [item] of holder) uses.set(item, (uses.get(item) ?? 0) + 1)
      holder = new Map()
      round = place
    }
    if (hand(places, taken, holder, place, round)) return
    // Nothing new can be had here: what was used least, and cheapest, comes again.
    const often = ({ item }: Offer) => (uses.get(item) ?? 0) + (holder.has(item) ? 1 : 0)
    const rank = (offer: Offer) => often(offer) * 1e6 + offer.cost
    taken[place] = offers.reduce((best, offer, i) => (rank(offer) < rank(offers[best]!) ? i : best), 0)
  })
  return taken
}

/** Hands an unused item to a place along the cheapest chain of places that give way to it; whether there was one. */
function hand(
  places: readonly (readonly Offer[])[],
  taken: number[],
  holder: Map<number, number>,
  from: number,
  round: number,
): boolean {
  // Bellman and Ford over the places of this round: the cost of freeing an item, and from which place it would be taken.
  const cost = new Map<number, number>([[from, 0]])
  const via = new Map<number, { readonly place: number; readonly offer: number }>()
  let waiting = [from]
  let best: { readonly place: number; readonly offer: number; readonly cost: number } | null = null
  while (waiting.length > 0) {
    const next = new Set<number>()
    for (const place of waiting) {
      const base = cost.get(place)!
      places[place]!.forEach(({ item, cost: own }, offer) => {
        const held = holder.get(item)
        if (held === undefined) {
          if (best === null || base + own < best.cost - 1e-9) best = { place, offer, cost: base + own }
          return
        }
        if (held === place || held < round) return
        const freed = base + own - places[held]![taken[held]!]!.cost
        if (freed >= (cost.get(held) ?? Infinity) - 1e-9) return
        cost.set(held, freed)
        via.set(held, { place, offer })
        next.add(held)
      })
    }
    waiting = [...next]
  }
  let step = best as { readonly place: number; readonly offer: number } | null
  if (!step) return false
  const moves: { readonly place: number; readonly offer: number }[] = []
  while (step) {
    moves.push(step)
    step = step.place === from ? null : (via.get(step.place) ?? null)
  }
  for (const { place, offer } of moves) {
    taken[place] = offer
    holder.set(places[place]![offer]!.item, place)
  }
  return true
}
