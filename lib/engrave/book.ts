/** Books of lines: a page a key, staves to write on, guide-tone worksheets, class sets. Each is laid out here and bound as PDF. */
import type { Brief } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { isOnePiece } from '../drill/joinLines.ts'
import type { Harmony } from '../harmony/harmony.ts'
import { soundingRange } from '../line/draftLine.ts'
import { readGuideTones, threadLine } from '../line/guideTones.ts'
import type { Line } from '../line/line.ts'
import { homeOf, writeLines } from '../lines/write.ts'
import { concertScore, lineFor, type Unfit, usualParts } from '../score/classSet.ts'
import { joinScores, writtenKeyName } from '../score/joinScores.ts'
import { ladderOfBars } from '../score/ladderScore.ts'
import { layScore } from '../score/layScore.ts'
import type { Score } from '../score/score.ts'
import { type ZipEntry, zipFiles } from '../score/zip.ts'
import { type Instrument, instrumentOf } from '../theory/instrument.ts'
import type { Key } from '../theory/key.ts'
import { nameForFile } from '../theory/signs.ts'
import { briefInWords } from './briefInWords.ts'
import { timesOnSheet } from './pdf/pdfSheets.ts'
import type { Piece } from './pdf/pieces.ts'
import { type Binding, type Book, writePdf } from './pdf/writePdf.ts'

export interface BookChoices {
  /** The address that rebuilds the book, printed with its code; null for none. */
  readonly link: string | null
  /** Empty staves under the same changes after each line, to write on. */
  readonly ownStaves: boolean
}

const usualChoices: BookChoices = { link: null, ownStaves: false }

/** A book of lines, each on a sheet of its own (short ones share), one a key. */
export function lineBook(lines: readonly Line[], brief: Brief, choices: Partial<BookChoices> = {}): Book {
  const { link, ownStaves } = { ...usualChoices, ...choices }
  const each = lines.map((line) => layScore(line, brief))
  const scores = isOnePiece(lines, brief) ? [joinScores(each, writtenKeyName)] : each
  return {
    ...layoutOf(scores[0]?.title ?? '', brief),
    cover: { words: briefInWords(brief), link },
    pieces: scores.flatMap((score) => {
      const several = scores.length > 1
      const own = ownStaves ? ownStavesFor(score, several, brief.print === 'large') : 0
      return keyPieces(score, several, null, own)
    }),
  }
}

const rungNames = ['', 'One note into each target', 'Two notes', 'Three notes', 'Four notes'] as const

/**
 * A ladder in the first of a brief's keys: the drill with one, two, three and four approach notes, each on a piece of its own; or each
 * bar alone, then two by two, then the line.
 */
export function ladderBook(lines: readonly Line[], brief: Brief, choices: Partial<BookChoices> = {}): Book {
  const scores =
    brief.ladder === 'bars'
      ? lines.slice(0, 1).map((line) => ladderOfBars(layScore(line, brief)))
      : ([1, 2, 3, 4] as const).flatMap((notes) => {
          // One note cannot enclose: steps lead in there.
          const approach: Brief['approach'] =
            notes === 1 ? [...new Set([...brief.approach, 'chromatic', 'scale'] as const)] : brief.approach
          const rung = writeLines({
            ...brief,
            notes,
            approach,
            keys: null,
            join: false,
            exact: true,
            figures: [],
            ladder: 'none',
          })
          return rung.lines.map((line) => layScore(line, brief))
        })
  const named = (score: Score, at: number) =>
    brief.ladder === 'bars' ? null : (rungNames[scores.indexOf(score) + 1] ?? `${at}`)
  return {
    ...layoutOf(scores[0]?.title ?? '', brief),
    cover: { words: briefInWords(brief), link: choices.link ?? null },
    pieces: scores.map(
      (score, at): Piece => ({ score, name: named(score, at), bookmark: named(score, at), group: null }),
    ),
  }
}

const layoutOf = (title: string, brief: Brief) => ({
  title: title === '' ? 'Lines' : title,
  language: 'en',
  paper: brief.paper,
  large: brief.print === 'large',
  show: brief.show,
})

function keyPieces(score: Score, several: boolean, group: string | null, own: number): readonly Piece[] {
  const name = several ? writtenKeyName(score) : null
  const piece: Piece = { score, name, bookmark: name, group }
  const empty = { ...piece, score: emptyStaves(score), name: 'A line of your own', bookmark: null, under: true }
  return [piece, ...Array.from({ length: own }, () => empty)]
}

/** How often empty staves follow a line: once, or as often as fills the sheet where it has the sheet to itself. */
const ownStavesFor = (score: Score, several: boolean, large: boolean): number =>
  several ? 1 : Math.max(1, timesOnSheet(score, large) - 1)

/** The same bars and chords with nothing on the staves. */
const emptyStaves = (score: Score): Score => ({
  ...score,
  bars: score.bars.map((bar) => ({ ...bar, events: [] })),
  figures: [],
})

/** Whether a worksheet has answers: none, on sheets after those to fill in, or the answers alone. */
export type Answers = boolean | 'alone'

/** A worksheet of the two guide-tone threads: staves to fill in, and the answers on sheets of their own where asked for. */
export function worksheetBook(
  harmony: Harmony,
  instrument: Instrument,
  range: readonly [number, number],
  brief: Brief,
  choices: Partial<BookChoices> & { readonly answers: Answers },
): Book {
  const names = ['First guide-tone line, from the third', 'Second guide-tone line, from the seventh'] as const
  const scores = readGuideTones(harmony).map((thread) =>
    layScore(threadLine(harmony, thread, instrument, range), brief),
  )
  const task = 'One note to each chord, its third or its seventh, as close as can be to the note before'
  const blank = scores.map((score, index): Piece => {
    const start = index === 0 ? 'third' : 'seventh'
    const styleLine = `In ${writtenKeyName(score)}. ${task}; begin on the first chord’s ${start}.`
    return { score: { ...emptyStaves(score), styleLine }, name: names[index]!, bookmark: names[index]!, group: null }
  })
  const answers = scores.map((score, index): Piece => {
    const styleLine = `In ${writtenKeyName(score)}. Answers.`
    return { score: { ...score, styleLine }, name: names[index]!, bookmark: names[index]!, group: 'Answers' }
  })
  return {
    ...layoutOf(scores[0]?.title ?? '', brief),
    cover: choices.link ? { words: 'Guide tones.', link: choices.link } : null,
    pieces: [...(choices.answers === 'alone' ? [] : blank), ...(choices.answers === false ? [] : answers)],
  }
}

/** One line for one part, on its own, with the name of its key; null where no octave of the part holds it. */
export function partBook(line: Line, part: Instrument, brief: Brief, choices: Partial<BookChoices> = {}): Book | null {
  const { link, ownStaves } = { ...usualChoices, ...choices }
  const fitted = lineFor(line, part)
  if (!('line' in fitted)) return null
  const score = layScore(fitted.line, { ...brief, pitch: 'written' })
  const own = ownStaves && part !== concertScore ? ownStavesFor(score, false, brief.print === 'large') : 0
  const [piece, ...empty] = keyPieces(score, false, null, own)
  return {
    ...layoutOf(score.title, brief),
    cover: { words: briefInWords({ ...brief, keys: null }), link },
    pieces: [{ ...piece!, name: writtenKeyName(score) }, ...empty],
  }
}

/** The worksheet of a chart in the key that the brief puts it in, with answers unless they are left out. */
export function homeWorksheet(chart: Chart, brief: Brief, link: string | null): Book {
  const { harmony } = homeOf(chart, brief)
  const instrument = instrumentOf(brief.instrument)
  return worksheetBook(harmony, instrument, soundingRange(instrument, brief), brief, { answers: brief.answers, link })
}

/** The worksheet of a chart in a key for a part of a class, to fill in or filled in. */
export function partWorksheet(
  chart: Chart,
  key: Key,
  part: Instrument,
  brief: Brief,
  filled: boolean,
  link: string | null,
): Book {
  const { harmony } = homeOf(chart, { ...brief, key, choruses: 1 })
  const range = soundingRange(part, { low: null, high: null, compass: brief.compass })
  return worksheetBook(
    harmony,
    part,
    range,
    { ...brief, pitch: 'written' },
    { answers: filled ? 'alone' : false, link },
  )
}

/** A part of a class set, ready to be bound. */
export interface SetPart {
  readonly name: string
  readonly pieces: readonly Piece[]
  /** The bars, by key, at which its octave changes to fit. */
  readonly folds: readonly { readonly key: Key; readonly bars: readonly number[] }[]
}

export interface ClassSet {
  readonly book: Book
  /** The concert score first. */
  readonly parts: readonly SetPart[]
  /** Parts left out, since no octave holds the line. */
  readonly unfit: readonly (Unfit & { readonly part: string; readonly key: Key })[]
}

/** A class set of lines: the concert score and a part for each instrument, every bar numbered alike. */
export function classSet(
  lines: readonly Line[],
  brief: Brief,
  instruments: readonly Instrument[] = usualParts,
  choices: Partial<BookChoices> = {},
): ClassSet {
  const { link, ownStaves } = { ...usualChoices, ...choices }
  const unfit: ClassSet['unfit'][number][] = []
  const parts = [concertScore, ...instruments].flatMap((instrument): SetPart[] => {
    const laid = lines.map((line) => ({ key: line.key, ...lineFor(line, instrument) }))
    const wrong = laid.find((each) => 'unfit' in each)
    if (wrong && 'unfit' in wrong) {
      unfit.push({ ...wrong.unfit, part: instrument.name, key: wrong.key })
      return []
    }
    const fit = laid.filter((each) => 'line' in each)
    const { name } = instrument
    // A set is of written parts, whatever the pitch of the brief: that is what the concert score is for.
    const pieces = fit.flatMap(({ line }) => {
      const score = layScore(line, { ...brief, pitch: 'written' })
      const several = lines.length > 1
      const own = ownStaves && instrument !== concertScore ? ownStavesFor(score, several, brief.print === 'large') : 0
      return keyPieces(score, several, name, own)
    })
    const marked = pieces.map((piece) => ({ ...piece, bookmark: lines.length > 1 ? piece.bookmark : null }))
    return [{ name, pieces: marked, folds: fit.map(({ key, folds }) => ({ key, bars: folds })) }]
  })
  const title = brief.title ?? lines[0]?.harmony.title ?? ''
  const cover = { words: briefInWords(brief), link }
  return { book: { ...layoutOf(title, brief), cover, pieces: parts.flatMap((part) => part.pieces) }, parts, unfit }
}

/** A class set as a zip: a PDF for each part, numbered in the order of the set. */
export async function zipClassSet({ book, parts }: ClassSet, options: Binding = {}): Promise<Uint8Array> {
  const entries: ZipEntry[] = []
  for (const [index, { name, pieces }] of parts.entries()) {
    const own = pieces.map((piece) => ({ ...piece, group: null }))
    const content = await writePdf(
      { ...book, title: `${book.title}, ${name}`, pieces: own },
      { ...options, progress: () => {} },
    )
    entries.push({ name: `${String(index + 1).padStart(2, '0')}-${nameForFile(name)}.pdf`, content, stored: true })
    options.progress?.(index + 1, parts.length)
  }
  return zipFiles(entries)
}
