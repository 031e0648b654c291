/** Pages that only say something: help, what is not there, and why there is no answer just now. */
import { type Answer, pageAnswer } from '../server/answer.ts'
import { assetsPath } from '../server/assets.ts'
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
  died: ['Writing this took more memory than one line may have. Ask for fewer bars, choruses or keys at a time.'],
}

const sayings: Readonly<Record<number, readonly [string, readonly string[]]>> = {
  400: ['That could not be read', ['The request was not one that this page sends.']],
  404: ['There is nothing at this address', ['A link may have lost its end on the way: ask for it again, whole.']],
  413: [
    'That is too long',
    ['Changes may have up to 65,536 characters. A tune has a few hundred: paste its chords alone.'],
  ],
  415: ['That kind of file is not read here', ['Paste the changes as text into the page.']],
  429: [
    'A little slower',
    [`More than ${webLimits.requestsPerMinute} requests a minute came from your address. Wait a minute.`],
  ],
  500: [
    'Something broke on our side',
    ['It is not your changes: this is a mistake in the program, and it has been noted.'],
  ],
}

/** A page for a status; for 503 with the reason. */
export function messagePage(status: number, refusal: Refusal = 'full'): Answer {
  const [heading, lines] = status === 503 ? ['Not just now', refusals[refusal]] : (sayings[status] ?? sayings[400]!)
  return pageAnswer(
    status,
    fill('message', { title: `${heading} – Throughline`, assets: assetsPath, view: usual, heading, lines, back: '/' }),
  )
}

/** How to practise with it, and what every choice means. */
export function helpPage(): Answer {
  const list = Object.values(meanings).map(([label, explanation]) => ({ label, explanation }))
  return pageAnswer(
    200,
    fill('help', { title: 'How to practise with it – Throughline', assets: assetsPath, view: usual, meanings: list }),
  )
}
