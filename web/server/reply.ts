/** How a request is answered: by what is at hand, by a worker, or by why it is not. */
import type { Request, Response } from 'express'
import { messagePage, type Why } from '../views/messages.ts'
import { type Answer, heldAs, type Keeping, sendAnswer, sendNotModified, tagOf } from './answer.ts'
import { askerOf } from './asked.ts'
import { build } from './assets.ts'
import { rootSeenFrom } from './below.ts'
import { webLimits } from './limits.ts'
import type { Pool, Refusal } from './pool.ts'
import type { Question } from './workerRequest.ts'

export type Ask = (request: Request, response: Response, question: Question, keeping: Keeping) => Promise<void>

/** Asks a worker, unless the browser holds the answer. */
export const askOf =
  (pool: Pool): Ask =>
  async (request, response, question, keeping) => {
    const tag = keeping === 'never' ? null : tagOf(build, JSON.stringify(question))
    // Who sent more than may be held was told so while the rest still came.
    if (response.headersSent) return
    const held = tag === null ? null : heldAs(request, tag)
    if (held !== null) return sendNotModified(response, held, keeping)
    const given = await pool.answer(question, askerOf(request, response))
    if (typeof given === 'string') return refuse(request, response, given)
    response.locals.from = given.from
    sendAnswer(request, response, given.answer, tag, keeping)
  }

/** Sends an answer that is at hand, unless the browser holds it. */
export function offer(request: Request, response: Response, answer: Answer, tag: string, keeping: Keeping): void {
  const held = heldAs(request, tag)
  if (held !== null) sendNotModified(response, held, keeping)
  else sendAnswer(request, response, answer, tag, keeping)
}

const send = (request: Request, response: Response, answer: Answer, keeping: Keeping): void =>
  sendAnswer(request, response, answer, null, keeping)

/** Sends a page that says something, its links told from the address that was asked for. */
export function say(
  request: Request,
  response: Response,
  status: number | 'file',
  why: Why = {},
  keeping: Keeping = 'never',
): void {
  send(request, response, messagePage(status, { ...why, root: rootSeenFrom(request.path) }), keeping)
}

/** Says why there is no answer. What would take too long is no use to ask again; whoever left is told nothing. */
export function refuse(request: Request, response: Response, refusal: Refusal): void {
  response.locals.from = refusal
  if (refusal === 'gone' && response.destroyed) return
  if (refusal !== 'long') response.set('Retry-After', String(webLimits.retryAfter))
  say(request, response, refusal === 'long' ? 422 : 503, { refusal })
}

export const plain = (response: Response, status: number, text: string): void => {
  response.status(status).set('Cache-Control', 'no-store').type('text/plain').end(`${text}\n`)
}

/** What is there, but not to be asked for in this way. */
export const notAllowed =
  (allow: string) =>
  (request: Request, response: Response): void => {
    response.set('Allow', allow)
    say(request, response, 405)
  }
