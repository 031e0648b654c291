/** The server's routes, in the order in which a request meets them. */
import express, { type Express, type Request, type Response } from 'express'
import { rateLimit } from 'express-rate-limit'
import { helpPage, practicePage } from '../views/messages.ts'
import { tagOf } from './answer.ts'
import { assetsPath, build, readAssets, serviceWorker } from './assets.ts'
import { addSlash, belowPath, pathOfOrigin } from './below.ts'
import { boundBodies } from './bodies.ts'
import { startCounts } from './counts.ts'
import { addExportRoutes } from './exportRoutes.ts'
import { webLimits } from './limits.ts'
import { addLineRoutes } from './lineRoutes.ts'
import type { Log } from './log.ts'
import type { MadeFiles } from './madeFiles.ts'
import { addFigureRoutes, addMarkRoutes, addPacketRoutes, addPlanRoutes } from './pageRoutes.ts'
import type { Pool } from './pool.ts'
import { askOf, notAllowed, offer, plain, say } from './reply.ts'
import { onError, securityHeaders, tellRobots, watch } from './watch.ts'

export interface AppOptions {
  readonly pool: Pool
  readonly files: MadeFiles
  readonly log: Log
  /** How many proxies stand before this server and may be believed about who asks. */
  readonly proxies: number
  /** Requests a minute from one address; 0 for no limit. */
  readonly perMinute: number
  /** `https://lines.example.org`; empty to take it from each request. */
  readonly origin: string
  /** True once the server is closing. */
  readonly closing: () => boolean
}

export function makeApp(options: AppOptions): Express {
  const app = express()
  const path = pathOfOrigin(options.origin)
  app.disable('x-powered-by')
  app.disable('etag')
  app.set('query parser', false)
  // Links are told from an address's own folder: with a slash at its end it would be another.
  app.enable('strict routing')
  app.set('trust proxy', options.proxies)
  app.use(watch(options.log, options.closing))
  app.use((request: Request, response: Response, next: () => void) =>
    namesOneHost(request) ? next() : say(request, response, 400),
  )
  app.use(belowPath(path, '/figures/drill', '/mark/drill', assetsPath))
  app.use(securityHeaders)
  app.use(tellRobots)
  app.use((request: Request, response: Response, next: () => void) =>
    ['GET', 'HEAD', 'POST'].includes(request.method) ? next() : notAllowed('GET, HEAD, POST')(request, response),
  )
  addUnlimitedRoutes(app, options)
  if (options.perMinute > 0) app.use(limitTo(options.perMinute))
  addStillRoutes(app, path)
  app.use(boundBodies())

  const form = express.text({
    type: 'application/x-www-form-urlencoded',
    limit: webLimits.body,
    defaultCharset: 'utf-8',
  })
  const ask = askOf(options.pool)
  addLineRoutes(app, options, ask, form)
  addMarkRoutes(app, ask)
  addFigureRoutes(app, ask)
  addPlanRoutes(app, options, ask)
  addPacketRoutes(app, ask, form)
  addExportRoutes(app, options, ask, form)

  app.post(
    [
      '/help',
      '/figures',
      '/figures/drill',
      '/choices',
      '/sheet.svg',
      '/health',
      '/ready',
      '/robots.txt',
      '/service-worker.js',
    ],
    notAllowed('GET, HEAD'),
  )
  app.get('/read', notAllowed('POST'))
  app.use(addSlash(path))
  app.use((request: Request, response: Response) => say(request, response, 404, {}, 'ask'))
  app.use(onError(options.log))
  return app
}

/** A request with two hosts could mean one to a proxy and another here (RFC 9112, 3.2). */
const namesOneHost = ({ rawHeaders }: Request): boolean =>
  rawHeaders.filter((each, i) => i % 2 === 0 && each.toLowerCase() === 'host').length <= 1

/** What stands before the limit of requests: whether the server lives, and the page's own files. */
function addUnlimitedRoutes(app: Express, { pool, closing }: AppOptions): void {
  app.get('/health', (_request, response) => plain(response, 200, 'alive'))
  app.get('/ready', (_request, response) => {
    const ready = pool.ready() && !closing()
    if (!ready) response.set('Retry-After', String(webLimits.retryAfter))
    plain(response, ready ? 200 : 503, ready ? 'ready' : 'not ready')
  })
  const assets = readAssets()
  app.get(`${assetsPath}*name`, (request, response, next) => {
    const name = request.path.slice(assetsPath.length)
    const asset = assets.get(name)
    if (!asset) return next()
    offer(request, response, asset, tagOf(build, name), 'forever')
  })

  const worker = serviceWorker(assets)
  app.get('/service-worker.js', (request, response) =>
    offer(request, response, worker, tagOf(build, '/service-worker.js'), 'ask'),
  )
}

const minute = 60_000

const limitTo = (perMinute: number) =>
  rateLimit({
    windowMs: minute,
    limit: perMinute,
    store: startCounts(minute),
    standardHeaders: 'draft-8',
    legacyHeaders: false,
    validate: false,
    handler: (request, response) => say(request, response, 429, { perMinute }),
  })

/** Pages that are the same for everyone. */
function addStillRoutes(app: Express, path: string): void {
  const help = helpPage()
  app.get('/robots.txt', (_request, response) => {
    response.type('text/plain').set('Cache-Control', 'public, max-age=86400').end(robots(path))
  })
  const practice = practicePage()
  app.get('/practice', (request, response) => offer(request, response, practice, tagOf(build, '/practice'), 'ask'))
  app.get('/help', (request, response) => offer(request, response, help, tagOf(build, '/help'), 'ask'))
}

/** Pages and pictures of lines are without end; those who gather pages need the first and the help alone. */
const robots = (path: string): string =>
  `User-agent: *\nAllow: ${path}/$\nAllow: ${path}/help\nAllow: ${path}/assets/\nDisallow: ${path}/\n`
