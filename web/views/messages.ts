/** Pages that only say something: help, what is not there, and why there is no answer just now. */
import { careWords } from '../../lib/practice/care.ts'
import { type Answer, pageAnswer } from '../server/answer.ts'
import { placed } from '../server/assets.ts'
import { webLimits } from '../server/limits.ts'
import type { Refusal } from '../server/pool.ts'
import { readView } from './display.ts'
import { meanings } from './sentence.ts'
import { fill } from './templates.ts'

const usual = readView({})

const refusals: Readonly<Record<Refusal, readonly string[]>> = {
  full: ['Many people are asking at once. Your address still holds everything: try again in a moment.'],
  slow: [
    `This would have taken longer than ${webLimits.answerTime / 1_000} seconds. Ask for fewer bars, choruses or keys at a time.`,
  ],
  long: [
    'This would take longer than one answer may. Ask for fewer keys at a time, or fewer bars, choruses or parts; nothing of what you typed is lost: go back to it.',
  ],
  nowhere: [
    'There is nowhere to write recordings and class packets just now; whoever runs this server has to look. All else works.',
  ],
  gone: ['You left before the answer was there. Ask again.'],
  died: ['Writing this took more memory than one line may have. Ask for fewer bars, choruses or keys at a time.'],
}

/** Why it is said, where the status alone does not tell. */
export interface Why {
  readonly refusal?: Refusal
  /** The limit of requests a minute that this server keeps. */
  readonly perMinute?: number
  /** Where the page lies, as seen from the address that was asked for. */
  readonly root?: string
}

const megabytes = (bytes: number): string => `${Math.floor(bytes / 1_048_576)} MB`

const sayings: Readonly<Record<string, readonly [string, readonly string[]]>> = {
  file: [
    'That file is too large',
    [`A score may have up to ${megabytes(webLimits.file)}. Take out pictures and sounds, or save it compressed.`],
  ],
  400: ['That could not be read', ['The request was not one that this page sends.']],
  405: ['That cannot be done at this address', ['Go to the page itself, and use its buttons and links.']],
  404: ['There is nothing at this address', ['A link may have lost its end on the way: ask for it again, whole.']],
  413: [
    'That is too long',
    ['Changes may have up to 65,536 characters. A tune has a few hundred: paste its chords alone.'],
  ],
  415: ['That kind of file is not read here', ['Paste the changes as text into the page.']],
  500: [
    'Something broke on our side',
    ['It is not your changes: this is a mistake in the program, and it has been noted.'],
  ],
}

const tooMany = (perMinute: number) =>
  ['A little slower', [`More than ${perMinute} requests a minute came from your address. Wait a minute.`]] as const

function sayingOf(status: number | 'file', { refusal, perMinute = webLimits.requestsPerMinute }: Why) {
  if (status === 503 || refusal !== undefined) return ['Not just now', refusals[refusal ?? 'full']] as const
  return status === 429 ? tooMany(perMinute) : (sayings[status] ?? sayings[400]!)
}

/** A page for a status, with the reason where there is one; `file` for a file that is too large. */
export function messagePage(status: number | 'file', why: Why = {}): Answer {
  const [heading, lines] = sayingOf(status, why)
  const { root = './' } = why
  return pageAnswer(
    status === 'file' ? 413 : status,
    fill('message', { title: `${heading} – Throughline`, ...placed(root), view: usual, heading, lines, back: root }),
  )
}

/** How to practise with it, and what every choice means. */
export function helpPage(): Answer {
  return pageAnswer(200, fill('help', { title: 'Help – Throughline', ...placed(), view: usual, meanings }))
}

/** Where a plan is followed: all of it is in the browser that opens it. */
export function practicePage(): Answer {
  return pageAnswer(
    200,
    fill('practice', { title: 'Practice – Throughline', ...placed(), view: usual, care: careWords }),
  )
}
