/**
 * How long a book takes beside the engraver's own time for the same pages, and whether many books leave memory flat.
 * From the checkout's root: `node --expose-gc test/run.mjs test/bench/bookBench.ts`.
 */
import { readBrief } from '../../lib/brief.ts'
import { lineBook } from '../../lib/engrave/book.ts'
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import { writePdf } from '../../lib/engrave/pdf/writePdf.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { timeEngraver } from './engraverTime.ts'

const changes = `Title: A Long Way Round
Key: Eb
[A] | Ebmaj7 | Fm7 Bb7 | Gm7 C7(b9) | Fm7 Bb7 | Ebmaj7 Eb7 | Abmaj7 Db7(#11) | Gm7 C7 | Fm7 Bb7 |
[A] | Ebmaj7 | Fm7 Bb7 | Gm7 C7(b9) | Fm7 Bb7 | Ebmaj7 Eb7 | Abmaj7 Db7(#11) | Fm7 Bb7 | Eb6 |
[B] | Am7b5 | D7(b9) | Gm7 | Gm7 | Gm7b5 | C7(b9) | Fm7 | Bb7 |
[A] | Ebmaj7 | Fm7 Bb7 | Gm7 C7(b9) | Fm7 Bb7 | Ebmaj7 Eb7 | Abmaj7 Db7(#11) | Fm7 Bb7 | Eb6 |`

const { brief } = readBrief({ changes, instrument: 'alto-sax', keys: 'fourths' })
const book = () => lineBook(writeLines(brief).lines, brief, { link: 'https://lines.example.org/?keys=fourths' })

async function median(run: () => Promise<unknown> | unknown, times: number): Promise<number> {
  await run()
  const taken: number[] = []
  for (let i = 0; i < times; i++) {
    const start = performance.now()
    await run()
    taken.push(performance.now() - start)
  }
  return taken.sort((a, b) => a - b)[Math.floor(times / 2)]!
}

export interface BookTimes {
  /** Milliseconds of the engraver itself, loading and drawing, within the book in one process: median, warm. */
  readonly engraver: number
  /** The whole book, from its scores to its bytes, in one process. */
  readonly book: number
  readonly bytes: number
}

/** Twelve keys of 32 bars. */
export async function benchBook(times = 5): Promise<BookTimes> {
  const twelve = book()
  const { toolkit } = await loadEngraver()
  const timed = timeEngraver(toolkit)
  const shares: number[] = []
  const whole = await median(async () => {
    timed.taken()
    await writePdf(twelve)
    shares.push(timed.taken())
  }, times)
  timed.stop()
  const engraver = shares.slice(1).sort((a, b) => a - b)[Math.floor(times / 2)]!

  return { engraver, book: whole, bytes: (await writePdf(twelve)).length }
}

/** Megabytes of memory after every fifty books of two keys each, up to two hundred. */
export async function benchMemory(): Promise<readonly { readonly books: number; readonly megabytes: number }[]> {
  const { brief } = readBrief({ changes, instrument: 'trombone', keys: 'C,F' })
  const rows: { books: number; megabytes: number }[] = []
  for (let books = 1; books <= 200; books++) {
    await writePdf(lineBook(writeLines({ ...brief, seed: books }).lines, brief))
    if (books % 50 === 0) {
      globalThis.gc?.()
      rows.push({ books, megabytes: Math.round(process.memoryUsage().rss / 1e6) })
    }
  }
  return rows
}

if (process.argv[1]?.endsWith('bookBench.ts')) {
  console.log(await benchBook())
  console.log(await benchMemory())
}
