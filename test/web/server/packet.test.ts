/** Class packets on the real server: what is shown before, how far it is while it is made, and what comes. */
import { unzipSync } from 'fflate'
import { describe, expect, test } from 'vitest'
import { startForTests } from '../serve.ts'

const { address } = await startForTests({ workers: 1 })
const changes = 'Title: Made Up\n| Dm7 | G7 | Cmaj7 | Cmaj7 |'
const asked = { changes, parts: 'Bb,tuba', packet: 'lines,answers', keys: 'C,Eb' }
const at = (path: string, fields: Record<string, string> = asked) => `${address}${path}?${new URLSearchParams(fields)}`
/** The names that a page of a packet shows, each under its folder. */
const shown = (html: string): readonly string[] =>
  [...html.matchAll(/(?:<h3>([^<]*)<\/h3>\s*)?<ul class="filenames">(.*?)<\/ul>/gs)].flatMap(([, folder, list = '']) =>
    [...list.matchAll(/<li>([^<]*)<\/li>/g)].map(([, name]) => (folder ? `${folder}/${name}` : name!)),
  )
const entries = async (response: Response) => Object.keys(unzipSync(new Uint8Array(await response.arrayBuffer())))

test('the archive holds what the page showed, and is named by the tune', async () => {
  const page = await fetch(at('packet'))
  expect(page.status).toBe(200)
  const html = await page.text()
  expect(html).toContain('It will hold 9 files')
  const [, href = ''] = /id="packet-make" href="([^"]+)"/.exec(html)!
  const archive = await fetch(new URL(href.replaceAll('&amp;', '&').replaceAll('&#x3D;', '='), address))
  expect(archive.headers.get('content-disposition')).toBe('attachment; filename="made-up-class-packet.zip"')
  expect(archive.headers.get('content-type')).toBe('application/zip')
  const names = await entries(archive)
  expect(names).toHaveLength(9)
  expect(names).toEqual(shown(html))
})

test('what is ticked is a form, posted and led to an address that shows it', async () => {
  const body = new URLSearchParams([...Object.entries(asked), ['parts', 'Eb'], ['packet', '']])
  const posted = await fetch(`${address}packet`, { method: 'POST', body, redirect: 'manual' })
  expect(posted.status).toBe(303)
  const page = await (await fetch(new URL(posted.headers.get('location')!, address))).text()
  expect(shown(page).filter((name) => name.startsWith('e-flat'))).toHaveLength(4)
})

test('who watches is told file by file, and then it is there', async () => {
  const fields = { ...asked, seed: '2', packet: 'lines' }
  const response = await fetch(at('packet.zip', { ...fields, watch: 'yes' }))
  expect(response.headers.get('content-type')).toBe('application/x-ndjson')
  expect(response.headers.get('cache-control')).toBe('no-store')
  const news = (await response.text())
    .trim()
    .split('\n')
    .map((line) => JSON.parse(line) as { kind: string; done?: number })
  expect(news.slice(0, -1)).toEqual([0, 1, 2, 3, 4, 5].map((done) => ({ kind: 'going', done, of: 5 })))
  expect(news.at(-1)).toEqual({ kind: 'done' })
  expect(await entries(await fetch(at('packet.zip', fields)))).toHaveLength(5)
})

test('changes too long for a link are posted, and packed all the same', async () => {
  const long = `Title: Long\n| ${Array.from({ length: 900 }, (_, i) => `${'CDEFGAB'[(i * i) % 7]}${['m7', '7(b9)', 'maj7', '13(#11)', 'm7b5'][(i * 7 + (i >> 3)) % 5]}`).join(' | ')} |`
  const body = (more: Record<string, string>) =>
    new URLSearchParams({
      changes: `${long}\n${long.slice(12)}`,
      bars: '1-4',
      parts: 'flute',
      packet: 'lines',
      ...more,
    })
  const page = await fetch(`${address}packet`, { method: 'POST', body: body({}) })
  const html = await page.text()
  if (/id="packet-make" href/.test(html)) return expect(html).toContain('It will hold 2 files')
  expect(html).toMatch(/<form method="post" action="\.\/packet.zip"/)
  expect(shown(html)).toEqual(['long-cover.pdf', 'flute/long-flute-concert-c-major.pdf'])
})

describe('refused, with what would do', () => {
  const all = 'C,Bb,Eb,F,bass,trumpet,tuba,flute,oboe,clarinet,bassoon,horn'
  test.each<[string, Record<string, string>, RegExp]>([
    [
      'too many files',
      { ...asked, keys: 'fourths', parts: all, packet: 'lines,worksheets,answers' },
      /at most 400; take at most \d+ of the keys, or take fewer parts/,
    ],
    ['too long recordings', { ...asked, packet: 'recordings', passes: '190' }, /leave the recordings out/],
    ['changes that cannot be read', { changes: '| Xyz |' }, /There is no line to bind|Found/],
    ['a part that is none', { ...asked, parts: 'trumpit' }, /try trumpet/],
    ['nothing that goes in', { ...asked, packet: 'cake' }, /any of lines, score/],
  ])('%s', async (_, fields, words) => {
    for (const path of ['packet', 'packet.zip']) {
      const response = await fetch(at(path, fields))
      expect([path, response.status]).toEqual([path, 422])
      const html = await response.text()
      expect(html).toMatch(path === 'packet' ? words : /could not be read/)
      expect(html).not.toContain('id="packet-make"')
    }
    const watched = await fetch(at('packet.zip', { ...fields, watch: 'yes' }))
    expect(watched.status).toBe(422)
  })
})
