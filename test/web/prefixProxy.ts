/** A proxy that serves the page below a path of another's site, as reverse proxies do: the path taken off, or passed on. */
import { createServer, request } from 'node:http'
import type { AddressInfo } from 'node:net'

export interface Standing {
  /** The page as people see it, such as `http://localhost:4000/music/`. */
  readonly address: string
  /** What was asked for that is not below the path, and so of the other site. */
  readonly outside: readonly string[]
  close(): Promise<void>
}

/** Starts it before a server. What is not below the path is the other site's, which has nothing. */
export async function startProxy(to: string, path: string, passesOn: boolean): Promise<Standing> {
  const outside: string[] = []
  const server = createServer((asked, answer) => {
    const url = asked.url ?? '/'
    const bare = url.split('?')[0] === path
    if (bare && !passesOn) return answer.writeHead(301, { location: `${path}/${url.slice(path.length)}` }).end()
    if (!bare && !url.startsWith(`${path}/`)) {
      outside.push(url)
      return answer.writeHead(404, { 'content-type': 'text/plain' }).end('another site')
    }
    const { hostname, port } = new URL(to)
    const on = request(
      {
        hostname,
        port,
        method: asked.method,
        path: passesOn ? url : url.slice(path.length),
        headers: { ...asked.headers, 'x-forwarded-for': '192.0.2.1', 'x-forwarded-proto': 'http' },
      },
      (given) => {
        answer.writeHead(given.statusCode ?? 502, given.headers)
        given.pipe(answer)
      },
    )
    on.on('error', () => answer.destroy())
    answer.on('close', () => on.destroy())
    asked.pipe(on)
  })
  await new Promise<void>((resolve) => server.listen(0, 'localhost', resolve))
  return {
    address: `http://localhost:${(server.address() as AddressInfo).port}${path}/`,
    outside,
    close: () => {
      server.closeAllConnections()
      return new Promise((resolve) => server.close(() => resolve()))
    },
  }
}
