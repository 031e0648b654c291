/** A played line in whatever form it comes: MusicXML, compressed or not, MEI, MIDI, ABC, or a line's own text. Told from the content. */
import { limits } from '../brief.ts'
import { decodeText, isScore, readScoreXml, unpackScore } from '../changes/readChanges.ts'
import { longestXml } from '../changes/xml/xmlTree.ts'
import { ticksPerBar } from '../theory/meter.ts'
import { type Reading, refused } from './played.ts'
import { isAbc, readAbcLine } from './readAbcLine.ts'
import { readMeiLine } from './readMeiLine.ts'
import { isMidi, readMidiLine } from './readMidiLine.ts'
import { readMusicXmlLine } from './readMusicXmlLine.ts'
import { isTextLine, readTextLine } from './readTextLine.ts'

const forms = 'MusicXML, MXL, MEI, MIDI, ABC, or the text that line --format text prints'

/**
 * Reads the line in a file's bytes: its notes as they sound and as they are played, repeats unrolled, and the chart that the
 * file holds. Where the file cannot be read as one line of notes, what is wrong and where; spans count in its text.
 *
 * @param part - of several parts, the one to read, by number from 1 or by name; null for the first that holds notes
 *
 * @example
 * readLine(new TextEncoder().encode('X:1\nL:1/8\nK:C\n"Dm7"fedc|'), null).played.notes.length // => 4
 * readLine(new TextEncoder().encode('hello'), null).problems[0].code // => 'unreadable-file'
 */
export function readLine(bytes: Uint8Array, part: string | null): Reading {
  const reading = readForm(bytes, part)
  if (!reading.played) return reading
  const { chart, notes } = reading.played
  if (notes.length === 0)
    return refused('no-notes', 'no notes', 'a line of notes', 'give a file that holds the line itself')
  const bars = chart.playOrder.length
  const ticks = chart.bars.reduce((sum, { meter }) => sum + ticksPerBar(meter), 0)
  if (bars > limits.bars || ticks > limits.bars * 960)
    return refused('too-many-bars', `${bars} bars as played`, `at most ${limits.bars}`, 'give a part of it')
  return reading
}

function readForm(bytes: Uint8Array, part: string | null): Reading {
  if (bytes.length === 0) return refused('unreadable-file', 'an empty file', forms, 'give a file that holds a line')
  if (isMidi(bytes)) return readMidiLine(bytes, part)
  let text: string
  if (bytes[0] === 0x50 && bytes[1] === 0x4b) {
    const unpacked = unpackScore(bytes)
    if (typeof unpacked !== 'string') return { played: null, problems: unpacked.problems }
    text = unpacked
  } else if (bytes.length > longestXml)
    return refused('too-large', `${bytes.length} bytes`, `at most ${longestXml}`, 'give one tune a file')
  else text = decodeText(bytes)
  if (isScore(text)) {
    const { root, problem } = readScoreXml(text)
    if (problem) return { played: null, problems: [problem] }
    if (root.name === 'mei') return readMeiLine(root, part)
    if (root.name.startsWith('score-')) return readMusicXmlLine(root, part)
  }
  if (isTextLine(text)) return readTextLine(text, part)
  if (isAbc(text)) return readAbcLine(text, part)
  return refused('unreadable-file', 'what is none of these', forms, 'export the line as MusicXML')
}
