import type { Page } from 'playwright-core'
import { describe, expect, test } from 'vitest'
import { afterMove, findBarriers, musicOf, stage } from './browser.ts'

const it = stage()

const wrong = `?${new URLSearchParams({ changes: '| Dm7 | Cmja7 |\n| J7 | C6 |', key: 'H', notes: '9' })}`
const phone = { viewport: { width: 360, height: 740 }, hasTouch: true, isMobile: true }
const choose = async (page: Page, nth = 1) => {
  await page.locator('[data-note="target"]').nth(nth).click()
  await page.waitForSelector('dialog.panel')
}

/** Every state that the page can be seen in. */
const states: readonly (readonly [string, (colours: 'light' | 'dark') => Promise<Page>])[] = [
  ['the first visit', (colorScheme) => it.open('', { colorScheme })],
  ['with problems', (colorScheme) => it.open(wrong, { colorScheme })],
  ['with nothing in it', (colorScheme) => it.open('?changes=', { colorScheme })],
  [
    'with everything open',
    async (colorScheme) => {
      const page = await it.open('', { colorScheme })
      await page.evaluate(() => {
        for (const each of document.querySelectorAll('details')) each.open = true
      })
      return page
    },
  ],
  [
    'with the choices of a note open',
    async (colorScheme) => {
      const page = await it.open('', { colorScheme })
      await choose(page)
      return page
    },
  ],
  [
    'with bars marked off',
    async (colorScheme) => {
      const page = await it.open('', { colorScheme })
      await page
        .locator('[data-note]')
        .nth(3)
        .click({ modifiers: ['Shift'] })
      await page.waitForSelector('.chosenbars')
      return page
    },
  ],
  [
    'with all marks on, large, at concert pitch',
    (colorScheme) =>
      it.open('?show=targets,degrees,brackets,names,analysis,scales&print=large&pitch=concert&ink=black', {
        colorScheme,
      }),
  ],
  ['in twelve keys', (colorScheme) => it.open('?keys=fourths', { colorScheme })],
  ['on a phone', (colorScheme) => it.open('', { colorScheme, ...phone })],
  [
    'on a phone with the choices of a note open',
    async (colorScheme) => {
      const page = await it.open('', { colorScheme, ...phone })
      await page.waitForSelector('body[data-across] [data-note]')
      await choose(page)
      return page
    },
  ],
  ['help', (colorScheme) => it.open('help', { colorScheme })],
  ['a page that is not there', (colorScheme) => it.open('nothing', { colorScheme })],
  ['the choices of a note on their own page', (colorScheme) => it.open('choices?at=1.1', { colorScheme })],
]

describe.each(['light', 'dark'] as const)('axe finds no barrier, in %s', (colours) => {
  test.each(states)('%s', async (_, open) => {
    expect(await findBarriers(await open(colours))).toEqual([])
  })
})

describe('nothing runs off the side', () => {
  test.each([
    ['360 px', { viewport: { width: 360, height: 740 } }],
    ['1280 px at 200 %', { viewport: { width: 640, height: 450 }, deviceScaleFactor: 2 }],
    ['1280 px at 400 %', { viewport: { width: 320, height: 256 }, deviceScaleFactor: 4 }],
    ['a tablet on a stand', { viewport: { width: 820, height: 1180 } }],
  ])('at %s', async (_, options) => {
    for (const path of [
      '',
      wrong,
      'help',
      '?keys=chromatic',
      '?print=large',
      'choices?at=1.1',
      'figures',
      'mark',
      'practice',
    ]) {
      const page = await it.open(path, options)
      await page.evaluate(() => {
        for (const each of document.querySelectorAll('details')) each.open = true
      })
      const over = await page.evaluate(() => document.documentElement.scrollWidth - innerWidth)
      expect(over, path).toBeLessThanOrEqual(0)
    }
  })
})

test('a light sheet stays light where a system forces dark colours, so that music and pictures stand out from it', async () => {
  const page = await it.open('?tone=light&keys=C,F', { forcedColors: 'active', colorScheme: 'dark' })
  const [sheet, ink] = await page.evaluate(() => {
    const of = getComputedStyle(document.querySelector('.sheet')!)
    return [of.backgroundColor, of.color].map((colour) => Number(/\d+/.exec(colour)![0]))
  })
  expect(sheet! - ink!).toBeGreaterThan(150)
})

test('whatever can be touched is 24 px or has as much room around it', async () => {
  const page = await it.open('', phone)
  await page.waitForSelector('[data-note]')
  await page.evaluate(() => {
    for (const each of document.querySelectorAll('details')) each.open = true
  })
  const small = await page.evaluate(() =>
    [
      ...document.querySelectorAll(
        'button, select, input:not([type=hidden]), summary, textarea, nav a, .take a, .shelf a',
      ),
    ]
      .filter((element) => element.checkVisibility() && !element.classList.contains('unseen'))
      .map((element) => ({ html: element.outerHTML.slice(0, 90), box: element.getBoundingClientRect() }))
      .filter(({ box }) => box.width < 24 || box.height < 24)
      .map(({ html, box }) => `${html} ${box.width}x${box.height}`),
  )
  expect(small).toEqual([])
})

test('by keyboard alone: to the music, to a note, to another landing, and back', async () => {
  const page = await it.open()
  await page.keyboard.press('Tab')
  expect(await page.evaluate(() => document.activeElement?.textContent)).toBe('To the music')
  await page.keyboard.press('Enter')
  for (let i = 0; i < 40 && !(await page.evaluate(() => document.activeElement?.hasAttribute('data-note'))); i++)
    await page.keyboard.press('Tab')
  const at = () => page.evaluate(() => document.activeElement?.getAttribute('data-at') ?? null)
  expect(await at()).toBe('1.1')
  await page.keyboard.press('ArrowRight')
  expect(await at()).toBe('1.1.5')
  await page.keyboard.press('ArrowDown')
  expect(await page.evaluate(() => document.activeElement?.getAttribute('data-note'))).toBe('target')
  expect(await at()).toBe('2.1')
  expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toMatch(
    /^Bar 2, beat 1: .*target$/,
  )
  await page.keyboard.press('Enter')
  await page.waitForSelector('dialog.panel')
  await page.keyboard.press('Escape')
  expect(await page.locator('dialog.panel').count()).toBe(0)
  expect(await at()).toBe('2.1')
  await page.keyboard.press('Enter')
  await page.waitForSelector('dialog.panel')
  const before = await musicOf(page)
  await page.locator('ul.landing a:not([aria-current])').first().focus()
  await afterMove(page, () => page.keyboard.press('Enter'))
  expect(await musicOf(page)).not.toBe(before)
  // The focus is still in the music, on the note that was chosen about or where it was.
  expect(await page.evaluate(() => document.getElementById('music')!.contains(document.activeElement))).toBe(true)
})

test('bars are marked off by keyboard and let go again', async () => {
  const page = await it.open()
  await page.locator('[data-note]').first().focus()
  await page.keyboard.press('Shift+ArrowDown')
  await page.keyboard.press('Shift+ArrowDown')
  expect(await page.locator('.chosenbars').getAttribute('aria-label')).toBe('Bars 1 to 3')
  const before = await musicOf(page)
  await afterMove(page, () => page.getByRole('button', { name: 'New notes in these bars' }).click())
  expect(page.url()).toContain('again=1-3%3A2')
  expect(await musicOf(page)).not.toBe(before)
  await page.keyboard.press('Escape')
  expect(await page.locator('.chosenbars').count()).toBe(0)
})

test('every bar is told in words', async () => {
  const page = await it.open()
  await page.locator('#words summary').click()
  const bars = await page.locator('#words li').allTextContents()
  expect(bars).toHaveLength(12)
  for (const [index, words] of bars.entries()) {
    expect(words).toMatch(new RegExp(`^Bar ${index + 1}, [A-G]`))
    expect(words).toMatch(/[Tt]arget [A-G]( sharp| flat)?, the/)
  }
})

test('who asks for less motion gets none', async () => {
  const page = await it.open('', { reducedMotion: 'reduce' })
  const moving = await page.evaluate(
    () =>
      [...document.querySelectorAll('*')].filter((element) => {
        const style = getComputedStyle(element)
        return Number.parseFloat(style.transitionDuration) > 0 || style.animationName !== 'none'
      }).length,
  )
  expect(moving).toBe(0)
})
