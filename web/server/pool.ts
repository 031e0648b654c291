/** The workers that read, write and engrave: as many as the machine has cores, each answer bounded in waiting and in time. */
import { createHash } from 'node:crypto'
import { availableParallelism } from 'node:os'
import type { Worker } from 'node:worker_threads'
import { LRUCache } from 'lru-cache'
import { Piscina } from 'piscina'
import type { Answer } from './answer.ts'
import { webLimits } from './limits.ts'
import type { Question } from './workerRequest.ts'

/** Why there is no answer: too many wait, it took too long, or the workers that tried it died. */
export type Refusal = 'full' | 'slow' | 'died'

export interface Pool {
  /** The answer, from memory where it was asked before; the same question twice at once is worked on once. */
  answer(question: Question): Promise<{ readonly answer: Answer; readonly from: 'memory' | 'work' } | Refusal>
  /** True once the workers are warm and while there is room to wait. */
  ready(): boolean
  /** The workers as they are now, for whoever watches over them. */
  threads(): readonly Worker[]
  close(): Promise<void>
}

/** A name for a question, the same for the same question. */
const nameOf = (question: Question): string =>
  question.kind === 'read'
    ? `read ${createHash('sha256').update(question.bytes).digest('base64url')}`
    : JSON.stringify(question)

export interface PoolOptions {
  /** As many as the machine has cores, unless said. */
  readonly workers?: number
  /** Answers that may wait. */
  readonly queue?: number
  /** Milliseconds for one answer, waiting included. */
  readonly answerTime?: number
}

/** Starts the workers. The pool is ready when each has engraved once. */
export function startPool(options: PoolOptions = {}): Pool {
  const { workers = availableParallelism(), queue = webLimits.queue, answerTime = webLimits.answerTime } = options
  const pool = new Piscina<Question, Answer>({
    filename: new URL('./worker.js', import.meta.url).href,
    minThreads: workers,
    maxThreads: workers,
    resourceLimits: {
      maxOldGenerationSizeMb: webLimits.workerHeap,
      maxYoungGenerationSizeMb: webLimits.workerNursery,
    },
    env: {},
    closeTimeout: webLimits.closingTime,
  })
  const kept = new LRUCache<string, Answer>({
    maxSize: webLimits.cache,
    sizeCalculation: (answer, key) => answer.body.byteLength + 2 * key.length + 200,
  })
  const going = new Map<string, Promise<Answer | Refusal>>()
  let warm = false
  void Promise.all(Array.from({ length: workers }, () => pool.run({ kind: 'warm' }))).then(
    () => {
      warm = true
    },
    () => {
      warm = true
    },
  )

  const work = async (question: Question, tries: number): Promise<Answer | Refusal> => {
    const signal = AbortSignal.timeout(answerTime)
    try {
      return await pool.run(question, { signal })
    } catch (error) {
      if (signal.aborted) return 'slow'
      const message = error instanceof Error ? error.message : ''
      if (/pool is clos|being terminated/i.test(message)) return 'full'
      // A worker that died under a question takes nothing else with it: another one tries once more.
      if (/exited with code|out of memory|memory limit|Terminating worker/i.test(message))
        return tries > 1 ? work(question, tries - 1) : 'died'
      throw error
    }
  }

  return {
    async answer(question) {
      const key = nameOf(question)
      const before = kept.get(key)
      if (before) return { answer: before, from: 'memory' }
      let made = going.get(key)
      if (!made) {
        // The library's own limit does not count tasks that can be given up, as all of ours can.
        if (going.size >= workers + queue) return 'full'
        made = work(question, 2).finally(() => going.delete(key))
        going.set(key, made)
      }
      const answer = await made
      if (typeof answer === 'string') return answer
      kept.set(key, answer)
      return { answer, from: 'work' }
    },
    ready: () => warm && going.size < workers + queue,
    threads: () => pool.threads,
    close: () => pool.close(),
  }
}
