/** Changes in whatever form they come: typed text, MusicXML, compressed MusicXML, MEI. The kind is told from the content. */
import { type UnzipFileInfo, unzipSync } from 'fflate'
import { limits } from '../brief.ts'
import type { Problem } from '../problem.ts'
import type { Chart } from './chart.ts'
import { settleAsTyped } from './settleAsTyped.ts'
import { emptyChart } from './transposeChart.ts'
import { readChart } from './typed/readChart.ts'
import { sumOfBytes, sumsOfArchive } from './xml/archiveSums.ts'
import { readMei } from './xml/readMei.ts'
import { readMusicXml } from './xml/readMusicXml.ts'
import { tooManyIn } from './xml/scoreParts.ts'
import { allOf, longestXml, readXml } from './xml/xmlTree.ts'

/** Limits on an archive: bytes packed, entries, bytes unpacked in all, and how many times larger that may be. */
export const archiveLimits = { packed: 4_000_000, entries: 64, unpacked: 16_000_000, ratio: 200 } as const

const example = '| Dm7 | G7 | Cmaj7 |'

const wrong = (code: string, found: string, expected: string): Problem => ({
  severity: 'error',
  code,
  span: { start: 0, end: 0 },
  found,
  expected,
  hint: example,
})
const tooLarge = (found: string): Problem => wrong('too-large', found, 'a score of ordinary size')

const refuse = (...what: Parameters<typeof wrong>): Chart => ({ ...emptyChart, problems: [wrong(...what)] })

/**
 * Reads changes from a text or from a file's bytes. Spans of a score file count in its XML text.
 *
 * @example
 * readChanges('| Dm7 | G7 |').bars.length // => 2
 * readChanges('<score-partwise><part/></score-partwise>').problems[0].code // => 'no-chords'
 */
export function readChanges(input: string | Uint8Array): Chart {
  if (typeof input !== 'string') {
    if (input[0] === 0x50 && input[1] === 0x4b) return readArchive(input)
    if (input[0] === 0x25 && input[1] === 0x50 && input[2] === 0x44 && input[3] === 0x46)
      return refuse('unreadable-file', 'a PDF', 'text, MusicXML or MEI')
    if (input.length > longestXml) return refuse('too-large', `${input.length} bytes`, `at most ${longestXml}`)
  }
  const text = typeof input === 'string' ? input : decodeText(input)
  if (isScore(text)) return readScore(text)
  return text.length > limits.changes
    ? refuse('too-large', `${text.length} characters`, `at most ${limits.changes}`)
    : readChart(text)
}

/** Whether a text is a score in XML. */
export const isScore = (text: string): boolean =>
  /^\s*</.test(text.slice(0, 200).replace(/^\ufeff/, '')) &&
  /<(?:\w+:)?(?:score-partwise|score-timewise|mei|opus)[\s/>]/.test(text.slice(0, 4_000))

/** A score's text as a tree. The declaration is blanked: it may stand after a byte order mark or spaces, and places must not move. */
export function readScoreXml(text: string): ReturnType<typeof readXml> {
  const read = readXml(text.replace(/^[\s\ufeff]*(?:<\?xml[^>]{0,500}\?>)?/, (head) => ' '.repeat(head.length)))
  const over = read.root && tooManyIn(read.root)
  return over ? { root: null, problem: tooLarge(over) } : read
}

function readScore(text: string): Chart {
  const { root, problem } = readScoreXml(text)
  if (problem) return { ...emptyChart, problems: [problem] }
  if (root.name === 'mei') return settleAsTyped(readMei(root, 'counted'))
  if (root.name.startsWith('score-')) return settleAsTyped(readMusicXml(root, 'counted'))
  return refuse('unreadable-file', `<${root.name}>`, 'a MusicXML or MEI score')
}

/** Code pages that a file may say it is written in, besides those that their bytes tell. */
const declared =
  /^<\?xml[^>]{0,200}encoding\s*=\s*["']((?:iso-8859|windows-125|latin|us-ascii|macintosh|koi8)[\w-]{0,12})["']/i

/** Bytes to text: UTF-8 or UTF-16 by their mark or their shape, a code page that the file names, else the Western one of old files. */
export function decodeText(bytes: Uint8Array): string {
  const [first, second] = bytes
  if ((first === 0xff && second === 0xfe) || (first === 0x3c && second === 0)) return decodeAs('utf-16le', bytes)
  if ((first === 0xfe && second === 0xff) || (first === 0 && second === 0x3c)) return decodeAs('utf-16be', bytes)
  const head = String.fromCharCode(...bytes.subarray(0, 240))
  const named = declared.exec(head)?.[1]
  if (named) return decodeAs(/^latin-?1$/i.test(named) ? 'iso-8859-1' : named, bytes)
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return decodeAs('windows-1252', bytes)
  }
}

function decodeAs(label: string, bytes: Uint8Array): string {
  try {
    return new TextDecoder(label).decode(bytes)
  } catch {
    return new TextDecoder('windows-1252').decode(bytes)
  }
}

const containerPath = 'META-INF/container.xml'

/** An archive holds more of something than a score does. */
class TooMuch extends Error {}

/**
 * An archive's files that could be its score or its container, by their paths; or why it is refused. The first entry that is too much
 * ends the reading: an archive may claim four thousand million entries in 300 bytes.
 */
function unpack(bytes: Uint8Array): ReadonlyMap<string, Uint8Array> | Chart {
  const { packed, entries, unpacked, ratio } = archiveLimits
  if (bytes.length > packed) return refuse('too-large', `${bytes.length} bytes`, `an archive of at most ${packed}`)
  const sums = sumsOfArchive(bytes, entries)
  const sumOf = new Map<string, number | undefined>()
  let count = 0
  let total = 0
  const wanted = (file: UnzipFileInfo): boolean => {
    count += 1
    total += file.originalSize
    if (count > entries) throw new TooMuch(`more than ${entries} files`)
    if (total > unpacked) throw new TooMuch(`more than ${unpacked} bytes unpacked`)
    if (file.originalSize > ratio * Math.max(file.size, 1))
      throw new TooMuch(`a file packed more than ${ratio} times over`)
    // Of two of one name, the later is what is had.
    sumOf.set(file.name, sums[count - 1])
    return !/\/$|\.(?:png|jpe?g|gif|svg|pdf|midi?|mp3|ogg|wav|json|css)$/i.test(file.name)
  }
  try {
    const files = Object.entries(unzipSync(bytes, { filter: wanted }))
    if (files.every(([name, content]) => sumOfBytes(content) === sumOf.get(name))) return new Map(files)
    return refuse('unreadable-file', 'an archive that was damaged: its sums are not those of its files', 'a whole one')
  } catch (error) {
    if (error instanceof TooMuch) return { ...emptyChart, problems: [tooLarge(error.message)] }
    return refuse('unreadable-file', 'an archive that does not unpack', 'compressed MusicXML')
  }
}

const bare = (path: string): string => path.replace(/\\/g, '/').replace(/^(?:\.?\/)+/, '')

/** The paths under which a container's own path may stand in the archive: as written, and with its percent signs read. */
function pathsOf(path: string): readonly string[] {
  try {
    return [path, bare(path), bare(decodeURIComponent(path))]
  } catch {
    return [path, bare(path)]
  }
}

/** The scores that an archive's container names, the first first. */
function namedScores(container: Uint8Array | undefined): readonly string[] {
  const root = container && readScoreXml(decodeText(container)).root
  if (!root) return []
  return allOf(root, 'rootfile').flatMap(({ attributes }) => pathsOf(attributes['full-path'] ?? ''))
}

function readArchive(bytes: Uint8Array): Chart {
  const score = unpackScore(bytes)
  return typeof score === 'string' ? readScore(score) : score
}

/** The text of the score in an archive: the one that its container names, else the first that is one; or a chart that says what is wrong. */
export function unpackScore(bytes: Uint8Array): string | Chart {
  const files = unpack(bytes)
  if (!('get' in files)) return files
  const named = namedScores(files.get(containerPath)).find((path) => files.has(path))
  const others = [...files.keys()].filter((path) => !/^(?:META-INF|__MACOSX)\//.test(path))
  for (const path of named === undefined ? others : [named, ...others]) {
    const text = decodeText(files.get(path)!)
    if (isScore(text)) return text
  }
  return refuse('unreadable-file', 'an archive without a score', 'compressed MusicXML')
}
