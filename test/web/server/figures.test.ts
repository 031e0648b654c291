/** The page of figures and the drills of the first screen, over the real server. */
import { beforeAll, describe, expect, test } from 'vitest'
import { choices } from '../../../lib/brief.ts'
import { namedDrills } from '../../../lib/drill/drills.ts'
import type { Running } from '../../../web/server/server.ts'
import { startForTests } from '../serve.ts'

let server: Running
beforeAll(async () => {
  server = await startForTests()
}, 120_000)

const get = async (path: string) => {
  const response = await fetch(new URL(path, server.address), { redirect: 'manual' })
  return { status: response.status, to: response.headers.get('location'), text: await response.text() }
}
const plain = (html: string) => html.replaceAll('&#x3D;', '=').replaceAll('&amp;', '&')

describe('the page of figures', () => {
  test('shows each with its count, its degrees, a tick, a way to hear it, and staves', async () => {
    const { status, text } = await get('/figures?instrument=tenor-sax&key=Eb&heard=60')
    expect(status).toBe(200)
    expect(text).toMatch(/<option value="tenor-sax" selected>/)
    const { least, most } = choices.heard
    expect(text).toContain(`name="heard" type="number" min="${least}" max="${most}" value="60"`)
    expect(text).toMatch(/name="figures" value="2 -1"/)
    expect(text).toMatch(/name="cells" value="1-2-3-4"/)
    // What is beside a count and does not add up to it is said to be of more solos.
    expect(text).toMatch(/degrees are those of the targets, counted over solos of every style/)
    expect(text).toMatch(/<\/svg> 2 −1<\/th><td>enclosure<\/td><td>65<\/td><td>1: \d+, 3: \d+/)
    const played = [...text.matchAll(/data-play="([^"]+)" aria-label="Play 2 −1"/g)].map(([, notes = '']) =>
      notes.split(' ').map(Number),
    )
    expect(played).toHaveLength(1)
    expect(played[0]!.slice(0, 2).map((midi) => midi - played[0]![2]!)).toEqual([2, -1])
    expect(text.match(/<svg/g)!.length).toBeGreaterThan(3)
  })
  test('marks what books teach and recordings do not hold, and says why', async () => {
    const { text } = await get('/figures?textbook=yes&heard=200')
    expect(text).toMatch(/<tr class="dead">.*?books teach it, but never heard here/)
  })
  test('what cannot be read is as usual', async () => {
    const { status, text } = await get('/figures?heard=lots&key=H&instrument=kazoo')
    expect(status).toBe(200)
    expect(text).toMatch(/<option value="alto-sax" selected>/)
  })
  test('ticks lead to a drill in twelve keys, or to one that covers them', async () => {
    const { status, to } = await get(
      '/figures/drill?figures=2+-1&figures=1+-1&cells=1-2-3-5&instrument=flute&way=drill',
    )
    expect(status).toBe(303)
    const fields = new URL(to!, server.address).searchParams
    expect(fields.get('figures')).toBe('2 -1; 1 -1')
    expect([fields.get('cells'), fields.get('exact'), fields.get('join')]).toEqual(['1-2-3-5', 'yes', 'yes'])
    const drill = await get(to!)
    expect(drill.status).toBe(200)
    const cover = await get('/figures/drill?figures=2+-1&figures=1+-1&way=cover')
    expect(new URL(cover.to!, server.address).searchParams.get('cover')).toBe('yes')
    expect((await get(cover.to!)).status).toBe(200)
  })
})

test('every drill to start from is one click from the first screen', async () => {
  const { text } = await get('/?instrument=trumpet')
  for (const { title } of namedDrills) {
    const href = new RegExp(`<a href="([^"]*)" title="[^"]*">${title}</a>`).exec(plain(text))?.[1]
    expect(href, title).toBeDefined()
    const page = await get(href!)
    expect([page.status, title]).toEqual([200, title])
    expect(page.text).toMatch(/<option value="trumpet" selected>/)
    expect(page.text).toMatch(/class="engraved"/)
  }
})
