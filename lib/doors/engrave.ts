/** The door to the engraver, `throughline/engrave`: lines as pictures, on paper and in every file format. Node-side. */
import * as books from '../engrave/book.ts'
import * as engraver from '../engrave/engraver.ts'
import * as pdf from '../engrave/pdf/writePdf.ts'
import * as png from '../engrave/png.ts'
import type { Sheet } from '../engrave/sheet.ts'
import type { Described } from '../engrave/tidySvg.ts'
import * as allExports from '../exports.ts'
import * as sampleFiles from '../sampleFiles.ts'
import { asked, binding, book, bookChoices, exportRecord, set, sheet, worksheetChoices } from './bookShapes.ts'
import { brief, linesOrNone, writtenOrNot } from './lineShapes.ts'
import { harmony, instrument, midi, program } from './musicShapes.ts'
import { checked, checkedLater, listOf, made, maybe, pairOf, text, whole, wrongInput } from './shapes.ts'

export type { Book } from '../engrave/pdf/writePdf.ts'
export { type Export, exportOf, exports, type LineFile } from '../exports.ts'
export type { Refused } from '../exportWriters.ts'
export { isWrongInput, type WrongInput } from './shapes.ts'

/** The pages; what is no MEI is said so. */
const drawSvg = (mei: string, on: Sheet & Described): Promise<readonly string[]> =>
  engraver.engraveSvg(mei, on).catch((error: unknown) => {
    const unread = error instanceof Error && error.message === engraver.unreadable
    throw unread ? wrongInput('engraveSvg: mei', { at: '', found: mei, expected: 'MEI', hint: 'try writeMei' }) : error
  })

/** The picture; what is no SVG is said so. */
const drawPng: typeof png.writePng = (svg, width) =>
  png.writePng(svg, width).catch((error: unknown) => {
    const unread = error instanceof Error && /^SVG data parsing failed/.test(error.message)
    throw unread
      ? wrongInput('writePng: svg', { at: '', found: svg, expected: 'an SVG', hint: 'try engraveSvg' })
      : error
  })

/** A book of lines, each on a sheet of its own, one a key. */
export const lineBook = checked('lineBook', books.lineBook, [
  ['lines', linesOrNone],
  ['brief', brief],
  ['choices', maybe(bookChoices)],
])

/** A worksheet of the two guide-tone threads: staves to fill in, and the answers where asked for. */
export const worksheetBook = checked('worksheetBook', books.worksheetBook, [
  ['harmony', harmony],
  ['instrument', instrument],
  ['range', pairOf(midi)],
  ['brief', brief],
  ['choices', worksheetChoices],
])

/** A class set of lines: the concert score and a part for each instrument. */
export const classSet = checked('classSet', books.classSet, [
  ['lines', linesOrNone],
  ['brief', brief],
  ['instruments', maybe(listOf(instrument, 1_000))],
  ['choices', maybe(bookChoices)],
])

/** A class set as a zip: a PDF for each part. */
export const zipClassSet = checkedLater('zipClassSet', books.zipClassSet, [
  ['set', set],
  ['options', maybe(binding)],
])

/** Pages of SVG for a score in MEI. */
export const engraveSvg = checkedLater('engraveSvg', drawSvg, [
  ['mei', text],
  ['sheet', sheet],
])

/** A book as the bytes of a PDF. */
export const writePdf = checkedLater('writePdf', pdf.writePdf, [
  ['book', book],
  ['binding', maybe(binding)],
])

/** A page of SVG as a PNG, so many pixels wide. */
export const writePng = checkedLater('writePng', drawPng, [
  ['svg', text],
  ['width', whole(1, 5_000)],
])

/** The export that a file name asks for by its ending; undefined where none has such an ending. */
export const exportOfFile = checked('exportOfFile', allExports.exportOfFile, [['name', text]])

/** Lines as files in a format. Refused, with the reason, where there can be none. */
export const writeFiles = checkedLater('writeFiles', allExports.writeFiles, [
  ['format', exportRecord],
  ['lines', writtenOrNot],
  ['asked', maybe(asked)],
])

/** The recorded notes of a band whose line is played on a program; null where there are none to be had. */
export const loadSamples = checkedLater('loadSamples', sampleFiles.loadSamples, [
  ['program', program],
  ['folder', maybe(made(URL, 'a URL of a folder'))],
])
