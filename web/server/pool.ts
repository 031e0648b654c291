/** The workers that read, write and engrave: as many as the machine has cores, and one aside for what takes long. */
import { createHash } from 'node:crypto'
import { availableParallelism } from 'node:os'
import type { Worker } from 'node:worker_threads'
import { LRUCache } from 'lru-cache'
import type { Answer } from './answer.ts'
import { type Crew, startCrew } from './crew.ts'
import { type FairQueue, type NotDone, startQueue } from './fairQueue.ts'
import { webLimits } from './limits.ts'
import { laneData } from './retire.ts'
import { weigh } from './weigh.ts'
import type { Question } from './workerRequest.ts'

/** Why there is no answer: too many wait, it took or would take too long, the workers that tried it died, there is nowhere to write it, the asker left. */
export type Refusal = NotDone | 'slow' | 'long' | 'died' | 'nowhere'

/** Who asks, and a signal that they have gone. */
export interface Asker {
  readonly who: string
  readonly left?: AbortSignal
}

export interface Pool {
  /** The answer, from memory where it was asked before; the same question twice at once is worked on once. */
  answer(
    question: Question,
    asker?: Asker,
  ): Promise<{ readonly answer: Answer; readonly from: 'memory' | 'work' } | Refusal>
  /** True once the workers are warm and while there is room to wait. */
  ready(): boolean
  /** The workers as they are now, for whoever watches over them. */
  threads(): readonly Worker[]
  close(): Promise<void>
}

export interface PoolOptions {
  /** As many as the machine has cores, unless said. */
  readonly workers?: number
  /** Answers that may wait. */
  readonly queue?: number
  /** Milliseconds for one answer, waiting included; and for one that goes aside. */
  readonly answerTime?: number
  readonly longAnswerTime?: number
  /** Milliseconds of work that may go on before it is begun again aside. */
  readonly longGoing?: number
  /** Bytes of the whole process, and by how many a worker has grown, from which that worker makes way for a new one. */
  readonly processMemory?: number
  readonly workerGrowth?: number
}

/** A question being answered. */
interface Job {
  readonly answer: Promise<Answer | Refusal>
  /** Counts one more who waits; false where everyone has left and it is being given up. */
  join(left: AbortSignal | undefined): boolean
}

/** Signals of a job: nobody waits for it any more, and it is to stop. */
interface JobSignals {
  readonly left: AbortSignal
  readonly stop: AbortSignal
}

/** Workers with the queue before them, and the milliseconds that one of them may work on a question. */
interface Lane {
  readonly crew: Crew
  readonly queue: FairQueue
  readonly going: number
}

/** A name for a question, the same for the same question. */
function nameOf(question: Question): string {
  const hash = (bytes: Uint8Array) => createHash('sha256').update(bytes).digest('base64url')
  if (question.kind === 'read') return `read ${hash(question.bytes)}`
  return question.kind === 'mark' ? `mark ${question.type} ${hash(question.body)}` : JSON.stringify(question)
}

/** A job that counts who waits for it, and gives up once all have left. */
function startJob(begin: (signals: JobSignals) => Promise<Answer | Refusal>): Job {
  const left = new AbortController()
  const stop = new AbortController()
  let waiting = 0
  const leave = (): void => {
    waiting -= 1
    if (waiting > 0) return
    left.abort()
    setTimeout(() => stop.abort(), webLimits.leftTime).unref()
  }
  return {
    answer: begin({ left: left.signal, stop: stop.signal }),
    join: (signal) => {
      if (left.signal.aborted) return false
      waiting += 1
      if (signal?.aborted) leave()
      else signal?.addEventListener('abort', leave, { once: true })
      return true
    },
  }
}

/** Starts the workers. The pool is ready when each has engraved once. */
export function startPool(options: PoolOptions = {}): Pool {
  const { workers = availableParallelism(), queue = webLimits.queue, answerTime = webLimits.answerTime } = options
  const { longAnswerTime = webLimits.longAnswerTime, longGoing = webLimits.longGoing } = options
  const { processMemory = webLimits.processMemory, workerGrowth = webLimits.workerGrowth } = options
  const quick: Lane = {
    crew: startCrew(workers, true, laneData(processMemory, workerGrowth)),
    queue: startQueue(workers, queue),
    going: longGoing,
  }
  const aside: Lane = {
    crew: startCrew(1, false),
    queue: startQueue(1, webLimits.longQueue),
    going: longAnswerTime,
  }
  const kept = new LRUCache<string, Answer>({
    maxSize: webLimits.cache,
    sizeCalculation: (answer, key) => answer.body.byteLength + 2 * key.length + 200,
  })
  const going = new Map<string, Job>()
  /** In a lane, before a deadline and for no longer than so much work; null where it was stopped. */
  const inLane = async (lane: Lane, question: Question, who: string, { left, stop }: JobSignals, late: AbortSignal) => {
    const any = (...signals: readonly AbortSignal[]) => AbortSignal.any([...signals])
    const run = () => lane.crew.work(question, any(stop, late, AbortSignal.timeout(lane.going)))
    const done = await lane.queue.run(who, run, any(left, late))
    return done === 'gone' && late.aborted ? 'slow' : done
  }
  const begin = (question: Question, who: string, weight: number) =>
    startJob(async (signals): Promise<Answer | Refusal> => {
      if (weight < webLimits.longWork) {
        const late = AbortSignal.timeout(answerTime)
        const done = await inLane(quick, question, who, signals, late)
        if (done !== null) return done
        if (signals.stop.aborted || late.aborted) return late.aborted ? 'slow' : 'gone'
      }
      // What takes long is begun anew in a worker of its own.
      const late = AbortSignal.timeout(longAnswerTime)
      return (await inLane(aside, question, who, signals, late)) ?? (late.aborted ? 'slow' : 'gone')
    })

  return {
    async answer(question, asker = { who: '' }) {
      const key = nameOf(question)
      const before = kept.get(key)
      if (before) return { answer: before, from: 'memory' }
      const weight = weigh(question)
      if (weight > webLimits.tooMuchWork) return 'long'
      let job = going.get(key)
      if (!job?.join(asker.left)) {
        const begun = begin(question, asker.who, weight)
        job = begun
        going.set(key, begun)
        begun.join(asker.left)
        const ended = () => going.get(key) === begun && going.delete(key)
        begun.answer.then(ended, ended)
      }
      const answer = await job.answer
      if (typeof answer === 'string') return answer
      // A line that somebody gave to be marked is theirs, and so is what was said of it.
      if (question.kind !== 'mark') kept.set(key, answer)
      return { answer, from: 'work' }
    },
    ready: () => quick.crew.warm() && quick.queue.load().waiting < queue,
    threads: () => quick.crew.threads(),
    close: async () => {
      await Promise.all([quick.crew.close(), aside.crew.close()])
    },
  }
}
