/** What a program hands over to the engraver: sheets, books, class sets, exports. */
import type { Answers, BookChoices, ClassSet, SetPart } from '../engrave/book.ts'
import type { Sheet } from '../engrave/engraver.ts'
import type { Piece } from '../engrave/pdf/pieces.ts'
import type { Binding, Book } from '../engrave/pdf/writePdf.ts'
import type { Described } from '../engrave/tidySvg.ts'
import { type Export, exports } from '../exports.ts'
import type { Asked } from '../exportWriters.ts'
import { typedChoices } from './lineShapes.ts'
import { count, key } from './musicShapes.ts'
import { colour, score, show } from './scoreShapes.ts'
import {
  call,
  type Fields,
  listOf,
  maybe,
  number,
  oneOf,
  options,
  orNull,
  pairOf,
  plainly,
  record,
  type Shape,
  text,
  yesOrNo,
} from './shapes.ts'

export const sheet: Shape<Sheet & Described> = {
  ...record<Sheet & Described>('a sheet, { paper }', {
    paper: oneOf('A4', 'Letter', 'screen'),
    width: maybe(number(1, 100_000)),
    large: maybe(yesOrNo),
    unit: maybe(number(4, 20)),
    head: maybe(number(0, 1_000)),
    foot: maybe(number(0, 1_000)),
    short: maybe(yesOrNo),
    marked: maybe(yesOrNo),
    title: maybe(text),
    description: maybe(text),
  }),
  open: true,
}

const piece: Shape<Piece> = record('a piece of a book', {
  score,
  name: orNull(text),
  bookmark: orNull(text),
  group: orNull(text),
  under: maybe(yesOrNo),
})
export const book: Shape<Book> = record('a book, as lineBook gives it', {
  paper: oneOf('A4', 'Letter'),
  large: yesOrNo,
  cover: orNull(record('a cover, { words, link }', { words: text, link: orNull(text) })),
  pieces: listOf(piece, 10_000),
  title: text,
  language: text,
  show,
  accent: maybe(colour),
})
export const binding: Shape<Binding> = options<Binding>({ engrave: call, progress: call })

const bookFields: Fields<BookChoices> = { link: orNull(text), ownStaves: yesOrNo }
export const bookChoices: Shape<Partial<BookChoices>> = options<BookChoices>(bookFields)
type WorksheetChoices = Parameters<typeof import('../engrave/book.ts').worksheetBook>[4]
export const worksheetChoices: Shape<WorksheetChoices> = {
  ...record<WorksheetChoices>('choices: answers, link, ownStaves', {
    link: maybe(bookFields.link),
    ownStaves: maybe(bookFields.ownStaves),
    answers: oneOf<Answers>(true, false, 'alone'),
  }),
  open: true,
}

const setPart: Shape<SetPart> = record('a part of a class set', {
  name: text,
  pieces: listOf(piece, 10_000),
  folds: listOf(record('where the octave changes', { key, bars: listOf(count) })),
})
const unfit: Shape<ClassSet['unfit'][number]> = record('a part left out', {
  part: text,
  key,
  bars: pairOf(count),
  needs: text,
  has: text,
})
export const set: Shape<ClassSet> = record('a class set, as classSet gives it', {
  book,
  parts: listOf(setPart, 1_000),
  unfit: listOf(unfit),
})

export const exportRecord: Shape<Export> = plainly(
  `an export, as exportOf gives it: ${exports.map(({ id }) => id).join(', ')}`,
  "try exportOf('pdf')",
  (v) => exports.some((each) => each === v),
)
export const asked: Shape<Partial<Asked>> = options<Asked>({
  link: orNull(text),
  progress: call,
  samples: call,
  remark: call,
  typed: typedChoices,
  spread: yesOrNo,
})
