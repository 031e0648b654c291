/** Lines given to the page to be marked: by the form, by a bare upload, and what is said of files that are none. */
import { beforeAll, describe, expect, test } from 'vitest'
import { readBrief } from '../../../lib/brief.ts'
import { writeLines } from '../../../lib/lines/write.ts'
import type { Running } from '../../../web/server/server.ts'
import { bytesOf } from '../../mark/writtenLine.ts'
import { startForTests } from '../serve.ts'

const { brief } = readBrief({ changes: 'Key: F\n| Gm7 | C7 | Fmaj7 | D7b9 |', every: 'half', instrument: 'tenor-sax' })
const line = writeLines(brief).lines[0]!
const score = bytesOf(line, brief, 'musicxml')

let server: Running
beforeAll(async () => {
  server = await startForTests()
}, 60_000)

const address = (path: string) => `http://localhost:${server.port}${path}`

async function post(
  files: readonly (readonly [name: string, bytes: Uint8Array])[],
  fields: Record<string, string> = {},
) {
  const form = new FormData()
  for (const [name, bytes] of files) form.append('file', new Blob([bytes as Uint8Array<ArrayBuffer>]), name)
  for (const [name, value] of Object.entries(fields)) form.append(name, value)
  const response = await fetch(address('/mark'), { method: 'POST', body: form })
  return { status: response.status, headers: response.headers, text: await response.text() }
}

describe('a line given to be marked', () => {
  test('the empty form comes at its address', async () => {
    const response = await fetch(address('/mark'))
    expect(response.status).toBe(200)
    expect(await response.text()).toContain('enctype="multipart/form-data"')
  })

  test('comes back on a staff, with its downbeats, its counts and boxes to tick', async () => {
    const { status, text, headers } = await post([['solo.musicxml', score]])
    expect(status).toBe(200)
    expect(headers.get('cache-control')).toBe('no-store')
    expect(text).toContain('solo.musicxml – Tenor saxophone')
    expect(text).toContain('<svg')
    expect(text).toMatch(/A guide tone waits on 4 of 4 downbeats/)
    expect(text).toMatch(/<input type="checkbox" name="figures" value="-?\d/)
    expect(text).toContain('<meter min="0"')
  })

  test('comes as the bytes of a file alone, too', async () => {
    const response = await fetch(address('/mark'), {
      method: 'POST',
      body: score as Uint8Array<ArrayBuffer>,
      headers: { 'content-type': 'application/octet-stream' },
    })
    expect(response.status).toBe(200)
  })

  test('over changes of its own', async () => {
    const abc = new TextEncoder().encode('X:1\nL:1/8\nM:4/4\nK:C\nFEDC A,CEG|BAGF E4|\n')
    expect((await post([['a.abc', abc]])).text).toContain('expected the changes that the line was played over')
    const { status, text } = await post([['a.abc', abc]], { changes: '| Dm7 | G7 |' })
    expect(status).toBe(200)
    expect(text).toContain('A guide tone waits on 2 of 2 downbeats')
  })

  test.each([
    ['csv', 'text/csv', /^kind,class,offsets,degree,quality,count\napproach,/],
    ['musicxml', 'application/vnd.recordare.musicxml+xml', /<bracket type="start"/],
    ['pdf', 'application/pdf', /^%PDF-/],
  ])('as %s', async (as, type, shape) => {
    const { status, headers, text } = await post([['solo.musicxml', score]], { as })
    expect(status).toBe(200)
    expect(headers.get('content-type')).toContain(type)
    expect(text).toMatch(shape)
  })

  test('what is ticked becomes a drill in twelve keys that holds nothing else', async () => {
    const query = new URLSearchParams({
      changes: '| Gm7 | C7 | Fmaj7 | Dm7 | Gm7 | C7 | Fmaj7 | Fmaj7 |',
      instrument: 'tenor-sax',
    })
    for (const figure of ['2 -1', '1 -1', '3 2 1']) query.append('figures', figure)
    const response = await fetch(address(`/mark/drill?${query}`), { redirect: 'manual' })
    expect(response.status).toBe(303)
    const to = new URL(response.headers.get('location')!, address('/'))
    const drawn = writeLines(readBrief(Object.fromEntries(to.searchParams)).brief)
    expect(drawn.lines).toHaveLength(12)
    const used = new Set(
      drawn.lines.flatMap(({ figures }) =>
        figures.flatMap(({ kind, offsets }) => (kind === 'approach' ? [offsets.join(' ')] : [])),
      ),
    )
    expect([...used].sort()).toEqual(['1 -1', '2 -1', '3 2 1'])
    expect((await fetch(to)).status).toBe(200)
  })
})

describe('what is no line', () => {
  test.each([
    ['no file', [], /No file came with it/],
    ['an empty file', [['a.xml', new Uint8Array()]], /No file came with it/],
    ['text that is none', [['a.txt', new TextEncoder().encode('hello')]], /expected MusicXML, MXL/],
    ['MIDI that breaks off', [['a.mid', new TextEncoder().encode('MThd\0\0')]], /breaks off/],
    ['markup in its name', [['<b>&.txt', new TextEncoder().encode('hello')]], /&lt;b&gt;&amp;\.txt/],
  ] as const)('%s', async (_, files, said) => {
    const { status, text } = await post(files as readonly (readonly [string, Uint8Array])[])
    expect(status).toBe(422)
    expect(text).toMatch(said)
  })

  test('a file beyond the limit is refused by its size', async () => {
    expect((await post([['a.xml', new Uint8Array(10_000_000)]])).status).toBe(413)
  })

  test('a form that breaks off', async () => {
    const response = await fetch(address('/mark'), {
      method: 'POST',
      body: 'x',
      headers: { 'content-type': 'multipart/form-data; boundary=y' },
    })
    expect(response.status).toBe(400)
  })
})
