/** Sound that takes a moment to wake up, as a loudspeaker without a wire does: what plays then is what is shown by then. */
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { afterMove, stage } from './browser.ts'

const it = stage()
const tune = `?${new URLSearchParams({ changes: '| Cm7 | F7 | Bbmaj7 | Bb6 |', tempo: '240' })}`

/** A page whose sound wakes up a second and more after it is asked to, and that notes what it has written to be played. */
async function openSlow(): Promise<Page> {
  const page = await it.open('help')
  await page.addInitScript(() => {
    const asked: unknown[] = []
    Object.assign(globalThis, { asked })
    const tell = Worker.prototype.postMessage
    Worker.prototype.postMessage = function (this: Worker, order: { kind: string; fields: unknown }, ...rest: []) {
      if (order.kind === 'load') asked.push(order.fields)
      return tell.call(this, order, ...rest)
    }
    const resume = AudioContext.prototype.resume
    AudioContext.prototype.resume = function (this: AudioContext) {
      return new Promise((done) => setTimeout(() => done(resume.call(this)), 1200))
    }
  })
  await page.goto(it.address + tune)
  await page.waitForSelector('html.scripted')
  return page
}
const asked = (page: Page): Promise<Record<string, string>[]> =>
  page.evaluate(() => (globalThis as unknown as { asked: Record<string, string>[] }).asked)
const shown = (page: Page): Promise<Record<string, string>> =>
  page.evaluate(() => JSON.parse(document.getElementById('fields')!.textContent!))

test('another line that comes meanwhile is the one that plays', async () => {
  const page = await openSlow()
  await page.locator('#sound [data-do="play"]').click()
  await page.locator('#sound [data-do="stop"]').waitFor()
  const before = await shown(page)
  await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
  expect(await shown(page)).not.toEqual(before)
  await page.waitForSelector('.sounding')
  expect((await asked(page)).at(-1)).toEqual(await shown(page))
})

test('what is stopped meanwhile does not play', async () => {
  const page = await openSlow()
  await page.locator('#sound [data-do="play"]').click()
  await page.locator('#sound [data-do="stop"]').click()
  await page.waitForTimeout(2500)
  expect(await asked(page)).toEqual([])
  expect(await page.locator('#sound [data-do="play"]').textContent()).toBe('Play')
})
