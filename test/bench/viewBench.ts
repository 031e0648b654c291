/** How long somebody who opens the page for the first time waits for its music: a new browser, nothing held, the built server. */
import { chromium } from 'playwright-core'
import { executable, flags } from '../browser/chromium.ts'
import { startBuilt } from '../soak/load.ts'

export interface ViewTimes {
  /** Milliseconds from asking for the page until it is painted, music and all. */
  readonly music: number
  /** Until its notes can be chosen. */
  readonly scripted: number
}

/** Medians of so many first visits; null where there is no Chromium. */
export async function benchView(times = 7): Promise<ViewTimes | null> {
  if (!executable) return null
  const server = await startBuilt()
  const browser = await chromium.launch({ executablePath: executable, args: flags })
  try {
    const taken: ViewTimes[] = []
    for (let i = 0; i < times; i++) {
      const context = await browser.newContext({ viewport: { width: 1280, height: 900 } })
      const page = await context.newPage()
      await page.goto(server.address)
      await page.waitForSelector('[data-note]')
      taken.push(
        await page.evaluate(() => ({
          music: performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? Number.POSITIVE_INFINITY,
          scripted: performance.now(),
        })),
      )
      await context.close()
    }
    const middle = (part: keyof ViewTimes) => taken.map((each) => each[part]).sort((a, b) => a - b)[times >> 1]!
    return { music: middle('music'), scripted: middle('scripted') }
  } finally {
    await browser.close()
    await server.stop()
  }
}
