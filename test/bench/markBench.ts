/** How long lines take to be read back: 32 bars from MusicXML to a marked line, growth to 1,024, and many files counted. */
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { countFigures, countsCsv } from '../../lib/mark/countFigures.ts'
import { isFaulty, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { bytesOf } from '../mark/writtenLine.ts'

export interface MarkTimes {
  /** Milliseconds for 32 bars, warm; the same a bar at 1,024 as a share of that at 32; and seconds for 200 files of 32 bars counted. */
  readonly short: number
  readonly growth: number
  readonly many: number
}

function scoreOf(bars: number): Uint8Array {
  const { brief } = readBrief({ changes: `${'| Dm7 | G7 | Cmaj7 | A7b9 '.repeat(bars / 4)}|`, every: 'half' })
  return bytesOf(writeLines(brief).lines[0]!, brief, 'musicxml')
}

function mark(bytes: Uint8Array) {
  const marked = markFile({ name: 'score', bytes }, usualMarking)
  if (isFaulty(marked)) throw new Error('a line of our own was not read')
  return marked
}

function median(times: number, run: () => unknown): number {
  const taken = Array.from({ length: times }, () => {
    const start = performance.now()
    run()
    return performance.now() - start
  })
  return taken.sort((a, b) => a - b)[times >> 1]!
}

export function benchMark(): MarkTimes {
  const [small, large] = [scoreOf(32), scoreOf(1_024)]
  median(15, () => mark(small))
  const short = median(25, () => mark(small))
  const long = median(5, () => mark(large))
  const start = performance.now()
  countsCsv(countFigures(Array.from({ length: 200 }, () => mark(small))))
  return { short, growth: long / 1_024 / (short / 32), many: (performance.now() - start) / 1_000 }
}
