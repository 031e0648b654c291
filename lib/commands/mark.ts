/** `mark`: a line already written, read over its changes and marked; many of them counted. */
import { readBrief } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { decodeText, readChanges } from '../changes/readChanges.ts'
import { exportOf } from '../exports.ts'
import { lineText } from '../lineText.ts'
import type { FaultyFile, MarkedFile } from '../mark/mark.ts'
import { instrumentOf } from '../theory/instrument.ts'
import { type Asked, type Command, type Outside, Usage } from './command.ts'
import { nameOfInput, readBytes, reportChoices, reportErrors } from './input.ts'
import { formatOf, json, outputOptions, put, putFiles } from './output.ts'

const formats = ['json', 'text', 'svg', 'pdf', 'musicxml', 'csv', 'mei', 'midi', 'mxl', 'abc', 'png']

export const mark: Command = {
  name: 'mark',
  help: 'Reads lines already written (MusicXML, MXL, MEI, MIDI, ABC, or what line prints as text), marks and counts them.',
  files: 'several',
  options: [
    ...outputOptions(formats),
    { name: 'changes', takes: 'FILE', help: 'the changes that the lines were played over, where they hold none' },
    { name: 'part', takes: 'PART', help: 'of several parts the one to read, by its number or name' },
    { name: 'tidy', takes: 'yes|no', help: 'whether to spell every note anew, as its chord asks' },
    { name: 'rules', takes: 'yes|no', help: 'whether to read by the rules alone, whatever marks a file carries' },
    {
      name: 'find',
      takes: "'2 -1'",
      help: 'where a figure stands: offsets, a cell such as 1-2-3-5, or a place such as 3.1',
    },
  ],
  choices: ['instrument', 'pitch', 'show', 'majorSign', 'minorSign', 'title', 'tempo', 'paper', 'print'],
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, formats)
    const { changes, part = null, tidy, rules, find } = asked.options
    const { brief, problems } = readBrief(asked.given)
    if (reportChoices(outside, asked.given, problems)) return 1
    const chart = changes === undefined ? null : readChart(changes, asked, outside)
    if (chart === 'wrong') return 1
    const instrument = asked.given.instrument === undefined ? null : instrumentOf(brief.instrument)!
    const choices = { part, changes: chart, instrument, tidy: yes('tidy', tidy), byRules: yes('rules', rules) }
    // The readers of lines are loaded by whoever asks for them.
    const [
      { isFaulty, markFile },
      { countFigures, countsCsv },
      { countsText, findText },
      { readWanted },
      { markJson },
    ] = await Promise.all([
      import('../mark/mark.ts'),
      import('../mark/countFigures.ts'),
      import('../mark/countsText.ts'),
      import('../mark/findFigure.ts'),
      import('../mark/markJson.ts'),
    ])
    const { reportText } = await import('../mark/reportLine.ts')
    const marked: MarkedFile[] = []
    const faulty: FaultyFile[] = []
    for (const file of asked.files) {
      const bytes = readBytes(outside, file, 'a line')
      const read = markFile({ name: nameOfInput(file), bytes }, choices)
      if (isFaulty(read)) faulty.push(read)
      else marked.push(read)
    }
    for (const { source, text, problems: said } of faulty) reportErrors(outside, { ...asked, file: source }, text, said)
    const wanted = find === undefined ? null : readWanted(find, marked)
    if (find !== undefined && !wanted && faulty.length === 0)
      throw new Usage(
        `found --find ${find}; expected offsets such as '2 -1', a cell such as 1-2-3-5, or a place with an approach such as 3.1`,
      )
    if (format === 'json') put(outside, asked, json(markJson(marked, faulty, brief, wanted)))
    else if (format === 'csv') put(outside, asked, countsCsv(countFigures(marked)))
    else if (format === 'text') {
      const texts = marked.map((file) => `${file.source}\n${lineText(file.line, brief)}\n${reportText(file)}`)
      const counts = wanted ? findText(wanted, marked) : countsText(countFigures(marked), marked)
      if (marked.length > 0) put(outside, asked, [...texts, counts].join('\n'))
    } else if (marked.length > 0) {
      const lines = marked.map(({ line }) => line)
      const written = { brief, chart: marked[0]!.played.chart, lines, problems: [], choiceProblems: [] }
      await putFiles(outside, asked, written, exportOf(format)!)
    }
    return faulty.length > 0 ? 1 : 0
  },
}

function yes(name: string, text = 'no'): boolean {
  if (text !== 'yes' && text !== 'no') throw new Usage(`found --${name} ${text}; expected yes or no; try --${name} yes`)
  return text === 'yes'
}

/** The changes of a file; what is wrong with them has been said. */
function readChart(file: string, asked: Asked, outside: Outside): Chart | 'wrong' {
  const bytes = readBytes(outside, file, 'changes')
  const chart = readChanges(bytes)
  return reportErrors(outside, { ...asked, file }, decodeText(bytes), chart.problems) ? 'wrong' : chart
}
