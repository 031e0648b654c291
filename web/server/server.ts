/** The server as a whole: workers, routes, timeouts, and a close that answers what was begun. */
import { createServer, type IncomingMessage, type Server, type ServerResponse } from 'node:http'
import type { AddressInfo, Socket } from 'node:net'
import { ipKeyGenerator } from 'express-rate-limit'
import { makeApp } from './app.ts'
import { webLimits } from './limits.ts'
import { type Log, outliveReaders, writeLog } from './log.ts'
import { startMadeFiles } from './madeFiles.ts'
import { startPool } from './pool.ts'
import { readSettings } from './settings.ts'
import { onStarterGone } from './starter.ts'

export interface ServerOptions {
  /** 0 for any free port. */
  readonly port?: number
  readonly host?: string
  readonly workers?: number
  /** Answers that may wait for a worker; beyond it 503. */
  readonly queue?: number
  /** How many proxies stand before this server and may be believed about who asks; none unless said. */
  readonly proxies?: number
  /** Requests a minute from one address; 0 for no limit. */
  readonly perMinute?: number
  /** Where people see this server, such as `https://lines.example.org`; else taken from each request. */
  readonly origin?: string
  readonly log?: Log
}

export interface Running {
  /** Such as `http://localhost:3000/`. */
  readonly address: string
  readonly port: number
  /** Stops listening, answers what is begun, then ends the workers. */
  close(): Promise<void>
}

/** Where the server listens unless told otherwise: this machine alone. HOST=0.0.0.0 opens it to others. */
const usualHost = 'localhost'

/** How many files this process may have open at once, connections among them; without end where the system does not say. */
function openFiles(): number {
  const { userLimits } = process.report.getReport() as { userLimits?: { open_files?: { soft?: unknown } } }
  const most = Number(userLimits?.open_files?.soft)
  return Number.isNaN(most) ? Number.POSITIVE_INFINITY : most
}

/** So many connections in all, and from one address, unless that is a proxy's. */
function boundConnections(server: Server, proxies: number): void {
  const places = Math.max(webLimits.fewestConnections, openFiles() - webLimits.ownFiles)
  server.maxConnections = Math.min(webLimits.connections, places)
  if (proxies > 0) return
  const open = new Map<string, number>()
  server.on('connection', (socket) => {
    const from = ipKeyGenerator(socket.remoteAddress ?? '')
    const count = (open.get(from) ?? 0) + 1
    open.set(from, count)
    socket.once('close', () => {
      const left = (open.get(from) ?? 1) - 1
      if (left > 0) open.set(from, left)
      else open.delete(from)
    })
    if (count > webLimits.connectionsEach) socket.destroy()
  })
}

type Handler = (request: IncomingMessage, response: ServerResponse) => void

/** Ends a connection that asks for more and more without waiting: a thousand requests that come at once hold up everyone else's. */
function boundPipelines(handle: Handler): Handler {
  const waiting = new WeakMap<Socket, number>()
  return (request, response) => {
    const { socket } = request
    const count = (waiting.get(socket) ?? 0) + 1
    if (count > webLimits.pipelined) socket.destroy()
    if (socket.destroyed) return
    waiting.set(socket, count)
    response.once('close', () => waiting.set(socket, waiting.get(socket)! - 1))
    handle(request, response)
  }
}

/** Starts the page's server; comes back once it listens. */
export async function startServer(options: ServerOptions = {}): Promise<Running> {
  const log = options.log ?? writeLog
  let closing: Promise<void> | null = null
  let app: Handler | null = null
  const server = createServer(
    {
      headersTimeout: webLimits.headersTime,
      requestTimeout: webLimits.requestTime,
      keepAliveTimeout: webLimits.keepAliveTime,
      connectionsCheckingInterval: 2_000,
      maxHeaderSize: 16_384,
    },
    boundPipelines((request, response) => app?.(request, response)),
  )
  boundConnections(server, options.proxies ?? 0)
  // The port first, so that one that is taken is said at once; then the workers.
  await new Promise<void>((resolve, reject) => {
    server.once('error', reject)
    server.listen(options.port ?? 0, options.host ?? usualHost, resolve)
  })
  const pool = startPool({
    ...(options.workers === undefined ? {} : { workers: options.workers }),
    ...(options.queue === undefined ? {} : { queue: options.queue }),
  })
  const files = startMadeFiles(log)
  app = makeApp({
    pool,
    files,
    log,
    proxies: options.proxies ?? 0,
    perMinute: options.perMinute ?? webLimits.requestsPerMinute,
    origin: options.origin ?? '',
    closing: () => closing !== null,
  })
  const { port } = server.address() as AddressInfo
  log({ event: 'listening', port })

  const close = async (): Promise<void> => {
    log({ event: 'closing' })
    const late = setTimeout(() => server.closeAllConnections(), webLimits.closingTime)
    // A connection whose answer was begun before is idle only now and then: it is let go once it is.
    const sweep = setInterval(() => server.closeIdleConnections(), 100)
    await new Promise<void>((resolve) => server.close(() => resolve()))
    clearInterval(sweep)
    clearTimeout(late)
    await pool.close()
    files.close()
    log({ event: 'closed' })
  }
  return {
    address: `http://${options.host && !/^(0\.0\.0\.0|::)$/.test(options.host) ? (options.host.includes(':') ? `[${options.host}]` : options.host) : 'localhost'}:${port}/`,
    port,
    close: () => {
      closing ??= close()
      return closing
    },
  }
}

/** Comes back on SIGTERM or SIGINT, or once the process that started this one, such as `npm start`, has gone. */
function ended(): Promise<void> {
  return new Promise((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, () => resolve())
    onStarterGone(resolve)
  })
}

/**
 * Runs the server until SIGTERM or SIGINT: prints its address once it listens, and comes back when all that was begun is
 * answered. What a place sets in its environment: see `readSettings`.
 *
 * @throws {SettingError} where a setting is not understood
 */
export async function serve(options: ServerOptions = {}): Promise<void> {
  outliveReaders()
  const running = await startServer({ ...readSettings(process.env), ...options })
  process.stdout.write(`${running.address}\n`)
  await ended()
  await running.close()
}
