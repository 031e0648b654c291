import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { afterMove, findBarriers, musicOf, stage, unfold } from './browser.ts'

const it = stage()
const phone = { viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true }
const tune = `?${new URLSearchParams({ changes: 'Title: Lantern Street\n| Cm7 | F7 | Bbmaj7 | Bb6 |' })}`

const unfoldMine = (page: Page, name: string) => page.locator('.mine-part > summary', { hasText: name }).click()
const said = (page: Page, words: string | RegExp) => page.locator('#mine-said', { hasText: words }).waitFor()
const keepAs = async (page: Page, name: string) => {
  await page.locator('#mine-name').fill(name)
  await page.getByRole('button', { name: 'Keep', exact: true }).click()
  await said(page, 'Kept as')
}
const names = (page: Page, list = 'mine-tunes') =>
  page.locator(`#${list} li`).evaluateAll((items) => items.map((item) => item.firstChild?.textContent?.trim() ?? ''))

describe('my tunes', () => {
  test('are kept, opened, named anew, deleted and brought back', async () => {
    const page = await it.open(tune)
    const music = await musicOf(page)
    await unfoldMine(page, 'My tunes')
    expect(await page.locator('#mine-name').inputValue()).toBe('Lantern Street')
    await keepAs(page, 'Lantern')
    await keepAs(page, 'Lantern')
    await expect.poll(() => names(page)).toEqual(['Lantern', 'Lantern (2)'])
    await afterMove(page, () => page.getByRole('button', { name: 'Start over' }).click())
    expect(await musicOf(page)).not.toBe(music)
    await afterMove(page, () => page.getByRole('button', { name: 'Open Lantern', exact: true }).click())
    expect(await musicOf(page)).toBe(music)
    await page.getByRole('button', { name: 'Rename Lantern', exact: true }).click()
    await page.keyboard.type('Late lantern')
    await page.keyboard.press('Enter')
    await expect.poll(() => names(page)).toEqual(['Lantern (2)', 'Late lantern'])
    await page.getByRole('button', { name: 'Delete Late lantern' }).click()
    await expect.poll(() => names(page)).toEqual(['Lantern (2)'])
    await page.getByRole('button', { name: 'Bring it back' }).click()
    await expect.poll(() => names(page)).toEqual(['Lantern (2)', 'Late lantern'])
  })

  test('go through a file to another device, beside what is there', async () => {
    const page = await it.open(tune)
    await unfoldMine(page, 'My tunes')
    await keepAs(page, 'One')
    await unfoldMine(page, 'All that is kept here')
    const [file] = await Promise.all([
      page.waitForEvent('download'),
      page.getByRole('button', { name: 'Save to a file' }).click(),
    ])
    const text = readFileSync(await file.path(), 'utf8')
    const other = await it.open(tune)
    await unfoldMine(other, 'My tunes')
    await unfoldMine(other, 'All that is kept here')
    await keepAs(other, 'Mine')
    const give = (buffer: string) =>
      other
        .locator('#mine-file')
        .setInputFiles({ name: 'kept.json', mimeType: 'application/json', buffer: Buffer.from(buffer) })
    await give(text)
    await said(other, 'Added 1 tunes')
    expect(await names(other)).toEqual(['Mine', 'One'])
    await give(text)
    await said(other, 'Added 0 tunes')
    for (const [bad, words] of [
      ['{"format":', 'damaged'],
      ['{"format":"something else","version":1}', 'something else'],
      ['{"format":"throughline kept","version":99,"tunes":[],"figures":[]}', 'newer version'],
      ['{"format":"throughline kept","version":1,"tunes":{}}', 'lacks its lists'],
    ] as const) {
      await give(bad)
      await said(other, words)
    }
    await give('{"format":"throughline kept","version":1,"tunes":[{"id":"x"}],"figures":[]}')
    await said(other, '1 could not be read')
    expect(await names(other)).toEqual(['Mine', 'One'])
  })

  test('two tabs show the same', async () => {
    const page = await it.open(tune)
    await unfoldMine(page, 'My tunes')
    const second = await page.context().newPage()
    await second.goto(`${it.address}${tune}`)
    await second.waitForSelector('html.scripted')
    await unfoldMine(second, 'My tunes')
    await keepAs(second, 'From the second')
    await expect.poll(() => names(page)).toEqual(['From the second'])
    await keepAs(page, 'From the first')
    await expect.poll(() => names(second)).toEqual(['From the first', 'From the second'])
  })
})

describe('instrument, print and sound', () => {
  test('come back on the first page, and leave links as they are', async () => {
    const page = await it.open()
    await unfold(page)
    await afterMove(page, () => page.locator('#instrument').selectOption('trombone'))
    await page.goto(it.address)
    await page.waitForFunction(() => document.title.includes('trombone'))
    await page.goto(`${it.address}${tune}`)
    await page.waitForSelector('html.scripted')
    expect(await page.title()).toContain('alto saxophone')
    // Somebody else's link is no choice of one's own.
    await page.goto(`${it.address}${tune}&instrument=tuba`)
    await page.waitForSelector('html.scripted')
    await page.goto(it.address)
    await page.waitForFunction(() => document.title.includes('trombone'))
  })
})

describe('where nothing can be kept', () => {
  test('storage is switched off: it is said, and the page works', async () => {
    const page = await it.open(tune)
    await page.evaluate(() =>
      Object.defineProperty(globalThis, 'indexedDB', {
        get: () => {
          throw new DOMException('The operation is insecure', 'SecurityError')
        },
      }),
    )
    await unfoldMine(page, 'My tunes')
    await page.getByRole('button', { name: 'Keep', exact: true }).click()
    await said(page, 'keeps nothing for this page')
    await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
  })

  test('there is no room: it is said, what is there stays, and the page works', async () => {
    const page = await it.open(tune)
    await unfoldMine(page, 'My tunes')
    await keepAs(page, 'Before')
    // Chromium lets small writes through whatever quota is set, so the store itself says that it is full.
    await page.evaluate(() => {
      IDBObjectStore.prototype.put = () => {
        throw new DOMException('full', 'QuotaExceededError')
      }
    })
    await page.locator('#mine-name').fill('After')
    await page.getByRole('button', { name: 'Keep', exact: true }).click()
    await said(page, 'no room left')
    expect(await names(page)).toEqual(['Before'])
  })

  test('a newer version’s data stay as they are', async () => {
    const page = await it.open('help')
    await page.evaluate(
      () =>
        new Promise<void>((done) => {
          const asked = indexedDB.open('throughline', 1_000)
          asked.onupgradeneeded = () => asked.result.createObjectStore('tomorrow').put('note', 'kept')
          asked.onsuccess = () => {
            asked.result.close()
            done()
          }
        }),
    )
    await page.goto(`${it.address}${tune}`)
    await unfoldMine(page, 'My tunes')
    await said(page, 'newer version')
    const versions = await page.evaluate(() => indexedDB.databases())
    expect(versions).toEqual([{ name: 'throughline', version: 1_000 }])
  })
})

describe('the link', () => {
  test('is copied, and shown as a code', async () => {
    const page = await it.open(tune, { permissions: ['clipboard-read', 'clipboard-write'] })
    await page.getByRole('button', { name: 'Copy link' }).click()
    await said(page, 'copied')
    expect(await page.evaluate(() => navigator.clipboard.readText())).toBe(page.url())
    await page.getByRole('button', { name: 'Link as a code' }).click()
    expect(await page.locator('dialog.codeshown svg').count()).toBe(1)
    expect(await findBarriers(page)).toEqual([])
    await page.keyboard.press('Escape')
    await page.locator('dialog.codeshown').waitFor({ state: 'detached' })
  })
})

const table =
  'kind,class,offsets,degree,quality,count\napproach,enclosure,2 -1,3,dom,4\napproach,chromatic,-2 -1,7,dom,1\n'

test('tables of figures are kept, drawn from, and let go again', async () => {
  const page = await it.open(tune)
  await unfoldMine(page, 'My figures')
  const give = (name: string, text: string) =>
    page.locator('#mine-table').setInputFiles({ name, mimeType: 'text/csv', buffer: Buffer.from(text) })
  await give('bad.csv', 'approach,enclosure,2 x,3,dom,4')
  await said(page, 'Line 1: found 2 x')
  await give('heard.csv', table)
  await said(page, '“heard” is kept: 2 figures')
  await afterMove(page, () => page.getByRole('button', { name: 'Draw from these' }).click())
  expect(new URL(page.url()).searchParams.get('own')?.trim()).toBe(table.trim())
  await expect.poll(() => names(page, 'mine-figures')).toEqual(['heard, in use'])
  await afterMove(page, () => page.getByRole('button', { name: 'Mix with the counted' }).click())
  expect(new URL(page.url()).searchParams.get('mixOwn')).toBe('yes')
  await afterMove(page, () => page.getByRole('button', { name: 'The counted ones again' }).click())
  expect(new URL(page.url()).searchParams.has('own')).toBe(false)
})

test.each([
  ['a phone', phone],
  ['a desktop', {}],
])('on %s no barrier, nothing off the side, all of a size to touch', async (_, options) => {
  const page = await it.open(tune, options)
  for (const part of ['My tunes', 'My figures', 'All that is kept here']) await unfoldMine(page, part)
  await keepAs(page, 'A rather long name for a tune that somebody wrote down in full, the rest of it too')
  await page.locator('#mine-table').setInputFiles({ name: 't.csv', mimeType: 'text/csv', buffer: Buffer.from(table) })
  await said(page, 'is kept')
  expect(await findBarriers(page)).toEqual([])
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
  if (process.env.SHOTS)
    await page.locator('#mine').screenshot({ path: `${process.env.SHOTS}/mine-${_.replace(' ', '-')}.png` })
})
