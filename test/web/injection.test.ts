/** Text that would be markup, code, a header or a path, in every field of text and every format: it stays text. */
import { execFileSync } from 'node:child_process'
import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { unzipSync } from 'fflate'
import { XmlDocument, type XmlElement } from 'libxml2-wasm'
import { parseMidi } from 'midi-file'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'
import { startForTests } from './serve.ts'

let address = ''
const folder = mkdtempSync(join(tmpdir(), 'injection-'))
beforeAll(async () => {
  address = (await startForTests({ workers: 2 })).address
})
afterAll(() => rmSync(folder, { recursive: true }))

/** One of each kind of text that some format gives a meaning to. */
const nasties = {
  markup: '<img src=x onerror=alert(1)><script>alert(2)</script>',
  entities: '<!DOCTYPE x [<!ENTITY a "aa">]>&a;&#0;]]><?go?><![CDATA[x]]>',
  attributes: `"' onload='alert(1)' style="x`,
  'a PDF dictionary': ')>> /OpenAction << /S /JavaScript /JS (app.alert(1)) >> (\\',
  'a template': '{{changes}}{{{changes}}}$(1+1)%s',
  'a path': '../../up\\..\\up',
  'controls and line ends': 'one\u0000\u001b[2J\r\nSet-Cookie: a=b\nK:C\n%%MIDI program 9',
} as const
const harmless = 'Plain words'

/** Where a text of one's own can stand. Headers and sections of a chart are one line. */
const line = (text: string) => text.replace(/[\r\n]+/g, ' ')
const fields: Readonly<Record<string, (text: string) => Record<string, string>>> = {
  'the title asked for': (text) => ({ changes: '| Dm7 | G7 |', title: text }),
  'the title of the changes': (text) => ({ changes: `Title: ${line(text)}\n| Dm7 | G7 |` }),
  'the composer and the feel': (text) => ({ changes: `Composer: ${line(text)}\nFeel: ${line(text)}\n| Dm7 | G7 |` }),
  'a section': (text) => ({ changes: `[${line(text)}]\n| Dm7 | G7 |` }),
  'a chord': (text) => ({ changes: `| Dm7 | ${line(text)} |` }),
  'other choices': (text) => ({ changes: '| Dm7 | G7 |', pins: text, low: text, parts: text, instrument: text }),
}

async function fetched(query: Record<string, string>, path: string) {
  const response = await fetch(`${address}${path}?${new URLSearchParams(query)}`)
  const bytes = new Uint8Array(await response.arrayBuffer())
  return { status: response.status, headers: response.headers, bytes, text: new TextDecoder().decode(bytes) }
}

/** The names of elements and attributes, which is all that markup could add to; throws on XML that is not well formed. */
function namesIn(xml: string): ReadonlySet<string> {
  const document = XmlDocument.fromString(xml)
  const names = new Set<string>()
  const walk = (element: XmlElement) => {
    names.add(element.name)
    for (const attribute of element.attrs) names.add(`@${attribute.name}`)
    for (let child = element.firstChild; child; child = child.next) if ('attrs' in child) walk(child as XmlElement)
  }
  walk(document.root)
  document.dispose()
  return names
}
/** What of the nasty texts stands in a page as they have it. */
const markupIn = (html: string) =>
  ['<img src=x', '<script>alert', '<!ENTITY', '<?go', '<![CDATA', '\u0000', '\u001b'].filter((each) =>
    html.includes(each),
  )
/** All that harmless text in every field gives, by format. */
const usual = new Map<string, ReadonlySet<string>>()
async function usualNames(path: string): Promise<ReadonlySet<string>> {
  const changes = `Title: ${harmless}\nComposer: ${harmless}\nFeel: ${harmless}\n[${harmless}]\n| Dm7 | G7 |`
  const names = usual.get(path) ?? namesIn((await fetched({ changes }, path)).text)
  usual.set(path, names)
  return names
}

/** Debian's poppler-utils: an outside reader of PDF. */
const pdfinfo = (...args: string[]): string | null => {
  try {
    return execFileSync('pdfinfo', args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] })
  } catch {
    return null
  }
}
const poppler = pdfinfo('-v') !== null
const why = poppler ? '' : ' (the PDF unread: no poppler-utils here)'

describe.each(Object.entries(fields))('%s', (field, queryOf) => {
  test.each(Object.entries(nasties))(`holds %s, and it is text in every format${why}`, async (name, nasty) => {
    let read = 0
    const both = async (path: string) => {
      const [now, before] = await Promise.all([fetched(queryOf(nasty), path), fetched(queryOf(harmless), path)])
      expect([200, 422], path).toContain(now.status)
      expect(now.headers.get('set-cookie')).toBeNull()
      expect(now.headers.get('content-disposition') ?? 'attachment; filename="a.b"').toMatch(
        /^attachment; filename="[a-z0-9-]+\.[a-z-]+"$/,
      )
      // Where it is refused, the page that says so shows it as text.
      if (now.status === 422 && path !== 'line.json') expect(markupIn(now.text), path).toEqual([])
      if (now.status === 200 && before.status === 200) read += 1
      return now.status === 200 && before.status === 200 ? { now, before } : null
    }
    const page = await fetched(queryOf(nasty), '')
    expect(markupIn(page.text)).toEqual([])
    if (name === 'a template') expect(page.text).toContain('{{{changes}}}')
    expect(page.headers.get('set-cookie')).toBeNull()

    for (const path of ['line.svg', 'sheet.svg', 'line.mei', 'line.musicxml']) {
      const pair = await both(path)
      if (!pair) continue
      const known = await usualNames(path)
      expect(
        [...namesIn(pair.now.text)].filter((each) => !known.has(each)),
        path,
      ).toEqual([])
    }
    if (field === 'the title asked for' && !name.startsWith('controls'))
      expect(XmlDocument.fromString((await fetched(queryOf(nasty), 'line.mei')).text).root.content).toContain(nasty)
    const abc = await both('line.abc')
    const headers = (text: string) => text.split('\n').filter((each) => /^([A-Za-z]:|%%)/.test(each)).length
    if (abc) expect(headers(abc.now.text)).toBe(headers(abc.before.text))
    const midi = await both('line.mid')
    const kinds = (bytes: Uint8Array) => parseMidi(bytes).tracks.map((track) => track.map(({ type }) => type))
    if (midi) expect(kinds(midi.now.bytes)).toEqual(kinds(midi.before.bytes))
    const json = await both('line.json')
    if (json) expect(JSON.parse(json.now.text).problems).toEqual([])
    const zip = await both('line.zip')
    if (zip) for (const entry of Object.keys(unzipSync(zip.now.bytes))) expect(entry).toMatch(/^[\w-]+\.[a-z]+$/)
    const pdf = await both('line.pdf')
    if (pdf && poppler) {
      const path = join(folder, 'line.pdf')
      const said = (bytes: Uint8Array) => {
        writeFileSync(path, bytes)
        return { script: pdfinfo('-js', path), pages: /Pages: +\d+/.exec(pdfinfo(path) ?? '')?.[0] }
      }
      expect(said(pdf.now.bytes)).toEqual({ script: '', pages: 'Pages:           1' })
    }
    // A title asked for is taken whatever it holds, one in the changes unless it is markup: then all nine formats were read. Where it
    // is refused, only the page's own picture is drawn, of the bars that are right.
    const refused = field === 'the title of the changes' && /markup|entities/.test(name)
    if (field.includes('title')) expect(read).toBe(refused ? 1 : 9)
  })
})
