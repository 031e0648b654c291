/** Answers with lines read back: each marked on a staff, what there is to say of it, and all their figures counted and ready to tick. */
import { defaultBrief } from '../../lib/brief.ts'
import type { Chart } from '../../lib/changes/chart.ts'
import { printChart } from '../../lib/changes/printChart.ts'
import { readChanges } from '../../lib/changes/readChanges.ts'
import { type Export, exportOf, writeFiles } from '../../lib/exports.ts'
import { approachName } from '../../lib/line/figures.ts'
import { countFigures, countsCsv, type FigureCount } from '../../lib/mark/countFigures.ts'
import { type FaultyFile, isFaulty, type LineFile, type MarkedFile, markFile } from '../../lib/mark/mark.ts'
import { markJson } from '../../lib/mark/markJson.ts'
import { pinsOf } from '../../lib/mark/pinsOf.ts'
import { type Remark, remarksOn, reportText } from '../../lib/mark/reportLine.ts'
import { type Problem, placeOf } from '../../lib/problem.ts'
import { instrumentOf } from '../../lib/theory/instrument.ts'
import { addressOf } from '../server/address.ts'
import { type Answer, bytesAnswer, textAnswer } from '../server/answer.ts'
import type { MarkQuestion } from '../server/workerRequest.ts'
import { agreed } from '../shared/agreed.ts'
import { type MarkForm, markPage, nothingRead } from './markForm.ts'
import { engraveSheet, sheetsOf } from './sheets.ts'
import { smallApproach, smallCell } from './smallNotes.ts'

/** Files that are read at once, and rows of a table, sheets of a line and remarks that are shown. */
const most = { files: 40, rows: 60, sheets: 4, remarks: 80 } as const

interface Posted extends MarkForm {
  readonly files: readonly LineFile[]
  /** `page`, or a format to take away. */
  readonly as: string
}

/** What was posted: a form with files, or the bytes of one file alone. */
async function readPosted({ body, type }: MarkQuestion): Promise<Posted | null> {
  if (!type.startsWith('multipart/form-data'))
    return { files: [{ name: 'line', bytes: body }], as: 'page', changes: '', part: '', instrument: '', tidy: false }
  let form: FormData
  try {
    form = await new Response(body as Uint8Array<ArrayBuffer>, { headers: { 'content-type': type } }).formData()
  } catch {
    return null
  }
  const text = (name: string) => {
    const value = form.get(name)
    return typeof value === 'string' ? value.slice(0, agreed.tableLength) : ''
  }
  const files: LineFile[] = []
  for (const value of form.getAll('file').slice(0, most.files))
    if (typeof value !== 'string' && value.size > 0)
      files.push({ name: value.name.slice(0, 120) || 'line', bytes: new Uint8Array(await value.arrayBuffer()) })
  return {
    files,
    as: text('as') || 'page',
    changes: text('changes'),
    part: text('part').trim(),
    instrument: text('instrument'),
    tidy: text('tidy') === 'yes',
  }
}

export async function answerMark(question: MarkQuestion): Promise<Answer> {
  const posted = await readPosted(question)
  if (!posted)
    return markPage(400, emptyOf(null), {
      ...nothingRead,
      problems: [plain('The form came incomplete. Send it again.')],
    })
  if (posted.files.length === 0)
    return markPage(422, emptyOf(posted), {
      ...nothingRead,
      problems: [plain('No file came with it. Choose one or several, then mark them.')],
    })
  const chart = posted.changes.trim() === '' ? null : readChanges(posted.changes)
  const wrong = chart?.problems.filter(({ severity }) => severity === 'error') ?? []
  if (wrong.length > 0)
    return markPage(422, emptyOf(posted), {
      ...nothingRead,
      problems: wrong.map((each) => said('The changes', posted.changes, each)),
    })
  const choices = {
    part: posted.part === '' ? null : posted.part,
    changes: chart,
    instrument: instrumentOf(posted.instrument) ?? null,
    tidy: posted.tidy,
    byRules: false,
  }
  const read = posted.files.map((file) => markFile(file, choices))
  const marked = read.filter((file): file is MarkedFile => !isFaulty(file))
  const faulty = read.filter(isFaulty)
  const format = exportOf(posted.as)
  if (marked.length > 0 && posted.as === 'csv')
    return textAnswer(200, 'text/csv; charset=utf-8', countsCsv(countFigures(marked)), 'figures.csv')
  if (marked.length > 0 && format && posted.as !== 'page') return taken(marked, faulty, format)
  return shown(posted, chart, marked, faulty)
}

const emptyOf = (posted: Posted | null): MarkForm => ({
  changes: posted?.changes ?? '',
  part: posted?.part ?? '',
  instrument: posted?.instrument ?? '',
  tidy: posted?.tidy ?? false,
})

const plain = (text: string) => ({ where: '', text })

function said(source: string, text: string, problem: Problem) {
  const { line, column } = placeOf(text, problem.span)
  const where = text === '' ? source : `${source}, line ${line}, column ${column}`
  return { where, text: `Found ${problem.found}; expected ${problem.expected}; ${problem.hint}.` }
}

/** Marked lines as a file to take away. */
async function taken(marked: readonly MarkedFile[], faulty: readonly FaultyFile[], format: Export): Promise<Answer> {
  const name = `marked.${format.endings[0]}`
  if (format.id === 'json')
    return textAnswer(200, format.type, `${JSON.stringify(markJson(marked, faulty, defaultBrief), null, 2)}\n`, name)
  const lines = {
    brief: defaultBrief,
    chart: marked[0]!.played.chart,
    lines: marked.map(({ line }) => line),
    problems: [],
    choiceProblems: [],
  }
  const files = await writeFiles(format, lines, {})
  if ('problems' in files || !files[0])
    return markPage(422, emptyOf(null), {
      ...nothingRead,
      problems: [plain('These lines do not go into such a file.')],
    })
  const { bytes } = files[0]
  return bytesAnswer(
    200,
    format.type,
    typeof bytes === 'string' ? Buffer.from(bytes, 'utf8') : bytes,
    format.compressed,
    name,
  )
}

async function shown(
  posted: Posted,
  chart: Chart | null,
  marked: readonly MarkedFile[],
  faulty: readonly FaultyFile[],
): Promise<Answer> {
  const counts = countFigures(marked)
  const lines: object[] = []
  for (const [index, file] of marked.entries()) {
    const changes = chart ? posted.changes : printChart(file.played.chart)
    const sheets = sheetsOf(file.line, defaultBrief, '4').slice(0, most.sheets)
    const pictures: string[] = []
    for (const [n, sheet] of sheets.entries())
      pictures.push(await engraveSheet(sheet, defaultBrief, '4', `m${index}-${n}-`))
    const remarks = remarksOn(file)
    lines.push({
      source: file.source,
      part: file.line.instrument.name,
      parts: file.played.parts.length > 1 ? file.played.parts.join(', ') : '',
      pictures,
      report: reportText(file).split('\n\n')[0]!.split('\n'),
      remarks: remarks
        .filter(worthALook)
        .slice(0, most.remarks)
        .map((remark) => ({ ...remark, beat: Number(remark.beat.toFixed(2)), href: instead(file, changes, remark) })),
    })
  }
  const problems = faulty.flatMap(({ source, text, problems: all }) =>
    all.slice(0, 5).map((each) => said(source, text, each)),
  )
  const tables = [table('Approaches', counts.approaches, marked), table('Cells', counts.cells, marked)].filter(
    ({ rows }) => rows.length > 0,
  )
  const first = marked[0]
  return markPage(marked.length > 0 ? 200 : 422, emptyOf(posted), {
    lines,
    problems,
    tables,
    summary: `${counts.targets} targets, ${counts.downbeats} bars.`,
    drill: first
      ? {
          changes: chart ? posted.changes : printChart(first.played.chart),
          instrument: instrumentOf(first.line.instrument.id)?.id ?? 'flute',
        }
      : null,
  })
}

const worthALook = ({ about, instead: other }: Remark): boolean =>
  about === 'unresolved' || about === 'outside' || other.length > 0

/** The address at which a remark's bar is written anew and all others are kept; empty where there is none. */
function instead({ line }: MarkedFile, changes: string, { bar }: Remark): string {
  const instrument = instrumentOf(line.instrument.id)?.id ?? 'flute'
  const pins = pinsOf(line).filter((pin) => !pin.startsWith(`${bar}=`))
  return addressOf({ changes, instrument, compass: 'full', pins: pins.join(',') }) ?? ''
}

/** A table of figures: the commonest first, each with a bar as long as its count. */
function table(heading: string, counts: readonly FigureCount[], marked: readonly MarkedFile[]) {
  const top = Math.max(1, ...counts.map(({ count }) => count))
  const rows = counts.slice(0, most.rows).map(({ kind, class: name, offsets, count, heard, places }) => ({
    value: offsets.join(' '),
    tick: kind === 'approach' && offsets.every((offset) => offset !== 0),
    picture: kind === 'cell' ? smallCell(offsets) : smallApproach(offsets),
    name: kind === 'cell' ? name : approachName(offsets),
    count,
    top,
    heard,
    where: places
      .slice(0, 8)
      .map(({ source, bar }) => (marked.length > 1 ? `${marked[source]!.source} ${bar}` : String(bar)))
      .join(', '),
  }))
  return { heading, cells: heading === 'Cells', rows, left: Math.max(0, counts.length - rows.length) }
}
