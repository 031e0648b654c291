/** Lines as files in every format on offer: one room for the command line and the page's downloads. Node-side. */
import type { Brief, BriefProblem } from './brief.ts'
import type { Line } from './line/line.ts'
import { loadSamples } from './sampleFiles.ts'
import { lineFor, readParts, usualParts } from './score/classSet.ts'
import { layScore } from './score/layScore.ts'
import type { Score } from './score/score.ts'
import { writeAbc } from './score/writeAbc.ts'
import { writeMei } from './score/writeMei.ts'
import { sequenceOf, writeMidi } from './score/writeMidi.ts'
import { writeMusicXml, writeMxl } from './score/writeMusicXml.ts'
import { writeBandMidi } from './sound/bandMidi.ts'
import { feelAndSwing } from './sound/feel.ts'
import { usualTempo } from './sound/playPasses.ts'
import { planRecording, recordSound } from './sound/recordSound.ts'
import type { Instrument } from './theory/instrument.ts'
import { keyName, nameOfKey } from './theory/key.ts'

/** The formats of a score, by the ending of the file. */
export const endings = [
  'mei',
  'svg',
  'pdf',
  'zip',
  'mid',
  'musicxml',
  'mxl',
  'abc',
  'png',
  'wav',
  'flac',
  'band-midi',
] as const
export type Ending = (typeof endings)[number]

/** A file: what to add to the name it is given, before the ending, and its bytes. */
export interface LineFile {
  readonly suffix: string
  readonly bytes: Uint8Array
}

/** Where the build leaves recorded notes. */
const samplesFolder = new URL('../web/browser/', import.meta.url)

/** A page of A4 at 200 dots an inch. */
const pngWidth = 1654

const encode = (text: string): Uint8Array => new TextEncoder().encode(text)

function joinBytes(pieces: readonly Uint8Array[]): Uint8Array {
  const whole = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    whole.set(piece, at)
    at += piece.length
  }
  return whole
}

/** The parts of a class set; C, B flat, E flat and bass clef where none are named. */
const partsOf = (brief: Brief): readonly Instrument[] => {
  const read = readParts(brief.parts.join(','))
  return 'parts' in read && read.parts.length > 0 ? read.parts : usualParts
}

/** The parts of a class set that no octave fits: which bars, what they need and what the instrument has. */
export function unfitParts(lines: readonly Line[], brief: Brief): readonly BriefProblem[] {
  if (brief.parts.length === 0) return []
  return partsOf(brief).flatMap((part): readonly BriefProblem[] => {
    for (const line of lines) {
      const fitted = lineFor(line, part)
      if (!('unfit' in fitted)) continue
      const { bars, needs, has } = fitted.unfit
      const where = bars[0] === bars[1] ? `bar ${bars[0]}` : `bars ${bars[0]} to ${bars[1]}`
      const found = `${part.name} in ${keyName(line.key)}, where ${where} would reach from ${needs}`
      const hint = 'narrow the written range, or leave this part out'
      return [
        {
          severity: 'error',
          code: 'part-out-of-range',
          choice: 'parts',
          span: { start: 0, end: 0 },
          found,
          expected: `notes from ${has}`,
          hint,
        },
      ]
    }
    return []
  })
}

/** The written parts of lines, one each. */
export const scoresOf = (lines: readonly Line[], brief: Brief): readonly Score[] =>
  lines.map((line) => layScore(line, brief))

/**
 * Lines in a format: a file a key, named by it where there are several; a PDF is one book and a recording holds all keys. SVG
 * and PNG make a file a page. No file where a recording cannot be made: too long, or of recorded notes that are not there.
 *
 * @param link - the address that rebuilds the lines, for the foot of a PDF's first sheet
 * @param progress - told after each piece of a book
 */
export async function writeFiles(
  lines: readonly Line[],
  brief: Brief,
  ending: Ending,
  link: string | null = null,
  progress: (done: number, of: number) => void = () => {},
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
      return each(async (_, line) => {
        const tempo = brief.tempo ?? line.harmony.tempo ?? usualTempo
        return [writeMidi(sequenceOf(line, { tempo, swing: feelAndSwing(line.harmony, tempo, brief).swing }))]
      })
    case 'band-midi': {
      const bytes = writeBandMidi(lines, brief)
      return bytes ? [{ suffix: '', bytes }] : []
    }
    case 'wav':
    case 'flac': {
      const program = lines[0]?.instrument.program ?? 0
      const samples = brief.sound === 'sampled' ? await loadSamples(program, samplesFolder) : {}
      const recording = samples && planRecording(lines, brief, samples)
      if (!recording) return []
      const pieces: Uint8Array[] = []
      for await (const piece of recordSound(recording, ending)) pieces.push(piece)
      return [{ suffix: '', bytes: joinBytes(pieces) }]
    }
    case 'svg':
      return each(async (score) => (await engraved(score)).map(encode))
    case 'png': {
      const { writePng } = await import('./engrave/png.ts')
      return each(async (score) => Promise.all((await engraved(score)).map((svg) => writePng(svg, pngWidth))))
    }
    case 'pdf':
    case 'zip': {
      const [{ classSet, lineBook, zipClassSet }, { writePdf }] = await Promise.all([
        import('./engrave/book.ts'),
        import('./engrave/pdf/writePdf.ts'),
      ])
      const choices = { link, ownStaves: brief.ownStaves }
      if (ending === 'pdf' && brief.parts.length === 0)
        return [{ suffix: '', bytes: await writePdf(lineBook(lines, brief, choices), { progress }) }]
      const set = classSet(lines, brief, partsOf(brief), choices)
      const bytes = ending === 'zip' ? await zipClassSet(set, { progress }) : await writePdf(set.book, { progress })
      return [{ suffix: '', bytes }]
    }
  }
}
