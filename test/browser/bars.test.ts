/** Bars and notes chosen on the staff, at every size, by pointer and by touch; what is taken looped, rewritten, kept, shown alone. */

import type { BrowserContextOptions, Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { afterMove, stage } from './browser.ts'

const it = stage()

const sizes: readonly (readonly [string, BrowserContextOptions])[] = [
  ['a phone on its side', { viewport: { width: 844, height: 390 }, hasTouch: true, isMobile: true }],
  ['a tablet', { viewport: { width: 820, height: 1180 }, hasTouch: true }],
  ['a desk', { viewport: { width: 1280, height: 800 } }],
]

/** Rests, empty bars and a bar of two chords. */
const changes = 'Title: Gaps\n| Dm7 | G7 | Cmaj7 A7 | N.C. |\n| Dm7 | G7 | C6 | C6 |'
const path = `?${new URLSearchParams({ changes, edition: String(edition), rhythm: 'phrased' })}`

/** Once the music is as wide as the screen wants it. */
const settled = (page: Page) =>
  page.waitForFunction(
    () =>
      document.querySelector('#music:not([aria-busy]) .engraved [data-note]') &&
      document.querySelectorAll('.system:first-of-type .measure').length <= (innerWidth > 640 ? 4 : 2),
  )
const taken = (page: Page) => page.locator('.chosenbars').getAttribute('aria-label')

/** Points spread over a bar from bar line to bar line, over its staff and what stands above and below it. */
const gridOf = (page: Page, bar: number) =>
  page.locator(`#measure-${bar}`).evaluate((measure) => {
    measure.scrollIntoView({ block: 'center' })
    const lines = [...measure.querySelectorAll('.staff > path')].map((line) => line.getBoundingClientRect())
    const [top, bottom] = [lines[0]!.top, lines.at(-1)!.bottom]
    const { left, right } = lines[0]!
    const high = bottom - top
    return [0.02, 0.3, 0.6, 0.97].flatMap((across) =>
      [-0.5, 0.1, 0.9, 1.3].map((down) => ({ x: left + across * (right - left), y: top + down * high })),
    )
  })

describe.each(sizes)('on %s', (_, options) => {
  test('a tap anywhere in a bar takes the bar, empty bars included', async () => {
    const page = await it.open(path, options)
    await settled(page)
    for (let bar = 1; bar <= 8; bar++) {
      for (const { x, y } of await gridOf(page, bar)) {
        await (options.hasTouch ? page.touchscreen.tap(x, y) : page.mouse.click(x, y))
        expect(await taken(page), `bar ${bar} at ${x}, ${y}`).toBe(`Bar ${bar}`)
        // A note opens its choices as well; Escape closes them, and then lets the bar go.
        await page.evaluate(() => document.querySelector<HTMLElement>('dialog.panel [data-do="close"]')?.click())
        for (let i = 0; i < 2; i++) await page.keyboard.press('Escape')
        await page.locator('.chosenbars').waitFor({ state: 'detached' })
        await page.locator(`#measure-${bar}`).evaluate((measure) => measure.scrollIntoView({ block: 'center' }))
      }
    }
  })
})

describe('what is taken', () => {
  const take = async (page: Page, from: number, to: number) => {
    for (const bar of [from, to])
      await page
        .locator(`[data-bar="${bar}"]`)
        .first()
        .click({ modifiers: ['Shift'] })
  }

  test('is kept, shown alone, and all bars come back', async () => {
    const page = await it.open('')
    await take(page, 2, 3)
    await afterMove(page, () => page.locator('.chosenbars').getByRole('button', { name: 'Keep' }).click())
    expect(new URL(page.url()).searchParams.get('pins')).toMatch(/^2=.*,3=/)
    await afterMove(page, () => page.getByRole('button', { name: 'Show only these bars' }).click())
    expect(await page.locator('.engraved g.measure').count()).toBe(2)
    await afterMove(page, () => page.getByRole('link', { name: 'All bars' }).click())
    expect(await page.locator('.engraved g.measure').count()).toBe(12)
  })
})
