/** What goes back over the wire, and how it is sent: finished bytes with their kind, compressed once and kept so. */
import { createHash } from 'node:crypto'
import { Readable } from 'node:stream'
import { createGunzip, gzipSync } from 'node:zlib'
import type { Request, Response } from 'express'
import { webLimits } from './limits.ts'

export interface Answer {
  readonly status: number
  /** The media type. */
  readonly type: string
  readonly body: Uint8Array
  readonly encoding: 'gzip' | 'identity'
  /** The name under which a download is saved; null for what is shown in place. */
  readonly file: string | null
}

/**
 * How long others may keep an answer: a page is asked after each time, an export never changes at its address. What says the host of its
 * request is kept by its reader alone (`own`): a cache between them that takes no notice of hosts would hand it to everyone.
 */
export type Keeping = 'ask' | 'forever' | 'never' | 'own' | 'ownForever'

/** Bytes below which compressing is not worth it. */
const worthwhile = 860

/** Hardly larger than with the usual 6, at half the time. */
const zipLevel = 4

/** Makes an answer of bytes, compressed unless they are already. */
export function bytesAnswer(
  status: number,
  type: string,
  bytes: Uint8Array,
  compressed: boolean,
  file: string | null = null,
): Answer {
  return compressed || bytes.length < worthwhile
    ? { status, type, body: bytes, encoding: 'identity', file }
    : { status, type, body: gzipSync(bytes, { level: zipLevel }), encoding: 'gzip', file }
}

/** Makes an answer of a text. */
export const textAnswer = (status: number, type: string, text: string, file: string | null = null): Answer =>
  bytesAnswer(status, type, Buffer.from(text, 'utf8'), false, file)

/** Control characters, which a page may not hold, though what is typed may (HTML, 13.1.2 and 13.2.3.5). */
// biome-ignore lint/suspicious/noControlCharactersInRegex: they are what is looked for
const controls = /[\0-\x08\x0b\x0c\x0e-\x1f\x7f]/g

export const pageAnswer = (status: number, html: string): Answer =>
  textAnswer(status, 'text/html; charset=utf-8', html.replace(controls, '\ufffd'))

/** A strong tag for what an address gives in this build: the same build gives the same bytes on every machine. */
export const tagOf = (build: string, address: string): string =>
  createHash('sha256').update(build).update('\0').update(address).digest('base64url').slice(0, 27)

/** The tag of an answer as it is sent compressed: other bytes need another (RFC 9110, 8.8.3.3). */
const zippedTag = (tag: string): string => `${tag}-gz`

const takesGzip = (request: Request): boolean => request.acceptsEncodings('gzip') === 'gzip'

/**
 * The tag under which whoever asks says that they hold this very answer; null where they do not. A cache may ask for a reader who
 * takes nothing compressed and hold only that: it is not what that reader would get (RFC 9110, 13.1.2).
 */
export function heldAs(request: Request, tag: string): string | null {
  const given = request.headers['if-none-match'] ?? ''
  const fine = takesGzip(request) ? [zippedTag(tag), tag] : [tag]
  return fine.find((each) => given.includes(`"${each}"`)) ?? null
}

export const keepingWords: Readonly<Record<Keeping, string>> = {
  ask: 'public, no-cache',
  forever: 'public, max-age=31536000, immutable',
  never: 'no-store',
  own: 'private, no-cache',
  ownForever: 'private, max-age=31536000, immutable',
}

/** An answer that is not what was asked for is never kept unasked. */
const whereNotGood: Readonly<Record<Keeping, Keeping>> = {
  ask: 'ask',
  forever: 'ask',
  never: 'never',
  own: 'own',
  ownForever: 'own',
}

export function sendNotModified(response: Response, tag: string, keeping: Keeping): void {
  response
    .status(304)
    .set({ ETag: `"${tag}"`, 'Cache-Control': keepingWords[keeping], Vary: 'Accept-Encoding' })
    .end()
}

/**
 * That a file is to be saved, and under what name: as it is, in UTF-8, where it has more than Latin letters, beside what is left of it
 * for who reads only these (RFC 6266, 4.3; RFC 8187, 3.2).
 */
export function takenAs(file: string): string {
  const plain = file.replace(/[^ -~]+/g, '').replace(/^-+/, '')
  const whole = plain === file ? '' : `; filename*=UTF-8''${encodeURIComponent(file)}`
  return `attachment; filename="${plain}"${whole}`
}

/** Sends an answer in the encoding that the browser takes. */
export function sendAnswer(
  request: Request,
  response: Response,
  answer: Answer,
  tag: string | null,
  keeping: Keeping,
): void {
  const zipped = answer.encoding === 'gzip' && takesGzip(request)
  const unpack = answer.encoding === 'gzip' && !zipped
  const good = answer.status === 200
  response.status(answer.status)
  response.set('Content-Type', answer.type)
  response.set('Vary', 'Accept-Encoding')
  response.set('Cache-Control', keepingWords[good ? keeping : whereNotGood[keeping]])
  if (good && tag !== null) response.set('ETag', `"${zipped ? zippedTag(tag) : tag}"`)
  if (zipped) response.set('Content-Encoding', 'gzip')
  if (answer.file !== null && good) response.set('Content-Disposition', takenAs(answer.file))
  response.set('Content-Length', String(unpack ? unpackedLength(answer.body) : answer.body.byteLength))
  dropStalled(response)
  if (request.method === 'HEAD') response.end()
  else if (unpack) unpackInto(response, answer.body)
  else response.end(answer.body)
}

/** Lets go of a reader who takes nothing of what is sent for so long. */
export function dropStalled(response: Response): void {
  response.setTimeout(webLimits.stallTime, () => response.destroy())
}

/** The length of what was compressed: the last four bytes say it, least first (RFC 1952, 2.3.1). */
const unpackedLength = (zipped: Uint8Array): number =>
  new DataView(zipped.buffer, zipped.byteOffset).getUint32(zipped.byteLength - 4, true)

/** Bytes that are unpacked at a time, no faster than they are taken. */
const unpackPiece = 16_384

function unpackInto(response: Response, zipped: Uint8Array): void {
  function* pieces() {
    for (let at = 0; at < zipped.byteLength; at += unpackPiece) yield zipped.subarray(at, at + unpackPiece)
  }
  const unpacked = createGunzip({ chunkSize: unpackPiece })
  unpacked.once('error', () => response.destroy())
  // A reader who leaves ends the work; nobody is left to tell.
  response.once('close', () => unpacked.destroy())
  Readable.from(pieces()).pipe(unpacked).pipe(response)
}
