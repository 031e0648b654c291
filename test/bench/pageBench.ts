/** How long the page takes to answer a change with new music, all its parts and compression included, beside the engraver. */
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import { answerPage } from '../../web/pages.ts'
import { realChartTexts } from '../realCharts.ts'

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
  const { loadData, renderToSVG } = toolkit
  let own = 0
  let score = ''
  const timed =
    <A extends readonly unknown[], R>(run: (...given: A) => R) =>
    (...given: A): R => {
      const start = performance.now()
      const result = run.apply(toolkit, given as never)
      own += performance.now() - start
      return result
    }
  const taken: PageTimes[] = []
  for (let i = 0; i < times + 10; i++) {
    toolkit.loadData = timed((mei: string) => {
      score = mei
      return loadData.call(toolkit, mei)
    })
    toolkit.renderToSVG = timed(renderToSVG)
    own = 0
    const start = performance.now()
    const given = { changes: realChartTexts()[1]!, seed: String(i) }
    await answerPage({ kind: 'page', given, badLink: false, origin: 'http://localhost:3000' })
    const page = performance.now() - start
    Object.assign(toolkit, { loadData, renderToSVG })
    toolkit.setOptions({ breaks: 'auto' } as never)
    const usualStart = performance.now()
    toolkit.loadData(score)
    for (let sheet = 1; sheet <= toolkit.getPageCount(); sheet++) toolkit.renderToSVG(sheet)
    if (i >= 10) taken.push({ page, own, usual: performance.now() - usualStart })
  }
  const middle = (part: keyof PageTimes) => taken.map((each) => each[part]).sort((a, b) => a - b)[times >> 1]!
  return { page: middle('page'), own: middle('own'), usual: middle('usual') }
}
