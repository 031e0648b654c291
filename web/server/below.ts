/** Where the server stands below a path of another's site, whether the proxy before it takes that path off or passes it on. */
import type { Request, Response } from 'express'

/** The path of an origin as `readSettings` gives it: `/music` of `https://example.org/music`; empty where it has none. */
export const pathOfOrigin = (origin: string): string =>
  origin === '' ? '' : new URL(origin).pathname.replace(/\/$/, '')

/** The way from an address to this server's root: `./`, or up as many folders as the address lies deep. */
export const rootSeenFrom = (path: string): string => '../'.repeat(Math.max(0, path.split('/').length - 2)) || './'

/**
 * Takes the path off the addresses that come with it. Addresses of our own that happen to begin with the same word, as `/mark/drill`
 * does where the path is `/mark`, stay: nothing of ours lies there once it is taken off.
 *
 * @param own - addresses of ours that are deeper than one word, or how they begin
 */
export const belowPath =
  (path: string, ...own: readonly string[]) =>
  (request: Request, _response: Response, next: () => void): void => {
    if (path !== '' && request.url.startsWith(`${path}/`) && !own.some((each) => request.url.startsWith(each)))
      request.url = request.url.slice(path.length)
    next()
  }

/** The path by itself, without the slash that its links need: there is nothing else at it, so the slash is put on. */
export const addSlash =
  (path: string) =>
  (request: Request, response: Response, next: () => void): void => {
    if (path !== '' && request.path === path) response.redirect(308, `${path}/${request.url.slice(path.length)}`)
    else next()
  }
