/** Recordings to take away: each rendered by a worker of its own and sent while it is made, so that a long one takes no room. */
import { Worker } from 'node:worker_threads'
import type { Request, Response } from 'express'
import type { Given } from './address.ts'
import { type Answer, holds, sendAnswer, sendNotModified, tagOf } from './answer.ts'

export const soundFormats = {
  wav: { type: 'audio/wav', name: 'WAV' },
  flac: { type: 'audio/flac', name: 'FLAC' },
  mid: { type: 'audio/midi', name: 'MIDI' },
} as const
export type SoundFile = keyof typeof soundFormats

export const soundLimits = {
  /** Recordings made at once; beyond it 503. */
  atOnce: 2,
  /** Milliseconds that a reader may take none of what is ready, and that a whole recording may take. */
  idle: 30_000,
  whole: 600_000,
  /** Megabytes of JavaScript heap for one recording. */
  heap: 192,
} as const

export interface SoundQuestion {
  readonly given: Given
  readonly badLink: boolean
  readonly format: SoundFile
  /** Which of several keys, from 1; 0 for all of them, one after another. */
  readonly part: number
  /** The band without the line. */
  readonly alone: boolean
}

export type SoundNews =
  /** The bytes that are to come, where they are known. */
  | { readonly kind: 'head'; readonly bytes: number | null; readonly file: string }
  | { readonly kind: 'piece'; readonly bytes: Uint8Array }
  | { readonly kind: 'end' }
  | { readonly kind: 'wrong'; readonly answer: Answer }

let going = 0

/**
 * Answers with a recording. `refuse` says that too many are being made; a reader who goes away or takes nothing for long ends
 * the work.
 */
export function sendSound(
  request: Request,
  response: Response,
  question: SoundQuestion,
  build: string,
  refuse: () => void,
): void {
  const tag = tagOf(build, JSON.stringify({ sound: question }))
  const keeping = request.method === 'POST' ? 'never' : 'forever'
  if (keeping === 'forever' && holds(request, tag)) {
    sendNotModified(response, tag, keeping)
    return
  }
  if (going >= soundLimits.atOnce) {
    refuse()
    return
  }
  going += 1
  const worker = new Worker(new URL('./soundFileWorker.js', import.meta.url), {
    workerData: question,
    resourceLimits: { maxOldGenerationSizeMb: soundLimits.heap },
    env: {},
  })
  let idle = setTimeout(give, soundLimits.idle)
  const whole = setTimeout(give, soundLimits.whole)
  let ended = false
  const end = (): void => {
    if (ended) return
    ended = true
    going -= 1
    clearTimeout(idle)
    clearTimeout(whole)
    void worker.terminate()
  }
  /** What has begun cannot be taken back: the connection is cut, so that nobody takes a part for the whole. */
  function give(): void {
    if (!ended && response.headersSent) response.destroy()
    else if (!ended) refuse()
    end()
  }
  const alive = (): void => {
    clearTimeout(idle)
    idle = setTimeout(give, soundLimits.idle)
  }
  response.once('close', end)
  worker.once('error', give)
  worker.once('exit', give)
  worker.on('message', (news: SoundNews) => {
    if (ended) return
    alive()
    if (news.kind === 'wrong') {
      sendAnswer(request, response, news.answer, null, 'never')
      end()
    } else if (news.kind === 'head') {
      response.status(200).set({
        'Content-Type': soundFormats[question.format].type,
        'Content-Disposition': `attachment; filename="${news.file}"`,
        'Cache-Control': keeping === 'forever' ? 'public, max-age=31536000, immutable' : 'no-store',
        ...(keeping === 'forever' ? { ETag: `"${tag}"` } : {}),
        ...(news.bytes === null ? {} : { 'Content-Length': String(news.bytes) }),
      })
      if (request.method === 'HEAD') {
        response.end()
        end()
      } else response.flushHeaders()
    } else if (news.kind === 'end') {
      response.end()
      end()
    } else
      response.write(news.bytes, () => {
        if (ended) return
        alive()
        worker.postMessage('more')
      })
  })
}
