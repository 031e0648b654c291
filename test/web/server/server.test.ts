import { gunzipSync } from 'node:zlib'
import fc from 'fast-check'
import { unzipSync, zipSync } from 'fflate'
import { beforeAll, describe, expect, test } from 'vitest'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { edition } from '../../../lib/edition.ts'
import { exports, pathOf } from '../../../lib/exports.ts'
import { webLimits } from '../../../web/server/limits.ts'
import { examples, firstExample } from '../../../web/views/examples.ts'
import { get, post, startForTests } from '../serve.ts'

let address = ''
beforeAll(async () => {
  address = (await startForTests()).address
})

const at = (query: Record<string, string>, path = '') => `${address}${path}?${new URLSearchParams(query)}`

/** Attribute text without its escapes. */
const plain = (text: string) =>
  text.replace(/&(?:#x([0-9A-F]+)|(amp|lt|gt|quot));/g, (_, hex: string | undefined, name: string) =>
    hex ? String.fromCharCode(Number.parseInt(hex, 16)) : { amp: '&', lt: '<', gt: '>', quot: '"' }[name]!,
  )

/** Text that does not compress: letters drawn by a 32-bit generator (Numerical Recipes' constants). */
function noise(length: number): string {
  let text = ''
  for (let state = 1; text.length < length; ) {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0
    text += String.fromCharCode(33 + ((state >>> 16) % 94))
  }
  return text
}

describe('the page', () => {
  test('finds an example written out at the first visit', async () => {
    const { status, text } = await get(address)
    expect(status).toBe(200)
    expect(text).toContain('<title>Kettle at Half Past Six, alto saxophone – Throughline</title>')
    expect(text).toContain(firstExample.changes.split('\n').at(-1)!)
    expect(text.match(/class="measure"/g)).toHaveLength(12)
  })

  test('writes what is asked, and says it bar by bar', async () => {
    const { status, text } = await get(
      at({ changes: '| Dm7 | G7 | Cmaj7 | Cmaj7 |', instrument: 'trombone', seed: '3' }),
    )
    expect(status).toBe(200)
    expect(text.match(/<li id="bar-\d+">/g)).toHaveLength(4)
    expect(text).toMatch(/Bar 1, D minor 7:/)
    expect(text).toContain('<option value="trombone" selected>')
  })

  test('opens the heading that holds what is wrong, and marks the field', async () => {
    const { status, text } = await get(at({ changes: '| Dm7 | G7 |', majorSign: 'tri' }))
    expect(status).toBe(422)
    expect(text).toContain('<li id="wrong-majorSign"><a href="#majorSign">Major sevenths</a>: found tri;')
    expect(text).toMatch(/<select id="majorSign" name="majorSign"[^>]* aria-invalid="true"/)
    expect(text).toMatch(/<details class="further" open>\s*<summary>More options/)
    expect(text.match(/<details class="further" open>/g)).toHaveLength(1)
  })

  test('says what is heard of the harmony where that is asked for', async () => {
    const query = { changes: '| Dm7 | G7 | Cmaj7 | Cmaj7 |', instrument: 'tenor-sax' }
    expect((await get(at(query))).text).not.toContain('class="heard"')
    const { text } = await get(at({ ...query, show: 'analysis' }))
    const heard = [...text.matchAll(/<ul class="heard"><li>(.*?)<\/li><\/ul>/g)].map(([, words]) => words)
    expect(heard).toHaveLength(3)
    expect(heard[0]).toBe('E minor 7, two minor 7: two of D major, making a two-five with A7. Scale: E dorian.')
    expect(text.match(/class="bracketSpan two-five"/g)).toHaveLength(1)
    expect(text).toMatch(/class="harm function"/)
  })

  test('offers the scales that hold a chord, over a dominant those that alter its fifth, and says why in the key that is read', async () => {
    const changes = 'Key: C\n| Dm7 | G7 | Cmaj7 | C6 |'
    const offered = async (place: string) => {
      const { text } = await get(at({ changes, instrument: 'tenor-sax', at: place, bare: 'yes' }, 'choices'))
      const [, heading, note, rest = ''] = /<h3>(Scale over [^<]*)<\/h3>\s*<p class="fine">([^<]*)<\/p>(.*?)<h3>/s.exec(
        text,
      )!
      return {
        heading,
        note: plain(note!),
        scales: [...rest.matchAll(/<span class="what">([^<]*)</g)].map(([, name]) => name),
      }
    }
    const dominant = await offered('2.1')
    expect(dominant.heading).toBe('Scale over A7')
    expect(dominant.note).toBe('V of D major, going home to Dmaj7.')
    expect(dominant.scales[0]).toBe('mixolydian')
    expect(dominant.scales).toEqual(
      expect.arrayContaining(['altered', 'lydian dominant', 'whole tone', 'phrygian dominant']),
    )
    expect(dominant.scales).not.toContain('dorian')
    const minor = await offered('1.1')
    expect(minor.heading).toBe('Scale over Em7')
    expect(minor.scales).toEqual(expect.arrayContaining(['dorian', 'phrygian', 'aeolian']))
    expect(minor.scales).not.toContain('locrian')
  })

  test('gives every id once, with several sheets in the page too', async () => {
    const { text } = await get(
      at({ changes: '| Dm7 | G7 | Cmaj7 | C6 |\n'.repeat(12), show: 'targets,analysis,scales' }),
    )
    const ids = [...text.matchAll(/ id="([^"]*)"/g)].map(([, id]) => id)
    expect(ids.length).toBeGreaterThan(400)
    expect(ids.filter((id, i) => ids.indexOf(id) !== i)).toEqual([])
  })

  test('gives the same bytes for the same address', async () => {
    const query = at({ changes: examples[4]!.changes, seed: '11' })
    const [a, b] = [await get(query), await get(`${query}&seed=11`)]
    expect(a.text).toBe(b.text)
  })

  test('shows several keys, the first to choose in, the rest as pictures', async () => {
    const { text } = await get(at({ changes: '| Dm7 G7 | C6 |', keys: 'fourths' }))
    expect(text.match(/<article class="part"/g)).toHaveLength(12)
    const sheets = [...text.matchAll(/<img src="(\.\/sheet\.svg[^"]*)"/g)].map((m) => plain(m[1]!))
    expect(sheets).toHaveLength(11)
    const { status, headers, text: svg } = await get(address + sheets[4])
    expect(status).toBe(200)
    expect(headers.get('content-type')).toMatch('image/svg+xml')
    expect(headers.get('cache-control')).toContain('immutable')
    expect(svg).toMatch(/^<svg /)
  })
})

describe('a posted form leads to the address of its state', () => {
  test.each([
    [
      'the defaults said out',
      { changes: 'Dm7', notes: '4', instrument: 'alto-sax', on: '1' },
      `./?changes=Dm7&edition=${edition}`,
    ],
    ['another line', { changes: 'Dm7', seed: '4', another: 'all' }, `./?changes=Dm7&seed=5&edition=${edition}`],
    [
      'another line for some bars',
      { changes: 'Dm7 | G7', another: '1-2' },
      `./?changes=Dm7+%7C+G7&again=1-2%3A2&edition=${edition}`,
    ],
    ['a hint put in place', { changes: '| Cmja7 |', fix: '2-7:Cmaj7' }, `./?changes=%7C+Cmaj7+%7C&edition=${edition}`],
    [
      'changes a half step up',
      { changes: 'Key: C\n| Dm7 |', edit: 'up' },
      `./?changes=Key%3A+Db%0A%7C+Ebm7+%7C&edition=${edition}`,
    ],
    ['bars lined up', { changes: '|Dm7|G7|', edit: 'align' }, `./?changes=%7C+Dm7+%7C+G7+%7C&edition=${edition}`],
    [
      'what cannot be read, kept as typed',
      { changes: 'Dm7', key: 'H', notes: '0' },
      `./?changes=Dm7&key=H&notes=0&edition=${edition}`,
    ],
    ['only some bars', { changes: 'Dm7', only: '1-1' }, `./?changes=Dm7&bars=1-1&edition=${edition}`],
    [
      'another step of difficulty',
      { changes: 'Dm7', notes: '4', land: '3,7', level: '1', levelWas: '' },
      `./?changes=Dm7&level=1&edition=${edition}`,
    ],
    ['the same step, with a choice of one’s own', { changes: 'Dm7', notes: '2', level: '1', levelWas: '1' }, /level=1/],
  ])('%s', async (_, fields, where) => {
    const { status, headers } = await post(address, fields as Record<string, string>)
    expect(status).toBe(303)
    const location = headers.get('location')!
    if (typeof where === 'string') expect(location).toBe(where)
    else expect(location).toMatch(where)
  })

  test('changes too long for a link are written all the same, and the page says so', async () => {
    const changes = `| Dm7 | G7 | C6 |\n${noise(webLimits.address * 2)
      .replace(/.{50}/g, '$&\n# ')
      .replace(/^/, '# ')}`
    const { status, text } = await post(address, { changes })
    expect([200, 422]).toContain(status)
    expect(text).toContain(status === 200 ? 'too long for a link' : 'to put right')
  })
})

describe('one press puts every suggestion in', () => {
  test.each([
    ['two qualities', '| Cmja7 | Dm7 |\n| F7x | C6 |', '| Cmaj7 | Dm7 |\n| F7 | C6 |', ''],
    ['the key and a chord', 'Key: H\n| Dm7 | Cmja7 |', 'Key: C\n| Dm7 | Cmaj7 |', ''],
    ['words, a root and a bracket', '| J7 G7 | what ever | Dm7( |', '| C7 G7 | N.C. | Dm7 |', ''],
    [
      'a mistake behind which a note stands',
      '| Dm7 | Cmja7 F7x G7 A7 B7 |',
      '| Dm7 | Cmaj7 F7 G7 A7 B7 |',
      'Cmaj7 F7 G7 A7 B7',
    ],
    ['one without a suggestion stays', '| Dm7 [1. | Gmja7 :| Cmja7', '| Dm7 [1. | Gmaj7 :| Cmaj7', '[1'],
  ])('%s', async (_, changes, mended, left) => {
    const before = (await get(at({ changes }))).text
    expect(before).toContain('name="edit" value="mend">Put all suggestions in</button>')
    expect(before).toMatch(/<span class="where">bar \d+, \d+:\d+<\/span>/)
    const { status, headers } = await post(address, { changes, notes: '3', edit: 'mend' })
    expect(status).toBe(303)
    const query = new URLSearchParams(headers.get('location')!.slice(3))
    expect([query.get('changes'), query.get('notes')]).toEqual([mended, '3'])
    const { text } = await get(address + headers.get('location')!)
    expect(text).not.toContain('value="mend"')
    const marks = [...text.matchAll(/<pre class="typed"[^>]*>.*?<mark>(.*?)<\/mark>/g)].map(([, mark]) => mark)
    expect(marks).toEqual(left === '' ? [] : [left])
  })

  test.each(['| Cmja7 | Dm7 |', '| Dm7 | G7 |', ''])('no such button for %j: fewer than two', async (changes) => {
    expect((await get(at({ changes }))).text).not.toContain('value="mend"')
  })
})

describe('what cannot be read', () => {
  test.each([
    ['an unknown chord', { changes: '| Cmja7 |' }, 'Cmja7'],
    ['a key that does not exist', { changes: 'Dm7', key: 'H' }, 'a key such as C'],
    ['a range that no landing fits', { changes: 'Dm7', low: 'C5', high: 'D5' }, 'C5'],
    ['an instrument that is none', { changes: 'Dm7', instrument: 'kazoo' }, 'kazoo'],
    ['no landing note', { changes: 'Dm7', land: '' }, 'at least one of'],
    ['bars that are not there', { changes: 'Dm7', bars: '5-8' }, '5-8'],
    ['a plan of noise', { changes: 'Dm7', plan: 'x y z' }, 'x'],
    ['a pin of noise', { changes: 'Dm7', pins: '99.1=F4' }, '99.1=F4'],
    ['a packed link cut short', { z: 'AAAA' }, 'the whole link as it was sent'],
  ])('%s: 422, said where it is, the rest kept', async (_, query, words) => {
    const { status, text } = await get(at(query))
    expect(status).toBe(422)
    expect(plain(text)).toContain(words)
    expect(text).toContain('<form id="brief"')
    if ('changes' in query && query.changes !== '') expect(text).toContain(`\n${query.changes}</textarea>`)
    expect(text).not.toMatch(/\bat .*\.[jt]s:\d+/)
  })

  test('good bars stand on the page, bad ones as rests, and files wait until all is put right', async () => {
    const query = { changes: '| Dm7 | Xyz | G7 | Cmja7 |' }
    const { status, text } = await get(at(query))
    expect(status).toBe(422)
    expect(text).toContain('data-rests="2,4"')
    expect(plain(text)).toContain('Bars 2 and 4 are rests until they are put right.')
    expect(text.match(/class="measure"/g)).toHaveLength(4)
    expect(text).not.toContain('line.pdf')
    expect((await get(at({ ...query, at: '1.1' }, 'choices'))).status).toBe(200)
    expect((await get(at(query, 'line.pdf'))).status).toBe(422)
    // The JSON says of it what the command line says.
    const json = await get(at(query, 'line.json'))
    expect([json.status, JSON.parse(json.text).lines, JSON.parse(json.text).problems.length]).toEqual([422, [], 2])
  })

  test('an empty box is no error: it offers examples and drills', async () => {
    for (const changes of ['', ' \n']) {
      const { status, text } = await get(at({ changes }))
      expect(status).toBe(200)
      expect(text).toContain('begin with an example or a drill')
      expect(text.match(/<details class="shelf[^"]*" open>/g)).toHaveLength(2)
      expect(text).not.toContain('aria-invalid')
      expect(text).not.toContain('class="notice"')
      expect(text).not.toContain('to put right')
    }
  })

  test('an altered dominant and a suspended chord are no mistakes', async () => {
    const { status, text } = await get(at({ changes: '| G7alt | Fsus | Bbalt/D | C7sus |' }))
    expect(status).toBe(200)
    expect(text).not.toContain('Read like this')
  })

  test('64 KB of noise and 2,000 bars are answered', async () => {
    const answered = await post(address, { changes: noise(65_000) })
    expect(answered.status).toBe(422)
    expect(answered.text).toContain('more.')
    const long = await post(address, { changes: '| Dm7 | G7 |\n'.repeat(1_000), bars: '1-4' }, 'follow')
    expect(long.status).toBe(200)
  }, 60_000)

  test.each([
    ['GET', '/nothing-here', 404],
    ['GET', '/line.exe', 404],
    ['GET', '/assets/x/page.js', 404],
    ['GET', '/..%2f..%2fetc/passwd', 404],
    ['GET', '/%E0%A4%A', 404],
    ['DELETE', '/', 405],
    ['PUT', '/line.svg', 405],
    ['POST', '/help', 405],
    ['GET', '/read', 405],
    ['GET', '/sound.constructor', 404],
    ['GET', '/sound.toString', 404],
    ['GET', '/line.constructor', 404],
  ])('%s %s is %i', async (method, path, status) => {
    const response = await fetch(address.slice(0, -1) + path, { method })
    expect(response.status).toBe(status)
    expect(await response.text()).not.toMatch(/node_modules|\.js:\d+/)
  })

  test('a body that is too long is refused, and one that is no form', async () => {
    expect((await post(address, { changes: 'C'.repeat(webLimits.body + 1) })).status).toBe(413)
    const json = await fetch(address, {
      method: 'POST',
      body: '{"changes":"C"}',
      headers: { 'content-type': 'application/json' },
    })
    expect(json.status).toBe(415)
  })

  test('any fields at all get a page', async () => {
    const names = fc.constantFrom(
      ...[
        'changes',
        'title',
        'key',
        'keys',
        'land',
        'plan',
        'pins',
        'again',
        'scales',
        'cells',
        'bars',
        'low',
        'seed',
        'z',
        'tempo',
        'level',
        'part',
        'x',
      ],
    )
    const value = fc.oneof(
      fc.string({ unit: 'binary', maxLength: 40 }),
      fc.constantFrom('| C7 |', '1', '-1', '3.1=F4', '1-4:2'),
    )
    await fc.assert(
      fc.asyncProperty(fc.array(fc.tuple(names, value), { maxLength: 6 }), async (pairs) => {
        const { status, text } = await get(`${address}?${new URLSearchParams(pairs)}`)
        expect([200, 422]).toContain(status)
        expect(text).toContain('<form id="brief"')
      }),
      { numRuns: 60, seed: 7 },
    )
  }, 60_000)
})

describe('markup in what is typed is text', () => {
  const nasty = '<img src=x onerror=alert(1)><script>alert(2)</script>"\'&{{changes}}'
  test.each([
    ['the title', { changes: '| C7 |', title: nasty }],
    ['a title in the changes', { changes: `Title: ${nasty}\n| C7 |` }],
    ['a chord', { changes: `| ${nasty} |` }],
    ['a section', { changes: `[${nasty}]\n| C7 |` }],
    ['a style', { changes: `Feel: ${nasty}\nComposer: ${nasty}\n| C7 |` }],
    ['a choice', { changes: '| C7 |', key: nasty, pins: `1.1=${nasty}`, instrument: nasty, low: nasty }],
  ])('%s', async (_, query) => {
    for (const path of ['', 'line.svg', 'line.musicxml', 'line.mei', 'choices']) {
      const { text } = await get(at({ ...(query as unknown as Record<string, string>), at: nasty }, path))
      expect(text).not.toMatch(/<img src=x|<script>alert/)
      expect(text).not.toContain('onerror=alert(1)>')
    }
  })
})

describe('downloads', () => {
  const files = exports.filter(({ offered }) => offered === 'usual' || offered === 'further')
  test.each(files)('$id opens, is named, and is asked after before it is used again', async (asked) => {
    const response = await fetch(at({ changes: examples[0]!.changes }, pathOf(asked).slice(1)))
    expect(response.status).toBe(200)
    expect(response.headers.get('content-type')?.split(';')[0]).toBe(asked.type.split(';')[0])
    expect(response.headers.get('cache-control')).toBe(asked.printsLink ? 'private, no-cache' : 'public, no-cache')
    expect(response.headers.get('content-disposition')).toBe(
      `attachment; filename="a-gate-a-path-a-porch-alto-sax.${asked.endings[0]}"`,
    )
    expect(new Uint8Array(await response.arrayBuffer()).length).toBeGreaterThan(100)
  })

  // RFC 6266, 4.3 and RFC 8187, 3.2: a name of more than Latin letters goes as `filename*`, in UTF-8, beside a plain one.
  test('a title in another script names its file', async () => {
    const { headers } = await fetch(at({ changes: '| C |', title: 'Тихий вечер' }, 'line.musicxml'))
    const said = headers.get('content-disposition')!
    const [, name = ''] = /; filename\*=UTF-8''(\S+)$/.exec(said) ?? []
    expect(decodeURIComponent(name)).toBe('тихий-вечер-alto-sax.musicxml')
    expect(said).toMatch(/^attachment; filename="[ -~]+";/)
    expect(headers.get('content-type')).toBe('application/vnd.recordare.musicxml+xml')
  })

  test('the JSON is the one of the command line', async () => {
    const { text } = await get(at({ changes: '| Dm7 | G7 |' }, 'line.json'))
    const { lines, problems } = JSON.parse(text)
    expect(problems).toEqual([])
    expect(lines[0].notes.length).toBeGreaterThan(8)
  })

  test('a key of several can be asked for', async () => {
    const one = await get(at({ changes: '| Dm7 | G7 |', keys: 'fourths', part: '1' }, 'line.mei'))
    const two = await get(at({ changes: '| Dm7 | G7 |', keys: 'fourths', part: '2' }, 'line.mei'))
    expect(two.status).toBe(200)
    expect(two.text).not.toBe(one.text)
    expect((await get(at({ changes: '| Dm7 |', part: '2' }, 'line.mei'))).status).toBe(422)
  })

  test('a class set has a part for each group, and says what does not fit', async () => {
    const set = await fetch(at({ changes: '| Dm7 | G7 | C6 | C6 |', parts: 'C,Bb,Eb' }, 'line.zip'))
    expect(set.status).toBe(200)
    const names = Object.keys(unzipSync(new Uint8Array(await set.arrayBuffer())))
    expect(names.length).toBeGreaterThanOrEqual(4)
    expect(await get(at({ changes: '| Dm7 |', parts: 'kazoos' }, 'line.zip'))).toMatchObject({ status: 422 })
  })

  test('changes with errors give no file but the reason', async () => {
    const { status, headers, text } = await get(at({ changes: '| Cmja7 |' }, 'line.mid'))
    expect(status).toBe(422)
    expect(headers.get('content-disposition')).toBeNull()
    expect(text).toContain('Cmja7')
  })
})

describe('over the wire', () => {
  test('an answer that the browser holds is not sent again', async () => {
    for (const path of ['', 'line.svg', 'help']) {
      const first = await get(at({ changes: '| Dm7 |' }, path))
      const tag = first.headers.get('etag')!
      expect(tag).toMatch(/^"[\w-]+"$/)
      const again = await fetch(at({ changes: '| Dm7 |' }, path), { headers: { 'if-none-match': tag } })
      expect(again.status).toBe(304)
      expect(await again.text()).toBe('')
    }
  })

  test('a cache that holds it compressed is not told that this is what a reader gets who takes nothing compressed', async () => {
    // RFC 9110, 8.8.3.3 and 13.1.2: the tag of what this reader would get, as it would be encoded; and so the tag of a 304.
    for (const path of ['', 'line.svg', 'help']) {
      const address = at({ changes: '| Dm7 |' }, path)
      const tagFor = async (encoding: string) =>
        (await fetch(address, { headers: { 'accept-encoding': encoding } })).headers.get('etag')!
      const [packed, plain] = [await tagFor('gzip'), await tagFor('identity')]
      expect(packed).not.toBe(plain)
      const again = async (encoding: string, held: string) => {
        const headers = { 'accept-encoding': encoding, 'if-none-match': held }
        const { status, headers: said } = await fetch(address, { headers })
        return [status, said.get('etag')]
      }
      expect(await again('identity', packed)).toEqual([200, plain])
      expect(await again('gzip;q=0', packed)).toEqual([200, plain])
      expect(await again('identity', `${packed}, ${plain}`)).toEqual([304, plain])
      expect(await again('gzip', `${plain}, W/${packed}`)).toEqual([304, packed])
      expect(await again('gzip', plain)).toEqual([304, plain])
    }
  })

  test('is compressed for who takes it, and the same for who does not', async () => {
    const { request } = await import('node:http')
    const raw = (headers: Record<string, string>) =>
      new Promise<{ encoding: string | undefined; body: Buffer; tag: string }>((resolve, reject) => {
        const asked = request(at({ changes: '| Dm7 |' }), { headers }, (response) => {
          const chunks: Buffer[] = []
          response.on('data', (chunk: Buffer) => chunks.push(chunk))
          response.on('end', () => {
            resolve({
              encoding: response.headers['content-encoding'],
              body: Buffer.concat(chunks),
              tag: String(response.headers.etag),
            })
          })
        })
        asked.on('error', reject)
        asked.end()
      })
    const zipped = await raw({ 'accept-encoding': 'gzip, br' })
    const open = await raw({ 'accept-encoding': 'identity' })
    expect(zipped.encoding).toBe('gzip')
    expect(open.encoding).toBeUndefined()
    expect(gunzipSync(zipped.body).equals(open.body)).toBe(true)
    expect(zipped.tag).not.toBe(open.tag)
    expect(zipped.body.length).toBeLessThan(open.body.length / 3)
  })

  test('says what a browser may do with it, and sets no cookie', async () => {
    for (const path of ['', 'help', 'nothing', 'line.svg', 'health']) {
      const { headers } = await get(`${address}${path}`)
      const policy = headers.get('content-security-policy')!
      expect(policy).toContain("script-src 'self' 'wasm-unsafe-eval'")
      expect(policy).toContain("default-src 'none'")
      expect(policy).not.toContain('unsafe-inline')
      expect(headers.get('x-content-type-options')).toBe('nosniff')
      expect(headers.get('referrer-policy')).toBe('no-referrer')
      expect(headers.get('set-cookie')).toBeNull()
      expect(headers.get('x-powered-by')).toBeNull()
    }
  })

  test('asks no one else for anything', async () => {
    const { text } = await get(address)
    const outside = [...text.matchAll(/(?:src|href|action)="((?:https?:)?\/\/[^"]*)"/g)].map((match) => match[1])
    expect(outside).toEqual([])
    const css = /href="([^"]*page\.css)"/.exec(text)![1]!
    expect((await get(address + css)).text).not.toMatch(/url\(["']?(?:https?:)?\/\//)
  })

  test('assets are kept for ever', async () => {
    const { text } = await get(address)
    for (const name of ['page.css', 'page.js', 'icon.svg']) {
      const path = new RegExp(`"(\\./assets/[^"]*${name})"`).exec(text)![1]!
      const { status, headers } = await get(address + path)
      expect(status).toBe(200)
      expect(headers.get('cache-control')).toContain('immutable')
    }
  })

  test('HEAD says the same without the body', async () => {
    const { headers } = await get(at({ changes: '| Dm7 |' }))
    const head = await fetch(at({ changes: '| Dm7 |' }), { method: 'HEAD' })
    expect(head.status).toBe(200)
    expect(head.headers.get('etag')).toBe(headers.get('etag'))
    expect(await head.text()).toBe('')
  })

  test('health and readiness', async () => {
    expect(await get(`${address}health`)).toMatchObject({ status: 200, text: 'alive\n' })
    expect(await get(`${address}ready`)).toMatchObject({ status: 200, text: 'ready\n' })
  })
})

describe('the choices of a note', () => {
  test('stand on a page of their own, and bare for the script', async () => {
    const query = { changes: '| Dm7 | G7 | Cmaj7 | Cmaj7 |', at: '1.1' }
    const whole = await get(at(query, 'choices'))
    expect(whole.status).toBe(200)
    expect(whole.text).toContain('Bar 1, beat 1')
    const bare = await get(at({ ...query, bare: 'yes' }, 'choices'))
    expect(bare.text).toMatch(/^<div class="choices"/)
    const links = [...bare.text.matchAll(/href="([^"]+)"/g)].map((match) => plain(match[1]!))
    expect(links.length).toBeGreaterThan(2)
    for (const link of links.slice(0, 6)) expect((await get(address + link)).status).toBe(200)
  })

  test.each(['99.1', '1.9', 'nonsense', '', '1.1x'])('at %j there is no note, and the page says so', async (place) => {
    const { status, text } = await get(at({ changes: '| Dm7 |', at: place }, 'choices'))
    expect(status).toBe(422)
    expect(text).toContain('no note at that place')
  })
})

describe('a dropped file', () => {
  const read = async (body: Uint8Array | string) => {
    const response = await fetch(`${address}read`, {
      method: 'POST',
      body: typeof body === 'string' ? body : Buffer.from(body),
      headers: { 'content-type': 'application/octet-stream' },
    })
    return { status: response.status, type: response.headers.get('content-type'), text: await response.text() }
  }
  const chords = (text: string) => readChart(text).bars.map((bar) => bar.chords.map(({ symbol }) => symbol))

  test('of typed text comes as it is', async () => {
    expect(await read('Title: X\n| C7 | F7 |')).toMatchObject({ status: 200, text: 'Title: X\n| C7 | F7 |' })
  })

  test.each(['musicxml', 'mxl', 'mei'])('of %s, as the page itself writes it, comes as its changes', async (format) => {
    const changes = 'Key: Eb\n| Fm7 | Bb7 | Ebmaj7 | C7(b9) |'
    const response = await fetch(at({ changes, instrument: 'flute' }, `line.${format}`))
    const { status, text } = await read(new Uint8Array(await response.arrayBuffer()))
    expect(status).toBe(200)
    expect(chords(text)).toEqual(chords(changes))
  })

  test.each<[string, () => Uint8Array | string]>([
    ['a zip bomb', () => zipSync({ 'score.xml': new Uint8Array(64_000_000) })],
    [
      'a zip of many files',
      () => zipSync(Object.fromEntries(Array.from({ length: 500 }, (_, i) => [`${i}.xml`, new Uint8Array(1)]))),
    ],
    [
      'an entity bomb',
      () =>
        `<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY a "aaaaaaaaaa">${Array.from({ length: 12 }, (_, i) => `<!ENTITY ${String.fromCharCode(98 + i)} "${`&${String.fromCharCode(97 + i)};`.repeat(10)}">`).join('')}]><score-partwise>&m;</score-partwise>`,
    ],
    [
      'an outside entity',
      () =>
        '<?xml version="1.0"?><!DOCTYPE score-partwise [<!ENTITY x SYSTEM "file:///etc/passwd">]><score-partwise>&x;</score-partwise>',
    ],
    ['a PDF', () => '%PDF-1.7 nothing'],
    ['half an archive', () => Buffer.from('PK\u0003\u0004 and then nothing')],
  ])('%s is refused with a sentence', async (_, make) => {
    const { status, type, text } = await read(make())
    expect(status).toBe(422)
    expect(type).toMatch('text/plain')
    expect(text).not.toMatch(/root:|\bat .*:\d+/)
    expect(text.length).toBeLessThan(300)
  })

  test('too large is refused before it is read', async () => {
    expect((await read(new Uint8Array(webLimits.file + 1))).status).toBe(413)
  })
})
