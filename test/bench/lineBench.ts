/** How long lines take: 32 bars plain, in phrases and at the fullest, growth to 2,048, alternatives at a place, and paste to SVG beside Verovio. */
import { approachKinds, type Brief, defaultBrief, readBrief } from '../../lib/brief.ts'
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import { alternativesAt } from '../../lib/line/alternatives.ts'
import { draftHome, writeLines } from '../../lib/lines/write.ts'
import { extentOf } from '../../lib/score/extent.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { realChartTexts } from '../realCharts.ts'

export interface LineTimes {
  /** Milliseconds, medians, warm. */
  readonly plain: number
  readonly fullest: number
  /** In phrases with all four kinds, at 72 and at 180; and milliseconds a bar at 2,048 bars as a share of those at 32, at 72. */
  readonly slow: number
  readonly fast: number
  readonly phrasedGrowth: number
  readonly alternatives: number
  /** Milliseconds a bar at 32 bars and at 2,048, and the second as a share of the first. */
  readonly perBar: readonly [number, number]
  readonly growth: number
  /** Paste to SVG on A4, Verovio's own load and render of the same MEI, and the first as a multiple of the second. */
  readonly pasteToSvg: number
  readonly verovio: number
  readonly pasteRatio: number
}

/** A 32-bar chart: the second of the real ones. */
const chart = () => realChartTexts()[1]!

async function median(times: number, run: (i: number) => unknown): Promise<number> {
  const taken: number[] = []
  for (let i = 0; i < times; i++) {
    const start = performance.now()
    await run(i)
    taken.push(performance.now() - start)
  }
  return taken.sort((a, b) => a - b)[times >> 1]!
}

export async function benchLines(): Promise<LineTimes> {
  const brief: Brief = { ...defaultBrief, changes: chart() }
  const fullest = readBrief({ changes: chart(), level: '6', every: 'half', textbook: 'yes' }).brief
  for (let i = 0; i < 15; i++) writeLines({ ...brief, seed: i })
  const plain = await median(25, (i) => writeLines({ ...brief, seed: i }))
  for (let i = 0; i < 5; i++) writeLines({ ...fullest, seed: i })
  const full = await median(15, (i) => writeLines({ ...fullest, seed: i }))
  const phrased = async (tempo: number, times: number, choruses = 1) => {
    const asked: Brief = { ...brief, approach: approachKinds, rhythm: 'phrased', tempo, choruses }
    for (let i = 0; i < times; i++) writeLines({ ...asked, seed: i })
    return median(times, (i) => writeLines({ ...asked, seed: i }))
  }
  const slow = await phrased(72, 25)
  const fast = await phrased(180, 25)
  const slowLong = await phrased(72, 3, 64)
  const home = draftHome(brief)!
  const places = home.draft.targets.map(({ start }) => start)
  const place = await median(50, (i) =>
    alternativesAt(home.harmony, brief, home.range, home.draft, places[i % places.length]!),
  )
  const long = { ...brief, choruses: 64 }
  const longest = await median(3, (i) => writeLines({ ...long, seed: i }))

  const { engrave, toolkit } = await loadEngraver()
  const paper = { paper: 'A4' } as const
  const paste = (seed: number) => {
    const own = { ...brief, seed }
    const part = layScore(writeLines(own).lines[0]!, own)
    return engrave(writeMei(part), paper, extentOf(part))
  }
  paste(0)
  const mei = writeMei(layScore(writeLines(brief).lines[0]!, brief))
  const bare = () => {
    toolkit.loadData(mei)
    for (let page = 1; page <= toolkit.getPageCount(); page++) toolkit.renderToSVG(page)
  }
  bare()
  // Turn about, so that what else the machine does falls on both alike.
  const pairs: [number, number][] = []
  for (let i = 0; i < 15; i++) pairs.push([await median(1, () => paste(i)), await median(1, bare)])
  const middle = (side: 0 | 1) => pairs.map((pair) => pair[side]).sort((a, b) => a - b)[pairs.length >> 1]!
  return {
    plain,
    fullest: full,
    slow,
    fast,
    phrasedGrowth: slowLong / 64 / slow,
    alternatives: place,
    perBar: [plain / 32, longest / 2_048],
    growth: longest / 2_048 / (plain / 32),
    pasteToSvg: middle(0),
    verovio: middle(1),
    pasteRatio: middle(0) / middle(1),
  }
}
