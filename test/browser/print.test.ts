/** Printing from the browser's own menu, as Chromium's own PDF: every key whole, on its paper, with its name; of taken bars those alone. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { Page } from 'playwright-core'
import { afterAll, describe, expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { stage } from './browser.ts'

const it = stage()
const folder = mkdtempSync(join(tmpdir(), 'throughline-'))
afterAll(() => rmSync(folder, { recursive: true }))

const eight = '| Dm7 | G7 | Cmaj7 | A7 | Dm7 | G7 | Em7b5 | A7b9 |'
const tune = (title: string, eights: number) => `Title: ${title}\n${Array(eights).fill(eight).join('\n')}`
const asked = (fields: Readonly<Record<string, string>>) =>
  `?${new URLSearchParams({ edition: `${edition}`, ...fields })}`

/** What the browser prints: its pages' sizes in points, and the text of each. */
async function printed(
  page: Page,
): Promise<{ readonly sizes: readonly number[][]; readonly pages: readonly string[] }> {
  const path = join(folder, 'print.pdf')
  writeFileSync(path, await page.pdf({ preferCSSPageSize: true }))
  if (process.env.PICTURES)
    writeFileSync(join(process.env.PICTURES, `print-${Date.now()}.pdf`), await page.pdf({ preferCSSPageSize: true }))
  const info = execFileSync('pdfinfo', ['-l', '99', path], { encoding: 'utf8' })
  const sizes = [...info.matchAll(/size:\s+([\d.]+) x ([\d.]+)/g)].map(([, w, h]) => [Number(w), Number(h)])
  const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })
  return { sizes, pages: text.split('\f').slice(0, -1) }
}
const count = (text: string, words: string) => text.split(words).length - 1
/** How often the first chord of each eight bars stands there: once for each line of music that begins with it. */
const eightsIn = (pages: readonly string[], chord: string) => count(pages.join(''), chord)

describe('twelve keys', () => {
  // Page sizes in points: ISO 216 A4 is 210 by 297 mm, US Letter 8.5 by 11 in.
  test.each([
    ['A4', [595.3, 841.9]],
    ['Letter', [612, 792]],
  ])(
    'on %s: each key on a page of its own, named as it is read and sounds, without a look at the screen first',
    async (paper, size) => {
      const page = await it.open(
        asked({ changes: tune('All Twelve', 4), keys: 'fourths', instrument: 'alto-sax', paper, tone: 'dark' }),
      )
      const { sizes, pages } = await printed(page)
      expect(pages).toHaveLength(12)
      for (const [w, h] of sizes) {
        expect(Math.abs(w! - size[0]!)).toBeLessThan(2)
        expect(Math.abs(h! - size[1]!)).toBeLessThan(2)
      }
      // By fourths from C; an alto reads a major sixth above what sounds (common practice).
      const named = [
        'A major (concert C)',
        'D major (concert F)',
        'G major (concert B♭)',
        'C major (concert E♭)',
        'F major (concert A♭)',
        'B♭ major (concert D♭)',
      ]
      for (const [index, name] of named.entries()) expect(pages[index]).toContain(name)
      for (const text of pages) {
        expect(count(text, '(concert ')).toBe(1)
        expect(text).toContain('All Twelve')
        // Bar numbers of the systems after the first.
        for (const bar of [5, 9, 13, 17, 21, 25, 29]) expect(text).toMatch(new RegExp(`(^|\\s)${bar}(\\s|$)`, 'm'))
        expect(text).not.toMatch(/More options|Examples|Play|Class packet/)
      }
      // The screen is as it was.
      expect(await page.locator('.onpaper').count()).toBe(0)
    },
  )

  test('short ones share their pages', async () => {
    const page = await it.open(asked({ changes: tune('Short', 1), keys: 'fourths', instrument: 'trumpet' }))
    const { pages } = await printed(page)
    expect(pages.length).toBeLessThanOrEqual(4)
    expect(count(pages.join(''), '(concert ')).toBe(12)
    expect(count(pages.join(''), 'Trumpet')).toBe(12)
  })
})

test('a tune of several sheets, in two keys, whole', async () => {
  const page = await it.open(asked({ changes: tune('Long', 9), keys: 'C,F', instrument: 'flute' }))
  const { pages } = await printed(page)
  // Eight systems of four bars to a sheet, and what is left stands under them or before the next key.
  expect(pages.length).toBeLessThanOrEqual(6)
  // Nine times eight bars in each key, each eight with one such chord.
  expect([eightsIn(pages, 'Em7(♭5)'), eightsIn(pages, 'Am7(♭5)')]).toEqual([9, 9])
})

test('from a phone, four bars a line as anywhere', async () => {
  const page = await it.open(asked({ changes: tune('Phone', 4), keys: 'C,F', instrument: 'flute' }), {
    viewport: { width: 360, height: 780 },
  })
  await page.waitForFunction(() => document.querySelectorAll('.engraved .system').length === 16)
  const { pages } = await printed(page)
  expect(pages).toHaveLength(2)
  for (const text of pages)
    for (const bar of [5, 9, 13, 29]) expect(text).toMatch(new RegExp(`(^|\\s)${bar}(\\s|$)`, 'm'))
  expect(pages[0]).toMatch(/Dm7 +G7 +Cmaj7 +A7/)
  expect(pages[1]).toMatch(/Gm7 +C7 +Fmaj7 +D7/)
})

test('bars that are taken are printed alone, in every key', async () => {
  const page = await it.open(
    asked({
      changes: `Title: Some\nKey: C\n| Dm7 | G7 | Cmaj7 | A7b9 | Fmaj7 | Bm7b5 | E7#9 | Am6 |`,
      keys: 'C,F',
      instrument: 'flute',
    }),
  )
  await page.locator('[data-at="5.1"]').click({ modifiers: ['Shift'] })
  await page.locator('[data-at="6.1"]').click({ modifiers: ['Shift'] })
  await page.waitForSelector('.chosenbars')
  const text = (await printed(page)).pages.join('')
  for (const chord of ['Fmaj7', 'Bm7(♭5)', 'B♭maj7', 'Em7(♭5)']) expect(text).toContain(chord)
  for (const chord of ['Dm7', 'A7', 'Am6', 'Gm7']) expect(text).not.toContain(chord)
  await page.locator('.chosenbars [data-do="unmark"]').click()
  expect((await printed(page)).pages.join('')).toContain('Dm7')
})

test('what cannot be fetched is said in its place and on the screen, and is no blank', async () => {
  const page = await it.open(asked({ changes: tune('Gone', 4), keys: 'C,F,Bb,Eb', instrument: 'flute' }))
  await page.waitForSelector('#music:not([aria-busy])')
  // Pictures of further keys too; what the browser logs of it is meant.
  await page.evaluate(() => {
    for (const sheet of document.querySelectorAll<HTMLElement>('#part-3 .sheet, #part-4 .sheet')) {
      sheet.dataset.paper = './nothing.svg'
      sheet.querySelector('source')?.remove()
      sheet.querySelector('img')?.setAttribute('src', './nothing.svg')
    }
  })
  const { pages } = await printed(page)
  expect(count(pages.join(''), 'could not be fetched')).toBe(2)
  expect(pages.join('')).toContain('Gm7')
  await page.locator('#teller', { hasText: 'Not all of the music could be fetched' }).waitFor()
  expect(await page.locator('.onpaper').count()).toBe(0)
})

test('bars that could not be read, which are rests on the screen, are said on paper', async () => {
  const page = await it.open(
    asked({ changes: 'Title: Half\n| Dm7 | Hxx | Cmaj7 | A7 |', keys: 'C,F', instrument: 'flute' }),
  )
  const { pages } = await printed(page)
  expect(count(pages.join(''), 'in bar 2.')).toBe(2)
  expect(await page.locator('.restsaid:visible').count()).toBe(0)
  expect((await printed(await it.open(asked({ changes: tune('Whole', 1) })))).pages.join('')).not.toContain(
    'could not be read',
  )
})
