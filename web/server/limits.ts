/** The most that the server takes on, and how long it waits; each number in one place, with what happens beyond it. */
import { archiveLimits } from '../../lib/changes/readChanges.ts'

const second = 1_000
const kilobyte = 1_024
const megabyte = 1_024 * kilobyte

export const webLimits = {
  /** Characters of an address that any browser and proxy carries; beyond it the page still comes, but has no link. */
  address: 7_500,
  /** Bytes of a posted form: the longest changes with every character percent-encoded as three bytes. */
  body: 640 * kilobyte,
  /** Bytes of a file to read changes from: the largest compressed score that is opened. */
  file: archiveLimits.packed,
  /** Bytes of all bodies that are being received or whose answer is not sent yet, and of those from one address; beyond it 503. */
  bodies: 32 * megabyte,
  bodiesEach: 16 * megabyte,
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
  /** Milliseconds of work, as weighed, from which a question goes aside to a worker of its own, one at a time. */
  longWork: 1.5 * second,
  /** Milliseconds that work may have gone on beside other answers before it is begun again aside. */
  longGoing: 6 * second,
  /** The same for what goes aside: how many may wait, and how long one may take, waiting included. */
  longQueue: 8,
  longAnswerTime: 60 * second,
  /** Milliseconds of work, as weighed, that are refused at once. */
  tooMuchWork: 45 * second,
  /** Milliseconds after which workers that were all lost are replaced. */
  lostWorkers: 0.5 * second,
  /** Milliseconds that work goes on for an asker who has left, since it may be asked for again. */
  leftTime: 1 * second,
  /** Milliseconds in which a reader must have taken something of what is sent; Node looks at twice the time at the latest. */
  stallTime: 10 * second,
  /** Connections at once, in all and from one address that is no proxy. */
  connections: 1_024,
  connectionsEach: 256,
  /** Files that a process may open, less so many, are the most connections too: workers begin by reading some hundred. */
  ownFiles: 256,
  fewestConnections: 32,
  /** Requests of one connection that wait for their answers; a browser sends one after another. */
  pipelined: 8,
  /** Bytes of finished answers kept in memory. */
  cache: 24 * megabyte,
  /** Megabytes of JavaScript heap for one worker, and of that part of it which holds what is new. */
  workerHeap: 192,
  workerNursery: 16,
  /** Bytes of the whole process from which a worker that has grown by so much since it was warm makes way for a new one. */
  processMemory: 340 * megabyte,
  workerGrowth: 24 * megabyte,
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
