import { readFileSync } from 'node:fs'
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { withId } from '../../lib/practice/plan.ts'
import { emptyRecord } from '../../lib/practice/record.ts'
import { findBarriers, stage } from './browser.ts'
import { entries, said, tap } from './practicePage.ts'

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
  const tempoNow = async () => Number(await page.locator('#stand-tempo').inputValue())
  await expect.poll(tempoNow).toBeGreaterThan(Number(asked.searchParams.get('tempo')))
  const tempo = await tempoNow()
  if (process.env.SHOTS) await page.screenshot({ path: `${process.env.SHOTS}/taps.png` })
  await page.getByRole('button', { name: 'Held with effort' }).click()
  await page.waitForURL('**/practice')
  await page.waitForSelector('.practice-list .done')
  await openTaps(page)
  expect(await page.locator('#practice-taps li').textContent()).toContain(`♩ = ${tempo}`)
  await page.getByRole('button', { name: /^Delete 20/ }).click()
  await expect.poll(() => page.locator('.practice-list .done').count()).toBe(0)
  // On the list, too, it was played at the tempo of the stand.
  await tap(page, 'Easy')
  await said(page, `Noted: easy, ♩ = ${tempo}`)
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

  test('a device without room: what is there stays, and nothing of what was to come is half there', async () => {
    const page = await it.open('help')
    const devtools = await page.context().newCDPSession(page)
    // Room for the page, its music and a record; not for the file below. Chromium asks how much there is only now and then.
    await devtools.send('Storage.overrideQuotaForOrigin', { origin: new URL(it.address).origin, quotaSize: 6_000_000 })
    await page.goto(`${it.address}${tune}`)
    await page.waitForSelector('html.scripted')
    await takeUp(page)
    await tap(page, 'Easy')
    await said(page, 'Noted: easy')
    const plans = Array.from({ length: 6 }, (_, i) => ({
      plan: withId({
        title: `Long plan ${i}`,
        fields: { changes: '| C6 '.repeat(180_000) },
        bars: [1, 1],
        phrases: [1],
        quarters: 4,
        keys: ['C'],
        start: 60,
        goal: 60,
        days: 5,
        minutes: 20,
        from: '2026-11-30',
      }),
      taken: 1,
    }))
    const record = { ...emptyRecord, plans }
    await page.locator('#practice-file').setInputFiles({
      name: 'record.json',
      mimeType: 'application/json',
      buffer: Buffer.from(JSON.stringify(record)),
    })
    await said(page, 'no room left on this device')
    await page.reload()
    await page.waitForSelector('.practice-list .done')
    expect(await page.locator('#practice-plan option').allTextContents()).toEqual([
      'Lantern Street: 2 keys, to ♩ = 120',
    ])
    await openTaps(page)
    expect(await entries(page)).toBe(1)
  })

  test('another tab that holds an older form of the data', async () => {
    const page = await it.open('help')
    await page.evaluate(
      () =>
        new Promise<void>((done) => {
          const asked = indexedDB.open('throughline', 1)
          // As a page from before an upgrade that does not let go.
          asked.onsuccess = () => {
            Object.assign(globalThis, { held: asked.result })
            done()
          }
        }),
    )
    const second = await page.context().newPage()
    await second.goto(`${it.address}practice`)
    await said(second, 'Another tab holds what is kept here, in an older form')
    await page.evaluate(() => (globalThis as unknown as { held: IDBDatabase }).held.close())
    await second.reload()
    await second.waitForSelector('text=No plan is open here')
    expect(await second.evaluate(() => indexedDB.databases())).toEqual([{ name: 'throughline', version: 2 }])
  })

  test('a record of the version before is brought up to today’s; one of a later version stays as it is', async () => {
    const page = await it.open(tune)
    await takeUp(page)
    const write = (name: string, value: unknown) =>
      page.evaluate(
        ([key, what]) =>
          new Promise<void>((done) => {
            const asked = indexedDB.open('throughline')
            asked.onsuccess = () => {
              const all = asked.result.transaction('practice', 'readwrite')
              all.objectStore('practice').put(what, key as string)
              all.oncomplete = () => {
                asked.result.close()
                done()
              }
            }
          }),
        [name, value] as const,
      )
    await tap(page, 'Easy')
    await said(page, 'Noted')
    await write('version', 99)
    await page.reload()
    await said(page, 'version 99')
    await write('version', 2)
    await page.reload()
    await page.waitForSelector('.practice-list .done')
    expect(await entries(page)).toBe(1)
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

test('by keyboard alone: a plan is followed, noted, taken back and looked at', async () => {
  const page = await it.open(tune)
  await takeUp(page)
  const focused = () =>
    page.evaluate(() => document.activeElement?.getAttribute('aria-label') ?? document.activeElement?.textContent ?? '')
  /** Tab until something of this name has the focus. */
  const reach = async (name: RegExp) => {
    for (let i = 0; i < 60; i++) {
      await page.keyboard.press('Tab')
      if (name.test((await focused()).trim())) return
    }
    throw new Error(`no way by Tab to ${name}`)
  }
  await reach(/^To the stand/)
  await reach(/^Held with effort: /)
  await page.keyboard.press('Enter')
  await said(page, 'Noted: held')
  await page.evaluate(() => (document.activeElement as HTMLElement | null)?.blur())
  await reach(/^Take it back$/)
  await page.keyboard.press('Space')
  await expect.poll(() => page.locator('.practice-list .done').count()).toBe(0)
  await reach(/^What came of it$/)
  await page.keyboard.press('Enter')
  expect(await page.locator('#practice-looks').getAttribute('open')).toBeNull()
  await reach(/^The record$/)
  await page.keyboard.press('Enter')
  await reach(/^Save to a file$/)
})

test('a clock of a year that no record holds: nothing is written that could not be read, and it is said; set right, all goes on', async () => {
  const page = await it.open(tune)
  await takeUp(page)
  await page.clock.setFixedTime(new Date('2250-01-03T12:00:00Z'))
  await tap(page, 'Easy')
  await said(page, 'Set the date of this device right')
  await page.clock.setFixedTime(new Date())
  await page.reload()
  await page.waitForSelector('.practice-list li')
  expect(await page.locator('#practice-said').textContent()).toBe('')
  await tap(page, 'Easy')
  await said(page, 'Noted')
  expect(await entries(page)).toBe(1)
})
