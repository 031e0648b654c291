/** The page without its server, with a slow one, and when a new build takes its place: the server itself is closed and started. */
import { type Browser, type BrowserContext, type BrowserContextOptions, chromium, type Page } from 'playwright-core'
import { afterAll, afterEach, beforeAll, describe, expect, test } from 'vitest'
import { startForTests } from '../web/serve.ts'
import { afterMove, findBarriers, musicOf, unfold } from './browser.ts'
import { executable, flags } from './chromium.ts'

let browser: Browser
const contexts: BrowserContext[] = []
beforeAll(async () => {
  browser = await chromium.launch({ executablePath: executable!, args: flags })
})
afterEach(async () => {
  for (const context of contexts.splice(0)) await context.close()
})
afterAll(() => browser?.close())

const tune = `?${new URLSearchParams({ changes: 'Title: Lantern Street\n| Cm7 | F7 | Bbmaj7 | Bb6 |' })}`

async function newPage(options: BrowserContextOptions = {}): Promise<Page> {
  const context = await browser.newContext({ viewport: { width: 1280, height: 800 }, ...options })
  contexts.push(context)
  return context.newPage()
}

/** Opens a page, and waits until what it needs without a server is there and the page itself is kept. */
async function settle(page: Page, address: string): Promise<void> {
  await page.goto(address)
  await page.waitForFunction(async () => {
    await navigator.serviceWorker.ready
    const kept = await (await caches.open('throughline / pages')).keys()
    return navigator.serviceWorker.controller !== null && kept.length > 0
  })
}

test('opens without the server with what was last seen, plays, and says what was not seen', async () => {
  const server = await startForTests()
  const page = await newPage({ viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true })
  await settle(page, server.address)
  await page.goto(`${server.address}${tune}`)
  await page.waitForSelector('[data-note]')
  await page.waitForLoadState('networkidle')
  const music = await musicOf(page)
  await server.close()
  await page.goto(server.address)
  await page.waitForSelector('[data-note]')
  expect(page.url()).toContain('Lantern')
  expect(await page.title()).toContain('Lantern Street')
  expect(await musicOf(page)).toBe(music)
  await page.locator('#sound [data-do="play"]').click()
  await page.waitForFunction(() => /Bar|Counting/.test(document.querySelector('.standbar .where')?.textContent ?? ''))
  await page.locator('.standbar [data-do="stop"]').click()
  await page.goto(`${server.address}figures`)
  expect(await page.locator('h1').textContent()).toBe('The server cannot be reached')
  expect(await findBarriers(page)).toEqual([])
  await page.getByRole('link', { name: 'The music you saw last' }).click()
  await page.waitForSelector('[data-note]')
  expect(await musicOf(page)).toBe(music)
})

test('words and music agree after a failure; what was typed stays; it is tried again', async () => {
  const server = await startForTests()
  const page = await newPage()
  await settle(page, `${server.address}${tune}`)
  await unfold(page)
  await afterMove(page, () => page.locator('#instrument').selectOption('trombone'))
  const music = await musicOf(page)
  const port = Number(new URL(server.address).port)
  await server.close()
  await page.locator('#instrument').selectOption('tuba')
  await page.waitForSelector('.teller:has-text("cannot be reached")')
  expect(await page.locator('#instrument').inputValue()).toBe('trombone')
  expect(await musicOf(page)).toBe(music)
  expect(await findBarriers(page)).toEqual([])
  await page.locator('#changes').fill('| Fm7 | Bb7 |')
  await page.waitForSelector('#music.stale')
  await page.waitForSelector('.teller:has-text("as they were")')
  expect(await page.locator('#changes').inputValue()).toBe('| Fm7 | Bb7 |')
  await startForTests({ port })
  await afterMove(page, () => page.getByRole('button', { name: 'Try again' }).click())
  expect(await page.locator('.engraved g.measure').count()).toBe(2)
  expect(await page.locator('#music.stale').count()).toBe(0)
  expect(await page.locator('#instrument').inputValue()).toBe('trombone')
})

test('a slow server: that it works is said at once, and not once it is done', async () => {
  const server = await startForTests()
  const page = await newPage({ serviceWorkers: 'block' })
  await page.goto(`${server.address}${tune}`)
  await page.waitForSelector('html.scripted [data-note]')
  let go = (): void => {}
  const slow = new Promise<void>((done) => {
    go = done
  })
  await page.route('**/*', async (route) => {
    await slow
    await route.continue()
  })
  const after = await page.evaluate(
    () =>
      new Promise<number>((done) => {
        const began = performance.now()
        document.querySelector<HTMLButtonElement>('button[name="another"]')!.click()
        const look = (): void => {
          if (getComputedStyle(document.body, '::after').content.includes('Writing')) done(performance.now() - began)
          else setTimeout(look, 5)
        }
        look()
      }),
  )
  expect(after).toBeGreaterThan(0)
  expect(await page.locator('#music[aria-busy]').count()).toBe(1)
  go()
  await page.waitForSelector('body:not([data-waits]) #music:not([aria-busy])')
})

test('a day of a plan is followed without the server: the list, the stand, the tap', async () => {
  const server = await startForTests()
  const page = await newPage({ viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true })
  await settle(page, `${server.address}${tune}&keys=Bb,F`)
  await page.locator('.mine-part > summary', { hasText: 'Practise this' }).click()
  await page.locator('#plan-days').fill('7')
  await page.locator('#plan-make').click()
  await page.waitForSelector('.practice-list li')
  const asked = await page.locator('.practice-list a').first().getAttribute('href')
  await page.waitForFunction(async (address) => {
    const pages = await caches.open('throughline / pages')
    return (await pages.match(address.replace(/#.*/, ''))) !== undefined
  }, asked!)
  await server.close()
  await page.goto(`${server.address}practice`)
  await page.locator('.practice-list a').first().click()
  await page.waitForSelector('html.at-stand [data-note]')
  await page.locator('.standbar [data-do="play"]').click()
  await page.waitForFunction(() => /Bar|Counting/.test(document.querySelector('.standbar .where')?.textContent ?? ''))
  await page.goto(`${server.address}practice`)
  await page
    .getByRole('button', { name: /^Held with effort: / })
    .first()
    .click()
  await page.locator('#practice-said', { hasText: 'Noted: held' }).waitFor()
})

/** A page of one build, whose server another has taken the place of. */
async function replaceBuild() {
  const first = await startForTests()
  const page = await newPage()
  await settle(page, `${first.address}${tune}`)
  const script = () => page.locator('script[type=module]').first().getAttribute('src')
  const before = await script()
  await first.close()
  const second = await startForTests({ port: Number(new URL(first.address).port) })
  return { page, second, script, before }
}

describe('a new build', () => {
  test('is seen at once while there is a connection, and takes the place of the old one', async () => {
    const { page, second, script, before } = await replaceBuild()
    await page.goto(`${second.address}${tune}`)
    const after = await script()
    expect(after).not.toBe(before)
    const name = /assets\/([^/]+)\//.exec(after!)![1]!
    await page.waitForFunction(async (build) => {
      const names = await caches.keys()
      const pages = await caches.open('throughline / pages')
      const kept = await Promise.all((await pages.keys()).map(async (key) => (await pages.match(key))!.text()))
      const ours = names.filter((each) => each.startsWith('throughline / assets'))
      return (
        ours.length === 1 && ours[0]!.endsWith(build) && kept.length > 0 && kept.every((text) => text.includes(build))
      )
    }, name)
    await second.close()
    await page.goto(`${second.address}${tune}`)
    await page.waitForSelector('html.scripted [data-note]')
    expect(await script()).toBe(after)
  })

  test('is taken up whole by a page that is open, so that its scripts sound what it shows; not while something is typed', async () => {
    const { page, second, script, before } = await replaceBuild()
    await page.locator('#changes').click()
    await page.keyboard.press('Control+End')
    await page.keyboard.type(' Ebmaj7 |')
    await page.waitForURL(/Ebmaj7/)
    expect(await script()).toBe(before)
    await page.getByRole('button', { name: 'Another line' }).click()
    await page.waitForURL(/seed=/)
    await page.waitForSelector('html.scripted [data-note]')
    expect(await script()).not.toBe(before)
    expect(await page.locator('#changes').inputValue()).toContain('Ebmaj7 |')
    await page.goBack()
    await page.waitForSelector('html.scripted [data-note]')
    expect(await page.locator('#changes').inputValue()).toContain('Ebmaj7 |')
    await second.close()
  })
})

test('is installable: a manifest with icons that are there, at addresses that hold below any path', async () => {
  const server = await startForTests()
  const page = await newPage()
  await page.goto(server.address)
  const devtools = await page.context().newCDPSession(page)
  const { url, errors } = await devtools.send('Page.getAppManifest')
  expect(errors).toEqual([])
  const manifest = (await (await fetch(url)).json()) as { start_url: string; icons: { src: string; sizes: string }[] }
  expect(new URL(manifest.start_url, url).href).toBe(server.address)
  for (const { src, sizes } of manifest.icons) {
    const icon = Buffer.from(await (await fetch(new URL(src, url))).arrayBuffer())
    // PNG's header has its width in bytes 16 to 19 (ISO/IEC 15948, 11.2.2).
    expect(`${icon.readUInt32BE(16)}x${icon.readUInt32BE(20)}`).toBe(sizes)
  }
  const { installabilityErrors } = await devtools.send('Page.getInstallabilityErrors')
  expect(installabilityErrors.map(({ errorId }) => errorId).filter((id) => id !== 'in-incognito')).toEqual([])
})
