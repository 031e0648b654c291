/** `mark`: a line already written, read over its changes and marked; many of them counted. */
import { type Brief, readBrief } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { decodeText, readChanges } from '../changes/readChanges.ts'
import { yesNo } from '../choices/reader.ts'
import { exportOf } from '../exports.ts'
import { lineText } from '../lineText.ts'
import type { Wanted } from '../mark/findFigure.ts'
import type { FaultyFile, MarkedFile } from '../mark/mark.ts'
import { instrumentOf } from '../theory/instrument.ts'
import type { Asked, Command, Outside } from './command.ts'
import { nameOfInput, problemsJson, readBytes, reportChoices, reportErrors } from './input.ts'
import { named, type OwnOption, readOption, usage } from './options.ts'
import { formatOf, json, outputOptions, put, putFiles } from './output.ts'

const formats = ['json', 'text', 'svg', 'pdf', 'musicxml', 'csv', 'mei', 'midi', 'mxl', 'abc', 'png']

const own = {
  changes: {
    name: 'changes',
    reader: named('FILE', 'a file of changes', 'try --changes tune.txt'),
    help: 'the changes that the lines were played over, where they hold none',
  },
  part: {
    name: 'part',
    reader: named('PART', 'the number or name of a part', 'try --part 1'),
    help: 'of several parts the one to read, by its number or name',
  },
  tidy: { name: 'tidy', reader: yesNo, help: 'whether to spell every note anew, as its chord asks' },
  rules: { name: 'rules', reader: yesNo, help: 'whether to read by the rules alone, whatever marks a file carries' },
  find: {
    name: 'find',
    reader: named(
      "'2 -1'",
      "offsets such as '2 -1', a cell such as 1-2-3-5, or a place with an approach such as 3.1",
      "try --find '2 -1'",
    ),
    help: 'where a figure stands: offsets, a cell such as 1-2-3-5, or a place such as 3.1',
  },
} satisfies Readonly<Record<string, OwnOption>>

export const mark: Command = {
  name: 'mark',
  help: 'Reads lines already written (MusicXML, MXL, MEI, MIDI, ABC, or what line prints as text), marks and counts them.',
  files: 'several',
  options: [...outputOptions(formats), ...Object.values(own)],
  choices: ['instrument', 'pitch', 'show', 'majorSign', 'minorSign', 'title', 'tempo', 'paper', 'print'],
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, formats)
    const { options, given } = asked
    const { brief, problems } = readBrief(given)
    // The readers of lines are loaded by whoever asks for them.
    const [{ isFaulty, markFile }, { readWanted }, { markJson }] = await Promise.all([
      import('../mark/mark.ts'),
      import('../mark/findFigure.ts'),
      import('../mark/markJson.ts'),
    ])
    if (reportChoices(outside, given, problems)) {
      const none = { ...markJson([], [], brief), problems: problemsJson('', [], given, problems) }
      if (format === 'json') put(outside, asked, json(none))
      return 1
    }
    const over = options.changes === undefined ? null : readOver(options.changes, outside)
    if (over && reportErrors(outside, { ...asked, file: over.source }, over.text, over.problems)) {
      if (format === 'json') put(outside, asked, json(markJson([], [over], brief)))
      return 1
    }
    const choices = {
      part: readOption(options, own.part),
      changes: over?.chart ?? null,
      instrument: given.instrument === undefined ? null : instrumentOf(brief.instrument)!,
      tidy: readOption(options, own.tidy) ?? false,
      byRules: readOption(options, own.rules) ?? false,
    }
    const marked: MarkedFile[] = []
    const faulty: FaultyFile[] = []
    for (const file of asked.files) {
      const bytes = readBytes(outside, file, 'a line')
      const read = markFile({ name: nameOfInput(file), bytes }, choices)
      if (isFaulty(read)) faulty.push(read)
      else marked.push(read)
    }
    for (const { source, text, problems: said } of faulty) reportErrors(outside, { ...asked, file: source }, text, said)
    const find = readOption(options, own.find)
    const wanted = find === null ? null : readWanted(find, marked)
    if (find !== null && !wanted && faulty.length === 0) {
      const { expected, hint } = own.find.reader
      throw usage(`--find ${find}`, expected, hint)
    }
    if (format === 'json') put(outside, asked, json(markJson(marked, over ? [over, ...faulty] : faulty, brief, wanted)))
    else await putMarked(outside, asked, format, { marked, brief, wanted })
    return faulty.length > 0 ? 1 : 0
  },
}

/** The changes of a file, and what is wrong with them. */
function readOver(file: string, outside: Outside): FaultyFile & { readonly chart: Chart } {
  const bytes = readBytes(outside, file, 'changes')
  const chart = readChanges(bytes)
  return { source: file, text: decodeText(bytes), problems: chart.problems, chart }
}

interface Found {
  readonly marked: readonly MarkedFile[]
  readonly brief: Brief
  readonly wanted: Wanted | null
}

/** Writes marked lines as anything but JSON. */
async function putMarked(outside: Outside, asked: Asked, format: string, { marked, brief, wanted }: Found) {
  if (format === 'csv' || format === 'text') {
    const [{ countFigures, countsCsv }, { countsText, findText }, { reportText }] = await Promise.all([
      import('../mark/countFigures.ts'),
      import('../mark/countsText.ts'),
      import('../mark/reportLine.ts'),
    ])
    if (format === 'csv') return put(outside, asked, countsCsv(countFigures(marked)))
    const texts = marked.map((file) => `${file.source}\n${lineText(file.line, brief)}\n${reportText(file)}`)
    const counts = wanted ? findText(wanted, marked) : countsText(countFigures(marked), marked)
    if (marked.length > 0) put(outside, asked, [...texts, counts].join('\n'))
  } else if (marked.length > 0) {
    const lines = marked.map(({ line }) => line)
    const written = { brief, chart: marked[0]!.played.chart, lines, problems: [], choiceProblems: [] }
    await putFiles(outside, asked, written, exportOf(format)!)
  }
}
