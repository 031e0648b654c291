/** What the built server serves: new pictures and known ones a second, how long they take at half that load, start-up and memory. */
import { flood, memoryOf, pace, percentile, startBuilt, svgOf } from '../soak/load.ts'

export interface ServerFigures {
  /** Milliseconds from the start of the process to the first whole page. */
  readonly start: number
  /** New 32-bar SVGs a second, and the 99th percentile in milliseconds at half that. */
  readonly fresh: number
  readonly freshLate: number
  /** The same for SVGs that were asked for before. */
  readonly known: number
  readonly knownLate: number
  /** Megabytes at the end of it all, and the most on the way. */
  readonly memory: number
  /** Milliseconds that a plain answer waited at most while pictures were made: how long the event loop was held. */
  readonly held: number
}

export async function benchServer(): Promise<ServerFigures> {
  const server = await startBuilt()
  try {
    let most = memoryOf(server)
    let held = 0
    const watching = setInterval(() => {
      most = Math.max(most, memoryOf(server))
    }, 200)
    const at = (from: number) => (n: number) => svgOf(server.address, from + n)
    await flood(40, 4, at(1_000_000))
    const fresh = await flood(120, 8, at(0))
    const freshPaced = pace(fresh.perSecond / 2, 12, at(10_000))
    const health = pace(20, 12, () => `${server.address}health`)
    const late = await freshPaced
    held = percentile(await health, 0.99)
    const known = await flood(4_000, 32, (n) => svgOf(server.address, n % 100))
    const knownPaced = await pace(known.perSecond / 2, 6, (n) => svgOf(server.address, n % 100))
    clearInterval(watching)
    const all = [...fresh.asked, ...late, ...known.asked, ...knownPaced]
    const bad = all.filter(({ status }) => status !== 200)
    if (bad.length > 0) throw new Error(`${bad.length} of ${all.length} answers were not 200: ${bad[0]!.status}`)
    return {
      start: server.started,
      fresh: fresh.perSecond,
      freshLate: percentile(late, 0.99),
      known: known.perSecond,
      knownLate: percentile(knownPaced, 0.99),
      memory: most,
      held,
    }
  } finally {
    await server.stop()
  }
}
