/** The server as a whole: workers, routes, timeouts, and a close that answers what was begun. */
import { createServer } from 'node:http'
import type { AddressInfo } from 'node:net'
import { makeApp } from './app.ts'
import { webLimits } from './limits.ts'
import { type Log, writeLog } from './log.ts'
import { startPool } from './pool.ts'

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

/** Starts the page's server; comes back once it listens. */
export async function startServer(options: ServerOptions = {}): Promise<Running> {
  const log = options.log ?? writeLog
  const pool = startPool({
    ...(options.workers === undefined ? {} : { workers: options.workers }),
    ...(options.queue === undefined ? {} : { queue: options.queue }),
  })
  let closing: Promise<void> | null = null
  const app = makeApp({
    pool,
    log,
    proxies: options.proxies ?? 0,
    perMinute: options.perMinute ?? webLimits.requestsPerMinute,
    origin: options.origin ?? '',
    closing: () => closing !== null,
  })
  const server = createServer(
    {
      headersTimeout: webLimits.headersTime,
      requestTimeout: webLimits.requestTime,
      keepAliveTimeout: webLimits.keepAliveTime,
      connectionsCheckingInterval: 2_000,
      maxHeaderSize: 16_384,
    },
    app,
  )
  const listening = new Promise<void>((resolve, reject) => {
    server.once('error', reject)
    server.listen(options.port ?? 0, options.host, resolve)
  })
  try {
    await listening
  } catch (error) {
    await pool.close()
    throw error
  }
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

/**
 * Runs the server until SIGTERM or SIGINT: prints its address once it listens, and comes back when all that was begun is
 * answered. What a place sets in its environment: HOST, PROXIES, REQUESTS_PER_MINUTE, ORIGIN, WORKERS.
 */
export async function serve(options: ServerOptions = {}): Promise<void> {
  const running = await startServer({ ...fromEnvironment(), ...options })
  process.stdout.write(`${running.address}\n`)
  await new Promise<void>((resolve) => {
    for (const signal of ['SIGTERM', 'SIGINT'] as const) process.on(signal, resolve)
  })
  await running.close()
}

function fromEnvironment(): ServerOptions {
  const { HOST, PROXIES, REQUESTS_PER_MINUTE, ORIGIN, WORKERS } = process.env
  const whole = (text: string | undefined) => (text !== undefined && /^\d{1,6}$/.test(text) ? Number(text) : null)
  const proxies = whole(PROXIES)
  const perMinute = whole(REQUESTS_PER_MINUTE)
  const workers = whole(WORKERS)
  return {
    ...(HOST ? { host: HOST } : {}),
    ...(proxies === null ? {} : { proxies }),
    ...(perMinute === null ? {} : { perMinute }),
    ...(workers ? { workers } : {}),
    ...(ORIGIN && /^https?:\/\/[^/\s]+$/.test(ORIGIN) ? { origin: ORIGIN } : {}),
  }
}
