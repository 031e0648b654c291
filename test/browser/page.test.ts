import { execFileSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { gzipSync } from 'node:zlib'
import type { Locator, Page } from 'playwright-core'
import { Note } from 'tonal'
import { describe, expect, test } from 'vitest'
import { afterMove, musicOf, stage, unfold } from './browser.ts'

const it = stage()

describe('the first visit', () => {
  test('is small, asks few things and no one else, and has the music in it', async () => {
    const page = await it.open('about:blank')
    const sizes: Record<string, number> = {}
    page.on('response', async (response) => {
      sizes[new URL(response.url()).pathname.replace(/.*\//, '')] = (await response.body()).length
    })
    await page.goto(it.address, { waitUntil: 'networkidle' })
    await page.waitForSelector('[data-note]')
    expect(Object.keys(sizes).length).toBeLessThanOrEqual(14)
    const script = await (
      await fetch(await page.locator('script[type=module]').evaluate((e) => (e as HTMLScriptElement).src))
    ).text()
    expect(gzipSync(script).length).toBeLessThan(60 * 1_024)
    const total = Object.values(sizes).reduce((sum, size) => sum + size, 0)
    expect(total).toBeLessThan(650 * 1_024)
    expect(await page.locator('.engraved svg g.measure').count()).toBe(12)
  })

  test('from pasted changes to a printed alto part takes a paste and a print', async () => {
    const page = await it.open()
    await page.locator('#changes').fill('Title: Lantern Street\n| Cm7 F7 | Bbmaj7 | Am7b5 D7 | Gm6 |')
    await page.waitForSelector('text=Lantern Street – Alto saxophone', { state: 'attached' })
    const folder = mkdtempSync(join(tmpdir(), 'throughline-'))
    try {
      const path = join(folder, 'part.pdf')
      await page.pdf({ path, preferCSSPageSize: true })
      const text = execFileSync('pdftotext', ['-layout', path, '-'], { encoding: 'utf8' })
      expect(text).toContain('Lantern Street')
      expect(text).toContain('Alto saxophone')
      expect(text).not.toContain('Write the line')
    } finally {
      rmSync(folder, { recursive: true })
    }
  })
})

describe('typing', () => {
  test('changes come to music while the text keeps the focus and its cursor', async () => {
    const page = await it.open()
    const before = await musicOf(page)
    await page.locator('#changes').focus()
    await page.keyboard.press('Control+End')
    await afterMove(page, () => page.keyboard.type('\n| Bb7 | Bb7 |'))
    expect(await musicOf(page)).not.toBe(before)
    expect(await page.locator('.engraved g.measure').count()).toBe(14)
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('changes')
    expect(await page.locator('#changes').inputValue()).toMatch(/\n\| Bb7 \| Bb7 \|$/)
    expect(new URL(page.url()).searchParams.get('changes')).toMatch(/Bb7 \|$/)
  })

  test('a problem is shown under its characters, and its hint applies on a click', async () => {
    const page = await it.open('?changes=%7C+Dm7+%7C+G7+%7C+Cmaj7+%7C')
    await page.locator('#changes').fill('| Dm7 | G7 | Cmja7 |')
    await page.waitForSelector('#problems mark')
    expect(await page.locator('#problems mark').textContent()).toBe('Cmja7')
    // Good bars are written; the bad one is marked, and rests.
    await page.waitForSelector('#music[data-rests="3"] #measure-3 .barwrong')
    expect(await page.locator('#measure-3 .mRest, #measure-3 .rest').count()).toBeGreaterThan(0)
    expect(await page.locator('#measure-2 [data-note]').count()).toBeGreaterThan(0)
    expect(await page.locator('.barwrong').count()).toBe(1)
    await page.locator('#problems .typed').click()
    expect(
      await page.evaluate(() => {
        const text = document.activeElement as HTMLTextAreaElement
        return text.value.slice(text.selectionStart, text.selectionEnd)
      }),
    ).toBe('Cmja7')
    await afterMove(page, () => page.locator('#problems button.fix').click())
    expect(await page.locator('#changes').inputValue()).toBe('| Dm7 | G7 | Cmaj7 |')
    expect(await page.locator('#problems mark').count()).toBe(0)
    expect(await page.locator('.barwrong').count()).toBe(0)
  })

  test('an emptied box offers drills and examples, and keeps the focus; noise leaves the last music, faded', async () => {
    const page = await it.open('?changes=%7C+Dm7+%7C+G7+%7C')
    await page.locator('#changes').fill('what is this')
    await page.waitForSelector('#music.stale .engraved g.measure')
    await page.locator('#changes').fill('')
    await page.waitForSelector('#music[data-blank]')
    expect(await page.locator('#problems li').count()).toBe(0)
    expect(await page.locator('.shelf[open] a').count()).toBeGreaterThan(5)
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('changes')
    await afterMove(page, () => page.keyboard.type('| F6 | Gm7 |'))
    expect(await page.locator('.engraved g.measure').count()).toBe(2)
  })

  test('one press of a key puts all hints in, and the focus stays in the form', async () => {
    const page = await it.open('?changes=%7C+Dm7+%7C+G7+%7C')
    await page.locator('#changes').fill('| Dm7x | G7 | Cmja7 |')
    await page.waitForSelector('#problems mark')
    expect(await page.locator('#problems .where').allTextContents()).toEqual(['bar 1, 1:3', 'bar 3, 1:15'])
    await page.getByRole('button', { name: 'Put all suggestions in' }).focus()
    await afterMove(page, () => page.keyboard.press('Enter'))
    expect(await page.locator('#changes').inputValue()).toBe('| Dm7 | G7 | Cmaj7 |')
    expect(await page.locator('#problems mark').count()).toBe(0)
    await page.waitForFunction(() => document.activeElement?.textContent === 'Write the line')
  })

  test('bars line up and the tune moves by half steps on request', async () => {
    const page = await it.open('?changes=Key%3A+C%0A%7CDm7%7CG7%7C%0A%7CCmaj7%7CC6%7C')
    await page.getByRole('button', { name: 'Line up bars' }).click()
    await page.waitForFunction(() =>
      (document.getElementById('changes') as HTMLTextAreaElement).value.includes('| Dm7   | G7 |'),
    )
    await afterMove(page, () => page.getByRole('button', { name: 'Half step up' }).click())
    expect(await page.locator('#changes').inputValue()).toMatch(/^Key: Db\n\| Ebm7/)
  })

  test('a file can be dropped in', async () => {
    const page = await it.open()
    const data = await page.evaluateHandle(() => {
      const transfer = new DataTransfer()
      transfer.items.add(new File(['Title: Dropped\n| F6 | C7 |'], 'tune.txt', { type: 'text/plain' }))
      return transfer
    })
    await afterMove(page, () => page.dispatchEvent('#changes', 'drop', { dataTransfer: data }))
    expect(await page.locator('#changes').inputValue()).toContain('Dropped')
    expect(await page.title()).toContain('Dropped')
  })

  test('or anywhere on the page, which it does not replace; one too large is said and not sent', async () => {
    const page = await it.open()
    const sent: string[] = []
    page.on('request', (request) => sent.push(request.url()))
    const drop = (bytes: number) =>
      page.evaluate((length) => {
        const transfer = new DataTransfer()
        transfer.items.add(
          new File(['Title: Dropped\n| F6 | C7 |\n', ' '.repeat(length)], 'tune.txt', { type: 'text/plain' }),
        )
        const event = new DragEvent('drop', { dataTransfer: transfer, bubbles: true, cancelable: true })
        document.querySelector('.masthead')!.dispatchEvent(event)
        return event.defaultPrevented
      }, bytes)
    expect(await drop(4_000_000)).toBe(true)
    await page.getByText('tune.txt has 5 MB; a chart or a score has at most 4.').waitFor()
    expect(sent).toEqual([])
    await afterMove(page, () => drop(0))
    expect(await page.locator('#changes').inputValue()).toContain('Dropped')
  })
})

test('a score can be opened, with its chords as changes; what is no score is said', async () => {
  const page = await it.open()
  const score = await fetch(
    `${it.address}line.mxl?${new URLSearchParams({ changes: 'Title: From a score\n| Gm7 | C7 |' })}`,
  )
  const buffer = Buffer.from(await score.arrayBuffer())
  await afterMove(page, () =>
    page.locator('#file').setInputFiles({ name: 'tune.mxl', mimeType: 'application/zip', buffer }),
  )
  expect(await page.locator('#changes').inputValue()).toMatch(/From a score[\s\S]*\| Gm7 \| C7 \|/)
  await page
    .locator('#file')
    .setInputFiles({ name: 'x.pdf', mimeType: 'application/pdf', buffer: Buffer.from('%PDF-1.7') })
  await page.waitForSelector('.teller:has-text("x.pdf")')
  expect(await page.locator('#changes').inputValue()).toContain('From a score')
})

describe('choosing', () => {
  test('a choice changes the music at once; back and forward undo and redo it', async () => {
    const page = await it.open()
    const first = await musicOf(page)
    await unfold(page)
    await page.locator('#instrument').focus()
    await afterMove(page, () => page.locator('#instrument').selectOption('trumpet'))
    const second = await musicOf(page)
    expect(second).not.toBe(first)
    expect(page.url()).toContain('instrument=trumpet')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('instrument')
    await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
    const third = await musicOf(page)
    expect(third).not.toBe(second)
    await afterMove(page, () => page.goBack())
    expect(await musicOf(page)).toBe(second)
    expect(await page.locator('#seed').inputValue()).toBe('1')
    await afterMove(page, () => page.goBack())
    expect(await musicOf(page)).toBe(first)
    expect(await page.locator('#instrument').inputValue()).toBe('alto-sax')
    await afterMove(page, () => page.goForward())
    expect(await musicOf(page)).toBe(second)
  })

  test('ticks and further choices work', async () => {
    const page = await it.open()
    await unfold(page)
    await page.getByLabel('5', { exact: true }).check()
    await page.waitForURL(/land=3%2C5%2C7/)
    await page.getByText('How to read it').click()
    await page.getByLabel('degrees').uncheck()
    await page.waitForURL(/show=targets%2Cbrackets/)
    await page.getByText('More options').click()
    await page.getByLabel('Lowest note').fill('G4')
    await page.getByLabel('Lowest note').press('Enter')
    await page.waitForURL(/low=G4/)
    expect(await page.locator('details.further[open]').count()).toBe(2)
  })

  test('a step of difficulty sets what is not chosen otherwise', async () => {
    const page = await it.open()
    await unfold(page)
    await page.getByText('More options').click()
    await page.locator('#level').selectOption('1')
    await page.waitForURL(/level=1/)
    await page.waitForFunction(() => (document.getElementById('notes') as HTMLSelectElement).value === '1')
    expect(await page.locator('#compass').inputValue()).toBe('small')
    await page.locator('#level').selectOption('')
    await page.waitForFunction(() => (document.getElementById('notes') as HTMLSelectElement).value === '4')
  })

  test('the shelf offers examples, and the rest of the brief stays', async () => {
    const page = await it.open('?instrument=trombone')
    await page.getByText('Examples').click()
    await afterMove(page, () => page.getByRole('link', { name: 'Waltz' }).click())
    expect(await page.title()).toContain('trombone')
    expect(await page.locator('#changes').inputValue()).toContain('Time: 3/4')
  })

  test('several keys: the first to choose in, the rest as pictures that load when they are come to', async () => {
    const page = await it.open()
    await unfold(page)
    await afterMove(page, () => page.locator('#keys').selectOption('fourths'))
    expect(await page.locator('article.part').count()).toBe(12)
    const last = page.locator('article.part img').last()
    await last.scrollIntoViewIfNeeded()
    await page.waitForFunction(() => {
      const images = document.querySelectorAll<HTMLImageElement>('article.part picture img')
      return images[images.length - 1]!.naturalWidth > 0
    })
    expect(await last.getAttribute('alt')).toMatch(/reading in/)
  })

  test('keys of my own wait for the keys', async () => {
    const page = await it.open()
    await unfold(page)
    await page.locator('#keys').selectOption('list')
    expect(await page.evaluate(() => document.activeElement?.id)).toBe('keyList')
    await page.locator('#keyList').fill('C, F')
    await page.locator('#keyList').press('Enter')
    await page.waitForURL(/keys=C%2CF/)
    expect(await page.locator('article.part').count()).toBe(2)
  })
})

describe('on the staff', () => {
  const choose = async (page: Page, note: Locator) => {
    await note.click()
    await page.waitForSelector('dialog.panel')
    return page.locator('dialog.panel')
  }

  test('a landing offers others with their degrees; the one chosen stands there, kept; back undoes it', async () => {
    const page = await it.open()
    const before = await musicOf(page)
    const landing = page.locator('[data-at="3.1"]')
    const panel = await choose(page, landing)
    expect(await panel.locator('ul.landing [aria-current]').count()).toBe(1)
    const other = panel.locator('ul.landing a:not([aria-current])').first()
    const degree = (await other.locator('.what').textContent())!
    const note = (await other.locator('.detail').textContent())!.split(/[♭♯\d]/)[0]!
    await afterMove(page, () => other.click())
    expect(page.url()).toMatch(/pins=3\.1%3D/)
    expect(await musicOf(page)).not.toBe(before)
    expect(await landing.getAttribute('aria-label')).toMatch(new RegExp(`beat 1: ${note}.*target, kept$`))
    expect(await page.evaluate(() => document.activeElement?.getAttribute('data-at'))).toBe('3.1')
    const again = await choose(page, landing)
    expect(await again.locator('ul.landing [aria-current] .what').textContent()).toBe(degree)
    await page.keyboard.press('Escape')
    expect(await page.locator('.kept').count()).toBe(1)
    expect(await page.locator('.standing').textContent()).toContain('1 place kept')
    await afterMove(page, () => page.goBack())
    expect(await musicOf(page)).toBe(before)
    expect(await page.locator('.standing').count()).toBe(0)
  })

  test('where the server cannot be reached, that is said and nothing opens', async () => {
    const page = await it.open(`?${new URLSearchParams({ changes: '| Dm7 | G7 | Cmaj7 | A7 |' })}`)
    // As a browser answers without a connection (Fetch, network error), which would also log it.
    await page.evaluate(() => {
      globalThis.fetch = () => Promise.reject(new TypeError('Failed to fetch'))
    })
    await page.locator('[data-note="target"]').first().focus()
    await page.keyboard.press('Enter')
    await page.locator('#teller', { hasText: 'cannot be reached' }).waitFor()
    expect(await page.locator('dialog.panel').count()).toBe(0)
  })

  test('an approach and a cell offer others with how often they are heard', async () => {
    const page = await it.open()
    for (const [role, kind] of [
      ['approach', 'approach'],
      ['cell', 'cell'],
    ]) {
      const panel = await choose(page, page.locator(`[data-note="${role}"]`).nth(2))
      expect(await panel.locator(`ul.${kind} a`).count()).toBeGreaterThan(3)
      expect(await panel.locator(`ul.${kind} .detail`).first().textContent()).toMatch(
        /heard \d+ times? in recorded solos|not counted/,
      )
      expect(await panel.locator(`ul.${kind} svg`).first().getAttribute('aria-label')).toMatch(/target [A-G]/)
      const before = await musicOf(page)
      await afterMove(page, () => panel.locator(`ul.${kind} a:not([aria-current])`).first().click())
      expect(await musicOf(page)).not.toBe(before)
    }
  })

  test('another scale over a chord can be chosen, and the reason for the one there is told', async () => {
    const page = await it.open('?changes=%7C+Dm7+%7C+G7+%7C+Cm6+%7C+Cm6+%7C')
    const panel = await choose(page, page.locator('[data-at="2.1"]'))
    expect(await panel.locator('h3:has-text("Scale over") + p').textContent()).not.toBe('')
    await afterMove(page, () => panel.locator('ul.scale a:not([aria-current])').first().click())
    expect(page.url()).toMatch(/scales=2\.1%3D/)
    expect(await page.locator('.standing').textContent()).toContain('1 place with a scale chosen')
    await afterMove(page, () => page.getByRole('link', { name: 'Unpin all' }).click())
    expect(page.url()).not.toContain('scales=')
  })

  test('a bar that is kept stays while all else changes, and is let go again', async () => {
    const page = await it.open()
    // The notes as they sound: their letters follow where the line goes on.
    const bar = async () => {
      const labels = await page
        .locator('[data-bar="2"]')
        .evaluateAll((notes) => notes.map((note) => note.getAttribute('aria-label')!.split(',')[1]!))
      return labels.map((label) =>
        label.replace(/: ([A-G])(?: (flat|sharp))?$/, (_, letter: string, sign?: 'flat' | 'sharp') => {
          const chroma = Note.chroma(letter + (sign ? { flat: 'b', sharp: '#' }[sign] : ''))
          return `: ${chroma}`
        }),
      )
    }
    const before = await bar()
    const panel = await choose(page, page.locator('[data-at="2.1"]'))
    await afterMove(page, () => panel.getByRole('link', { name: 'Bar 2', exact: true }).click())
    expect(await bar()).toEqual(before)
    const first = await musicOf(page)
    await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
    expect(await musicOf(page)).not.toBe(first)
    expect(await bar()).toEqual(before)
    const again = await choose(page, page.locator('[data-at="2.1"]'))
    await afterMove(page, () =>
      again.getByRole('heading', { name: 'Unpin' }).locator('+ ul').getByRole('link', { name: 'Everywhere' }).click(),
    )
    expect(page.url()).not.toContain('pins=')
  })

  test('another line for the bars marked off leaves the others as they are', async () => {
    const page = await it.open()
    const bar = (n: number) =>
      page
        .locator(`[data-bar="${n}"]`)
        .evaluateAll((notes) => notes.map((note) => note.getAttribute('aria-label')!.split(',')[1]))
    const [one, eight] = [await bar(1), await bar(8)]
    await page
      .locator('[data-bar="4"]')
      .first()
      .click({ modifiers: ['Shift'] })
    await page
      .locator('[data-bar="6"]')
      .first()
      .click({ modifiers: ['Shift'] })
    const before = await musicOf(page)
    await afterMove(page, () => page.getByRole('button', { name: 'New notes in these bars' }).click())
    expect(page.url()).toContain('again=4-6%3A2')
    expect(await musicOf(page)).not.toBe(before)
    expect(await bar(1)).toEqual(one)
    expect(await bar(8)).toEqual(eight)
    await afterMove(page, () => page.getByRole('button', { name: 'Show only these bars' }).click())
    expect(await page.locator('.engraved g.measure').count()).toBe(3)
  })
})

describe('a link is the line', () => {
  test('reopened in a fresh browser it gives the same SVG', async () => {
    const page = await it.open()
    await unfold(page)
    await afterMove(page, () => page.locator('#instrument').selectOption('trombone'))
    await afterMove(page, () => page.getByRole('button', { name: 'Another line' }).click())
    const svg = await (await fetch(page.url())).text()
    const other = await it.open(page.url())
    expect(await musicOf(other)).toBe(await musicOf(page))
    expect(await (await fetch(other.url())).text()).toBe(svg)
  })

  test('downloads open', async () => {
    const page = await it.open()
    await page.getByText('More files').click()
    for (const name of ['PDF', 'MusicXML', 'MIDI', 'SVG', 'PNG']) {
      const [download] = await Promise.all([
        page.waitForEvent('download'),
        page.getByRole('link', { name, exact: true }).click(),
      ])
      expect(download.suggestedFilename()).toMatch(/^kettle-at-half-past-six-alto-sax\./)
      expect(readFileSync(await download.path()).length).toBeGreaterThan(200)
    }
  })
})

describe('without script', () => {
  test('the form, the hint and the choices of a note all work', async () => {
    const page = await it.open('', { javaScriptEnabled: false })
    await page.locator('#changes').fill('| Dm7x | Cmja7 |')
    await page.getByRole('button', { name: 'Write the line' }).click()
    await page.getByRole('button', { name: 'Put all suggestions in' }).click()
    expect(await page.locator('#changes').inputValue()).toBe('| Dm7 | Cmaj7 |')
    await page.locator('#changes').fill('| Dm7 | Cmja7 |')
    await page.getByRole('button', { name: 'Write the line' }).click()
    expect(await page.locator('#problems mark').textContent()).toBe('Cmja7')
    await page.locator('#problems button.fix').click()
    expect(await page.locator('#changes').inputValue()).toBe('| Dm7 | Cmaj7 |')
    await unfold(page)
    await page.locator('#instrument').selectOption('flute')
    await page.getByRole('button', { name: 'Another line' }).click()
    expect(page.url()).toMatch(/instrument=flute&seed=2/)
    await page.locator('#words summary').click()
    await page.locator('#words a').first().click()
    expect(await page.locator('h2').textContent()).toContain('Bar 1, beat 1')
    await page
      .getByRole('heading', { name: 'New notes' })
      .locator('+ ul')
      .getByRole('link', { name: 'Everywhere' })
      .click()
    expect(page.url()).toMatch(/seed=3/)
    expect(await page.locator('.engraved g.measure').count()).toBe(2)
  })

  test('Enter in a field writes the line and does nothing else', async () => {
    const page = await it.open('?seed=4', { javaScriptEnabled: false })
    await unfold(page)
    await page.locator('#seed').fill('7')
    await page.locator('#seed').press('Enter')
    expect(page.url()).toMatch(/seed=7/)
  })
})

describe('markup in what is typed is shown as text', () => {
  test.each([
    ['title', 'Title: <img src=x onerror=alert(1)>\n| C7 |'],
    ['chord', '| <svg/onload=alert(1)> | C7 |'],
    ['section', '[<script>alert(1)</script>]\n| C7 | F7 |'],
    ['style', 'Feel: <b onmouseover=alert(1)>x</b>\n| C7 |'],
  ])('%s', async (_, changes) => {
    const page = await it.open(`?${new URLSearchParams({ changes })}`)
    await page.waitForTimeout(200)
    expect(await page.locator('#changes').inputValue()).toBe(changes)
    expect(await page.locator('main img[src="x"], main script:not([type="application/json"]), main b').count()).toBe(0)
  })
})
