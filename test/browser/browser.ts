/** A real Chromium against the real server, for the tests of a file. */
import { readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect } from 'vitest'
import { startForTests } from '../web/serve.ts'
import { executable, flags } from './chromium.ts'

export interface Stage {
  address: string
  /** Opens a page; what it logs as an error or asks of others is a failure unless expected. */
  open(path?: string, options?: BrowserContextOptions): Promise<Page>
}

/** Whatever any page complained of. */
const complaints: string[] = []
/** Statuses that a test means to meet are no complaint. */
const expected = /status of (422|404|503)/

export function stage(): Stage {
  let browser: Browser
  const contexts: BrowserContext[] = []
  const made: Stage = {
    address: '',
    async open(path = '', options = {}) {
      const context = await browser.newContext({ viewport: { width: 1280, height: 900 }, ...options })
      contexts.push(context)
      const page = await context.newPage()
      page.on('console', (message) => {
        if (message.type() === 'error' && !expected.test(message.text())) complaints.push(message.text())
      })
      page.on('pageerror', (error) => complaints.push(error.message))
      page.on('request', (request) => {
        const url = request.url()
        if (!url.startsWith(made.address) && !/^(data|blob):/.test(url)) complaints.push(`asked ${url}`)
      })
      page.on('dialog', (dialog) => {
        complaints.push(`dialog: ${dialog.message()}`)
        void dialog.dismiss()
      })
      await page.goto(new URL(path, made.address).href)
      if (options.javaScriptEnabled !== false && (await page.locator('body[data-kind="page"]').count()) > 0)
        await page.waitForSelector('html.scripted')
      return page
    },
  }
  beforeAll(async () => {
    if (!executable) throw new Error('these tests need Chromium: apt-get install chromium')
    made.address = (await startForTests()).address
    browser = await chromium.launch({ executablePath: executable, args: flags })
  })
  afterEach(async () => {
    for (const context of contexts.splice(0)) await context.close()
    expect(complaints.splice(0)).toEqual([])
  })
  afterAll(async () => {
    await browser?.close()
  })
  return made
}

const axe = readFileSync(createRequire(import.meta.url).resolve('axe-core/axe.min.js'), 'utf8')

/** What axe finds against WCAG 2.2, levels A and AA, and its best practices: each as its rule and where. */
export async function findBarriers(page: Page): Promise<readonly string[]> {
  await page.evaluate(axe)
  return page.evaluate(async () => {
    const run = (
      globalThis as unknown as {
        axe: {
          run(
            where: unknown,
            options: object,
          ): Promise<{ violations: { id: string; nodes: { html: string; failureSummary: string }[] }[] }>
        }
      }
    ).axe
    const { violations } = await run.run(document, {
      runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'],
    })
    return violations.flatMap(({ id, nodes }) =>
      nodes.map(({ html, failureSummary }) => `${id}: ${html.slice(0, 160)} ${failureSummary.replace(/\s+/g, ' ')}`),
    )
  })
}

/** Once the music in the page is another than it was. */
export async function afterMove(page: Page, act: () => Promise<unknown>): Promise<void> {
  await page.evaluate(() => document.getElementById('music')?.setAttribute('data-seen', ''))
  await act()
  await page.waitForSelector('#music:not([data-seen]):not([aria-busy])')
}

/** The notes of the first sheet, by where they stand. */
export const musicOf = (page: Page): Promise<string> =>
  page.evaluate(() =>
    [...document.querySelectorAll('.engraved use')].map((use) => use.getAttribute('transform')).join(';'),
  )

/** Unfolds the sentence, whose choices stand folded to a line. */
export const unfold = (page: Page): Promise<void> => page.locator('.asked > summary').click()
