/** A line as a file to take away, in each of the formats, and single sheets as pictures. */
import { exportOf, writeFiles } from '../../lib/exports.ts'
import { prefixOfPart } from '../../lib/score/meiMarks.ts'
import { printedLink } from '../views/keeping.ts'
import { fileName, problemPage, readState } from '../views/pages.ts'
import { engraveSheet, sheetsOf } from '../views/sheets.ts'
import { type Answer, bytesAnswer, textAnswer } from './answer.ts'
import type { DownloadQuestion, SheetQuestion } from './workerRequest.ts'

/** Answers with a file; where the brief has errors, with the page that says so. */
export async function answerDownload(question: DownloadQuestion): Promise<Answer> {
  const { given, badLink, format, part, sheet, origin } = question
  const state = readState(given, badLink)
  const asked = exportOf(format)!
  const line = state.written.lines[part - 1]
  if ((state.wrong || !line) && !asked.saysProblems) return problemPage(state)
  const link = origin === '' ? null : printedLink(state, origin)
  // Of a file a key, and a file a page, one is asked for at a time.
  const lines = asked.needs === 'lines' || !line ? state.written.lines : [line]
  const files = await writeFiles(asked, { ...state.written, lines, choiceProblems: state.problems }, { link })
  if ('problems' in files) return problemPage({ ...state, problems: files.problems })
  const content = files[sheet - 1]
  if (!content) return problemPage(state, 'There is no such page.')
  const title = (asked.needs === 'lines' ? state.written.lines[0] : line)?.harmony.title ?? ''
  const file = `${fileName(title, state.brief)}${content.suffix}.${asked.endings[0]}`
  return bytesAnswer(state.wrong ? 422 : 200, asked.type, content.bytes, asked.compressed, file)
}

/** Answers with one sheet of a part: as a picture that stands alone, or as music of the page, whose ids tell its part. */
export async function answerSheet({ given, part, sheet, inline }: SheetQuestion): Promise<Answer> {
  const state = readState(given, false)
  const line = state.shown.lines[part - 1]
  const cut = line && sheetsOf(line, state.brief, state.view.across)[sheet - 1]
  if (!cut) return problemPage(state)
  const svg = await engraveSheet(cut, state.brief, state.view.across, inline ? prefixOfPart(part) : '')
  return textAnswer(200, 'image/svg+xml; charset=utf-8', svg)
}
