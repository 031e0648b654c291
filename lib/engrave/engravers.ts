/** Several engravers at once, each in a worker of its own, for books of many pieces. */
import { Piscina } from 'piscina'
import type { Engraving } from './engraveWorker.ts'
import type { Binding } from './pdf/writePdf.ts'

/** What `writePdf` needs to engrave in workers, and how to let them go. */
export interface Engravers extends Required<Pick<Binding, 'engrave' | 'ahead'>> {
  readonly close: () => Promise<void>
}

/**
 * Starts so many engravers; each is ready about a second later. Worth it from a dozen pages on: a worker takes as long to start
 * as eight pages take to engrave.
 *
 * @param worker - the compiled module of `engraveWorker.ts`
 */
export function startEngravers(count: number, worker = new URL('./engraveWorker.js', import.meta.url)): Engravers {
  const pool = new Piscina<Engraving, readonly string[]>({
    filename: worker.href,
    minThreads: count,
    maxThreads: count,
  })
  return {
    engrave: (mei, sheet) => pool.run({ mei, sheet }),
    ahead: count + 1,
    close: () => pool.destroy(),
  }
}
