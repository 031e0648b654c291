/** A line as a file to take away, in each of the formats, and single sheets as pictures. */
import { loadEngraver } from '../lib/engrave/engraver.ts'
import type { Line } from '../lib/line/line.ts'
import { linesJson } from '../lib/lineJson.ts'
import { layScore } from '../lib/score/layScore.ts'
import { writeAbc } from '../lib/score/writeAbc.ts'
import { writeMei } from '../lib/score/writeMei.ts'
import { sequenceOf, writeMidi } from '../lib/score/writeMidi.ts'
import { writeMusicXml, writeMxl } from '../lib/score/writeMusicXml.ts'
import { type Answer, textAnswer } from './answer.ts'
import { formats } from './formats.ts'
import { fileName, problemPage, readState, type State } from './pages.ts'
import type { DownloadQuestion, SheetQuestion } from './question.ts'
import { engraveSheet, partOf, sheetsOf } from './sheets.ts'

/** Answers with a file; where the brief has errors, with the page that says so. */
export async function answerDownload({ given, badLink, format, part }: DownloadQuestion): Promise<Answer> {
  const state = readState(given, badLink)
  const line = state.written.lines[part - 1]
  if (state.wrong || !line) return format === 'json' ? json(state) : problemPage(state)
  const { type, compressed } = formats[format]!
  const content = await contentOf(format, state, line)
  const file = `${fileName(line.harmony.title ?? '', state.brief)}.${format}`
  if (typeof content === 'string') return textAnswer(200, `${type}; charset=utf-8`, content, file)
  return compressed
    ? { status: 200, type, body: content, encoding: 'identity', file }
    : { ...textAnswer(200, type, '', file), body: content }
}

const json = (state: State): Answer =>
  textAnswer(
    state.wrong ? 422 : 200,
    'application/json; charset=utf-8',
    `${JSON.stringify(linesJson({ ...state.written, choiceProblems: state.problems }))}\n`,
  )

async function contentOf(format: string, { brief, written }: State, line: Line): Promise<string | Uint8Array> {
  const score = layScore(line, brief)
  switch (format) {
    case 'json':
      return `${JSON.stringify(linesJson(written))}\n`
    case 'mei':
      return writeMei(score, { show: brief.show })
    case 'musicxml':
      return writeMusicXml(score)
    case 'mxl':
      return writeMxl(score)
    case 'abc':
      return writeAbc(score)
    case 'mid':
      return writeMidi(sequenceOf(line, brief.tempo === null ? {} : { tempo: brief.tempo }))
    case 'svg': {
      const { engrave } = await loadEngraver()
      return engrave(writeMei(score, { show: brief.show }), {
        paper: 'screen',
        large: brief.print === 'large',
        title: score.title || 'Untitled',
      })[0]!
    }
    default:
      throw new Error(`no writer for ${format}`)
  }
}

/** Answers with one sheet of a part as a picture that stands alone. */
export async function answerSheet({ given, part, sheet }: SheetQuestion): Promise<Answer> {
  const state = readState(given, false)
  const line = state.written.lines[part - 1]
  const cut = line && sheetsOf(partOf(line, state.brief, state.view.across))[sheet - 1]
  if (!cut) return problemPage(state)
  return textAnswer(200, 'image/svg+xml; charset=utf-8', await engraveSheet(cut, state.brief, state.view.across))
}
