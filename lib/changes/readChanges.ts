/** Changes in whatever form they come: typed text, MusicXML, compressed MusicXML, MEI. The kind is told from the content. */
import { type UnzipFileInfo, unzipSync } from 'fflate'
import type { Problem } from '../problem.ts'
import type { Chart } from './chart.ts'
import { emptyChart } from './transposeChart.ts'
import { readChart } from './typed/readChart.ts'
import { readMei } from './xml/readMei.ts'
import { readMusicXml } from './xml/readMusicXml.ts'
import { longestXml, readXml } from './xml/xmlTree.ts'

/** Limits on an archive: bytes packed, entries, bytes unpacked in all, and how many times larger that may be. */
export const archiveLimits = { packed: 4_000_000, entries: 64, unpacked: 16_000_000, ratio: 200 } as const

const example = '| Dm7 | G7 | Cmaj7 |'

const refuse = (code: string, found: string, expected: string): Chart => {
  const problem: Problem = { severity: 'error', code, span: { start: 0, end: 0 }, found, expected, hint: example }
  return { ...emptyChart, problems: [problem] }
}

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
  return isScore(text) ? readScore(text) : readChart(text)
}

/** Whether a text is a score in XML. */
export const isScore = (text: string): boolean =>
  /^\s*</.test(text.slice(0, 200).replace(/^\ufeff/, '')) &&
  /<(?:\w+:)?(?:score-partwise|score-timewise|mei|opus)[\s/>]/.test(text.slice(0, 4_000))

/** A score's text as a tree. The declaration is blanked: it may stand after a byte order mark or spaces, and places must not move. */
export const readScoreXml = (text: string): ReturnType<typeof readXml> =>
  readXml(text.replace(/^[\s\ufeff]*(?:<\?xml[^>]{0,500}\?>)?/, (head) => ' '.repeat(head.length)))

function readScore(text: string): Chart {
  const { root, problem } = readScoreXml(text)
  if (problem) return { ...emptyChart, problems: [problem] }
  if (root.name === 'mei') return readMei(root)
  if (root.name.startsWith('score-')) return readMusicXml(root, text)
  return refuse('unreadable-file', `<${root.name}>`, 'a MusicXML or MEI score')
}

/** Bytes to text: UTF-8 or UTF-16 by their mark, else UTF-8, else the Western code page of old files. */
export function decodeText(bytes: Uint8Array): string {
  if (bytes[0] === 0xff && bytes[1] === 0xfe) return new TextDecoder('utf-16le').decode(bytes)
  if (bytes[0] === 0xfe && bytes[1] === 0xff) return new TextDecoder('utf-16be').decode(bytes)
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return new TextDecoder('windows-1252').decode(bytes)
  }
}

function readArchive(bytes: Uint8Array): Chart {
  const score = unpackScore(bytes)
  return typeof score === 'string' ? readScore(score) : score
}

/** The text of the score in an archive, or a chart that says what is wrong with it. */
export function unpackScore(bytes: Uint8Array): string | Chart {
  const { packed, entries, unpacked, ratio } = archiveLimits
  if (bytes.length > packed) return refuse('too-large', `${bytes.length} bytes`, `an archive of at most ${packed}`)
  let count = 0
  let total = 0
  let over = ''
  const wanted = (file: UnzipFileInfo): boolean => {
    count += 1
    total += file.originalSize
    if (count > entries) over ||= `more than ${entries} files`
    if (total > unpacked) over ||= `more than ${unpacked} bytes unpacked`
    if (file.originalSize > ratio * Math.max(file.size, 1)) over ||= `a file packed more than ${ratio} times over`
    return over === '' && /\.(?:xml|musicxml|mei)$/i.test(file.name)
  }
  let files: Record<string, Uint8Array>
  try {
    files = unzipSync(bytes, { filter: wanted })
  } catch {
    return refuse('unreadable-file', 'an archive that does not unpack', 'compressed MusicXML')
  }
  if (over) return refuse('too-large', over, 'a score of ordinary size')
  const container = files['META-INF/container.xml']
  const named =
    container && /<rootfile[^>]{0,500}full-path\s*=\s*["']([^"']{1,300})["']/.exec(decodeText(container))?.[1]
  const name = named ?? Object.keys(files).find((file) => !file.startsWith('META-INF/'))
  const score = name === undefined ? undefined : files[name]
  if (!score) return refuse('unreadable-file', 'an archive without a score', 'compressed MusicXML')
  return decodeText(score)
}
