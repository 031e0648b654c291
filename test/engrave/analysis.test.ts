/** Where the marks of an analysis come to stand on the page: clear of each other, of rings, brackets and chord symbols. */
import PDFDocument from 'pdfkit'
import { beforeAll, describe, expect, test } from 'vitest'
import { defaultBrief, readBrief } from '../../lib/brief.ts'
import { type Engraver, loadEngraver, type Sheet } from '../../lib/engrave/engraver.ts'
import { facesOf } from '../../lib/engrave/pdf/pdfFonts.ts'
import { roomOn } from '../../lib/engrave/sheet.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { makeLine } from '../score/lineFixture.ts'

let engraver: Engraver
beforeAll(async () => {
  engraver = await loadEngraver()
})

/** Invented: ii–Vs in one bar, over a bar line and over a line break, chains of dominants, long names of scales. */
const changes = `Key: Eb
| Ebmaj7 | Cm7 F7 | Fm7 | Bb7sus4 Bb7 | Gm7b5 | C7(b9) | Fm7 Abm7 Db7 / | Am7b5 D7 Gm7 C7 |
| Fm7 | Bb7 | Eb7 D7 Db7 C7 | Bbm7 Eb7 | Abmaj7 | Ab7(#11) G7(b9) | Cm6 | F#m7 B7 | Bb7 E7 | Ebmaj7 |`

interface Box {
  readonly left: number
  readonly right: number
  readonly top: number
  readonly bottom: number
  readonly words: string
}

const pen = new PDFDocument({ autoFirstPage: false })
pen.font(Buffer.from(facesOf('regular')[0]!.bytes()))
/** The width of words as the engraver reckons it, in a Times-like face; its music signs are about as wide as a letter. */
const widthOf = (words: string, size: number) => pen.fontSize(size).widthOfString(words.replace(/[♭♯]/g, 'b'))

/** What stands on a page: words by their capitals, brackets by their lines, rings whole. */
function marksOf(svg: string) {
  const number = (text: string | undefined) => Number(text)
  const words = (type: string): Box[] =>
    [...svg.matchAll(new RegExp(`class="${type}"[^>]*><text [^>]*?x="(-?\\d+)" y="(-?\\d+)".*?</text>`, 'g'))].map(
      ([text, x, y]) => {
        const parts = [...text!.matchAll(/font-size="([1-9]\d*)px"[^>]*>([^<]+)/g)]
        const width = parts.reduce((sum, [, size, part]) => sum + widthOf(part!, number(size)), 0)
        const size = Math.max(...parts.map(([, each]) => number(each)))
        const [left, bottom] = [number(x), number(y)]
        return {
          left,
          right: left + width,
          top: bottom - 0.66 * size,
          bottom,
          words: parts.map(([, , part]) => part).join(''),
        }
      },
    )
  const brackets = (type: string): Box[] =>
    [...svg.matchAll(new RegExp(`class="bracketSpan ${type}">(.*?)</g>`, 'g'))].flatMap(([, drawn]) =>
      [...drawn!.matchAll(/<path d="M(-?\d+) (-?\d+) L(-?\d+) -?\d+"/g)].map(([, from, y, to]) => ({
        left: number(from),
        right: number(to),
        top: number(y),
        bottom: number(y),
        words: type,
      })),
    )
  const rings = [...svg.matchAll(/<ellipse cx="(-?\d+)" cy="(-?\d+)" rx="(\d+)" ry="(\d+)"/g)].map(([, ...at]): Box => {
    const [x, y, rx, ry] = at.map(Number) as [number, number, number, number]
    return { left: x - rx, right: x + rx, top: y - ry, bottom: y + ry, words: 'ring' }
  })
  return {
    chords: words('harm'),
    numerals: words('harm function'),
    scales: words('harm scale'),
    twoFives: brackets('two-five'),
    approaches: brackets('approach'),
    rings,
  }
}

const meet = (a: Box, b: Box) => a.left < b.right && b.left < a.right && a.top <= b.bottom && b.top <= a.bottom
const meetings = (some: readonly Box[], others: readonly Box[]) =>
  some.flatMap((a) => others.filter((b) => a !== b && meet(a, b)).map((b) => `${a.words} on ${b.words}`))

const sheets: Readonly<Record<string, { readonly sheet: Sheet; readonly barsPerLine?: number }>> = {
  A4: { sheet: { paper: 'A4' } },
  'A4 in large print': { sheet: { paper: 'A4', large: true } },
  'a screen': { sheet: { paper: 'screen', width: 980 } },
  'a phone': { sheet: { paper: 'screen', width: 500 }, barsPerLine: 2 },
}

describe.each(Object.entries(sheets))('on %s', (_, { sheet, barsPerLine }) => {
  test.each([
    ['alto-sax', 'eighths', 'comfortable'],
    ['alto-sax', 'triplets', 'full'],
    ['flute', 'phrased', 'full'],
    ['trombone', 'triplets', 'full'],
    ['guitar', 'eighths', 'full'],
  ])('%s, %s, %s compass: marks keep clear of each other', (instrument, rhythm, compass) => {
    const { brief } = readBrief({
      changes,
      instrument,
      rhythm,
      compass,
      show: 'targets,degrees,brackets,analysis,scales',
      print: sheet.large ? 'large' : 'normal',
    })
    const layout = barsPerLine === undefined ? {} : { barsPerLine, room: 0.93 * roomOn(sheet) }
    const mei = writeMei(layScore(writeLines(brief).lines[0]!, brief, layout), { show: brief.show })
    const pages = engraver.engrave(mei, sheet).map(marksOf)
    const all = (kind: keyof ReturnType<typeof marksOf>) => pages.flatMap((page) => page[kind])
    expect(all('chords')).toHaveLength(32)
    expect(all('numerals').length).toBeGreaterThan(25)
    expect(all('scales').length).toBeGreaterThan(25)
    // Nine ii–Vs; one that a line break goes through has two lines.
    expect(all('twoFives').length).toBeGreaterThanOrEqual(9)
    for (const { chords, numerals, scales, twoFives, approaches, rings } of pages) {
      const below = [...numerals, ...scales]
      expect(meetings(below, [...below, ...rings, ...chords])).toEqual([])
      expect(meetings(twoFives, [...chords, ...approaches, ...twoFives])).toEqual([])
    }
  })
})

test('chords stay over a bracket that notes far above the staff lift', () => {
  const line = makeLine({
    chords: 'C6 | C6 | C6 | C6 | Dm7 G7 | Cmaj7',
    heard: 'I I I I ii V I',
    notes: '-/384 *F4/12 A4 F6 A4 *B4 D5 G4 B4 *E6/96',
  })
  const mei = writeMei(layScore(line, { ...defaultBrief, show: ['analysis'] }))
  const clashes = (text: string) =>
    engraver.engrave(text, { paper: 'screen', width: 980 }).flatMap((page) => {
      const { twoFives, chords } = marksOf(page)
      return meetings(twoFives, chords)
    })
  expect(clashes(mei)).toEqual([])
  // What the distance is for; an engraver that does without it may have it back.
  expect(clashes(mei.replace(/ harm.dist="[^"]*"/, ''))).not.toEqual([])
})

test('two boxes meet where they share a point, not beside or over each other', () => {
  const box = (left: number, top: number) => ({ left, right: left + 10, top, bottom: top + 10, words: `${left}` })
  expect(meetings([box(0, 0)], [box(5, 5), box(10, 0), box(0, 11), box(20, 5)])).toEqual(['0 on 5'])
})
