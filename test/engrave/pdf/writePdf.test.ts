import { execFileSync } from 'node:child_process'
import { mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { inflateSync } from 'node:zlib'
import { unzipSync } from 'fflate'
import jsqr from 'jsqr'
import { beforeAll, describe, expect, test } from 'vitest'
import { type Brief, defaultBrief, readBrief } from '../../../lib/brief.ts'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { classSet, lineBook, worksheetBook, zipClassSet } from '../../../lib/engrave/book.ts'
import { loadEngraver } from '../../../lib/engrave/engraver.ts'
import { evenPages } from '../../../lib/engrave/pdf/pdfSheets.ts'
import { type Book, writePdf } from '../../../lib/engrave/pdf/writePdf.ts'
import { writePng } from '../../../lib/engrave/png.ts'
import { homeOf, writeLines } from '../../../lib/lines/write.ts'
import { askedParts } from '../../../lib/score/classSet.ts'
import { writtenKeyName } from '../../../lib/score/joinScores.ts'
import { layScore } from '../../../lib/score/layScore.ts'
import { writeMei } from '../../../lib/score/writeMei.ts'
import { instrumentOf } from '../../../lib/theory/instrument.ts'

// The package's types speak of a module, Node gives its function.
const readCode = ((jsqr as unknown as { default?: unknown }).default ?? jsqr) as typeof jsqr.default

const folder = mkdtempSync(join(tmpdir(), 'books-'))

/** Debian's poppler-utils: outside readers of PDF. */
const run = (tool: string, ...args: string[]): string =>
  execFileSync(tool, args, { encoding: 'utf8', stdio: ['ignore', 'pipe', 'ignore'] })
function missing(): boolean {
  try {
    execFileSync('pdftotext', ['-v'], { stdio: 'ignore' })
    return false
  } catch {
    return true
  }
}
const noPoppler = missing()
const why = noPoppler ? ' (skipped: no poppler-utils here)' : ''

let books = 0
function file(bytes: Uint8Array): string {
  books += 1
  const path = join(folder, `${books}.pdf`)
  writeFileSync(path, bytes)
  return path
}

const eight = '| Fm7 | Bb7 | Ebmaj7 | C7(b9) | Fm7 | Bb13(#11) | Eb6 | Gm7b5 C7 |'
const tune = `Title: Nine & <Ten> Żółw\nComposer: A. Nobody\nKey: Eb\n[A]\n${eight}\n${eight}\n[B]\n${eight}\n[A]\n${eight}`
const link = 'https://lines.example.org/?instrument=alto-sax&keys=fourths&z=K0ktLtEvSS0uAQA'

const briefOf = (given: Record<string, string>): Brief =>
  readBrief({ changes: tune, instrument: 'alto-sax', ...given }).brief
const bookOf = (given: Record<string, string>, choices: Parameters<typeof lineBook>[2] = {}): Book => {
  const brief = briefOf(given)
  return lineBook(writeLines(brief).lines, brief, choices)
}
const pagesOf = (path: string) => Number(/Pages: +(\d+)/.exec(run('pdfinfo', path))?.[1])

describe.skipIf(noPoppler)(`a book of twelve keys${why}`, () => {
  let bytes: Uint8Array
  let path: string
  beforeAll(async () => {
    bytes = await writePdf(bookOf({ keys: 'fourths' }, { link }))
    path = file(bytes)
  }, 60_000)

  test('is twelve pages of A4 in less than 300 KB', () => {
    expect(bytes.length).toBeLessThan(300_000)
    expect(pagesOf(path)).toBe(12)
    expect(run('pdfinfo', path)).toMatch(/Page size: +595.28 x 841.89 pts \(A4\)/)
  })
  test('says its title and language', () => {
    expect(run('pdfinfo', path)).toMatch(/^Title: +Nine & <Ten> Żółw$/m)
    expect(Buffer.from(bytes).toString('latin1')).toMatch(/\/Lang \(en\)/)
    expect(Buffer.from(bytes).toString('latin1')).toContain('/DisplayDocTitle true')
  })
  test('holds its fonts, and every one can be read as text', () => {
    const fonts = run('pdffonts', path).trim().split('\n').slice(2)
    expect(fonts.length).toBeGreaterThan(2)
    // Columns of pdffonts: name, type, encoding, embedded, subset, to Unicode.
    for (const font of fonts) expect(font).toMatch(/ yes yes yes +\d+ +\d+$/)
  })
  test('can be searched: titles, chords as they are read, degrees, bars and pages', () => {
    const page = (number: number) => run('pdftotext', '-layout', '-f', String(number), '-l', String(number), path, '-')
    const first = page(1)
    expect(first).toContain('Nine & <Ten> Żółw')
    expect(first).toContain('A. Nobody')
    expect(first).toContain('Alto saxophone')
    expect(first).toContain('C major (concert E♭)')
    // E flat for an alto saxophone is C: Fm7 is Dm7, Bb13(#11) is G13(♯11).
    for (const chord of ['Dm7', 'G7', 'Cmaj7', 'A7(♭9)', 'G13(♯11)', 'C6']) expect(first).toContain(chord)
    expect(first).toMatch(/♭[37]/)
    // The first bar of each line has its number, and a new section starts a new line.
    for (const number of [5, 9, 13, 17, 21, 25, 29]) expect(first).toMatch(new RegExp(`^ *${number}\\b`, 'm'))
    expect(page(2)).toContain('F major (concert A♭)')
    expect(page(12)).toMatch(/\b12\s*$/)
  })
  test('has a bookmark for each key, in order', () => {
    const outline = run('pdftohtml', '-xml', '-i', '-stdout', path).match(/<item page="\d+">[^<]*/g)
    expect(outline?.[0]).toBe('<item page="1">C major (concert E♭)')
    expect(outline?.at(-1)).toBe('<item page="12">G major (concert B♭)')
    expect(outline).toHaveLength(12)
  })
  test('links to what rebuilds it, in words and as a code that jsqr reads', () => {
    expect(Buffer.from(bytes).toString('latin1')).toContain(`/URI (${link})`)
    expect(readCode(...foot(path, 1))?.data).toBe(link)
    expect(readCode(...foot(path, 2))).toBeNull()
  })
  test('is the same bytes every time', async () => {
    const two = () => writePdf(bookOf({ keys: 'C,F' }, { link }))
    expect(Buffer.compare(await two(), await two())).toBe(0)
  })
})

/** The lower left of a page, where the code stands, as jsqr takes it, at 150 dots an inch. */
function foot(path: string, page: number): [Uint8ClampedArray, number, number] {
  const corner = ['-x', '80', '-y', '1450', '-W', '320', '-H', '300']
  const args = ['-r', '150', '-gray', ...corner, '-f', String(page), '-l', String(page), path]
  const { width, height, grey } = picture(execFileSync('pdftoppm', args, { maxBuffer: 1e8 }))
  const rgba = new Uint8ClampedArray(width * height * 4)
  for (const [at, value] of grey.entries()) rgba.set([value, value, value, 255], 4 * at)
  return [rgba, width, height]
}

/** A greyscale PGM: its head in words, then a byte a dot. */
function picture(pgm: Buffer): { width: number; height: number; grey: Uint8Array } {
  const head = /^P5\s+(\d+)\s+(\d+)\s+255\s/.exec(pgm.toString('latin1', 0, 60))!
  return { width: Number(head[1]), height: Number(head[2]), grey: pgm.subarray(head[0].length) }
}

describe.skipIf(noPoppler)(`sheets${why}`, () => {
  test('US Letter, large print: more pages, evenly filled, none with a line alone', async () => {
    const path = file(await writePdf(bookOf({ paper: 'Letter', print: 'large' })))
    expect(run('pdfinfo', path)).toMatch(/Page size: +612 x 792 pts \(letter\)/)
    const starts = Array.from({ length: pagesOf(path) }, (_, page) => linesOn(path, page + 1))
    expect(starts.length).toBeGreaterThan(1)
    expect(Math.max(...starts) - Math.min(...starts)).toBeLessThanOrEqual(1)
  })
  test('short tunes share sheets, each under its key', async () => {
    const path = file(await writePdf(bookOf({ changes: `Title: Short\n${eight}`, keys: 'fourths' })))
    expect(pagesOf(path)).toBeLessThanOrEqual(4)
    const text = run('pdftotext', '-layout', path, '-')
    expect(text.match(/ major( \(concert \S+\))?$/gm)).toHaveLength(12)
  })
  test('a long title is cut to the page and whole in the description', async () => {
    const title = 'Words without end '.repeat(11).trim()
    const path = file(await writePdf(bookOf({ changes: `Title: ${title}\n${eight}` })))
    expect(run('pdftotext', '-layout', path, '-').split('\n')[0]).toMatch(/^ *Words without end .*…$/)
    expect(run('pdfinfo', path)).toContain(title)
  })
  test('a title in other scripts, and a character that no face has', async () => {
    const path = file(await writePdf(bookOf({ changes: `Title: Ωδή Песня → ★ 歌\n${eight}` })))
    expect(run('pdftotext', path, '-')).toContain('Ωδή Песня')
    expect(run('pdftotext', path, '-')).toContain('→ ★')
  })
  test('a link too long for a code is still a link', async () => {
    const long = `${link}&title=${'x'.repeat(1000)}`
    const bytes = await writePdf(bookOf({}, { link: long }))
    const path = file(bytes)
    expect(Buffer.from(bytes).toString('latin1')).toContain(long)
    expect(readCode(...foot(path, 1))).toBeNull()
  })
  test('staves of one’s own have the chords and no notes', async () => {
    const brief = briefOf({ changes: `Title: Own\n${eight}`, instrument: 'trombone' })
    const { lines } = writeLines(brief)
    const path = file(await writePdf(lineBook(lines, brief, { ownStaves: true })))
    const text = run('pdftotext', '-layout', path, '-')
    expect(pagesOf(path)).toBe(1)
    expect(text.match(/A line of your own/g)).toHaveLength(3)
    // Each chord once over the line and once over each of the staves; degrees only under the line.
    for (const chord of ['B♭7', 'E♭maj7', 'C7(♭9)', 'B♭13(♯11)']) expect(text.split(chord)).toHaveLength(5)
    expect(text.match(/^.*(?<!\S)♭[37](?!\S).*$/gm)?.length).toBe(2)
  })
  test('a guide-tone worksheet, with and without answers', async () => {
    const brief = briefOf({})
    const { harmony } = homeOf(readChart(brief.changes), brief)
    const sax = instrumentOf('alto-sax')!
    const sheet = (answers: boolean) => writePdf(worksheetBook(harmony, sax, [51, 77], brief, { answers }))
    const [blank, answered] = [file(await sheet(false)), file(await sheet(true))]
    expect(pagesOf(blank)).toBe(2)
    expect(pagesOf(answered)).toBe(4)
    const notes = (path: string, page: number) =>
      run('pdftotext', '-layout', '-f', String(page), '-l', String(page), path, '-').match(/(^| )(♭?7|♭?3)( |$)/gm)
    expect(notes(blank, 1)).toBeNull()
    expect(notes(answered, 3)?.length).toBeGreaterThan(8)
  })
})

/** Lines of music on a page: each starts with its bar number but the first of all. */
const linesOn = (path: string, page: number): number =>
  (run('pdftotext', '-layout', '-f', String(page), '-l', String(page), path, '-').match(/^ {0,3}\d+$/gm)?.length ?? 0) +
  (page === 1 ? 1 : 0)

describe.skipIf(noPoppler)(`a class set${why}`, () => {
  test('one book: a concert score and the parts, bookmarked, each in its key', async () => {
    const brief = briefOf({})
    const set = classSet(writeLines(brief).lines, brief)
    expect(set.unfit).toEqual([])
    const path = file(await writePdf(set.book))
    expect(pagesOf(path)).toBe(5)
    const names = ['Concert score', 'C instruments', 'B♭ instruments', 'E♭ instruments', 'Bass clef instruments']
    const outline = run('pdftohtml', '-xml', '-i', '-stdout', path).match(/<item page="\d+">[^<]*/g)
    expect(outline).toEqual(names.map((name, index) => `<item page="${index + 1}">${name}`))
    // Concert E flat: F for B flat instruments, C for E flat instruments (common practice).
    const chords = ['E♭maj7', 'E♭maj7', 'Fmaj7', 'Cmaj7', 'E♭maj7']
    chords.forEach((chord, index) => {
      const text = run('pdftotext', '-layout', '-f', String(index + 1), '-l', String(index + 1), path, '-')
      expect(text).toContain(chord)
      for (const number of [5, 9, 13, 17, 21, 25, 29]) expect(text).toMatch(new RegExp(`^ *${number}\\b`, 'm'))
    })
  })
  test('a zip: a PDF for each instrument named, the same every time', async () => {
    const brief = briefOf({ changes: `Title: Set\n${eight}`, keys: 'C,F' })
    const { lines } = writeLines(brief)
    const set = classSet(lines, brief, askedParts({ parts: ['trumpet', 'tenor-sax', 'double-bass'] }))
    const zip = await zipClassSet(set)
    const files = unzipSync(zip)
    expect(Object.keys(files)).toEqual([
      '01-concert-score.pdf',
      '02-trumpet-in-b-flat.pdf',
      '03-tenor-saxophone.pdf',
      '04-double-bass.pdf',
    ])
    const text = run('pdftotext', '-layout', file(files['02-trumpet-in-b-flat.pdf']!), '-')
    expect(text).toContain('D major (concert C)')
    expect(Buffer.compare(await zipClassSet(set), zip)).toBe(0)
  })
})

describe.skipIf(noPoppler)(`what is drawn is what was engraved${why}`, () => {
  test.each(['targets,degrees,brackets', 'targets,degrees,brackets,names,analysis,scales'])(
    'showing %s: poppler’s picture of the PDF is resvg’s of the SVG',
    async (show) => {
      const brief = briefOf({ show })
      const score = { ...layScore(writeLines(brief).lines[0]!, brief), title: '', composer: null, styleLine: '' }
      const book: Book = {
        ...bookOf({ show }),
        cover: null,
        pieces: [{ score, name: null, bookmark: null, group: null }],
      }
      const drawn: string[] = []
      const { engrave } = await loadEngraver()
      const bytes = await writePdf(book, {
        engrave: async (mei, sheet, extent) => {
          drawn.splice(0, drawn.length, ...engrave(mei, sheet, extent))
          return drawn
        },
      })
      const width = 1240
      const path = file(bytes)
      const pgm = execFileSync(
        'pdftoppm',
        ['-scale-to-x', String(width), '-scale-to-y', '-1', '-gray', '-f', '1', '-l', '1', path],
        { maxBuffer: 1e8 },
      )
      const printed = picture(pgm)
      const engraved = greyOf(await writePng(drawn[0]!, width))
      expect(engraved.width).toBe(printed.width)
      // Ink in squares of twenty dots, head and foot left out, which only the book has. Measured: 0.996; without its stems a
      // page comes to 0.988, without its words to 0.971, two pixels narrower to 0.95.
      const inks = [printed, engraved].map((each) => inkOf(each, 190, 1680))
      expect(correlation(inks[0]!, inks[1]!)).toBeGreaterThan(0.992)
    },
  )
})

/** Of left, upper and upper left the nearest to left and upper less upper left (W3C PNG, section 9.4). */
function nearest(a: number, b: number, c: number): number {
  const [da, db, dc] = [Math.abs(b - c), Math.abs(a - c), Math.abs(a + b - 2 * c)]
  return da <= db && da <= dc ? a : db <= dc ? b : c
}

/** The grey of a PNG of four bytes a dot (W3C PNG, section 9: each row is filtered by its left and upper neighbours). */
function greyOf(png: Uint8Array) {
  const bytes = Buffer.from(png)
  const [width, height] = [bytes.readUInt32BE(16), bytes.readUInt32BE(20)]
  expect([...bytes.subarray(24, 29)]).toEqual([8, 6, 0, 0, 0])
  const packed: Buffer[] = []
  for (let at = 8; at < bytes.length; at += 12 + bytes.readUInt32BE(at))
    if (bytes.toString('latin1', at + 4, at + 8) === 'IDAT')
      packed.push(bytes.subarray(at + 8, at + 8 + bytes.readUInt32BE(at)))
  const rows = inflateSync(Buffer.concat(packed))
  const grey = new Uint8Array(width * height)
  let above = new Uint8Array(4 * width)
  for (let y = 0; y < height; y++) {
    const row = Uint8Array.from(rows.subarray(y * (4 * width + 1) + 1, (y + 1) * (4 * width + 1)))
    const filter = rows[y * (4 * width + 1)]!
    for (let x = 0; x < 4 * width; x++) {
      const a = x < 4 ? 0 : row[x - 4]!
      const b = above[x]!
      row[x] = row[x]! + (filter === 4 ? nearest(a, b, x < 4 ? 0 : above[x - 4]!) : [0, a, b, (a + b) >> 1][filter]!)
    }
    for (let x = 0; x < width; x++)
      grey[y * width + x] = Math.round(0.299 * row[4 * x]! + 0.587 * row[4 * x + 1]! + 0.114 * row[4 * x + 2]!)
    above = row
  }
  return { width, height, grey }
}

function inkOf({ width, grey }: { width: number; grey: Uint8Array }, top: number, bottom: number): readonly number[] {
  const inks: number[] = []
  for (let y = top; y + 20 <= bottom; y += 20)
    for (let x = 0; x + 20 <= width; x += 20) {
      let ink = 0
      for (let dy = 0; dy < 20; dy++) for (let dx = 0; dx < 20; dx++) ink += 255 - grey[(y + dy) * width + x + dx]!
      inks.push(ink)
    }
  return inks
}

function correlation(a: readonly number[], b: readonly number[]): number {
  const mean = (all: readonly number[]) => all.reduce((sum, each) => sum + each, 0) / all.length
  const [ma, mb] = [mean(a), mean(b)]
  let [ab, aa, bb] = [0, 0, 0]
  a.forEach((each, index) => {
    ab += (each - ma) * (b[index]! - mb)
    aa += (each - ma) ** 2
    bb += (b[index]! - mb) ** 2
  })
  return ab / Math.sqrt(aa * bb)
}

test('pages are evened out only where the last is poorly filled', async () => {
  const { engrave } = await loadEngraver()
  const brief = { ...defaultBrief, changes: eight.repeat(5) }
  const score = layScore(writeLines(brief).lines[0]!, brief)
  const pages = engrave(writeMei(score, { head: false }), { paper: 'A4', head: 200 })
  const systems = (svg: string) => svg.match(/class="system[ "]/g)!.length
  const even = evenPages(pages)
  expect(pages.map(systems)).not.toEqual([5, 5])
  expect(even).toEqual([0, 5])
  const marked = writeMei(score, { head: false, pages: even! })
  expect(engrave(marked, { paper: 'A4', head: 200, marked: true }).map(systems)).toEqual([5, 5])
  expect(evenPages(pages.slice(0, 1))).toBeNull()
})

test('the name of a key says how it sounds where that is another', () => {
  const name = (instrument: string, key: string) => {
    const brief = briefOf({ instrument, key })
    return writtenKeyName(layScore(writeLines(brief).lines[0]!, brief))
  }
  expect(name('alto-sax', 'Eb')).toBe('C major (concert E♭)')
  expect(name('trumpet', 'F#')).toBe('A♭ major (concert F♯)')
  expect(name('guitar', 'Bb')).toBe('B♭ major')
})
