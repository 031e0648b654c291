/** Lines as files in every format on offer: one room for the command line and the page's downloads. Node-side. */
import type { Brief } from './brief.ts'
import type { Line } from './line/line.ts'
import { layScore } from './score/layScore.ts'
import type { Score } from './score/score.ts'
import { writeAbc } from './score/writeAbc.ts'
import { writeMei } from './score/writeMei.ts'
import { sequenceOf, writeMidi } from './score/writeMidi.ts'
import { writeMusicXml, writeMxl } from './score/writeMusicXml.ts'
import { nameOfKey } from './theory/key.ts'

/** The formats of a score, by the ending of the file. */
export const endings = ['mei', 'svg', 'pdf', 'mid', 'musicxml', 'mxl', 'abc', 'png'] as const
export type Ending = (typeof endings)[number]

/** A file: what to add to the name it is given, before the ending, and its bytes. */
export interface LineFile {
  readonly suffix: string
  readonly bytes: Uint8Array
}

/** A page of A4 at 200 dots an inch. */
const pngWidth = 1654

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)

/** The written parts of lines, one each. */
export const scoresOf = (lines: readonly Line[], brief: Brief): readonly Score[] =>
  lines.map((line) => layScore(line, brief))

/**
 * Lines in a format: a file a key, named by it where there are several; a PDF is one book. SVG and PNG make a file a page.
 *
 * @param link - the address that rebuilds the lines, for the foot of a PDF's first sheet
 */
export async function writeFiles(
  lines: readonly Line[],
  brief: Brief,
  ending: Ending,
  link: string | null = null,
): Promise<readonly LineFile[]> {
  const scores = scoresOf(lines, brief)
  const each = async (write: (score: Score, line: Line) => Promise<readonly Uint8Array[]>): Promise<LineFile[]> => {
    const files: LineFile[] = []
    for (const [i, score] of scores.entries()) {
      const key = scores.length > 1 ? `-${nameOfKey(score.concertKey)}` : ''
      const pages = await write(score, lines[i]!)
      pages.forEach((bytes, page) => {
        files.push({ suffix: pages.length > 1 ? `${key}-${page + 1}` : key, bytes })
      })
    }
    return files
  }
  const engraved = async (score: Score): Promise<readonly string[]> => {
    const { engraveSvg } = await import('./engrave/engraver.ts')
    return engraveSvg(writeMei(score, { show: brief.show }), {
      paper: brief.paper,
      large: brief.print === 'large',
      title: score.title,
    })
  }
  switch (ending) {
    case 'mei':
      return each(async (score) => [encode(writeMei(score, { show: brief.show }))])
    case 'musicxml':
      return each(async (score) => [encode(writeMusicXml(score))])
    case 'mxl':
      return each(async (score) => [writeMxl(score)])
    case 'abc':
      return each(async (score) => [encode(writeAbc(score))])
    case 'mid':
      return each(async (_, line) => [writeMidi(sequenceOf(line, brief.tempo === null ? {} : { tempo: brief.tempo }))])
    case 'svg':
      return each(async (score) => (await engraved(score)).map(encode))
    case 'png': {
      const { writePng } = await import('./engrave/png.ts')
      return each(async (score) => Promise.all((await engraved(score)).map((svg) => writePng(svg, pngWidth))))
    }
    case 'pdf': {
      const [{ lineBook }, { writePdf }] = await Promise.all([
        import('./engrave/book.ts'),
        import('./engrave/writePdf.ts'),
      ])
      return [{ suffix: '', bytes: await writePdf(lineBook(lines, brief, { link })) }]
    }
  }
}
