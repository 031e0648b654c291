/** What a player has made and kept, when odd things come to pass. */
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { withId } from '../../lib/practice/plan.ts'
import { packPlan } from '../../lib/practice/planLink.ts'
import { deleteEntries, emptyRecord, type PracticeRecord, putPlanAway } from '../../lib/practice/record.ts'
import { afterMove, stage } from './browser.ts'
import { entries, said, tap } from './practicePage.ts'

const it = stage()
const tune = `?${new URLSearchParams({ changes: 'Title: Lantern Street\n| Cm7 | F7 | Bbmaj7 | Bb6 |' })}`
const plan = withId({
  title: 'Lantern Street',
  fields: { changes: '| Cm7 | F7 | Bbmaj7 | Bb6 |' },
  bars: [1, 4],
  phrases: [1],
  quarters: 4,
  keys: ['Bb', 'F'],
  start: 60,
  goal: 120,
  days: 7,
  minutes: 20,
  from: '2026-01-05',
})
const link = `practice#${packPlan(plan)}`

/** A pause of who stands between, which outlives the page. */
const wait = (time: number) => new Promise((done) => setTimeout(done, time))
const give = (page: Page, record: PracticeRecord) =>
  page
    .locator('#practice-file')
    .setInputFiles({ name: 'record.json', mimeType: 'application/json', buffer: Buffer.from(JSON.stringify(record)) })
/** The entries of the record as the browser's database has them. */
const rows = (page: Page): Promise<PracticeRecord['entries'][number][]> =>
  page.evaluate(
    () =>
      new Promise((done) => {
        const asked = indexedDB.open('throughline')
        asked.onsuccess = () => {
          const all = asked.result.transaction('entries').objectStore('entries').getAll()
          all.onsuccess = () => {
            asked.result.close()
            done(all.result)
          }
        }
      }),
  )

test('a tap reads no entry again: those of the record are read once, in one tab and from a stand not at all', async () => {
  const page = await it.open('help')
  await page.addInitScript(() => {
    const read = IDBObjectStore.prototype.getAll
    Object.assign(globalThis, { reads: 0 })
    IDBObjectStore.prototype.getAll = function (this: IDBObjectStore, ...asked) {
      if (this.name === 'entries') (globalThis as unknown as { reads: number }).reads += 1
      return read.apply(this, asked)
    }
  })
  const reads = () => page.evaluate(() => (globalThis as unknown as { reads: number }).reads)
  await page.goto(it.address + link)
  for (const verdict of ['Easy', 'Fell apart', 'Held with effort']) {
    await tap(page, verdict)
    await said(page, `Noted: ${verdict.toLowerCase()}`)
  }
  expect(await reads()).toBe(1)
  // What another tab adds is read.
  const second = await page.context().newPage()
  await second.goto(it.address + link)
  await tap(second, 'Easy', 1)
  await said(second, 'Noted')
  await expect.poll(() => entries(page)).toBe(4)
  expect(await reads()).toBe(2)
  await page
    .getByRole('link', { name: /^To the stand/ })
    .first()
    .click()
  await page.getByRole('button', { name: 'Easy' }).click()
  await page.waitForURL('**/practice')
  await page.waitForSelector('.practice-list .done')
  await expect.poll(async () => (await rows(second)).length).toBe(5)
})

test('all tunes are deleted, and the practice record stays', async () => {
  const page = await it.open(link)
  await tap(page, 'Easy')
  await said(page, 'Noted')
  await page.goto(it.address + tune)
  await page.locator('.mine-part > summary', { hasText: 'My tunes' }).click()
  await page.getByRole('button', { name: 'Keep', exact: true }).click()
  await page.getByRole('button', { name: 'Open Lantern Street' }).waitFor()
  await page.locator('.mine-part > summary', { hasText: 'All that is kept here' }).click()
  await page.getByRole('button', { name: 'Delete all of it' }).click()
  await page.getByRole('button', { name: 'Yes, delete them' }).click()
  await page.locator('#mine-said', { hasText: 'deleted' }).waitFor()
  expect(await page.locator('#mine-tunes li').count()).toBe(0)
  await page.goto(`${it.address}practice`)
  await page.waitForSelector('.practice-list .done')
  expect(await entries(page)).toBe(1)
})

test('a file in which entries were deleted takes none away before it is said', async () => {
  const page = await it.open(link)
  for (const nth of [0, 1]) {
    await tap(page, 'Easy', nth)
    await said(page, 'Noted')
    await page.evaluate(() => document.getElementById('practice-said')!.replaceChildren())
  }
  const ids = (await rows(page)).map(({ id }) => id)
  await give(page, putPlanAway(deleteEntries(emptyRecord, ids), plan.id, Date.now() + 1000))
  await said(page, '2 entries of this record were deleted, 1 plan put away')
  expect((await rows(page)).length).toBe(2)
  expect(await page.locator('#practice-plan option').count()).toBe(1)
  await page.getByRole('button', { name: 'Put them together' }).click()
  await said(page, '0 entries more')
  expect(await rows(page)).toEqual([])
  await page.waitForSelector('text=No plan is open here')
})

test('an entry that two devices have otherwise is on the screen what it is in the record', async () => {
  const page = await it.open(link)
  await tap(page, 'Easy')
  await said(page, 'Noted')
  const [mine] = await rows(page)
  await give(page, { ...emptyRecord, entries: [{ ...mine!, tempo: 99 }] })
  await said(page, 'Put together')
  const shown = await page.locator('#practice-taps li').allTextContents()
  await page.reload()
  await page.waitForSelector('.practice-list .done')
  expect(await page.locator('#practice-taps li').allTextContents()).toEqual(shown)
})

/** Types on behind the changes that stand there. */
async function typeOn(page: Page): Promise<void> {
  await page.locator('#changes').click()
  await page.keyboard.press('Control+End')
  await page.keyboard.type(' Ebmaj7 | Ab7 |')
}
const changes = (page: Page) => page.locator('#changes').inputValue()
/** Keeps what stands under a name. */
async function keepAs(page: Page, name: string): Promise<void> {
  await page.locator('.mine-part > summary', { hasText: 'My tunes' }).click()
  await page.locator('#mine-name').fill(name)
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: `Open ${name}` }).waitFor()
}

test.each([
  ['a kept tune', 'Open Old lantern', 0],
  ['a kept tune, while the server takes its time', 'Open Old lantern', 1200],
  ['a new beginning', 'Start over', 0],
])('changes typed right before %s are a step back in the history', async (_what, button, slow) => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  await keepAs(page, 'Old lantern')
  const before = await changes(page)
  await page.route('**/*', async (route) => {
    if (slow > 0 && route.request().method() === 'POST') await wait(slow)
    await route.continue().catch(() => undefined)
  })
  await typeOn(page)
  const typed = await changes(page)
  expect(typed).toBe(`${before} Ebmaj7 | Ab7 |`)
  // Longer than the page waits for more to be typed: its answer is under way.
  if (slow > 0) await page.waitForTimeout(600)
  await page.getByRole('button', { name: button }).click()
  await page.locator('#mine-said', { hasText: /is open|Begun anew/ }).waitFor()
  await expect.poll(() => changes(page)).not.toBe(typed)
  await page.goBack()
  await expect.poll(() => changes(page)).toBe(typed)
})

test('of two files the one dropped last stands, though the other is read more slowly', async () => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  let first = true
  await page.route('**/read', async (route) => {
    const slow = first
    first = false
    if (slow) await wait(1500)
    await route.continue().catch(() => undefined)
  })
  const choose = (name: string, text: string) =>
    page.locator('#file').setInputFiles({ name, mimeType: 'text/plain', buffer: Buffer.from(text) })
  await choose('slow.txt', '| F6 | F6 |')
  await choose('fast.txt', '| G6 | G6 |')
  await expect.poll(() => changes(page)).toContain('G6')
  await page.waitForTimeout(2500)
  expect(await changes(page)).toContain('G6')
})

test('what is too long for a link and not kept is not let go unsaid', async () => {
  const page = await it.open(tune)
  await keepAs(page, 'Old lantern')
  // Remarks that no packing makes short.
  let seed = 7
  const sign = () => {
    seed = (seed * 48_271) % 2_147_483_647
    return 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdef'[(seed >> 8) % 32]
  }
  const remarks = Array.from({ length: 150 }, () => `{comment: ${Array.from({ length: 90 }, sign).join('')}}`)
  const long = `${remarks.join('\n')}\n| Cm7 | F7 |`
  await page.locator('#changes').fill(long)
  await page.getByRole('button', { name: 'Open Old lantern' }).click()
  await page.locator('#mine-said', { hasText: 'too long for a link' }).waitFor({ timeout: 60_000 })
  expect((await changes(page)).length).toBeGreaterThan(10_000)
  await page.getByRole('button', { name: 'Let it go' }).click()
  await expect.poll(() => changes(page)).toContain('Lantern Street')
})

test('a double click notes one pass, on the list and at the stand, and keeps one tune; the focus stays on what was pressed', async () => {
  const page = await it.open(link)
  const easy = page.getByRole('button', { name: /^Easy: / }).first()
  const name = await easy.getAttribute('aria-label')
  await easy.dblclick()
  await said(page, 'Noted')
  expect(await page.evaluate(() => document.activeElement?.getAttribute('aria-label'))).toBe(name)
  expect((await rows(page)).length).toBe(1)
  await page
    .getByRole('link', { name: /^To the stand/ })
    .first()
    .click()
  await page.getByRole('button', { name: 'Easy' }).dblclick()
  await page.waitForURL('**/practice')
  await page.waitForSelector('.practice-list .done')
  expect((await rows(page)).length).toBe(2)
  await page.goto(it.address + tune)
  await page.locator('.mine-part > summary', { hasText: 'My tunes' }).click()
  await page.locator('[data-mine="keep"]').dblclick()
  await page.locator('#mine-said', { hasText: 'Kept as' }).waitFor()
  await page.waitForTimeout(500)
  expect(await page.locator('#mine-tunes li').count()).toBe(1)
})

test('a name half typed stays while another tab keeps something', async () => {
  const page = await it.open(tune)
  await keepAs(page, 'Old lantern')
  await page.getByRole('button', { name: 'Rename Old lantern' }).click()
  await page.keyboard.type('New lan')
  const second = await page.context().newPage()
  await second.goto(it.address + tune)
  await keepAs(second, 'Another')
  await page.waitForTimeout(500)
  await page.keyboard.type('tern')
  await page.keyboard.press('Enter')
  await page.getByRole('button', { name: 'Open New lantern' }).waitFor()
  await page.getByRole('button', { name: 'Open Another' }).waitFor()
})

test('a choice that was on its way when the page was left is not in the form without being in the music', async () => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  await page.route('**/*', (route) => (route.request().method() === 'POST' ? undefined : route.continue()))
  const ink = () => page.locator('#ink').inputValue()
  const before = await ink()
  await page.evaluate(() => {
    const select = document.getElementById('ink') as HTMLSelectElement
    select.selectedIndex = select.selectedIndex === 0 ? 1 : 0
    select.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await page.goto(`${it.address}help`)
  await page.goBack()
  await page.waitForSelector('html.scripted')
  expect(await ink()).toBe(before)
})

test('what was typed while the server is away does not go with the page unasked', async () => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  await page.route('**/*', (route) => (route.request().method() === 'POST' ? route.abort() : route.continue()))
  page.removeAllListeners('dialog')
  page.removeAllListeners('console')
  const asked: string[] = []
  page.on('dialog', (dialog) => {
    asked.push(dialog.type())
    void dialog.dismiss()
  })
  await typeOn(page)
  const typed = await changes(page)
  await page.locator('#teller', { hasText: 'cannot be reached' }).waitFor()
  await page.evaluate(() => location.assign('./help'))
  await expect.poll(() => asked).toEqual(['beforeunload'])
  expect(await changes(page)).toBe(typed)
  await page.unroute('**/*')
  await page.getByRole('button', { name: 'Try again' }).click()
  await page.waitForURL(/Ab7/)
  await page.goto(`${it.address}help`)
  expect(asked.length).toBe(1)
})

test('Back with the cursor in the text takes words and music back; what was typed a moment ago becomes a step first', async () => {
  const page = await it.open(tune)
  const before = await changes(page)
  const bars = () => page.locator('.engraved g.measure').count()
  await afterMove(page, () => typeOn(page))
  const typed = await changes(page)
  await expect.poll(bars).toBe(6)
  await page.evaluate(() => history.back())
  await expect.poll(() => changes(page)).toBe(before)
  await expect.poll(bars).toBe(4)
  await page.evaluate(() => history.forward())
  await expect.poll(() => changes(page)).toBe(typed)
  await expect.poll(bars).toBe(6)
  await page.locator('#changes').click()
  await page.keyboard.press('Control+End')
  await page.keyboard.type(' Db7 |')
  await page.evaluate(() => history.back())
  await expect.poll(bars).toBe(7)
  expect(await changes(page)).toBe(`${typed} Db7 |`)
})

test('a choice that Back and Forward overtake is in neither form nor music, which is that of the address', async () => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
  const fields = () => page.evaluate(() => document.getElementById('fields')!.textContent)
  const ink = () => page.locator('#ink').inputValue()
  const before = [page.url(), await fields(), await ink()]
  await page.route('**/*', async (route) => {
    await wait(800)
    await route.continue().catch(() => undefined)
  })
  await page.evaluate(() => {
    const select = document.getElementById('ink') as HTMLSelectElement
    select.value = [...select.options].find((option) => !option.selected)!.value
    select.dispatchEvent(new Event('change', { bubbles: true }))
  })
  await page.evaluate(() => history.back())
  await page.waitForTimeout(200)
  await page.evaluate(() => history.forward())
  await page.waitForTimeout(200)
  await page.waitForSelector('#music:not([aria-busy])')
  expect([page.url(), await fields(), await ink()]).toEqual(before)
})

test('a loop chosen while Back is under way leaves address and playing of one mind', async () => {
  const page = await it.open(tune, { serviceWorkers: 'block' })
  await page.locator('#sound [data-do="practise"]').click()
  await page.waitForSelector('#practice')
  await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
  await page.route('**/*', async (route) => {
    await wait(800)
    await route.continue().catch(() => undefined)
  })
  await afterMove(page, () =>
    page.evaluate(() => {
      history.back()
      window.addEventListener('popstate', () =>
        setTimeout(() => document.querySelector<HTMLElement>('.standbar [data-do="loop"]')!.click()),
      )
    }),
  )
  const playing = await page.evaluate(() => JSON.parse(document.getElementById('fields')!.textContent!).passes ?? null)
  expect(new URL(page.url()).searchParams.get('passes')).toBe(playing)
})
