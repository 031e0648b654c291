/** What no link can hold, as the page has it: a step of the history like any other, and never mistaken for the address it stands at. */
import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { afterMove, stage } from './browser.ts'

const it = stage()
const chart = '| Cm7 | F7 | Bbmaj7 | Bb6 |'
const short = `?${new URLSearchParams({ changes: `Title: Lantern Street\n${chart}` })}`

/** Four bars under remarks that no packing makes short. */
function tooLong(title: string): string {
  let seed = 7
  const sign = () => {
    seed = (seed * 48_271) % 2_147_483_647
    return 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_'[(seed >> 8) % 64]
  }
  const remarks = Array.from({ length: 90 }, () => `{comment: ${Array.from({ length: 90 }, sign).join('')}}`)
  return [`Title: ${title}`, ...remarks, chart].join('\n')
}

const changes = (page: Page) => page.locator('#changes').inputValue()
const titled = (page: Page, title: string) => expect.poll(() => page.title()).toContain(title)
const write = (page: Page, text: string) => afterMove(page, () => page.locator('#changes').fill(text))

describe('what is too long for a link', () => {
  test('stays when the screen is turned, the page is gone about or loaded again, and comes back with Back', async () => {
    const page = await it.open(short)
    const long = tooLong('Long Pier')
    await write(page, long)
    await titled(page, 'Long Pier')
    await afterMove(page, () => page.setViewportSize({ width: 500, height: 900 }))
    expect(await changes(page)).toBe(long)
    await page.evaluate(() => {
      location.hash = '#changes'
    })
    await page.waitForTimeout(500)
    expect(await changes(page)).toBe(long)
    await page.reload()
    await titled(page, 'Long Pier')
    await expect.poll(() => changes(page)).toBe(long)
    await write(page, `Title: Short Pier\n${chart}`)
    await titled(page, 'Short Pier')
    await page.locator('#changes').blur()
    await page.goBack()
    await titled(page, 'Long Pier')
    expect(await changes(page)).toBe(long)
    // Past the jump to the state before it, which has the same address.
    await page.goBack()
    await page.goBack()
    await titled(page, 'Lantern Street')
  })

  test('has no choices at a note that are those of another tune', async () => {
    const page = await it.open(short)
    await write(page, tooLong('Long Pier'))
    await page.locator('[data-note="target"]').first().focus()
    await page.keyboard.press('Enter')
    await page.locator('#teller', { hasText: 'too long' }).waitFor()
    expect(await page.locator('dialog.panel').count()).toBe(0)
  })
})

test('what was typed a moment ago stays when the screen is turned', async () => {
  const page = await it.open(short)
  await page.route('**/*', async (route) => {
    if (route.request().method() === 'POST') await new Promise((done) => setTimeout(done, 1500))
    await route.continue()
  })
  await page.locator('#changes').fill('Title: Rope Walk\n| Cm7 | F7 |')
  await page.setViewportSize({ width: 500, height: 900 })
  await titled(page, 'Rope Walk')
  await page.waitForTimeout(2500)
  expect(await changes(page)).toContain('Rope Walk')
})

test('a choice that is under way when the screen is turned is made', async () => {
  const page = await it.open(short)
  await page.route('**/*', async (route) => {
    if (route.request().method() === 'POST') await new Promise((done) => setTimeout(done, 1500))
    await route.continue()
  })
  await page.locator('#instrument').evaluate((field: HTMLSelectElement) => {
    field.value = 'flute'
    field.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await page.waitForTimeout(300)
  await page.setViewportSize({ width: 500, height: 900 })
  await titled(page, 'flute')
  expect(new URL(page.url()).searchParams.get('instrument')).toBe('flute')
  expect(await page.locator('#instrument').inputValue()).toBe('flute')
})

test('bars that a shorter tune does not have are no longer taken', async () => {
  const page = await it.open(short)
  await page.locator('[data-at="4.1"]').click({ modifiers: ['Shift'] })
  await page.waitForSelector('.chosenbars')
  await write(page, '| Cm7 | F7 |')
  expect(await page.locator('.chosenbars').count()).toBe(0)
})
