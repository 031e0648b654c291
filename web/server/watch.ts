/** What stands around every answer: headers of safety, the log, and what is said where something went wrong. */
import type { ErrorRequestHandler, Request, Response } from 'express'
import helmet from 'helmet'
import { assetsPath } from './assets.ts'
import type { Log } from './log.ts'
import { say } from './reply.ts'

/**
 * No script, style or picture but our own. The sound renderer needs WebAssembly; the engraver's pictures, shown as images,
 * carry their own font and style.
 */
export const securityHeaders = helmet({
  contentSecurityPolicy: {
    useDefaults: false,
    directives: {
      defaultSrc: ["'none'"],
      scriptSrc: ["'self'", "'wasm-unsafe-eval'"],
      styleSrc: ["'self'"],
      fontSrc: ["'self'"],
      imgSrc: ["'self'"],
      connectSrc: ["'self'"],
      mediaSrc: ["'self'", 'blob:'],
      workerSrc: ["'self'"],
      manifestSrc: ["'self'"],
      formAction: ["'self'"],
      baseUri: ["'none'"],
      frameAncestors: ["'none'"],
    },
  },
  crossOriginEmbedderPolicy: false,
  strictTransportSecurity: false,
  referrerPolicy: { policy: 'no-referrer' },
  xFrameOptions: { action: 'deny' },
})

/**
 * Who gathers pages is told with each answer which to leave, since a list of them is looked for at the root of a site alone: pages
 * and pictures of lines are without end.
 */
export function tellRobots(request: Request, response: Response, next: () => void): void {
  const gathered = request.url === '/' || request.path === '/help' || request.path.startsWith(assetsPath)
  response.set('X-Robots-Tag', gathered ? 'nofollow' : 'noindex, nofollow')
  next()
}

/** Logs each answer once it is sent, by its route and numbers alone: nothing that someone typed. */
export function watch(log: Log, closing: () => boolean) {
  return (request: Request, response: Response, next: () => void): void => {
    const began = performance.now()
    if (closing()) response.set('Connection', 'close')
    response.once('close', () => {
      log({
        event: 'request',
        method: request.method,
        route: response.locals.route ?? (request.route ? routeOf(request) : 'other'),
        status: response.statusCode,
        ms: Math.round(performance.now() - began),
        bytes: Number(response.getHeader('content-length') ?? 0),
        from: response.locals.from ?? null,
        whole: response.writableFinished,
      })
    })
    next()
  }
}

const routeOf = (request: Request): string => {
  const path = (request.route as { path?: unknown }).path
  return typeof path === 'string' ? path : 'other'
}

/** A body that is too long or odd, or a bug of our own: said plainly, the trace only in the log. */
export function onError(log: Log): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    if (response.headersSent) return next(error)
    const said = error as { status?: unknown; expose?: unknown; stack?: unknown } | null
    const status = typeof said?.status === 'number' && said.status >= 400 && said.status < 500 ? said.status : 500
    if (status === 500) log({ event: 'bug', trace: String(said?.stack ?? error) })
    const file = ['/read', '/mark'].includes(request.path)
    say(request, response, status === 413 && file ? 'file' : status)
  }
}
