/** The workers of a lane, and others in their place where they were all lost. */
import type { Worker } from 'node:worker_threads'
import { Piscina } from 'piscina'
import type { Answer } from './answer.ts'
import { webLimits } from './limits.ts'
import { type LaneData, retiredCode } from './retire.ts'
import type { Question } from './workerRequest.ts'

/** The answer; why there is none: the workers that tried it died, or there are none any more; null where it was stopped. */
type Worked = Answer | 'died' | 'full' | null

export interface Crew {
  work(question: Question, stop: AbortSignal): Promise<Worked>
  /** True once as many as there should be have engraved once. */
  warm(): boolean
  /** The workers as they are now. */
  threads(): readonly Worker[]
  close(): Promise<void>
}

type Workers = Piscina<Question, Answer>

const startWorkers = (count: number, always: boolean, lane?: LaneData): Workers =>
  new Piscina<Question, Answer>({
    filename: new URL('./worker.js', import.meta.url).href,
    resourceLimits: {
      maxOldGenerationSizeMb: webLimits.workerHeap,
      maxYoungGenerationSizeMb: webLimits.workerNursery,
    },
    env: {},
    // A worker that waits for the next question in a plain way can end itself meanwhile.
    atomics: 'disabled',
    ...(lane ? { workerData: lane } : {}),
    closeTimeout: webLimits.closingTime,
    maxThreads: count,
    minThreads: always ? count : 0,
    ...(always ? {} : { idleTimeout: 50 }),
  })

/** One try and, where the worker died under it, another. */
async function workOn(workers: () => Workers, question: Question, stop: AbortSignal, tries = 2): Promise<Worked> {
  try {
    if (stop.aborted) return null
    return await workers().run(question, { signal: stop })
  } catch (error) {
    if (stop.aborted) return null
    const message = error instanceof Error ? error.message : ''
    if (/pool is clos|being terminated/i.test(message)) return 'full'
    // A worker that made way just then had not begun.
    if (message.endsWith(`exited with code: ${retiredCode}`)) return workOn(workers, question, stop, tries)
    // A worker that died under a question takes nothing else with it: another one tries once more.
    if (/exited with code|out of memory|memory limit|Terminating worker/i.test(message))
      return tries > 1 ? workOn(workers, question, stop, tries - 1) : 'died'
    throw error
  }
}

/** So many workers, all the time or only while there is work for them: then what they took is given back. */
export function startCrew(count: number, always: boolean, lane?: LaneData): Crew {
  let warm = false
  let closed = false
  let workers = begin()

  function begin(): Workers {
    const own = startWorkers(count, always, lane)
    // A worker that fails with no question before it, such as for want of memory or files, is nobody's: unheard it would end the process.
    own.on('error', () => undefined)
    // One that dies before it has begun is not replaced by itself, nor is any after it.
    own.on('workerDestroy', () => setTimeout(replace, webLimits.lostWorkers, own).unref())
    if (!always) return own
    const first = Array.from({ length: count }, () => own.run({ kind: 'warm' }))
    void Promise.allSettled(first).then(() => {
      warm = workers === own
    })
    return own
  }
  /** Where none is left to do what is waiting or may come: those who wait are told so, or wait for the new ones. */
  function replace(lost: Workers): void {
    if (closed || workers !== lost || lost.threads.length > 0 || (!always && lost.queueSize === 0)) return
    warm = false
    workers = begin()
    void lost.destroy()
  }
  return {
    work: (question, stop) => workOn(() => workers, question, stop),
    warm: () => warm,
    threads: () => workers.threads,
    close: async () => {
      closed = true
      await workers.close()
    },
  }
}
