/** Pauses in a day's playing: how long, how often, and what room they leave. */
import type { Pause, PlanItem } from './planDay.ts'

/** A pause after so many minutes of playing: a short one, and every third a long one (common practice). */
const pauseAfter = 10
const pauseMinutes = (n: number): number => (n % 3 === 0 ? 5 : 1)

/** What the pauses in so many minutes of playing take at the most. */
const pausesIn = (minutes: number): number => {
  const count = Math.max(0, Math.ceil(minutes / pauseAfter) - 1)
  return count + 4 * Math.floor(count / 3)
}

/** The most playing that a day has room for beside its pauses, in half minutes. */
export function playingIn(minutes: number): number {
  let playing = minutes
  while (playing + pausesIn(playing) > minutes) playing -= 0.5
  return playing
}

/** The pauses between items: one after each ten minutes of playing, none at the end. */
export function pausesOf(items: readonly PlanItem[]): readonly Pause[] {
  const pauses: Pause[] = []
  let since = 0
  items.forEach(({ minutes }, i) => {
    since += minutes
    if (since < pauseAfter || i === items.length - 1) return
    pauses.push({ after: i, minutes: pauseMinutes(pauses.length + 1) })
    since = 0
  })
  return pauses
}
