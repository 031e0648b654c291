/** The page when who stands between answers in the server's place, and when what it is handed is more than it can hold. */
import { createServer, type Server } from 'node:http'
import type { AddressInfo } from 'node:net'
import { type Browser, chromium, type Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, expect, test } from 'vitest'
import { startForTests } from '../web/serve.ts'
import { musicOf } from './browser.ts'
import { executable, flags } from './chromium.ts'

type Manner = 'pass' | 'portal' | 'portal for scripts' | 'fail' | 'cut'

const portal = '<!doctype html><html><body><main>Welcome to the guest network</main></body></html>'
/** How who stands between answers from now on. */
let manner: Manner = 'pass'
let between: Server
let address = ''
let browser: Browser
const pages: Page[] = []

beforeAll(async () => {
  const real = await startForTests()
  between = createServer(async (request, response) => {
    const { url = '/', method = 'GET' } = request
    const html = (status: number) => void response.writeHead(status, { 'Content-Type': 'text/html' }).end(portal)
    if (manner === 'portal' || (manner === 'portal for scripts' && /\/practice\.js$/.test(url))) return html(200)
    if (manner === 'fail') return html(502)
    const body: Uint8Array[] = []
    for await (const piece of request) body.push(piece)
    const answer = await fetch(new URL(url, real.address), {
      method,
      redirect: 'manual',
      headers: { 'Content-Type': request.headers['content-type'] ?? 'text/plain' },
      ...(method === 'POST' ? { body: Buffer.concat(body) } : {}),
    })
    const bytes = Buffer.from(await answer.arrayBuffer())
    const kept = ['content-type', 'location', 'cache-control', 'content-security-policy', 'service-worker-allowed']
    response.writeHead(answer.status, Object.fromEntries([...answer.headers].filter(([name]) => kept.includes(name))))
    const cut = manner === 'cut' && answer.headers.get('content-type')?.startsWith('text/html')
    response.end(cut ? bytes.subarray(0, bytes.length / 4) : bytes)
  })
  await new Promise<void>((resolve) => between.listen(0, '127.0.0.1', resolve))
  address = `http://127.0.0.1:${(between.address() as AddressInfo).port}/`
  browser = await chromium.launch({ executablePath: executable!, args: flags })
})
afterEach(async () => {
  for (const page of pages.splice(0)) await page.context().close()
  manner = 'pass'
})
afterAll(async () => {
  await browser?.close()
  between.closeAllConnections()
  between.close()
})

const tune = `?${new URLSearchParams({ changes: 'Title: Lantern Street\n| Cm7 | F7 | Bbmaj7 | Bb6 |' })}`

async function open(path: string): Promise<Page> {
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 800 } })).newPage()
  pages.push(page)
  await page.goto(address + path)
  return page
}

/** Waits until the page is kept, and its music stands. */
async function settle(page: Page): Promise<void> {
  await page.waitForFunction(async () => {
    await navigator.serviceWorker.ready
    const kept = await (await caches.open('throughline / pages')).keys()
    return navigator.serviceWorker.controller !== null && kept.length > 0
  })
  await page.waitForSelector('[data-note]')
}

test('a network that first asks for a name takes no page away, and a server that fails none either', async () => {
  const page = await open(tune)
  await settle(page)
  const music = await musicOf(page)
  for (const odd of ['portal', 'cut'] as const) {
    manner = odd
    await page.goto(address + tune)
    manner = 'fail'
    await page.goto(address + tune)
    await page.waitForSelector('[data-note]', { timeout: 5_000 })
    expect([odd, await musicOf(page)]).toEqual([odd, music])
  }
})

test('its page in a script’s place is not kept as the script', async () => {
  manner = 'portal for scripts'
  const page = await open(tune)
  await page.waitForSelector('html.scripted')
  await page.waitForTimeout(1_500)
  manner = 'pass'
  await page.goto(address + tune)
  await settle(page)
  const kinds = await page.evaluate(async () => {
    const found: string[] = []
    for (const name of await caches.keys())
      for (const request of await (await caches.open(name)).keys()) {
        if (!request.url.includes('/assets/')) continue
        found.push((await caches.match(request))?.headers.get('Content-Type') ?? '')
      }
    return found
  })
  expect(kinds.length).toBeGreaterThan(5)
  expect(kinds.filter((kind) => kind.startsWith('text/html'))).toEqual([])
})

test('a step whose answer is cut leaves music, choices and address as they were, and can be tried again', async () => {
  const page = await open(tune)
  await settle(page)
  const before = [page.url(), await musicOf(page)]
  manner = 'cut'
  await page.locator('.asked > summary').click()
  await page.locator('#instrument').selectOption('tuba')
  await page.waitForSelector('.teller:has-text("The music is as it was")')
  expect([page.url(), await musicOf(page)]).toEqual(before)
  expect(await page.locator('#instrument').inputValue()).toBe('alto-sax')
  manner = 'pass'
  await page.getByRole('button', { name: 'Try again' }).click()
  await page.waitForURL(/tuba/)
})

test('a file of 100,000 kept tunes is refused in words; 2,000 are kept and opened', async () => {
  const page = await open(tune)
  await page.waitForSelector('html.scripted')
  for (const name of ['My tunes', 'All that is kept here'])
    await page.locator('.mine-part > summary', { hasText: name }).click()
  const give = (count: number) => {
    const tunes = Array.from({ length: count }, (_, i) => ({ id: `t${i}`, name: `Tune ${i}`, saved: i, fields: [] }))
    const text = JSON.stringify({ format: 'throughline kept', version: 1, tunes, figures: [] })
    return page
      .locator('#mine-file')
      .setInputFiles({ name: 'k.json', mimeType: 'text/plain', buffer: Buffer.from(text) })
  }
  await give(100_000)
  await page.locator('#mine-said', { hasText: 'at most 2000. Nothing was kept' }).waitFor()
  expect(await page.locator('#mine-tunes li').count()).toBe(0)
  await give(2_000)
  await page.locator('#mine-said', { hasText: 'Added 2000 tunes' }).waitFor()
  expect(await page.locator('#mine-tunes li').count()).toBe(2_000)
})

test('marks piled up on a letter of the title stay in the sheet', async () => {
  const page = await open(`?${new URLSearchParams({ changes: `Title: Abc${'\u0301'.repeat(150)}\n| C | F |` })}`)
  await page.waitForSelector('[data-note]')
  expect(
    await page
      .locator('.engraved')
      .first()
      .evaluate((sheet) => getComputedStyle(sheet).overflow),
  ).toBe('clip')
})
