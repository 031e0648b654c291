/** A teacher's class packet, from the first row of downloads to the archive; with a script and without. */
import { readFileSync } from 'node:fs'
import { unzipSync } from 'fflate'
import type { Page } from 'playwright-core'
import { expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { findBarriers, stage } from './browser.ts'

const it = stage()
const asked = `?${new URLSearchParams({ changes: 'Title: Made Up\n| Dm7 | G7 | Cmaj7 | A7 |', keys: 'C,F', edition: `${edition}` })}`

const listed = (page: Page): Promise<readonly string[]> => page.locator('.filenames li').allTextContents()
async function taken(page: Page, press: () => Promise<unknown>): Promise<readonly string[]> {
  const coming = page.waitForEvent('download', { timeout: 120_000 })
  await press()
  const archive = await coming
  expect(archive.suggestedFilename()).toBe('made-up-class-packet.zip')
  return Object.keys(unzipSync(readFileSync((await archive.path())!))).map((name) => name.split('/').at(-1)!)
}

test('one step from the first row: ticked, shown, made with its progress, taken', async () => {
  const page = await it.open(asked)
  await page.locator('nav.take').getByRole('link', { name: 'Class packet' }).click()
  await page.waitForSelector('h1:has-text("Class packet: Made Up")')
  expect(await findBarriers(page)).toEqual([])
  const before = await listed(page)
  await page.getByLabel('F instruments').check()
  await page.waitForFunction((n) => document.querySelectorAll('.filenames li').length > n, before.length)
  await page.getByLabel('recordings (FLAC)').uncheck()
  await page.waitForFunction(() => !document.querySelector('#packet-holds')?.textContent?.includes('.flac'))
  const names = await listed(page)
  // Five parts and a score in two keys, three sheets each, and the cover.
  expect(names).toHaveLength(1 + 2 * (1 + 5 * 3))
  expect(page.url()).toContain('packet?')
  // Each word that says how far it is.
  await page.evaluate(() => {
    const said = document.getElementById('packet-said')!
    new MutationObserver(() =>
      said.setAttribute('data-all', `${said.getAttribute('data-all') ?? ''}${said.textContent} `),
    ).observe(said, { childList: true })
  })
  expect(await taken(page, () => page.getByRole('link', { name: 'Make the packet' }).click())).toEqual(names)
  expect(await page.locator('#packet-said').textContent()).toContain('is made')
  expect(await page.locator('#packet-said').getAttribute('data-all')).toMatch(
    /waits for its turn.*1 of 33 files.*32 of 33 files/,
  )
  expect(await page.locator('#packet-far').isHidden()).toBe(true)
  if (process.env.PICTURES) await page.screenshot({ path: `${process.env.PICTURES}/packet.png`, fullPage: true })
})

test('stopped while it is made, nothing is saved, and it can be made again', async () => {
  const page = await it.open(`packet${asked}&packet=lines,worksheets,answers&seed=7`)
  await page.getByRole('link', { name: 'Make the packet' }).click()
  await page.getByRole('button', { name: 'Stop' }).click()
  await page.waitForSelector('#packet-said:has-text("Nothing was saved")')
  await page.getByLabel('C instruments').focus()
  await page.getByRole('link', { name: 'Make the packet' }).click()
  await page.waitForSelector('#packet-said:has-text("waits")')
})

test('a packet that is too large says what would do, in place', async () => {
  const page = await it.open(`packet${asked}`)
  await page.locator('select[name="keys"]').selectOption('fourths')
  for (const family of ['Saxophones', 'Brass', 'Woodwind']) await page.getByText(family, { exact: true }).click()
  for (const name of [
    'Trumpet in B♭',
    'Flugelhorn',
    'Tuba',
    'Flute',
    'Oboe',
    'Bassoon',
    'Alto saxophone',
    'Tenor saxophone',
    'Baritone saxophone',
  ])
    await page.getByLabel(name, { exact: true }).check()
  await page.waitForSelector('#packet-holds [role="alert"]:has-text("take at most")')
  expect(await page.getByRole('link', { name: 'Make the packet' }).count()).toBe(0)
  expect(await findBarriers(page)).toEqual([])
})

test('without a script: the form shows what it holds, the link gives it', async () => {
  const page = await it.open(asked, { javaScriptEnabled: false })
  await page.getByRole('link', { name: 'Class packet' }).click()
  await page.getByText('Brass').click()
  await page.getByLabel('Tuba').check()
  await page.getByLabel('recordings (FLAC)').uncheck()
  await page.getByLabel('guide-tone worksheets').uncheck()
  await page.getByRole('button', { name: 'Show what it holds' }).click()
  const names = await listed(page)
  expect(names).toHaveLength(1 + 2 * (1 + 5 * 2))
  expect(names).toContain('made-up-tuba-concert-f-major-guide-tones-answers.pdf')
  expect(await taken(page, () => page.getByRole('link', { name: 'Make the packet' }).click())).toEqual(names)
})
