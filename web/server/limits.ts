/** The most that the server takes on, and how long it waits; each number in one place, with what happens beyond it. */
import { archiveLimits } from '../../lib/changes/readChanges.ts'

const second = 1_000
const kilobyte = 1_024
const megabyte = 1_024 * kilobyte

export const webLimits = {
  /** Characters of an address that stays readable; beyond it the changes are packed into `z`. */
  readableAddress: 1_000,
  /** Characters of an address that any browser and proxy carries; beyond it the page still comes, but has no link. */
  address: 7_500,
  /** Characters of an address that a printed code still holds in squares that a phone can read. */
  printedCode: 1_200,
  /** Bytes of a posted form: the longest changes with every character percent-encoded as three bytes. */
  body: 640 * kilobyte,
  /** Bytes of a file to read changes from: the largest compressed score that is opened. */
  file: archiveLimits.packed,
  /** Fields of a posted form or an address. */
  fields: 300,
  /** Problems shown with their place; the rest are counted. */
  problemsShown: 20,
  /** Characters of changes up to which a hint is tried out before it is offered as a click. */
  tryHints: 16_384,
  /** Sheets of music written into the page itself; further ones come as pictures when they are scrolled to. */
  sheetsInPage: 2,
  /** The same where the state is too long for an address that pictures could come from. */
  sheetsWithoutLink: 8,
  /** Bars told in words beneath the music; further ones are in the downloads. */
  barsInWords: 128,
  /** Answers waiting for a worker; beyond it 503. */
  queue: 64,
  /** Milliseconds that one answer may take, waiting included; beyond it 503 and a new worker. */
  answerTime: 30 * second,
  /** Bytes of finished answers kept in memory. */
  cache: 24 * megabyte,
  /** Megabytes of JavaScript heap for one worker, and of that part of it which holds what is new. */
  workerHeap: 192,
  workerNursery: 16,
  /** Requests a minute from one address. A class behind one router is one address. */
  requestsPerMinute: 1_200,
  /** Milliseconds for a request's headers, for the whole request, and for an idle connection. */
  headersTime: 10 * second,
  requestTime: 20 * second,
  keepAliveTime: 5 * second,
  /** Milliseconds after SIGTERM in which what is begun is answered. */
  closingTime: 35 * second,
  /** Seconds after which to try again when the server is full. */
  retryAfter: 2,
} as const
