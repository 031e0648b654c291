/** How long the page takes to answer a change with new music, all its parts and compression included, beside the engraver. */
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import { answerPage } from '../../web/views/pages.ts'
import { realChartTexts } from '../realCharts.ts'
import { timeEngraver } from './engraverTime.ts'

export interface PageTimes {
  /** Milliseconds from the fields of an address to the bytes of the page, a new line drawn: median, warm. */
  readonly page: number
  /** The engraver's own part of that: loading and drawing. */
  readonly own: number
  /** The engraver for the same score where it finds line breaks itself, as it does unless told. */
  readonly usual: number
}

/** A 32-bar chart: the second of the real ones. */
export async function benchPage(times = 25): Promise<PageTimes> {
  const { toolkit } = await loadEngraver()
  const taken: PageTimes[] = []
  for (let i = 0; i < times + 10; i++) {
    const engraver = timeEngraver(toolkit)
    const start = performance.now()
    const given = { changes: realChartTexts()[1]!, seed: String(i) }
    await answerPage({ kind: 'page', given, badLink: false, origin: 'http://localhost:3000' })
    const page = performance.now() - start
    engraver.stop()
    const own = engraver.taken()
    toolkit.setOptions({ breaks: 'auto' } as never)
    const usualStart = performance.now()
    toolkit.loadData(engraver.lastScore())
    for (let sheet = 1; sheet <= toolkit.getPageCount(); sheet++) toolkit.renderToSVG(sheet)
    if (i >= 10) taken.push({ page, own, usual: performance.now() - usualStart })
  }
  const middle = (part: keyof PageTimes) => taken.map((each) => each[part]).sort((a, b) => a - b)[times >> 1]!
  return { page: middle('page'), own: middle('own'), usual: middle('usual') }
}
