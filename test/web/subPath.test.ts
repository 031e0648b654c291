/** The page below a path of another's site, behind a proxy that takes the path off or passes it on: nothing leads out of it. */
import jsqr from 'jsqr'
import { afterAll, describe, expect, test } from 'vitest'
import { edition } from '../../lib/edition.ts'
import { readSettings } from '../../web/server/settings.ts'
import { startProxy } from './prefixProxy.ts'
import { buildServer, startForTests } from './serve.ts'

// The package's types speak of a module, Node gives its function.
const readCode = ((jsqr as unknown as { default?: unknown }).default ?? jsqr) as typeof jsqr.default

// A slash at the end of what was set says nothing.
const built = await buildServer()
const settings = readSettings({ ORIGIN: 'https://example.org/music/', PROXIES: '1' })
const server = await startForTests({ workers: 2, ...settings }, built)
const proxies = {
  'taken off': await startProxy(server.address, '/music', false),
  'passed on': await startProxy(server.address, '/music', true),
}
afterAll(async () => {
  for (const proxy of Object.values(proxies)) await proxy.close()
})

const tune = { changes: '| Dm7 | G7 |\n| Cmaj7 | A7 |', edition: String(edition) }
const misread = { changes: '| Cmja7 |' }
const query = (fields: Readonly<Record<string, string>>) => `?${new URLSearchParams(fields)}`

/** A page of each kind, messages deep below the root among them. */
const pages: readonly (readonly [path: string, status: number])[] = [
  ['', 200],
  [query({ ...tune, keys: 'C,F' }), 200],
  [query({ ...tune, bars: '1-2', pins: '1.1=F4' }), 200],
  [query({ ...tune, edition: '1' }), 200],
  [query(misread), 422],
  ['help', 200],
  ['figures', 200],
  ['mark', 200],
  ['practice', 200],
  ['plan', 200],
  [`plan${query(tune)}`, 200],
  [`packet${query({ ...tune, parts: 'flute', packet: 'lines' })}`, 200],
  [`choices${query({ ...tune, at: '1.1' })}`, 200],
  [`choices${query({ ...tune, at: '9.9' })}`, 422],
  [`line.svg${query(misread)}`, 422],
  ['nowhere', 404],
  ['help/', 404],
  ['no/where/at/all', 404],
  ['assets/gone/page.js', 404],
]

const plain = (text: string) =>
  text.replace(/&(?:#x([0-9A-F]+)|(amp|lt|gt|quot));/g, (_, hex: string | undefined, name: string) =>
    hex ? String.fromCharCode(Number.parseInt(hex, 16)) : { amp: '&', lt: '<', gt: '>', quot: '"' }[name]!,
  )

/** All that a page leads to, written out: links, files, pictures, forms; what stands in the page itself left out. */
function leadsTo(html: string, address: string): readonly string[] {
  const found = html.matchAll(/\s(?:href|src|srcset|action|formaction|data-music)="([^"]*)"/g)
  return [...found]
    .map(([, text = '']) => plain(text))
    .filter((text) => !text.startsWith('#'))
    .map((text) => new URL(text, address).href.replace(/#.*/, ''))
}

const shapeOf = (link: string): string => {
  const { pathname, searchParams } = new URL(link)
  return /\.\w+$/.test(pathname) ? pathname : [pathname, ...new Set(searchParams.keys())].join(' ')
}

describe.each(Object.entries(proxies))('a path that is %s', (_, proxy) => {
  const root = proxy.address

  test('every link, file, picture and form of every page stays below it, and is there', async () => {
    const links = new Set<string>()
    for (const [path, status] of pages) {
      const response = await fetch(`${root}${path}`)
      expect([path, response.status]).toEqual([path, status])
      for (const link of leadsTo(await response.text(), response.url)) links.add(link)
    }
    expect([...links].filter((link) => !link.startsWith(root))).toEqual([])
    // One of each shape is asked for: a file of each kind, and of pages the same names of fields.
    const shapes = new Map([...links].map((link) => [shapeOf(link), link]))
    expect(shapes.size).toBeGreaterThan(30)
    const broken: string[] = []
    for (const link of shapes.values()) {
      const response = await fetch(link, { redirect: 'manual' })
      // The way back to changes that cannot be read leads to where they are put right.
      const wrong = response.status === 422 && new URL(link).searchParams.get('changes') === misread.changes
      if (response.status >= 400 && !wrong) broken.push(`${response.status} ${link}`)
      const to = response.headers.get('location')
      if (to !== null && !new URL(to, link).href.startsWith(root)) broken.push(`${link} leads to ${to}`)
      if (!response.headers.get('content-type')?.startsWith('text/html')) await response.body?.cancel()
      else broken.push(...leadsTo(await response.text(), link).filter((each) => !each.startsWith(root)))
    }
    expect(broken).toEqual([])
    expect(proxy.outside).toEqual([])
  }, 180_000)

  test.each([
    ['the changes', '', { ...tune, seed: '5' }, /^\?changes=/],
    ['another line', '', { ...tune, another: 'all' }, /^\?changes=.*seed=/],
    ['figures that were ticked', 'figures/drill', { figures: '2 -1', way: 'drill' }, /^\?.*figures=2\+-1/],
    ['figures of a line', 'mark/drill', { ...tune, figures: '2 -1' }, /^\?.*figures=2\+-1/],
  ])('a form with %s leads to a page below it', async (_name, path, fields, leads) => {
    const posted = path === ''
    const address = posted ? root : `${root}${path}${query(fields)}`
    const form = posted ? { method: 'POST', body: new URLSearchParams(fields) } : {}
    const response = await fetch(address, { ...form, redirect: 'manual' })
    expect(response.status).toBe(303)
    const to = new URL(response.headers.get('location')!, address).href
    expect(to.slice(0, root.length)).toBe(root)
    expect(to.slice(root.length)).toMatch(leads)
    expect((await fetch(to)).status).toBe(200)
  })

  test('a file is read and a line is marked below it', async () => {
    const read = await fetch(`${root}read`, { method: 'POST', body: '| Dm7 | G7 |' })
    expect([read.status, await read.text()]).toEqual([200, expect.stringContaining('Dm7')])
    const body = new FormData()
    body.set('file', new File(['X:1\nM:4/4\nL:1/8\nK:C\n"Dm7"FEDC "G7"B,DFA|\n'], 'a.abc'))
    const marked = await fetch(`${root}mark`, { method: 'POST', body })
    expect(marked.status).toBe(200)
    for (const link of leadsTo(await marked.text(), marked.url)) expect(link.slice(0, root.length)).toBe(root)
  })

  test('the path without its slash leads to the page', async () => {
    const response = await fetch(root.replace(/\/$/, ''))
    expect([response.status, response.url]).toEqual([200, root])
    const asked = await fetch(`${root.slice(0, -1)}${query(tune)}`)
    expect([asked.status, asked.url]).toEqual([200, `${root}${query(tune)}`])
  })

  test('as a program of a device it begins there and stays there, and so does what is kept without a server', async () => {
    const html = await (await fetch(root)).text()
    const manifest = new URL(/rel="manifest" href="([^"]+)"/.exec(html)![1]!, root)
    const said = (await (await fetch(manifest)).json()) as { start_url: string; scope: string }
    expect([new URL(said.start_url, manifest).href, new URL(said.scope, manifest).href]).toEqual([root, root])
    // The script registers what lies two folders above it; its scope is the folder that it lies in (Service Workers, 3.4).
    const script = new URL(/src="([^"]+page\.js)"/.exec(html)![1]!, root)
    const worker = await fetch(new URL('../../service-worker.js', script))
    expect([worker.status, new URL('./', worker.url).href]).toEqual([200, root])
  })
})

describe('what is written out', () => {
  const { address } = proxies['taken off']

  test('the code beside the music, read by jsqr, says where people see the page', async () => {
    const html = await (await fetch(`${address}${query(tune)}`)).text()
    const [, width = '', path = ''] = /class="squares">.*?viewBox="0 0 (\d+) \d+".*?<path[^>]* d="([^"]+)"/s.exec(html)!
    const side = Number(width)
    const rgba = new Uint8ClampedArray(side * side * 4).fill(255)
    for (const [, x, y, size] of path.matchAll(/M(\d+),(\d+)h(\d+)v/g))
      for (let row = 0; row < Number(size); row++)
        for (let column = 0; column < Number(size); column++)
          rgba.set([0, 0, 0, 255], 4 * ((Number(y) + row) * side + Number(x) + column))
    expect(readCode(rgba, side, side)?.data).toMatch(/^https:\/\/example\.org\/music\/\?changes=.*kept=/)
  })

  test('a plan, on its page and in a calendar, too', async () => {
    const html = await (await fetch(`${address}plan${query(tune)}`)).text()
    expect(plain(/id="plan-link"[^>]* value="([^"]+)"/.exec(html)![1]!)).toMatch(
      /^https:\/\/example\.org\/music\/practice#[\w-]+$/,
    )
    const calendar = await (await fetch(`${address}plan.ics${query(tune)}`)).text()
    expect(calendar.replaceAll('\r\n ', '')).toContain('https://example.org/music/practice#')
  })

  test('who gathers pages is told in words of the whole site, and by each answer', async () => {
    const robots = await (await fetch(`${address}robots.txt`)).text()
    expect(robots).toBe(
      'User-agent: *\nAllow: /music/$\nAllow: /music/help\nAllow: /music/assets/\nDisallow: /music/\n',
    )
    const said = async (path: string) => (await fetch(`${address}${path}`)).headers.get('x-robots-tag')
    expect(await said('')).toBe('nofollow')
    expect(await said('help')).toBe('nofollow')
    expect(await said(query(tune))).toBe('noindex, nofollow')
  })
})

test('a path of the same name as a page of ours is no matter', async () => {
  const named = await startForTests({ workers: 1, origin: 'https://example.org/practice', proxies: 1 }, built)
  for (const passesOn of [true, false]) {
    const proxy = await startProxy(named.address, '/practice', passesOn)
    for (const [path, heading] of [
      ['', 'A line over your changes'],
      ['practice', 'What to practise today'],
      ['help', 'How to practise with it'],
    ]) {
      const response = await fetch(`${proxy.address}${path}`)
      expect([response.url, response.status]).toEqual([`${proxy.address}${path}`, 200])
      expect(await response.text()).toContain(heading)
    }
    expect(proxy.outside).toEqual([])
    await proxy.close()
  }
})
