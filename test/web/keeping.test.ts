/** Kept lines over HTTP and on paper: the link that holds them, the printed code, and what a link of another edition is told. */

import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import jsqr from 'jsqr'
import { afterAll, describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { edition } from '../../lib/edition.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { midiOf } from '../../lib/theory/pitch.ts'
import { readFields } from '../../web/server/address.ts'
import { get, startForTests } from './serve.ts'

// The package's types speak of a module, Node gives its function.
const readCode = ((jsqr as unknown as { default?: unknown }).default ?? jsqr) as typeof jsqr.default
const { address } = await startForTests({ workers: 1, origin: 'https://lines.example.org' })
const folder = mkdtempSync(join(tmpdir(), 'kept-'))
afterAll(() => rmSync(folder, { recursive: true, force: true }))

/** 32 invented bars. */
const changes = `Key: Eb
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Ebmaj7 Cm7 | Fm7 Bb7 |
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Eb6 | Eb6 |
| Bbm7 | Eb7 | Abmaj7 | Abmaj7 | Am7b5 | D7b9 | Gm7 C7 | Fm7 Bb7 |
| Ebmaj7 | Gm7 C7 | Fm7 | Bb7 | Gm7 Gbdim7 | Fm7 Bb7 | Eb6 | Eb6 |`
const given = { changes, seed: '12', rhythm: 'phrased' }
const at = (path: string, fields: Record<string, string>) => `${address}${path}?${new URLSearchParams(fields)}`

const notesOf = (fields: Readonly<Record<string, string | undefined>>) =>
  writeLines(readBrief(fields).brief).lines[0]!.notes.map(
    ({ start, ticks, pitch }) => `${start} ${ticks} ${pitch && midiOf(pitch)}`,
  )
const fieldsOf = (link: string) => readFields(new URL(link, address).searchParams).given
const plain = (html: string) => html.replaceAll('&amp;', '&').replaceAll('&#x3D;', '=')

describe('keeping a line', () => {
  test('its link holds the notes, whatever would be drawn by then', async () => {
    const { text } = await get(at('', { ...given, edition: String(edition) }))
    const href = plain(/<a class="keep-line" href="([^"]+)"/.exec(text)![1]!)
    const kept = fieldsOf(href)
    expect(kept.kept).toMatch(/^[\w-]{100,400}$/)
    // Other rules and another seed: nothing is drawn any more.
    expect(notesOf({ ...kept, seed: '99', land: '9', approach: 'scale', rhythm: 'triplets' })).toEqual(notesOf(given))
    const again = await get(new URL(href, address).href)
    expect(again.status).toBe(200)
    expect(again.text).toContain('These notes were kept')
    expect(again.text).not.toContain('class="keep-line"')
  })

  test('a link of the first edition is told so, and shows what is drawn today', async () => {
    const { status, text } = await get(at('', given))
    expect(status).toBe(200)
    expect(text).toContain(`drawn by edition 1 of the lines; this program draws edition ${edition}`)
    const today = await get(at('', { ...given, edition: String(edition) }))
    expect(today.text).not.toContain('drawn by edition')
    const kept = fieldsOf(plain(/<a class="keep-line" href="([^"]+)"/.exec(today.text)![1]!)) as Record<string, string>
    const old = await get(at('', { ...kept, edition: '1' }))
    expect(old.text).toContain('These notes were kept from edition 1')
    expect(old.text).toContain(`The line that edition ${edition} draws`)
  })

  test('a link cut short says so and shows a line', async () => {
    const { text } = await get(at('', { ...given, edition: String(edition) }))
    const href = plain(/<a class="keep-line" href="([^"]+)"/.exec(text)![1]!)
    const kept = fieldsOf(href) as Record<string, string>
    const cut = await get(at('', { ...kept, kept: kept.kept!.slice(0, -10), edition: String(edition) }))
    expect(cut.status).toBe(200)
    expect(cut.text).toContain('part of the link is missing or changed')
    expect(cut.text).toContain('<svg')
  })
})

test('the code on a printed page, read from a picture by jsqr, brings the same notes back', async () => {
  const response = await fetch(at('line.pdf', { ...given, edition: String(edition) }))
  const path = join(folder, 'line.pdf')
  writeFileSync(path, Buffer.from(await response.arrayBuffer()))
  // Debian's poppler-utils draws the page, at 300 dots an inch.
  const pgm = execFileSync('pdftoppm', ['-r', '300', '-gray', '-f', '1', '-l', '1', path], { maxBuffer: 1e9 })
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(pgm.toString('latin1', 0, 60))!
  const [width, height] = [Number(head[1]), Number(head[2])]
  const grey = pgm.subarray(head[0].length)
  // The lower left of the page, where the code stands.
  const [left, top, wide, high] = [160, height - 700, 640, 620]
  const rgba = new Uint8ClampedArray(wide * high * 4)
  for (let y = 0; y < high; y++)
    for (let x = 0; x < wide; x++) {
      const value = grey[(top + y) * width + left + x]!
      rgba.set([value, value, value, 255], 4 * (y * wide + x))
    }
  const link = readCode(rgba, wide, high)?.data ?? ''
  expect(link).toMatch(/^https:\/\/lines\.example\.org\/\?.*kept=[\w-]+/)
  expect(notesOf({ ...fieldsOf(link), seed: '99', land: '9', rhythm: 'eighths' })).toEqual(notesOf(given))
})
