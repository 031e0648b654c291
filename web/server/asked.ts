/** What a request asks for: its fields or its form, who asks, from where, and how long the answer may be kept. */
import { isIP } from 'node:net'
import type { Request, Response } from 'express'
import { ipKeyGenerator } from 'express-rate-limit'
import { fieldsOf, type Given, readFields } from './address.ts'
import type { Keeping } from './answer.ts'
import { build } from './assets.ts'
import { webLimits } from './limits.ts'
import type { Asker } from './pool.ts'

/** A field that counts from 1; 1 where it is none. */
export const number = (fields: URLSearchParams, name: string): number => {
  const text = fields.get(name) ?? ''
  return /^[1-9]\d{0,3}$/.test(text) ? Number(text) : 1
}

/** The canonical fields, so that one state asked in several ways is one question. */
export const normal = (given: Given): Given => fieldsOf(given)

export interface Asked {
  readonly given: Given
  readonly badLink: boolean
  readonly fields: URLSearchParams
}

/** @param dated - whether an address that names no edition is taken for one from before they were named */
export function asked(request: Request, dated = false): Asked {
  const at = request.url.indexOf('?')
  const fields = fieldsIn(at < 0 ? '' : request.url.slice(at + 1))
  const { given, problems } = readFields(fields)
  const drawn = given.changes !== undefined || given.plan !== undefined
  const old = dated && drawn && given.edition === undefined ? { edition: '1' } : {}
  return { given: normal({ ...given, ...old }), badLink: problems.length > 0, fields }
}

export function readForm(request: Request): Given | null {
  return typeof request.body === 'string' ? readFields(fieldsIn(request.body)).given : null
}

/** The fields of an address or a form, no more than one may have: what lies beyond is not even taken apart. */
function fieldsIn(text: string): URLSearchParams {
  let end = -1
  for (let n = 0; n < webLimits.fields; n++) {
    end = text.indexOf('&', end + 1)
    if (end < 0) return new URLSearchParams(text)
  }
  return new URLSearchParams(text.slice(0, end))
}

/** Who asks, as one place in the queue, and a signal that they have gone before their answer. */
export function askerOf(request: Request, response: Response): Asker {
  const left = new AbortController()
  response.once('close', () => response.writableFinished || left.abort())
  return { who: ipKeyGenerator(request.ip ?? ''), left: left.signal }
}

/**
 * Where the reader sees this server, for the printed code; empty where the request's word for it cannot be a host. `X-Forwarded-Host`
 * is not believed: a proxy that does not set it passes on whatever a client wrote there.
 */
export function originOf(request: Request, { origin }: { readonly origin: string }): string {
  if (origin !== '') return origin
  const host = request.headers.host ?? ''
  const name = host.replace(/:\d{1,5}$/, '').replace(/^\[(.*)\]$/, '$1')
  const fine = isIP(name) !== 0 || /^[a-z0-9]([a-z0-9-]*[a-z0-9])?(\.[a-z0-9]([a-z0-9-]*[a-z0-9])?)*$/i.test(name)
  return fine && host.length <= 255 ? `${schemeOf(request)}://${host}` : ''
}

/** By the word of the farthest proxy that is believed; what stands before it in a list may be the client's. */
function schemeOf(request: Request): 'http' | 'https' {
  const proxies: number = request.app.get('trust proxy')
  const said = String(request.headers['x-forwarded-proto'] ?? '').split(',')
  const scheme = proxies > 0 ? said.at(-Math.min(proxies, said.length))!.trim() : ''
  return scheme === 'https' ? 'https' : 'http'
}

/** An answer is kept for ever only where its address names this very build: a later one may write other bytes. */
export const keepingOf = (fields: URLSearchParams): 'ask' | 'forever' => (fields.get('v') === build ? 'forever' : 'ask')

/** The same for what says where it is seen, which is the request's word unless the place has set its own. */
export const keepingOfSeen = (keeping: 'ask' | 'forever', { origin }: { readonly origin: string }): Keeping =>
  origin !== '' ? keeping : keeping === 'forever' ? 'ownForever' : 'own'
