/**
 * Recordings and class packets to take away: each made by a worker of its own into a file that is soon taken away again, and sent
 * from there, whole or by ranges, as fast or as slowly as its reader takes it. Whoever asks is told how far one is.
 */
import { existsSync, rmSync } from 'node:fs'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Request, Response } from 'express'
import { exportOf } from '../../lib/exports.ts'
import type { Going, WatchedNews } from '../shared/agreed.ts'
import type { Given } from './address.ts'
import {
  type Answer,
  dropStalled,
  heldAs,
  type Keeping,
  keepingWords,
  sendAnswer,
  sendNotModified,
  tagOf,
  takenAs,
} from './answer.ts'
import { startQueue } from './fairQueue.ts'
import type { Log } from './log.ts'
import { startOwnFolder } from './ownFolder.ts'
import type { Asker, Refusal } from './pool.ts'

export const madeLimits = {
  /** How many are made at once, and how many may wait, beyond which 503; and milliseconds that making one may take, waiting included. */
  recording: { atOnce: 2, queue: 16, whole: 120_000 },
  packet: { atOnce: 1, queue: 8, whole: 240_000 },
  /** Milliseconds in which one that nobody waits for any more ends by itself. */
  ending: 3_000,
  /** Megabytes of JavaScript heap for one. */
  heap: 192,
  /** Bytes of files kept on disk, and milliseconds that one is kept after it was last asked for. */
  disk: 1_073_741_824,
  kept: 300_000,
} as const

export interface FileQuestion {
  readonly given: Given
  readonly badLink: boolean
  /** The id of an export. */
  readonly format: string
  /** Which of several keys, from 1; 0 for all of them, one after another. */
  readonly part: number
  /** The band without the line. */
  readonly alone: boolean
  /** Scheme, host and port as the reader sees them, for a code to print; empty where none is printed. */
  readonly origin: string
}

/** What a worker is told: the question, the file to write, and, in a number that is 1 from then on, that it is not wanted any more. */
export interface FileOrder extends FileQuestion {
  readonly path: string
  readonly unwanted: Int32Array
}

type Made =
  | { readonly kind: 'done'; readonly bytes: number; readonly file: string }
  | { readonly kind: 'wrong'; readonly answer: Answer }

export type FileNews = Going | Made

/** A file being made, and who is told how far it is. */
interface Making {
  readonly made: Promise<Made | Refusal>
  readonly listeners: Set<(news: Going) => void>
}

/** A file on disk, and the name that it is saved under. */
interface Kept {
  readonly path: string
  readonly bytes: number
  readonly file: string
  readonly away: NodeJS.Timeout
}

export interface MadeFiles {
  /** Answers with a file, made first where it is not there. */
  send(request: Request, response: Response, asked: FileAsked): Promise<void>
  /** Tells how far a file is while it is made, a line of JSON each time, until it is there to be asked for. */
  watch(request: Request, response: Response, asked: FileAsked): Promise<void>
  /** Takes all files away. */
  close(): void
}

export interface FileAsked {
  readonly question: FileQuestion
  readonly asker: Asker
  readonly build: string
  readonly keeping: Keeping
  readonly refuse: (why: Refusal) => void
}

/**
 * Makes one file; comes back with what the worker says at last, or why there is none. A worker that is stopped ends by itself: Node
 * never closes what a thread was just opening when it was ended from outside, as it does all the time while it loads what it needs.
 */
function make(
  question: FileQuestion,
  path: string,
  stop: AbortSignal,
  tell: (news: Going) => void,
): Promise<Made | Refusal> {
  const unwanted = new Int32Array(new SharedArrayBuffer(4))
  const worker = new Worker(new URL('./fileWorker.js', import.meta.url), {
    workerData: { ...question, path, unwanted } satisfies FileOrder,
    resourceLimits: { maxOldGenerationSizeMb: madeLimits.heap },
    env: {},
  })
  let late: NodeJS.Timeout | undefined
  return new Promise<Made | Refusal>((resolve) => {
    const end = (): void => {
      Atomics.store(unwanted, 0, 1)
      late = setTimeout(() => resolve('gone'), madeLimits.ending)
    }
    worker.on('message', (news: FileNews) => (news.kind === 'going' ? tell(news) : resolve(news)))
    worker.once('error', () => resolve('died'))
    worker.once('exit', () => resolve(stop.aborted ? 'gone' : 'died'))
    if (stop.aborted) end()
    else stop.addEventListener('abort', end, { once: true })
  }).finally(() => {
    clearTimeout(late)
    return worker.terminate()
  })
}

/** Files on disk, by their tags. */
interface KeptFiles {
  /** The folder for new ones; null where there is none to be had, which is logged. */
  readonly folder: () => string | null
  readonly find: (tag: string) => Kept | undefined
  readonly keep: (tag: string, path: string, news: Made & { kind: 'done' }) => void
  readonly close: () => void
}

/** Takes a file away; what cannot be, since its disk is gone or may only be read now, stays: nobody waits for it. */
function discard(path: string): void {
  try {
    rmSync(path, { force: true })
  } catch {
    // There is nothing to be done, and a timer has nobody to tell.
  }
}

/** Begins without a file; each is kept a little while, and the oldest go where there are too many. */
function keepFiles(log: Log): KeptFiles {
  const own = startOwnFolder()
  const folder = (): string | null => {
    try {
      return own.path()
    } catch (error) {
      log({ event: 'no-temporary-folder', code: (error as NodeJS.ErrnoException).code ?? null })
      return null
    }
  }
  // Said at the start, though only recordings and class packets need it.
  folder()
  const kept = new Map<string, Kept>()
  const takeAway = (tag: string): void => {
    const found = kept.get(tag)
    if (!found) return
    kept.delete(tag)
    clearTimeout(found.away)
    discard(found.path)
  }
  return {
    folder,
    find: (tag) => {
      const found = kept.get(tag)
      if (!found || existsSync(found.path)) return found
      takeAway(tag)
      return undefined
    },
    keep: (tag, path, { bytes, file }) => {
      const away = setTimeout(() => takeAway(tag), madeLimits.kept).unref()
      kept.set(tag, { path, bytes, file, away })
      const size = () => [...kept.values()].reduce((sum, each) => sum + each.bytes, 0)
      for (const oldest of kept.keys()) if (kept.size > 1 && size() > madeLimits.disk) takeAway(oldest)
    },
    close: () => {
      for (const tag of kept.keys()) takeAway(tag)
      own.remove()
    },
  }
}

/** Comes back once a file is there, with null, else with why there is none; tells whoever hears how far it is. */
type Ready = (tag: string, asked: FileAsked, hear: (news: Going) => void) => Promise<Made | Refusal | null>

/** Makes what is not there yet, each once for all who ask for it. */
function makeOnce({ folder, find, keep }: KeptFiles): Ready {
  const lane = ({ atOnce, queue, whole }: (typeof madeLimits)['recording' | 'packet']) => ({
    queue: startQueue(atOnce, queue),
    whole,
  })
  const [recordings, packets] = [lane(madeLimits.recording), lane(madeLimits.packet)]
  const laneOf = ({ format }: FileQuestion) => (exportOf(format)?.offered === 'packet' ? packets : recordings)
  const going = new Map<string, Making>()
  let count = 0

  const begin = async (
    tag: string,
    { question, asker }: FileAsked,
    tell: (news: Going) => void,
  ): Promise<Made | Refusal> => {
    const within = folder()
    if (within === null) return 'nowhere'
    const path = join(within, `${count++}`)
    const { queue, whole } = laneOf(question)
    const late = AbortSignal.timeout(whole)
    const stop = asker.left ? AbortSignal.any([late, asker.left]) : late
    const news = await queue.run(asker.who, () => make(question, path, stop, tell), stop)
    if (typeof news === 'object' && news.kind === 'done') keep(tag, path, news)
    else discard(path)
    return news === 'gone' && late.aborted ? 'slow' : news
  }
  const start = (tag: string, asked: FileAsked): Making => {
    const listeners: Making['listeners'] = new Set()
    const tell = (news: Going): void => {
      for (const each of listeners) each(news)
    }
    const making = { made: begin(tag, asked, tell), listeners }
    going.set(tag, making)
    return making
  }
  return async (tag, asked, hear) => {
    while (!find(tag)) {
      const before = going.get(tag)
      const making = before ?? start(tag, asked)
      making.listeners.add(hear)
      const news = await making.made.finally(() => {
        making.listeners.delete(hear)
        if (going.get(tag) === making) going.delete(tag)
      })
      // Whoever it was made for may have left while others waited for the same.
      if (news === 'gone' && before && !asked.asker.left?.aborted) continue
      if (typeof news === 'string' || news.kind === 'wrong') return news
    }
    return null
  }
}

function refuse(request: Request, response: Response, asked: FileAsked, why: Made | Refusal): void {
  if (typeof why === 'string') asked.refuse(why)
  else if (why.kind === 'wrong') sendAnswer(request, response, why.answer, null, 'never')
}

/** Sends a file that is there, or the range of it that is asked for. */
function sendKept(response: Response, made: Kept, { question, keeping }: FileAsked, tag: string): void {
  made.away.refresh()
  response.set({
    'Content-Type': exportOf(question.format)!.type,
    'Content-Disposition': takenAs(made.file),
    'Cache-Control': keepingWords[keeping],
    ...(keeping === 'never' ? {} : { ETag: `"${tag}"` }),
  })
  dropStalled(response)
  response.sendFile(made.path, { cacheControl: false, lastModified: false, dotfiles: 'allow' }, (error) => {
    // A range that is not there is told its length; whoever went away in the middle is told nothing.
    if (!error || response.headersSent) return
    const { status = 500, headers = {} } = error as { status?: number; headers?: Record<string, string> }
    response.removeHeader('Content-Disposition')
    response.status(status).set(headers).end()
  })
}

/** Starts without a file; each is kept a little while, so that ranges of it can be asked for. */
export function startMadeFiles(log: Log): MadeFiles {
  const kept = keepFiles(log)
  const ready = makeOnce(kept)
  const tagFor = ({ build, question }: FileAsked): string => tagOf(build, JSON.stringify({ file: question }))
  return {
    async watch(request, response, asked) {
      const write = (news: WatchedNews): void => {
        const type = 'application/x-ndjson'
        if (!response.headersSent)
          response.set({ 'Content-Type': type, 'Cache-Control': 'no-store', 'X-Accel-Buffering': 'no' })
        response.write(`${JSON.stringify(news)}\n`)
      }
      const why = await ready(tagFor(asked), asked, write)
      if (why === null) write({ kind: 'done' })
      else if (!response.headersSent) return refuse(request, response, asked, why)
      // What fails half way ends without having been done.
      response.end()
    },
    async send(request, response, asked) {
      const tag = tagFor(asked)
      if (asked.keeping !== 'never' && heldAs(request, tag) !== null)
        return sendNotModified(response, tag, asked.keeping)
      const why = await ready(tag, asked, () => {})
      if (why !== null) return refuse(request, response, asked, why)
      const made = kept.find(tag)
      if (made) sendKept(response, made, asked, tag)
      else asked.refuse('nowhere')
    },
    close: kept.close,
  }
}
