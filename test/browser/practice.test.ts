import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { findBarriers, stage } from './browser.ts'

const it = stage()
const phone = { viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true }
const tune = `?${new URLSearchParams({ changes: 'Title: Lantern Street\n| Cm7 | F7 | Bbmaj7 | Bb6 |', keys: 'Bb,F' })}`

/** Makes a plan for every day on the tune's page, and follows it. */
async function takeUp(page: Page): Promise<void> {
  await page.locator('.mine-part > summary', { hasText: 'Practise this' }).click()
  await page.locator('#plan-days').fill('7')
  await page.locator('#plan-make').click()
  await page.waitForURL('**/practice#*')
  await page.waitForSelector('.practice-list li')
}
const said = (page: Page, words: string) => page.locator('#practice-said', { hasText: words }).waitFor()
const tap = (page: Page, verdict: string, nth = 0) =>
  page
    .getByRole('button', { name: new RegExp(`^${verdict}: `) })
    .nth(nth)
    .click()
const entries = (page: Page) => page.locator('#practice-taps li').count()
const openTaps = (page: Page) => page.locator('#practice-taps > summary').click()

test('from a line to a plan, to the stand, to a tap, to the grid', async () => {
  const page = await it.open(tune, phone)
  await takeUp(page)
  expect(await page.locator('#practice-plan option').textContent()).toBe('Lantern Street: 2 keys, to ♩ = 120')
  const link = page.getByRole('link', { name: /^To the stand/ }).first()
  const asked = new URL((await link.getAttribute('href'))!)
  expect(asked.searchParams.get('loop')).toMatch(/^\d+-\d+$/)
  await link.click()
  await page.waitForSelector('html.at-stand [data-note]')
  expect(await page.locator('#stand-tempo').inputValue()).toBe(asked.searchParams.get('tempo'))
  await page.locator('.standbar [data-do="tempo-up"]').click()
  const tempo = await page.locator('#stand-tempo').inputValue()
  expect(Number(tempo)).toBeGreaterThan(Number(asked.searchParams.get('tempo')))
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/taps.png` })
  await page.getByRole('button', { name: 'Held with effort' }).click()
  await page.waitForURL('**/practice')
  await page.waitForSelector('.practice-list .done')
  await openTaps(page)
  expect(await page.locator('#practice-taps li').textContent()).toContain(`♩ = ${tempo}`)
  await page.getByRole('button', { name: /^Delete 20/ }).click()
  await expect.poll(() => page.locator('.practice-list .done').count()).toBe(0)
  await tap(page, 'Easy')
  await said(page, 'Noted: easy')
  expect(await page.locator('.practice-list .done').count()).toBe(1)
  expect(await page.locator('.looks svg desc').first().textContent()).toMatch(/1 of 4 bars at/)
  await page.getByRole('button', { name: 'Take it back' }).click()
  await expect.poll(() => page.locator('.practice-list .done').count()).toBe(0)
})

test('the record goes through a file, and is put together without losing an entry', async () => {
  const page = await it.open(tune)
  await takeUp(page)
  const address = page.url().slice(it.address.length)
  await tap(page, 'Held with effort')
  await said(page, 'Noted')
  await page.locator('.mine-part > summary', { hasText: 'The record' }).click()
  const [file] = await Promise.all([
    page.waitForEvent('download'),
    page.getByRole('button', { name: 'Save to a file' }).click(),
  ])
  const text = readFileSync(await file.path(), 'utf8')
  const other = await it.open(address)
  await tap(other, 'Fell apart')
  await said(other, 'Noted')
  const give = (buffer: string) =>
    other
      .locator('#practice-file')
      .setInputFiles({ name: 'record.json', mimeType: 'application/json', buffer: Buffer.from(buffer) })
  await give(text)
  await said(other, '1 entry more')
  await give(text)
  await said(other, '0 entries more')
  await openTaps(other)
  expect(await entries(other)).toBe(2)
  for (const bad of ['', '{"format":', '{"a":1}', text.replace('"version": 2', '"version": 99')]) {
    await give(bad)
    await said(other, 'Found')
    expect(await entries(other)).toBe(2)
    await other.evaluate(() => document.getElementById('practice-said')!.replaceChildren())
  }
  await other.locator('.mine-part > summary', { hasText: 'The record' }).click()
  await other.getByRole('button', { name: 'Delete the record' }).click()
  await other.getByRole('button', { name: 'Yes, delete it' }).click()
  await other.waitForSelector('text=No plan is open here')
})

test('two tabs at once lose nothing', async () => {
  const page = await it.open(tune)
  await takeUp(page)
  const second = await page.context().newPage()
  await second.goto(page.url())
  await second.waitForSelector('.practice-list li')
  await Promise.all([tap(page, 'Easy', 0), tap(second, 'Fell apart', 1)])
  for (const each of [page, second]) {
    await openTaps(each)
    await expect.poll(() => entries(each)).toBe(2)
  }
})

describe('what stands in the way is said, and nothing is overwritten', () => {
  test('a link that lost its end', async () => {
    const page = await it.open(tune)
    await takeUp(page)
    await page.goto(`${it.address}help`)
    await page.goto(`${it.address}practice#AQID`)
    await said(page, 'no plan that can be read')
    expect(await page.locator('#practice-plan option').count()).toBe(1)
  })

  test('storage that is switched off', async () => {
    const page = await it.open('help')
    await page.addInitScript(() => {
      Object.defineProperty(globalThis, 'indexedDB', {
        get: () => {
          throw new DOMException('The operation is insecure', 'SecurityError')
        },
      })
    })
    await page.goto(`${it.address}practice`)
    await said(page, 'keeps nothing for this page')
  })

  test('the data of the version before: its tunes are there, and practice is taken up', async () => {
    const page = await it.open('help')
    await page.evaluate(
      () =>
        new Promise<void>((done) => {
          const asked = indexedDB.open('throughline', 1)
          asked.onupgradeneeded = () => {
            const tunes = asked.result.createObjectStore('tunes', { keyPath: 'id' })
            asked.result.createObjectStore('figures', { keyPath: 'id' })
            asked.result.createObjectStore('settings')
            tunes.put({ id: 'one', name: 'Old lantern', fields: [['changes', '| F6 |']], saved: 1 })
          }
          asked.onsuccess = () => {
            asked.result.close()
            done()
          }
        }),
    )
    await page.goto(`${it.address}${tune}`)
    await page.locator('.mine-part > summary', { hasText: 'My tunes' }).click()
    await page.getByRole('button', { name: 'Open Old lantern' }).waitFor()
    await takeUp(page)
    await tap(page, 'Easy')
    await said(page, 'Noted')
  })
})

test.each([
  ['phone', phone],
  ['desktop', {}],
  ['dark', { ...phone, colorScheme: 'dark' }],
] as const)('no barrier, nothing off the side: %s', async (name, options) => {
  const page = await it.open(tune, options)
  await takeUp(page)
  await tap(page, 'Easy')
  await said(page, 'Noted')
  await openTaps(page)
  await page.locator('.mine-part > summary', { hasText: 'The record' }).click()
  expect(await findBarriers(page)).toEqual([])
  expect(await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)).toBeLessThanOrEqual(0)
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/practice-${name}.png`, fullPage: true })
})
