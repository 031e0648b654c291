/** One evening with the page below a path of another's site: paste, hear, take away, practise, and go on without the server. */
import { readFileSync } from 'node:fs'
import { type Browser, chromium } from 'playwright-core'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { type Standing, startProxy } from '../web/prefixProxy.ts'
import { startForTests } from '../web/serve.ts'
import { afterMove, musicOf } from './browser.ts'
import { executable, flags } from './chromium.ts'

let browser: Browser
let proxy: Standing
beforeAll(async () => {
  if (!executable) throw new Error('these tests need Chromium: apt-get install chromium')
  const server = await startForTests({ origin: 'https://example.org/music', proxies: 1 })
  proxy = await startProxy(server.address, '/music', false)
  browser = await chromium.launch({ executablePath: executable, args: flags })
})
afterAll(async () => {
  await browser?.close()
  await proxy?.close()
})

test('a line is pasted, played, taken away, planned and opened without the server, all below the path', async () => {
  const root = proxy.address
  const page = await (await browser.newContext({ viewport: { width: 1280, height: 900 } })).newPage()
  const complaints: string[] = []
  page.on('console', (message) => message.type() === 'error' && complaints.push(message.text()))
  page.on('pageerror', (error) => complaints.push(error.message))
  page.on('request', (request) => {
    const url = request.url()
    if (!url.startsWith(root) && !/^(data|blob):/.test(url)) complaints.push(`asked ${url}`)
  })

  await page.goto(root)
  await page.waitForSelector('html.scripted [data-note]')
  await page.locator('#changes').fill('Title: Lantern Street\n| Dm7 | G7 | Cmaj7 | A7 |')
  await afterMove(page, () => page.getByRole('button', { name: 'Write the line' }).last().click())
  expect(page.url().startsWith(`${root}?changes=`)).toBe(true)
  await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())

  await page.locator('#sound [data-do="play"]').click()
  await page.waitForFunction(() => /Bar|Counting/.test(document.querySelector('#sound .now')?.textContent ?? ''))
  await page.locator('#sound [data-do="stop"], #sound [data-do="play"]').first().click()

  const [file] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('link', { name: 'PDF', exact: true }).click(),
  ])
  expect(readFileSync(await file.path()).toString('latin1', 0, 5)).toBe('%PDF-')

  // Its store and what it answers for are below the path: another page of the same site is not its own.
  const scope = await page.evaluate(async () => (await navigator.serviceWorker.ready).scope)
  expect(scope).toBe(root)
  const names = await page.evaluate(() => caches.keys())
  expect(names.filter((name) => !name.startsWith('throughline /music/ '))).toEqual([])

  const line = page.url()
  const music = await musicOf(page)
  await page.reload()
  await page.waitForSelector('html.scripted [data-note]')
  await page.waitForLoadState('networkidle')
  await page.locator('.mine-part > summary', { hasText: 'Practise this' }).click()
  await page.locator('#plan-days').fill('7')
  await page.locator('#plan-make').click()
  await page.waitForSelector('.practice-list li')
  expect(page.url().startsWith(`${root}practice#`)).toBe(true)
  const stand = await page.locator('.practice-list a').first().getAttribute('href')
  expect(stand!.startsWith(`${root}?`)).toBe(true)

  await proxy.close()
  await page.goto(root)
  await page.waitForSelector('[data-note]')
  await page.goto(line)
  await page.waitForSelector('[data-note]')
  expect(await musicOf(page)).toBe(music)
  expect(proxy.outside).toEqual([])
  expect(complaints.filter((text) => !/ERR_CONNECTION_REFUSED/.test(text))).toEqual([])
})
