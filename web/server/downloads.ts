/** A line as a file to take away, in each of the formats, and single sheets as pictures. */
import { type Ending, unfitParts, writeFiles } from '../../lib/files.ts'
import { soundingRange } from '../../lib/line/draftLine.ts'
import { linesJson } from '../../lib/lineJson.ts'
import { homeOf } from '../../lib/lines.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { fileName, problemPage, readState, type State } from '../views/pages.ts'
import { engraveSheet, sheetsOf } from '../views/sheets.ts'
import { linkerOf } from './address.ts'
import { type Answer, bytesAnswer, textAnswer } from './answer.ts'
import { endingOf, formats } from './formats.ts'
import type { DownloadQuestion, SheetQuestion } from './workerRequest.ts'

/** Answers with a file; where the brief has errors, with the page that says so. */
export async function answerDownload(question: DownloadQuestion): Promise<Answer> {
  const { given, badLink, format, part, sheet, origin } = question
  const state = readState(given, badLink)
  const line = state.written.lines[part - 1]
  if (state.wrong || !line) return format === 'json' ? json(state) : problemPage(state)
  if (format === 'json') return json(state)
  const unfit = format === 'zip' || format === 'pdf' ? unfitParts(state.written.lines, state.brief) : []
  if (unfit.length > 0) return problemPage({ ...state, problems: unfit })
  const { type, compressed, book } = formats[format]!
  const address = origin === '' ? null : linkerOf(state.given)('/')
  const link = address === null ? null : `${origin}${address}`
  // A book holds every key; of the rest each key, and each page of a picture, is a file of its own.
  const files =
    format === 'worksheet'
      ? [{ suffix: '', bytes: await worksheet(state, link) }]
      : await writeFiles(book ? state.written.lines : [line], state.brief, format as Ending, link)
  const content = files[sheet - 1]
  if (!content) return problemPage(state, 'There is no such page.')
  const file = `${fileName(line.harmony.title ?? '', state.brief)}${content.suffix}.${endingOf(format)}`
  return bytesAnswer(200, type, content.bytes, compressed, file)
}

/** The two guide-tone threads as a sheet to fill in. */
async function worksheet({ brief, written }: State, link: string | null): Promise<Uint8Array> {
  const { harmony } = homeOf(written.chart, brief)
  const instrument = instrumentOf(brief.instrument)!
  const range = soundingRange(instrument, brief)
  // Only who asks for paper waits until its writer is loaded.
  const [{ worksheetBook }, { writePdf }] = await Promise.all([
    import('../../lib/engrave/book.ts'),
    import('../../lib/engrave/pdf/writePdf.ts'),
  ])
  return writePdf(worksheetBook(harmony, instrument, range, brief, { answers: brief.answers, link }))
}

const json = (state: State): Answer =>
  textAnswer(
    state.wrong ? 422 : 200,
    'application/json; charset=utf-8',
    `${JSON.stringify(linesJson({ ...state.written, choiceProblems: state.problems }))}\n`,
    `${fileName(state.written.lines[0]?.harmony.title ?? '', state.brief)}.json`,
  )

/** Answers with one sheet of a part as a picture that stands alone. */
export async function answerSheet({ given, part, sheet }: SheetQuestion): Promise<Answer> {
  const state = readState(given, false)
  const line = state.written.lines[part - 1]
  const cut = line && sheetsOf(line, state.brief, state.view.across)[sheet - 1]
  if (!cut) return problemPage(state)
  return textAnswer(200, 'image/svg+xml; charset=utf-8', await engraveSheet(cut, state.brief, state.view.across))
}
