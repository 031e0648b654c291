/**
 * When a worker makes way for a new one. What the engraver and the writer of pictures took for something very long they never give back
 * (WebAssembly 2.0, 4.2.8: a memory only grows), nor does a new engraver in the same thread; the end of the thread gives back all of it.
 */
import { getHeapStatistics } from 'node:v8'
import { workerData } from 'node:worker_threads'

/** The code that a worker ends with which makes way. */
export const retiredCode = 77

/** What the workers of a lane have in common: whether one of them has made way and the next is not warm yet, and when one does. */
export interface LaneData {
  readonly turn: Int32Array
  /** Bytes of the whole process, and by how many the worker has grown. */
  readonly processMemory: number
  readonly workerGrowth: number
}

export const laneData = (processMemory: number, workerGrowth: number): LaneData => ({
  turn: new Int32Array(new SharedArrayBuffer(4)),
  processMemory,
  workerGrowth,
})

const lane = (workerData ?? null) as LaneData | null

/** Bytes of this thread's own: its JavaScript and all that hangs on it. */
function own(): number {
  const { total_heap_size, external_memory } = getHeapStatistics()
  return total_heap_size + external_memory
}

let atFirst = 0

/** Whether this worker comes in place of one that made way, so that it should be warm before it is asked. */
export const comesAfter = (): boolean => lane !== null && Atomics.load(lane.turn, 0) === 1

/** To be called once this worker is warm: another one may make way from then on. */
export function settled(): void {
  if (lane) Atomics.store(lane.turn, 0, 0)
}

/**
 * To be called after each answer: ends the worker once its answer is away, where the process holds too much and this worker has grown.
 * One of a lane at a time: the others go on meanwhile.
 */
export function retireIfGrown(): void {
  if (!lane) return
  if (atFirst === 0) atFirst = own()
  else if (process.memoryUsage.rss() >= lane.processMemory && own() - atFirst >= lane.workerGrowth)
    if (Atomics.compareExchange(lane.turn, 0, 0, 1) === 0) setImmediate(() => process.exit(retiredCode))
}
