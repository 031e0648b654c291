/**
 * What lines can be taken away as: each export one record, which the command line, the page, its downloads and the server's
 * routes all read. Its writer is loaded when it is asked for. Node-side.
 */
import type { Brief } from './brief.ts'
import { isOnePiece, linesAsPlayed } from './drill/joinLines.ts'
import {
  type Asked,
  bandMidi,
  bookOf,
  engraved,
  lineMidi,
  type Pages,
  type Pieces,
  packetOf,
  partsOf,
  type Refused,
  recorded,
  worksheetOf,
} from './exportWriters.ts'
import { fixed } from './fixed.ts'
import type { Line } from './line/line.ts'
import type { Lines } from './lines/write.ts'
import type { Score } from './score/score.ts'
import { nameOfKey } from './theory/key.ts'

const nothingMore: Asked = {
  link: null,
  progress: () => {},
  samples: async () => null,
  remark: () => {},
  typed: {},
  spread: false,
}

/** What a writer works from: each key's score, each key's line, or all there is at once. Nothing is laid out for one that needs no score. */
type Writer =
  | { readonly needs: 'score'; readonly write: (score: Score, brief: Brief) => Promise<Pages> }
  | { readonly needs: 'line'; readonly write: (line: Line, brief: Brief) => Promise<Pages> }
  | {
      readonly needs: 'lines'
      readonly write: (lines: Lines, asked: Asked) => Promise<string | Uint8Array | Pieces | Refused>
    }

export type Export = Writer & {
  /** As `--format` names it. */
  readonly id: string
  /** Endings of its files; the first is the one that they are given. An ending that several have means the first of them. */
  readonly endings: readonly [string, ...string[]]
  /** Media type. */
  readonly type: string
  /** What its link on the page is called. */
  readonly name: string
  /** Where the page offers it: among the usual, the further ones, the recordings, or on a page of its own. Null: the command line alone. */
  readonly offered: 'usual' | 'further' | 'recording' | 'packet' | null
  /** Where the server has it, if not at `/line.` with its ending. */
  readonly path?: string
  /** Whether it needs Node: the engraver, or a writer of paper. */
  readonly nodeOnly: boolean
  /** Whether its bytes are compressed already. */
  readonly compressed: boolean
  /** Whether it prints a code for the address of the lines. */
  readonly printsLink?: boolean
  /** Whether it is written of input with errors, too, which it then says. */
  readonly saysProblems?: boolean
}

/** Every export, in the order in which they are offered. */
export const exports: readonly Export[] = fixed<readonly Export[]>([
  {
    id: 'pdf',
    endings: ['pdf'],
    type: 'application/pdf',
    name: 'PDF',
    offered: 'usual',
    nodeOnly: true,
    compressed: true,
    printsLink: true,
    needs: 'lines',
    write: (lines, asked) => (lines.brief.parts.length > 0 ? partsOf(lines, asked, 'pdf') : bookOf(lines, asked)),
  },
  {
    id: 'musicxml',
    endings: ['musicxml', 'xml'],
    type: 'application/vnd.recordare.musicxml+xml',
    name: 'MusicXML',
    offered: 'usual',
    nodeOnly: false,
    compressed: false,
    needs: 'score',
    write: async (score, { show }) => {
      const { writeMusicXml } = await import('./score/writeMusicXml.ts')
      return [writeMusicXml(score, { brackets: show.includes('brackets') })]
    },
  },
  {
    id: 'mxl',
    endings: ['mxl'],
    type: 'application/vnd.recordare.musicxml',
    name: 'MusicXML, zipped',
    offered: 'further',
    nodeOnly: false,
    compressed: true,
    needs: 'score',
    write: async (score, { show }) => {
      const { writeMxl } = await import('./score/writeMusicXml.ts')
      return [writeMxl(score, { brackets: show.includes('brackets') })]
    },
  },
  {
    id: 'midi',
    endings: ['mid', 'midi'],
    type: 'audio/midi',
    name: 'MIDI',
    offered: 'usual',
    nodeOnly: false,
    compressed: false,
    needs: 'line',
    write: async (line, brief) => [await lineMidi(line, brief)],
  },
  {
    id: 'svg',
    endings: ['svg'],
    type: 'image/svg+xml',
    name: 'SVG',
    offered: 'further',
    nodeOnly: true,
    compressed: false,
    needs: 'score',
    write: engraved,
  },
  {
    id: 'png',
    endings: ['png'],
    type: 'image/png',
    name: 'PNG',
    offered: 'further',
    nodeOnly: true,
    compressed: true,
    needs: 'score',
    write: async (score, brief) => {
      const [pages, { writePng }] = await Promise.all([engraved(score, brief), import('./engrave/png.ts')])
      return Promise.all(pages.map((svg) => writePng(svg, pngWidth)))
    },
  },
  {
    id: 'mei',
    endings: ['mei'],
    type: 'application/xml',
    name: 'MEI',
    offered: 'further',
    nodeOnly: false,
    compressed: false,
    needs: 'score',
    write: async (score, { show }) => [(await import('./score/writeMei.ts')).writeMei(score, { show })],
  },
  {
    id: 'abc',
    endings: ['abc'],
    type: 'text/vnd.abc',
    name: 'ABC',
    offered: 'further',
    nodeOnly: false,
    compressed: false,
    needs: 'score',
    write: async (score) => [(await import('./score/writeAbc.ts')).writeAbc(score)],
  },
  {
    id: 'zip',
    endings: ['zip'],
    type: 'application/zip',
    name: 'class set, zipped',
    offered: 'further',
    nodeOnly: true,
    compressed: true,
    printsLink: true,
    needs: 'lines',
    write: (lines, asked) => partsOf(lines, asked, 'zip'),
  },
  {
    id: 'packet',
    endings: ['packet.zip'],
    type: 'application/zip',
    name: 'class packet',
    offered: 'packet',
    path: '/packet.zip',
    nodeOnly: true,
    compressed: true,
    printsLink: true,
    needs: 'lines',
    write: packetOf,
  },
  {
    id: 'worksheet',
    endings: ['worksheet.pdf'],
    type: 'application/pdf',
    name: 'guide-tone worksheet',
    offered: 'further',
    path: '/worksheet.pdf',
    nodeOnly: true,
    compressed: true,
    printsLink: true,
    needs: 'lines',
    write: worksheetOf,
  },
  {
    id: 'json',
    endings: ['json'],
    type: 'application/json; charset=utf-8',
    name: 'JSON',
    offered: 'further',
    nodeOnly: false,
    compressed: false,
    saysProblems: true,
    needs: 'lines',
    write: async (lines, { typed, spread }) => {
      const { linesJson } = await import('./lineJson.ts')
      return `${JSON.stringify(linesJson(lines, typed), null, spread ? 2 : 0)}\n`
    },
  },
  {
    id: 'text',
    endings: ['txt'],
    type: 'text/plain; charset=utf-8',
    name: 'text',
    offered: null,
    nodeOnly: false,
    compressed: false,
    needs: 'lines',
    write: async ({ lines, brief }) => {
      const { lineText } = await import('./lineText.ts')
      return lines.map((line) => lineText(line, brief)).join('\n')
    },
  },
  {
    id: 'wav',
    endings: ['wav'],
    type: 'audio/wav',
    name: 'WAV',
    offered: 'recording',
    path: '/sound.wav',
    nodeOnly: false,
    compressed: true,
    needs: 'lines',
    write: (lines, asked) => recorded(lines, asked, 'wav'),
  },
  {
    id: 'flac',
    endings: ['flac'],
    type: 'audio/flac',
    name: 'FLAC',
    offered: 'recording',
    path: '/sound.flac',
    nodeOnly: false,
    compressed: true,
    needs: 'lines',
    write: (lines, asked) => recorded(lines, asked, 'flac'),
  },
  {
    id: 'opus',
    endings: ['opus'],
    type: 'audio/ogg',
    name: 'Opus',
    offered: 'recording',
    path: '/sound.opus',
    nodeOnly: true,
    compressed: true,
    needs: 'lines',
    write: (lines, asked) => recorded(lines, asked, 'opus'),
  },
  {
    id: 'band-midi',
    endings: ['band.mid', 'band-midi'],
    type: 'audio/midi',
    name: 'MIDI',
    offered: 'recording',
    path: '/sound.mid',
    nodeOnly: false,
    compressed: true,
    needs: 'lines',
    write: bandMidi,
  },
])

/** The export of an id; undefined for what is none. */
export const exportOf = (id: string): Export | undefined => exports.find((each) => each.id === id)

/** The export that a file name asks for by its ending; undefined where none has such an ending. */
export function exportOfFile(name: string): Export | undefined {
  const plain = name.toLowerCase()
  const ends = exports.flatMap((each) => each.endings.map((ending) => ({ each, ending })))
  const fitting = ends.filter(({ ending }) => plain.endsWith(`.${ending}`))
  return fitting.sort((a, b) => b.ending.length - a.ending.length)[0]?.each
}

/** Where the server has an export. */
export const pathOf = ({ path, endings }: Export): string => path ?? `/line.${endings[0]}`

/** A page of A4 at 200 dots an inch. */
const pngWidth = 1654

/** A file: what to add to the name it is given, before the ending, and its bytes. */
export interface LineFile {
  readonly suffix: string
  readonly bytes: Uint8Array
}

/** All lines in one file, piece by piece as it is made. Refused, with the reason, where there can be none. */
export async function writePieces(
  format: Extract<Export, { needs: 'lines' }>,
  lines: Lines,
  asked: Partial<Asked> = {},
): Promise<Pieces | Refused> {
  const whole = await format.write(lines, { ...nothingMore, ...asked })
  if (typeof whole !== 'string' && !(whole instanceof Uint8Array)) return whole
  return [bytesOf(whole)]
}

/**
 * Lines as files in a format: a file a key, named by it where there are several, and a file a page where the format has pages;
 * or one file of all keys. Refused, with the reason, where there can be none.
 */
export async function writeFiles(
  format: Export,
  lines: Lines,
  asked: Partial<Asked> = {},
): Promise<readonly LineFile[] | Refused> {
  if (format.needs === 'lines') {
    const made = await writePieces(format, lines, asked)
    return 'problems' in made ? made : [{ suffix: '', bytes: await joined(made) }]
  }
  const { brief } = lines
  const whole = format.needs === 'score' && isOnePiece(lines.lines, brief) ? lines.lines : null
  const played = linesAsPlayed(lines.lines, brief)
  const several = played.length > 1
  const files: LineFile[] = []
  for (const line of played) {
    const pages = await pagesOf(format, whole ?? [line], brief)
    const key = several ? `-${nameOfKey(line.key)}` : ''
    for (const [page, content] of pages.entries())
      files.push({ suffix: pages.length > 1 ? `${key}-${page + 1}` : key, bytes: bytesOf(content) })
  }
  return files
}

/** The pages of one file, of one line or of several that go on from each other. */
async function pagesOf(
  format: Exclude<Export, { needs: 'lines' }>,
  lines: readonly Line[],
  brief: Brief,
): Promise<Pages> {
  if (format.needs === 'line') return format.write(lines[0]!, brief)
  const [{ layScore }, { joinScores, writtenKeyName }] = await Promise.all([
    import('./score/layScore.ts'),
    import('./score/joinScores.ts'),
  ])
  const scores = lines.map((line) => layScore(line, brief))
  return format.write(scores.length > 1 ? joinScores(scores, writtenKeyName) : scores[0]!, brief)
}

const bytesOf = (content: string | Uint8Array): Uint8Array =>
  typeof content === 'string' ? new TextEncoder().encode(content) : content

async function joined(pieces: Pieces): Promise<Uint8Array> {
  const kept: Uint8Array[] = []
  for await (const piece of pieces) kept.push(piece)
  return kept.length === 1 ? kept[0]! : Buffer.concat(kept)
}
