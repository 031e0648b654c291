/** What a place sets in the server's environment, each setting read once; one that is not understood is said, not passed over. */
import { readOrigin } from '../../lib/commands/origin.ts'
import type { ServerOptions } from './server.ts'

/** A setting that was not understood, in words for whoever starts the server. */
export class SettingError extends Error {
  override readonly name = 'SettingError'
}

type Environment = Readonly<Record<string, string | undefined>>

const refuse = (name: string, found: string, expected: string, hint: string): never => {
  throw new SettingError(`${name}: found ${JSON.stringify(found)}; expected ${expected}; ${hint}`)
}

function whole(given: Environment, name: string, least: number, most: number, hint: string): number | undefined {
  const text = given[name]?.trim() ?? ''
  if (text === '') return undefined
  const value = /^\d{1,6}$/.test(text) ? Number(text) : -1
  return value >= least && value <= most ? value : refuse(name, text, `a whole number from ${least} to ${most}`, hint)
}

/** The origin that links say, without a slash at its end; it may have a path, where the page is served below one. */
function originIn(given: Environment): string | undefined {
  const text = given.ORIGIN?.trim() ?? ''
  if (text === '') return undefined
  return (
    readOrigin(text) ??
    refuse(
      'ORIGIN',
      text,
      'an address such as https://lines.example.org or https://example.org/lines',
      'write it out with https://, and leave out what follows the name and the path',
    )
  )
}

function hostIn(given: Environment): string | undefined {
  const text = given.HOST?.trim() ?? ''
  if (text === '') return undefined
  return /^[\w.:-]+$/.test(text)
    ? text
    : refuse('HOST', text, 'a name or number of this machine, or 0.0.0.0 for all of them', 'try HOST=0.0.0.0')
}

/**
 * The server's options from HOST, PROXIES, REQUESTS_PER_MINUTE, ORIGIN and WORKERS; what is not set is left out.
 *
 * @throws {SettingError} where a setting is not understood: a mistyped one must not start a server that says other addresses
 *
 * @example
 * readSettings({ PROXIES: '1', ORIGIN: 'https://lines.example.org/' }) // => { proxies: 1, origin: 'https://lines.example.org' }
 */
export function readSettings(given: Environment): ServerOptions {
  const host = hostIn(given)
  const proxies = whole(given, 'PROXIES', 0, 16, 'PROXIES=1 for one proxy before this server')
  const perMinute = whole(given, 'REQUESTS_PER_MINUTE', 0, 999_999, '0 for no limit')
  const workers = whole(given, 'WORKERS', 1, 64, 'leave it out for one a core')
  const origin = originIn(given)
  return {
    ...(host === undefined ? {} : { host }),
    ...(proxies === undefined ? {} : { proxies }),
    ...(perMinute === undefined ? {} : { perMinute }),
    ...(workers === undefined ? {} : { workers }),
    ...(origin === undefined ? {} : { origin }),
  }
}
