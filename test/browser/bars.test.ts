/** Bars and notes chosen on the staff, at every size, by pointer and by touch; what is taken looped, rewritten, kept, shown alone. */

import type { BrowserContextOptions, Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { afterMove, stage } from './browser.ts'

const it = stage()

const sizes: readonly (readonly [string, BrowserContextOptions])[] = [
  ['a phone of 360', { viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true }],
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

interface Place {
  readonly x: number
  readonly y: number
}

async function dragByMouse(page: Page, from: Place, to: Place): Promise<void> {
  await page.mouse.move(from.x, from.y)
  await page.mouse.down()
  await page.mouse.move(to.x, to.y, { steps: 4 })
  await page.mouse.up()
}

/** A finger put down, drawn across and lifted, as the browser itself gets it. */
async function dragByTouch(page: Page, from: Place, to: Place): Promise<void> {
  const session = await page.context().newCDPSession(page)
  const send = (type: 'touchStart' | 'touchMove' | 'touchEnd', touchPoints: readonly Place[]) =>
    session.send('Input.dispatchTouchEvent', { type, touchPoints: [...touchPoints] })
  await send('touchStart', [from])
  for (let step = 1; step <= 6; step++) {
    const at = (a: number, b: number) => a + (step / 6) * (b - a)
    await send('touchMove', [{ x: at(from.x, to.x), y: at(from.y, to.y) }])
  }
  await send('touchEnd', [])
}

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

  test('a drag takes a range, and so do two taps; what can be done covers none of the bar last taken', async () => {
    const page = await it.open(path, options)
    await settled(page)
    const middle = async (bar: number) => (await gridOf(page, bar))[4]!
    const second = await middle(2)
    const first = await middle(1)
    await (options.hasTouch ? dragByTouch(page, first, second) : dragByMouse(page, first, second))
    expect(await taken(page)).toBe('Bars 1 to 2')
    await page.keyboard.press('Escape')
    for (const bar of [4, 8]) {
      const { x, y } = await middle(bar)
      await (options.hasTouch ? page.touchscreen.tap(x, y) : page.mouse.click(x, y))
    }
    expect(await taken(page)).toBe('Bars 4 to 8')
    const covered = await page.evaluate(() => {
      const strip = document.querySelector('.chosenbars')!.getBoundingClientRect()
      return [8].filter((bar) => {
        const box = document.querySelector(`#measure-${bar} .staff`)!.getBoundingClientRect()
        return box.bottom > strip.top && box.top < strip.bottom
      })
    })
    expect(covered).toEqual([])
  })

  test('the choices of a note never cover its bar', async () => {
    const page = await it.open(path, options)
    await settled(page)
    for (const bar of [1, 8]) {
      await page.locator(`[data-bar="${bar}"]`).first().focus()
      await page.keyboard.press('Enter')
      await page.waitForSelector('dialog.panel')
      const [own, panel] = await page.evaluate(
        (id) => [id, 'dialog.panel'].map((each) => document.querySelector(each)!.getBoundingClientRect()),
        `#measure-${bar}`,
      )
      expect(panel!.top).toBeGreaterThanOrEqual(own!.bottom - 1)
      expect(own!.top).toBeGreaterThanOrEqual(-1)
      expect(panel!.top).toBeLessThan(page.viewportSize()!.height - 60)
      await page.keyboard.press('Escape')
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

  test('is looped by one button, and played as a whole again once it is let go', async () => {
    const page = await it.open('?tempo=240')
    await take(page, 2, 3)
    await page.locator('[data-do="loop-bars"]').click()
    await page.waitForSelector('.sounding')
    expect(new URL(page.url()).searchParams.get('loop')).toBe('2-3')
    await page.locator('.chosenbars [data-do="unmark"]').click()
    await expect.poll(() => new URL(page.url()).searchParams.has('loop')).toBe(false)
  })
})

test.each([64, 200])('every note of %d bars can be chosen', async (bars) => {
  const long = `Title: Long\n${'| Dm7 | G7 | Cmaj7 | A7 |\n'.repeat(bars / 4)}`
  const page = await it.open(`?${new URLSearchParams({ changes: long, edition: String(edition) })}`)
  await page.waitForSelector('[data-note]')
  for (const sheet of await page.locator('.sheet').all()) {
    await sheet.scrollIntoViewIfNeeded()
    await sheet.locator('.engraved [data-note]').first().waitFor()
  }
  const [shown, told] = await page.evaluate(() => [
    document.querySelectorAll('.engraved [data-note]').length,
    (JSON.parse(document.getElementById('staff-notes')!.textContent!) as unknown[]).length,
  ])
  expect(shown).toBe(told)
  await page.locator(`[data-bar="${bars}"]`).first().click()
  await page.waitForSelector('dialog.panel')
  expect(await page.locator('#choices-heading').textContent()).toContain(`Bar ${bars}`)
})

describe.each(sizes)('the stand on %s', (_, options) => {
  test('has a bar of one row, plays by Space, and stays while another line comes and pages turn', async () => {
    const page = await it.open('?tempo=200&keys=C,F,Bb,Eb&keyAfter=1&loop=1-1&countIn=0', options)
    await settled(page)
    await page.locator('#sound [data-do="stand"]').click()
    const bar = page.locator('.standbar')
    expect((await bar.boundingBox())!.height).toBeLessThan(60)
    expect(await bar.evaluate((each) => each.scrollWidth - each.clientWidth)).toBeLessThanOrEqual(0)
    await page.keyboard.press(' ')
    // In the next key its own staff is lit, and in view.
    await page.waitForSelector('[id^="k2-"].sounding')
    await page.keyboard.press(' ')
    await expect.poll(() => page.locator('.sounding').count()).toBe(0)
    await afterMove(page, () => bar.getByRole('button', { name: 'Next line' }).click())
    expect(await page.locator('html.at-stand').count()).toBe(1)
    await page.evaluate(() => scrollTo(0, 0))
    await page.keyboard.press('PageDown')
    await expect.poll(() => page.evaluate(() => scrollY)).toBeGreaterThan(0)
    await page.keyboard.press('PageUp')
    await expect.poll(() => page.evaluate(() => scrollY)).toBe(0)
  })
})
