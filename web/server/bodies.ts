/** What comes with requests takes memory until it is answered: so much in all and from one address, beyond which 503. */
import type { NextFunction, Request, Response } from 'express'
import { ipKeyGenerator } from 'express-rate-limit'
import { webLimits } from './limits.ts'
import { say } from './reply.ts'

/**
 * Counts the bytes of all bodies from their first piece until their request is over. The request whose piece is one too many is told
 * to come back, and its connection ends: what else would come with it is not taken.
 */
export function boundBodies() {
  const held = new Map<string, number>()
  let all = 0
  return (request: Request, response: Response, next: NextFunction): void => {
    if (request.method !== 'POST') {
      next()
      return
    }
    const who = ipKeyGenerator(request.ip ?? '')
    let own = 0
    const hold = (bytes: number): void => {
      own += bytes
      all += bytes
      const now = (held.get(who) ?? 0) + bytes
      if (now > 0) held.set(who, now)
      else held.delete(who)
    }
    const take = (piece: Buffer): void => {
      hold(piece.length)
      if (all <= webLimits.bodies && held.get(who)! <= webLimits.bodiesEach) return
      request.off('data', take)
      if (response.headersSent) return
      response.set({ Connection: 'close', 'Retry-After': String(webLimits.retryAfter) })
      say(request, response, 503, { refusal: 'full' })
    }
    request.on('data', take)
    response.once('close', () => {
      request.off('data', take)
      hold(-own)
    })
    // Pieces come from here on: whoever reads them has to listen before the next turn.
    next()
  }
}
