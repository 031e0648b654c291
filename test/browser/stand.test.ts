/** The page as a music stand, at every size: the music in view and in its place, one button filled, the stand in the address. */
import type { BrowserContextOptions, Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { findBarriers, stage } from './browser.ts'

const it = stage()

const sizes: readonly (readonly [string, BrowserContextOptions])[] = [
  ['a phone', { viewport: { width: 360, height: 800 }, hasTouch: true, isMobile: true }],
  ['a phone on its side', { viewport: { width: 844, height: 390 }, hasTouch: true, isMobile: true }],
  ['a tablet', { viewport: { width: 820, height: 1180 }, hasTouch: true }],
  ['a desk', { viewport: { width: 1280, height: 800 } }],
]

const settled = (page: Page) => page.waitForSelector('#music:not([aria-busy]) .engraved [data-note]')

/** The first system on the screen, whatever the page says besides. */
const firstSystem = (page: Page) =>
  page.evaluate(() => {
    const { top, bottom } = document.querySelector('.engraved .system')!.getBoundingClientRect()
    return { top, bottom, height: innerHeight, scrolled: scrollY }
  })

const pages = {
  'the first visit': '',
  'a link of another edition': '?edition=1',
  'changes with mistakes': `?${new URLSearchParams({ changes: '| Dm7 | Xyz | G7alt | Cmja7 |', edition: String(edition) })}`,
  'a long tune': `?${new URLSearchParams({ changes: '| Dm7 | G7 |\n'.repeat(24) })}`,
}

/** What is filled with the accent among all that can be pressed and is seen. */
const filled = (page: Page) =>
  page.evaluate(() => {
    const probe = document.createElement('i')
    probe.style.color = 'var(--accent)'
    document.body.append(probe)
    const accent = getComputedStyle(probe).color
    probe.remove()
    return [...document.querySelectorAll<HTMLElement>('button, a, summary, label')]
      .filter((each) => each.checkVisibility() && getComputedStyle(each).backgroundColor === accent)
      .map((each) => each.textContent)
  })

describe.each(sizes)('on %s', (_, options) => {
  test('the first system is seen without scrolling, and nothing moves it when it plays', async () => {
    const page = await it.open('', options)
    for (const [state, path] of Object.entries(pages)) {
      await page.goto(new URL(path, it.address).href)
      await settled(page)
      const { top, bottom, height } = await firstSystem(page)
      expect(top, state).toBeGreaterThan(0)
      expect(bottom, state).toBeLessThanOrEqual(height)
    }
    await page.goto(it.address)
    await settled(page)
    expect(await filled(page)).toEqual(['Play'])
    const before = await firstSystem(page)
    await page.locator('#sound [data-do="play"]').click()
    await page.waitForSelector('#sound .word')
    await page.waitForSelector('.sounding')
    const after = await firstSystem(page)
    // Turning the page to the bar that sounds is no move of the page's parts.
    expect(after.top + after.scrolled).toBeCloseTo(before.top + before.scrolled, 1)
    expect(await filled(page)).toEqual(['Stop'])
    await page.getByRole('button', { name: 'I will' }).click()
    const told = await firstSystem(page)
    expect(told.top + told.scrolled).toBeCloseTo(before.top + before.scrolled, 1)
  })
})

test('an address with its stand open opens it again, also after another line; closed, it says so no more', async () => {
  const page = await it.open('?tempo=200')
  await page.locator('#sound [data-do="stand"]').click()
  expect(new URL(page.url()).hash).toBe('#stand')
  await page.locator('.standbar').getByRole('button', { name: 'Next line' }).click()
  await page.waitForURL(/seed=2.*#stand/)
  await page.reload()
  await page.waitForSelector('html.at-stand .engraved [data-note]')
  await page.locator('.standbar [data-do="leave"]').click()
  expect(new URL(page.url()).hash).toBe('')
  await page.reload()
  await settled(page)
  expect(await page.locator('html.at-stand').count()).toBe(0)
})

test('by keyboard alone: open the stand, play, turn, change the tempo, stop, close', async () => {
  const page = await it.open('?keys=fourths&countIn=0')
  await settled(page)
  await page.locator('#sound [data-do="stand"]').focus()
  await page.keyboard.press('Enter')
  await page.waitForSelector('html.at-stand')
  await page.keyboard.press(' ')
  await page.waitForSelector('.sounding')
  await page.keyboard.press(' ')
  await page.waitForSelector('html:not(.plays)')
  await page.keyboard.press('PageDown')
  await expect.poll(() => page.evaluate(() => scrollY)).toBeGreaterThan(0)
  for (let i = 0; i < 12; i++) {
    await page.keyboard.press('Tab')
    if ((await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))) === 'Faster') break
  }
  await page.keyboard.press('Enter')
  await expect.poll(() => new URL(page.url()).searchParams.get('tempo')).toBe('136')
  await page.keyboard.press('Escape')
  expect(await page.locator('html.at-stand').count()).toBe(0)
})

/** What is opened for a look: the page as it stands, all choices, practising, a note’s choices, the stand. */
const opened: Readonly<Record<string, (page: Page) => Promise<unknown>>> = {
  'with mistakes': async (page) => {
    await page.goto(new URL(pages['changes with mistakes'], it.address).href)
    await page.waitForSelector('.barwrong')
  },
  'with all choices': (page) =>
    page.evaluate(() => {
      for (const each of document.querySelectorAll('details')) each.open = true
    }),
  'with the practice': async (page) => {
    await page.goto(it.address)
    await page.locator('#sound [data-do="practise"]').click()
    await page.waitForSelector('#practice')
  },
  'with the choices of a note': async (page) => {
    await page.locator('[data-note="target"]').nth(1).focus()
    await page.keyboard.press('Enter')
    await page.waitForSelector('dialog.panel')
  },
  'at the stand': async (page) => {
    await page.keyboard.press('Escape')
    await page.locator('#sound [data-do="stand"]').click()
  },
}

test('at 200 per cent nothing runs off the side, and axe finds no barrier', async () => {
  const zoomed = { viewport: { width: 640, height: 400 }, deviceScaleFactor: 2, bypassCSP: true }
  const page = await it.open('', zoomed)
  for (const [state, open] of Object.entries(opened)) {
    await open(page)
    const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
    expect(over, state).toBeLessThanOrEqual(0)
    expect(await findBarriers(page), state).toEqual([])
  }
})

test('rings around degrees are clear of the names of notes', async () => {
  for (const more of ['', ',analysis,scales']) {
    const page = await it.open(`?show=targets,degrees,brackets,names${more}`)
    await settled(page)
    const [rings, names] = await page.evaluate(() =>
      ['.dir.target :is(ellipse, circle)', '.dir.name text'].map((each) =>
        [...document.querySelectorAll(`.engraved ${each}`)].map((mark) => {
          const { left, right, top, bottom } = mark.getBoundingClientRect()
          return { left, right, top, bottom }
        }),
      ),
    )
    expect(rings!.length).toBeGreaterThan(10)
    expect(names!.length).toBeGreaterThan(50)
    const touching = rings!.filter((ring) =>
      names!.some((n) => n.left < ring.right && n.right > ring.left && n.top < ring.bottom && n.bottom > ring.top),
    )
    expect(touching).toEqual([])
  }
})
