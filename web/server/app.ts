/** The routes: each reads an address into a question, asks a worker, and sends the answer with the headers that fit it. */
import { isIP } from 'node:net'
import express, { type ErrorRequestHandler, type Request, type Response } from 'express'
import { ipKeyGenerator, rateLimit } from 'express-rate-limit'
import helmet from 'helmet'
import { type Export, exports, pathOf } from '../../lib/exports.ts'
import { dayAt, isDay } from '../../lib/practice/days.ts'
import { figuresDrillAddress } from '../views/figuresDrill.ts'
import { drillAddress, emptyMarkPage } from '../views/markForm.ts'
import { helpPage, messagePage, practicePage } from '../views/messages.ts'
import { addressOf, fieldsOf, type Given, readFields } from './address.ts'
import { type Answer, holds, type Keeping, sendAnswer, sendNotModified, tagOf } from './answer.ts'
import { assetsPath, build, readAssets, serviceWorker } from './assets.ts'
import { another, readBars, withLevel } from './choosing.ts'
import { webLimits } from './limits.ts'
import type { Log } from './log.ts'
import type { Asker, Pool, Refusal } from './pool.ts'
import { applyFix } from './problems.ts'
import type { Recordings } from './soundFiles.ts'
import type { Question } from './workerRequest.ts'

export interface AppOptions {
  readonly pool: Pool
  readonly recordings: Recordings
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

export function makeApp(options: AppOptions): express.Express {
  const app = express()
  app.disable('x-powered-by')
  app.disable('etag')
  app.set('query parser', false)
  app.set('trust proxy', options.proxies)
  app.use(watch(options))
  app.use(securityHeaders)
  app.use((request: Request, response: Response, next: () => void) =>
    ['GET', 'HEAD', 'POST'].includes(request.method) ? next() : notAllowed('GET, HEAD, POST')(request, response),
  )

  app.get('/health', (_request, response) => plain(response, 200, 'alive'))
  app.get('/ready', (_request, response) => {
    const ready = options.pool.ready() && !options.closing()
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

  if (options.perMinute > 0)
    app.use(
      rateLimit({
        windowMs: 60_000,
        limit: options.perMinute,
        standardHeaders: 'draft-8',
        legacyHeaders: false,
        validate: false,
        handler: (request, response) =>
          send(request, response, messagePage(429, { perMinute: options.perMinute }), 'never'),
      }),
    )

  const help = helpPage()
  app.get('/robots.txt', (_request, response) => {
    response.type('text/plain').set('Cache-Control', 'public, max-age=86400').end(robots)
  })
  const practice = practicePage()
  app.get('/practice', (request, response) => offer(request, response, practice, tagOf(build, '/practice'), 'ask'))
  app.get('/help', (request, response) => offer(request, response, help, tagOf(build, '/help'), 'ask'))

  const form = express.text({
    type: 'application/x-www-form-urlencoded',
    limit: webLimits.body,
    defaultCharset: 'utf-8',
  })

  app.get('/', async (request, response) => {
    const { given, badLink } = asked(request, true)
    await ask(request, response, { kind: 'page', given, badLink, origin: originOf(request, options) }, 'ask')
  })
  app.post('/', form, async (request, response) => {
    const posted = readForm(request)
    if (!posted) return send(request, response, messagePage(415), 'never')
    const { given, failed } = await done(posted, options.pool, askerOf(request, response))
    if (failed) return refuse(request, response, failed)
    const address = addressOf(given)
    if (address !== null) return response.redirect(303, address)
    // Too long for a link: the page comes all the same and says so.
    await ask(request, response, { kind: 'page', given, badLink: false, origin: '' }, 'never')
  })
  app.post('/read', express.raw({ type: () => true, limit: webLimits.file }), async (request, response) => {
    const bytes: unknown = request.body
    if (!(bytes instanceof Uint8Array)) return send(request, response, messagePage(400), 'never')
    await ask(request, response, { kind: 'read', bytes: new Uint8Array(bytes) }, 'never')
  })
  const markForm = emptyMarkPage()
  app.get('/mark', (request, response) => offer(request, response, markForm, tagOf(build, '/mark'), 'ask'))
  app.post('/mark', express.raw({ type: () => true, limit: webLimits.file }), async (request, response) => {
    const body: unknown = request.body
    if (!(body instanceof Uint8Array)) return send(request, response, messagePage(400), 'never')
    const type = String(request.headers['content-type'] ?? '').slice(0, 200)
    await ask(request, response, { kind: 'mark', body: new Uint8Array(body), type }, 'never')
  })
  app.get('/mark/drill', (request, response) => response.redirect(303, drillAddress(asked(request).given)))
  app.get('/figures', async (request, response) => {
    const { instrument, key, heard, textbook, tone, ink } = asked(request).given
    const said = { instrument, key, heard, textbook, tone, ink }
    const given = Object.fromEntries(Object.entries(said).filter(([, text]) => text !== undefined))
    await ask(request, response, { kind: 'figures', given }, 'ask')
  })
  app.get('/figures/drill', (request, response) => {
    const { given, fields } = asked(request)
    response.redirect(303, figuresDrillAddress(given, fields.get('way') ?? 'drill'))
  })
  for (const as of ['page', 'pdf', 'ics'] as const)
    app.get(as === 'page' ? '/plan' : `/plan.${as}`, async (request, response) => {
      const { given, fields } = asked(request)
      const [days = '', minutes = '', from = ''] = ['days', 'minutes', 'from'].map((name) =>
        (fields.get(name) ?? '').slice(0, 10),
      )
      const day = isDay(from) ? from : dayAt(Date.now())
      const origin = originOf(request, options)
      await ask(request, response, { kind: 'plan', given, as, days, minutes, from: day, origin }, 'ask')
    })
  app.get('/choices', async (request, response) => {
    const { given, badLink, fields } = asked(request)
    const [at, chosen, bare] = ['at', 'chosen', 'bare'].map((name) => (fields.get(name) ?? '').slice(0, 40))
    await ask(
      request,
      response,
      { kind: 'choices', given, badLink, at: at!, chosen: chosen!, bare: bare === 'yes' },
      'ask',
    )
  })
  app.get('/sheet.svg', async (request, response) => {
    const { given, fields } = asked(request)
    await ask(
      request,
      response,
      {
        kind: 'sheet',
        given,
        part: number(fields, 'part'),
        sheet: number(fields, 'sheet'),
        inline: fields.get('inline') === 'yes',
      },
      keepingOf(fields),
    )
  })
  const download = async (request: Request, response: Response, asks: Export): Promise<unknown> => {
    const format = asks.id
    const kind = 'download' as const
    if (request.method !== 'POST') {
      const { given, badLink, fields } = asked(request)
      const [part, sheet] = [number(fields, 'part'), number(fields, 'sheet')]
      const origin = asks.printsLink ? originOf(request, options) : ''
      return ask(request, response, { kind, format, given, badLink, part, sheet, origin }, keepingOf(fields))
    }
    const posted = readForm(request)
    if (!posted) return send(request, response, messagePage(415), 'never')
    const given = normal(posted)
    await ask(request, response, { kind, format, given, badLink: false, part: 1, sheet: 1, origin: '' }, 'never')
  }
  /** Line and band, or the band alone, as a recording; `part` for one key of several. */
  const sound = (request: Request, response: Response, asks: Export): unknown => {
    const posted = request.method === 'POST'
    const typed = posted ? readForm(request) : null
    const { given, badLink, fields } = asked(request)
    if (posted && !typed) return send(request, response, messagePage(415), 'never')
    const question = {
      given: typed ? normal(typed) : given,
      badLink: !typed && badLink,
      format: asks.id,
      part: fields.has('part') ? number(fields, 'part') : 0,
      alone: fields.get('alone') === 'yes',
    }
    return options.recordings.send(request, response, {
      question,
      asker: askerOf(request, response),
      build,
      keeping: posted ? 'never' : keepingOf(fields),
      refuse: (why) => refuse(request, response, why),
    })
  }
  for (const each of exports) {
    if (each.offered === null) continue
    const give = each.offered === 'recording' ? sound : download
    app.get(pathOf(each), (request, response) => give(request, response, each))
    app.post(pathOf(each), form, (request, response) => give(request, response, each))
  }

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
  app.use((request: Request, response: Response) => send(request, response, messagePage(404), 'ask'))
  app.use(onError(options))
  return app

  async function ask(request: Request, response: Response, question: Question, keeping: Keeping): Promise<void> {
    const tag = keeping === 'never' ? null : tagOf(build, JSON.stringify(question))
    if (tag !== null && holds(request, tag)) return sendNotModified(response, tag, keeping)
    const given = await options.pool.answer(question, askerOf(request, response))
    if (typeof given === 'string') return refuse(request, response, given)
    response.locals.from = given.from
    sendAnswer(request, response, given.answer, tag, keeping)
  }
}

/** Pages and pictures of lines are without end; those who gather pages need the first and the help alone. */
const robots = 'User-agent: *\nAllow: /$\nAllow: /help\nAllow: /assets/\nDisallow: /\n'

/** What is there, but not to be asked for in this way. */
const notAllowed =
  (allow: string) =>
  (request: Request, response: Response): void => {
    response.set('Allow', allow)
    send(request, response, messagePage(405), 'never')
  }

/** An answer is kept for ever only where its address names this very build: a later one may write other bytes. */
const keepingOf = (fields: URLSearchParams): Keeping => (fields.get('v') === build ? 'forever' : 'ask')

/** Sends an answer that is at hand, unless the browser holds it. */
function offer(request: Request, response: Response, answer: Answer, tag: string, keeping: Keeping): void {
  if (holds(request, tag)) sendNotModified(response, tag, keeping)
  else sendAnswer(request, response, answer, tag, keeping)
}

const send = (request: Request, response: Response, answer: Answer, keeping: Keeping): void =>
  sendAnswer(request, response, answer, null, keeping)

/** Says why there is no answer. What would take too long is no use to ask again; whoever left is told nothing. */
function refuse(request: Request, response: Response, refusal: Refusal): void {
  response.locals.from = refusal
  if (refusal === 'gone' && response.destroyed) return
  if (refusal !== 'long') response.set('Retry-After', String(webLimits.retryAfter))
  send(request, response, messagePage(refusal === 'long' ? 422 : 503, { refusal }), 'never')
}

/** Who asks, as one place in the queue, and a signal that they have gone before their answer. */
function askerOf(request: Request, response: Response): Asker {
  const left = new AbortController()
  response.once('close', () => response.writableFinished || left.abort())
  return { who: ipKeyGenerator(request.ip ?? ''), left: left.signal }
}

const plain = (response: Response, status: number, text: string): void => {
  response.status(status).set('Cache-Control', 'no-store').type('text/plain').end(`${text}\n`)
}

/** A field that counts from 1; 1 where it is none. */
const number = (fields: URLSearchParams, name: string): number => {
  const text = fields.get(name) ?? ''
  return /^[1-9]\d{0,3}$/.test(text) ? Number(text) : 1
}

/** The canonical fields, so that one state asked in several ways is one question. */
const normal = (given: Given): Given => fieldsOf(given)

/** @param dated - whether an address that names no edition is taken for one from before they were named */
function asked(
  request: Request,
  dated = false,
): {
  readonly given: Given
  readonly badLink: boolean
  readonly fields: URLSearchParams
} {
  const at = request.url.indexOf('?')
  const fields = limited(new URLSearchParams(at < 0 ? '' : request.url.slice(at + 1)))
  const { given, problems } = readFields(fields)
  const drawn = given.changes !== undefined || given.plan !== undefined
  const old = dated && drawn && given.edition === undefined ? { edition: '1' } : {}
  return { given: normal({ ...given, ...old }), badLink: problems.length > 0, fields }
}

function readForm(request: Request): Given | null {
  return typeof request.body === 'string' ? readFields(limited(new URLSearchParams(request.body))).given : null
}

const limited = (fields: URLSearchParams): URLSearchParams =>
  new URLSearchParams([...fields].slice(0, webLimits.fields))

/** Carries out what a button asks for; the rest of the form is the new state. */
async function done(
  given: Given,
  pool: Pool,
  asker: Asker,
): Promise<{ readonly given: Given; readonly failed: Refusal | null }> {
  const { fix, edit, another: again, only, keep, levelWas, ...said } = given
  const rest = withLevel(said, levelWas)
  const changes = rest.changes ?? ''
  if (fix !== undefined) return { given: { ...rest, changes: applyFix(changes, fix) }, failed: null }
  if (again !== undefined) return { given: another(rest, again), failed: null }
  if (only !== undefined) return { given: { ...rest, bars: only }, failed: null }
  const kept = readBars(keep ?? '')
  if (kept) {
    const pins = await pool.answer({ kind: 'keep', given: normal(rest), bars: kept }, asker)
    if (typeof pins === 'string') return { given: rest, failed: pins }
    return { given: { ...rest, pins: Buffer.from(pins.answer.body).toString('utf8') }, failed: null }
  }
  if (edit === 'align' || edit === 'mend' || edit === 'up' || edit === 'down') {
    const edited = await pool.answer({ kind: 'edit', changes, edit }, asker)
    if (typeof edited === 'string') return { given: rest, failed: edited }
    return { given: { ...rest, changes: Buffer.from(edited.answer.body).toString('utf8') }, failed: null }
  }
  return { given: rest, failed: null }
}

/** Where the reader sees this server, for the printed code; empty where the request's word for it cannot be a host. */
function originOf(request: Request, options: AppOptions): string {
  if (options.origin !== '') return options.origin
  const host = request.host ?? ''
  const name = host.replace(/:\d{1,5}$/, '').replace(/^\[(.*)\]$/, '$1')
  const fine = isIP(name) !== 0 || /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/i.test(name)
  return fine && host.length <= 255 ? `${request.protocol === 'https' ? 'https' : 'http'}://${host}` : ''
}

/**
 * No script, style or picture but our own. The sound renderer needs WebAssembly; the engraver's pictures, shown as images,
 * carry their own font and style.
 */
const securityHeaders = helmet({
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

/** Logs each answer once it is sent, by its route and numbers alone: nothing that someone typed. */
function watch({ log, closing }: AppOptions) {
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
function onError({ log }: AppOptions): ErrorRequestHandler {
  return (error: unknown, request, response, next) => {
    if (response.headersSent) return next(error)
    const said = error as { status?: unknown; expose?: unknown; stack?: unknown } | null
    const status = typeof said?.status === 'number' && said.status >= 400 && said.status < 500 ? said.status : 500
    if (status === 500) log({ event: 'bug', trace: String(said?.stack ?? error) })
    const file = ['/read', '/mark'].includes(request.path)
    send(request, response, messagePage(status === 413 && file ? 'file' : status), 'never')
  }
}
