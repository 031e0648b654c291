/** A class packet: what it holds, told by names before any of it is made, and the making, file after file, into one archive. Node-side. */
import type { Brief, BriefProblem } from './brief.ts'
import { limits } from './choices/limits.ts'
import type { Book } from './engrave/pdf/writePdf.ts'
import type { Line } from './line/line.ts'
import type { Lines } from './lines/write.ts'
import { askedParts, concertScore, unfitAmong } from './score/classSet.ts'
import { type EntryInPieces, zipInPieces } from './score/zip.ts'
import { longestRecording, secondsOfRecordedPasses } from './sound/playPasses.ts'
import type { Instrument } from './theory/instrument.ts'
import { keyName } from './theory/key.ts'
import { nameForFile, tuneForFile } from './theory/signs.ts'

/** What a file of a packet is. */
type Content =
  | { readonly kind: 'cover' }
  | { readonly kind: 'line' | 'worksheet' | 'answers'; readonly part: Instrument; readonly line: Line }
  | { readonly kind: 'recording'; readonly line: Line; readonly alone: boolean; readonly format: 'flac' | 'opus' }

/** A file of a packet: its name, the folders before it included, and what it is. */
interface PacketFile {
  readonly name: string
  readonly content: Content
}

/** A packet as it will be. */
interface Packet {
  /** The name of the tune, as file names have it. */
  readonly tune: string
  /** The cover first, then a folder a part, then the recordings. */
  readonly files: readonly PacketFile[]
}

/** What a packet takes from whoever makes it: how a recording is written, the link of the line, and who is told how far it is. */
export interface PacketMaker {
  readonly link: string | null
  readonly record: (
    line: Line,
    alone: boolean,
    format: 'flac' | 'opus',
  ) => Promise<Iterable<Uint8Array> | AsyncIterable<Uint8Array>>
  readonly progress: (done: number, of: number) => void
}

/**
 * What a packet of lines would hold; or why there is none: a part that no octave fits, or more files, bars or minutes than one
 * packet may have, with what would do.
 */
export function planPacket({ brief, lines }: Lines): Packet | { readonly problems: readonly BriefProblem[] } {
  const has = (content: Brief['packet'][number]) => brief.packet.includes(content)
  const students = askedParts(brief)
  const scored = has('score') ? [concertScore] : []
  const tune = tuneForFile(brief.title ?? lines[0]?.harmony.title ?? '')
  const named = (folder: string, words: readonly string[], ending: string): string =>
    `${folder}/${[tune, ...words].filter((each) => each !== '').join('-')}.${ending}`
  const inKey = (line: Line): string => `concert-${nameForFile(keyName(line.key))}`
  const partFiles = (part: Instrument, line: Line): readonly PacketFile[] => {
    const file = (kind: 'line' | 'worksheet' | 'answers', what: string): PacketFile => ({
      name: named(
        nameForFile(part.name),
        [nameForFile(part.name), part === concertScore ? nameForFile(keyName(line.key)) : inKey(line), what],
        'pdf',
      ),
      content: { kind, part, line },
    })
    if (part === concertScore) return [file('line', '')]
    return [
      ...(has('lines') ? [file('line', '')] : []),
      ...(has('worksheets') ? [file('worksheet', 'guide-tones')] : []),
      ...(has('answers') ? [file('answers', 'guide-tones-answers')] : []),
    ]
  }
  const recordings = (line: Line): readonly PacketFile[] =>
    (['flac', 'opus'] as const)
      .filter((format) => has(format === 'flac' ? 'recordings' : 'small-recordings'))
      .flatMap((format) =>
        [false, true].map((alone) => ({
          name: named('recordings', [inKey(line), alone ? 'band' : 'line-and-band'], format),
          content: { kind: 'recording', line, alone, format } as const,
        })),
      )
  const files: readonly PacketFile[] = [
    { name: `${tune}-cover.pdf`, content: { kind: 'cover' } },
    ...[...scored, ...students].flatMap((part) => lines.flatMap((line) => partFiles(part, line))),
    ...lines.flatMap(recordings),
  ]
  const problems = [
    ...unfitAmong(lines, [...scored, ...(has('lines') ? students : [])]),
    ...tooMuch(files, brief, lines),
  ]
  return problems.length > 0 ? { problems } : { tune, files: namedApart(files) }
}

/** Names that are all different, whatever keys were asked for twice. */
function namedApart(files: readonly PacketFile[]): readonly PacketFile[] {
  const seen = new Map<string, number>()
  return files.map((file) => {
    const times = (seen.get(file.name) ?? 0) + 1
    seen.set(file.name, times)
    return times === 1 ? file : { ...file, name: file.name.replace(/\.(\w+)$/, `-${times}.$1`) }
  })
}

/** Bars that a file sets on paper: both guide-tone lines of a worksheet. */
const barsOf = ({ content }: PacketFile): number =>
  'part' in content ? (content.kind === 'line' ? 1 : 2) * content.line.harmony.bars.length : 0

/** What of a packet is more than one may hold, and how many keys would do. */
function tooMuch(files: readonly PacketFile[], brief: Brief, lines: readonly Line[]): readonly BriefProblem[] {
  const recordings = files.filter(({ content }) => content.kind === 'recording')
  const [line] = lines
  const each =
    recordings.length === 0 || !line ? 0 : (secondsOfRecordedPasses([line], brief) ?? longestRecording * limits.keys)
  const measures = [
    { found: files.length, most: limits.packetFiles, unit: 'files' },
    { found: files.reduce((sum, file) => sum + barsOf(file), 0), most: limits.packetBars, unit: 'bars on paper' },
    { found: Math.ceil((recordings.length * each) / 60), most: limits.packetMinutes, unit: 'minutes of recordings' },
  ]
  return measures.flatMap(({ found, most, unit }): readonly BriefProblem[] => {
    if (found <= most) return []
    const keys = Math.floor((lines.length * most) / found)
    const less = unit === 'minutes of recordings' ? 'leave the recordings out' : 'take fewer parts'
    return [
      {
        severity: 'error',
        code: 'packet-too-large',
        choice: keys > 0 && lines.length > 1 ? 'keys' : 'packet',
        span: { start: 0, end: 0 },
        found: `a packet of ${found} ${unit}`,
        expected: `at most ${most}`,
        hint: keys > 0 && lines.length > 1 ? `take at most ${keys} of the keys, or ${less}` : less,
      },
    ]
  })
}

/** Makes a packet, a file at a time, piece by piece. */
export async function* writePacket(
  packet: Packet,
  { brief, chart }: Lines,
  { link, record, progress }: PacketMaker,
): AsyncGenerator<Uint8Array, void> {
  const [{ partBook, partWorksheet }, { writePdf }, { writePacketCover }] = await Promise.all([
    import('./engrave/book.ts'),
    import('./engrave/pdf/writePdf.ts'),
    import('./engrave/pdf/packetCover.ts'),
  ])
  const bind = async (book: Book | null): Promise<readonly Uint8Array[]> => (book ? [await writePdf(book)] : [])
  const piecesOf = async ({ content }: PacketFile): Promise<EntryInPieces['pieces']> => {
    switch (content.kind) {
      case 'cover':
        return [await writePacketCover({ chart, brief, link, files: packet.files.map(({ name }) => name) })]
      case 'recording':
        return record(content.line, content.alone, content.format)
      case 'line':
        return bind(partBook(content.line, content.part, brief, { link, ownStaves: brief.ownStaves }))
      default:
        return bind(partWorksheet(chart, content.line.key, content.part, brief, content.kind === 'answers', link))
    }
  }
  async function* entries(): AsyncGenerator<EntryInPieces, void> {
    for (const [done, file] of packet.files.entries()) {
      progress(done, packet.files.length)
      yield { name: file.name, pieces: await piecesOf(file) }
    }
    progress(packet.files.length, packet.files.length)
  }
  yield* zipInPieces(entries())
}
