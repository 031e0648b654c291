/**
 * Recordings to take away: each made by a worker of its own into a file that is soon taken away again, and sent from there, whole
 * or by ranges, as fast or as slowly as its reader takes it.
 */
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { Worker } from 'node:worker_threads'
import type { Request, Response } from 'express'
import { exportOf } from '../../lib/exports.ts'
import type { Given } from './address.ts'
import {
  type Answer,
  dropStalled,
  holds,
  type Keeping,
  keepingWords,
  sendAnswer,
  sendNotModified,
  tagOf,
} from './answer.ts'
import { startQueue } from './fairQueue.ts'
import type { Asker, Refusal } from './pool.ts'

export const soundLimits = {
  /** Recordings made at once, and how many may wait; beyond it 503. */
  atOnce: 2,
  queue: 16,
  /** Milliseconds that making one may take, waiting included. */
  whole: 120_000,
  /** Megabytes of JavaScript heap for one recording. */
  heap: 192,
  /** Bytes of recordings kept on disk, and milliseconds that one is kept after it was last asked for. */
  disk: 1_073_741_824,
  kept: 300_000,
} as const

export interface SoundQuestion {
  readonly given: Given
  readonly badLink: boolean
  /** The id of an export. */
  readonly format: string
  /** Which of several keys, from 1; 0 for all of them, one after another. */
  readonly part: number
  /** The band without the line. */
  readonly alone: boolean
}

/** What a worker is told: the question, and the file to write. */
export interface SoundOrder extends SoundQuestion {
  readonly path: string
}

export type SoundNews =
  | { readonly kind: 'done'; readonly bytes: number; readonly file: string }
  | { readonly kind: 'wrong'; readonly answer: Answer }

/** A recording on disk, and the name that it is saved under. */
interface Kept {
  readonly path: string
  readonly bytes: number
  readonly file: string
  readonly away: NodeJS.Timeout
}

export interface Recordings {
  /** Answers with a recording, made first where it is not there. */
  send(request: Request, response: Response, asked: SoundAsked): Promise<void>
  /** Takes all files away. */
  close(): void
}

export interface SoundAsked {
  readonly question: SoundQuestion
  readonly asker: Asker
  readonly build: string
  readonly keeping: Keeping
  readonly refuse: (why: Refusal) => void
}

/** Makes one recording; comes back with what the worker says, or why there is none. */
function make(question: SoundQuestion, path: string, stop: AbortSignal): Promise<SoundNews | Refusal> {
  const worker = new Worker(new URL('./soundFileWorker.js', import.meta.url), {
    workerData: { ...question, path } satisfies SoundOrder,
    resourceLimits: { maxOldGenerationSizeMb: soundLimits.heap },
    env: {},
  })
  return new Promise<SoundNews | Refusal>((resolve) => {
    worker.once('message', (news: SoundNews) => resolve(news))
    worker.once('error', () => resolve('died'))
    worker.once('exit', () => resolve('died'))
    if (stop.aborted) resolve('gone')
    stop.addEventListener('abort', () => resolve('gone'), { once: true })
  }).finally(() => worker.terminate())
}

/** Starts without a recording; each is kept a little while, so that ranges of it can be asked for. */
export function startRecordings(): Recordings {
  const folder = mkdtempSync(join(tmpdir(), 'throughline-'))
  const queue = startQueue(soundLimits.atOnce, soundLimits.queue)
  const kept = new Map<string, Kept>()
  const going = new Map<string, Promise<SoundNews | Refusal>>()
  let count = 0

  const takeAway = (tag: string): void => {
    const found = kept.get(tag)
    if (!found) return
    kept.delete(tag)
    clearTimeout(found.away)
    rmSync(found.path, { force: true })
  }
  const keep = (tag: string, path: string, news: SoundNews & { kind: 'done' }): Kept => {
    const away = setTimeout(() => takeAway(tag), soundLimits.kept).unref()
    const made = { path, bytes: news.bytes, file: news.file, away }
    kept.set(tag, made)
    const size = () => [...kept.values()].reduce((sum, { bytes }) => sum + bytes, 0)
    for (const oldest of kept.keys()) if (kept.size > 1 && size() > soundLimits.disk) takeAway(oldest)
    return made
  }
  const record = async (tag: string, { question, asker }: SoundAsked): Promise<SoundNews | Refusal> => {
    const path = join(folder, `${count++}`)
    const late = AbortSignal.timeout(soundLimits.whole)
    const stop = asker.left ? AbortSignal.any([late, asker.left]) : late
    const news = await queue.run(asker.who, () => make(question, path, stop), stop)
    if (typeof news === 'object' && news.kind === 'done') keep(tag, path, news)
    else rmSync(path, { force: true })
    return news === 'gone' && late.aborted ? 'slow' : news
  }

  return {
    async send(request, response, asked) {
      const { question, keeping } = asked
      const tag = tagOf(asked.build, JSON.stringify({ sound: question }))
      if (keeping !== 'never' && holds(request, tag)) return sendNotModified(response, tag, keeping)
      while (!kept.has(tag)) {
        const before = going.get(tag)
        const making = before ?? record(tag, asked)
        if (!before) going.set(tag, making)
        const news = await making.finally(() => going.get(tag) === making && going.delete(tag))
        // Whoever it was made for may have left while others waited for the same.
        if (news === 'gone' && before && !asked.asker.left?.aborted) continue
        if (typeof news === 'string') return asked.refuse(news)
        if (news.kind === 'wrong') return sendAnswer(request, response, news.answer, null, 'never')
      }
      const made = kept.get(tag)!
      made.away.refresh()
      response.set({
        'Content-Type': exportOf(question.format)!.type,
        'Content-Disposition': `attachment; filename="${made.file}"`,
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
    },
    close: () => {
      for (const tag of kept.keys()) takeAway(tag)
      rmSync(folder, { recursive: true, force: true })
    },
  }
}
