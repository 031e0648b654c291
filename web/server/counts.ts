/** How many requests each address made in its minute, by a clock that nobody sets: whoever is told to wait never waits longer than it. */
import type { ClientRateLimitInfo, Store } from 'express-rate-limit'

interface Count {
  totalHits: number
  /** When it ends, in milliseconds of the clock. */
  readonly ends: number
}

/**
 * Begins without a count. A count ends so long after its first request, whatever the machine is told about the time of day meanwhile.
 *
 * @param length - milliseconds of a count
 */
export function startCounts(length: number): Store {
  /** In the order in which they end. */
  const counts = new Map<string, Count>()
  const dropEnded = (now: number): void => {
    for (const [who, { ends }] of counts) {
      if (ends > now) return
      counts.delete(who)
    }
  }
  // The time of day is what answers are reckoned from, so it is told anew each time.
  const told = ({ totalHits, ends }: Count, now: number): ClientRateLimitInfo => ({
    totalHits,
    resetTime: new Date(Date.now() + ends - now),
  })
  return {
    localKeys: true,
    increment(who) {
      const now = performance.now()
      dropEnded(now)
      const count = counts.get(who) ?? { totalHits: 0, ends: now + length }
      count.totalHits += 1
      counts.set(who, count)
      return told(count, now)
    },
    decrement(who) {
      const count = counts.get(who)
      if (count) count.totalHits -= 1
    },
    resetKey(who) {
      counts.delete(who)
    },
  }
}
