/** The commands `chart`, `line`, `guide-tones` and `serve`: from arguments to output, problems and an exit code. */
import { type Brief, type BriefProblem, choiceNames, readBrief } from './brief.ts'
import type { Chart } from './changes/chart.ts'
import { chartJson, problemJson } from './changes/chartJson.ts'
import { printChart } from './changes/printChart.ts'
import { isScore, readChanges } from './changes/readChanges.ts'
import { readChart } from './changes/typed/readChart.ts'
import { nearest } from './choice.ts'
import { type Ending, endings, unfitParts, writeFiles } from './files.ts'
import { soundingRange } from './line/draftLine.ts'
import { readGuideTones, threadLine } from './line/guideTones.ts'
import type { Line } from './line/line.ts'
import { guideTonesJson, linesJson } from './lineJson.ts'
import { checkBars, homeOf, writeLines } from './lines.ts'
import { chartText, guideTonesText, lineText } from './lineText.ts'
import { describeProblem, type Problem } from './problem.ts'
import { longestRecording } from './sound/playPasses.ts'
import { instrumentOf } from './theory/instrument.ts'

/** What a command reads from and writes to: files and standard streams, or whatever stands in for them. */
export interface Outside {
  /** The bytes of a file, `-` being standard input. Throws where there are none to be had. */
  readonly read: (file: string) => Uint8Array
  /** Throws where the path cannot be written. */
  readonly write: (path: string, bytes: string | Uint8Array) => void
  readonly out: (bytes: string | Uint8Array) => void
  readonly err: (text: string) => void
  /** Whether somebody watches standard error. */
  readonly watched: boolean
  /** The port to serve on, where no option says. */
  readonly port: string
  /** Serves the page until it is told to stop. */
  readonly serve: (port: number) => Promise<void>
}

/** A command that could not be understood: exit 2. */
class Usage extends Error {}

const usage = `usage: throughline chart [FILE|-] [--format json|text]
       throughline line [FILE|-] [--format json|text|mei|svg|pdf|midi|musicxml|mxl|abc|png|zip|wav|flac|band-midi] [-o PATH] [choices]
       throughline guide-tones [FILE|-] [--format json|text|mei|svg|pdf|midi|musicxml|mxl|abc|png|zip|wav|flac|band-midi] [-o PATH] [choices]
       throughline serve [--port N]
choices: ${choiceNames
  .filter((name) => name !== 'changes')
  .map((name) => `--${dashed(name)}`)
  .join(' ')}
A file is a chart as text, or a score as MusicXML, compressed MusicXML or MEI; - is standard input. Give --pin and --again as often as needed.
`

function dashed(name: string): string {
  return name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)
}

/** Options by their names as typed; `--pin` and the like gather into one list. */
interface Options {
  readonly file: string
  readonly given: Readonly<Record<string, string>>
}

const formatNames = [
  'json',
  'text',
  'mei',
  'svg',
  'pdf',
  'midi',
  'musicxml',
  'mxl',
  'abc',
  'png',
  'zip',
  'wav',
  'flac',
  'band-midi',
]
const gathered: Readonly<Record<string, string>> = {
  pin: 'pins',
  pins: 'pins',
  again: 'again',
  scale: 'scales',
  scales: 'scales',
}

function readOptions(args: readonly string[], known: readonly string[]): Options {
  const given: Record<string, string> = {}
  const files: string[] = []
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!
    if (arg === '-' || !arg.startsWith('-')) {
      files.push(arg)
      continue
    }
    const [flag = '', inline] = arg.split(/=(.*)/s)
    const typed = flag === '-o' ? 'output' : flag.replace(/^--/, '')
    const name = gathered[typed] ?? known.find((choice) => dashed(choice) === typed || choice === typed)
    if (flag.startsWith('--') === (flag === '-o') || name === undefined || !known.includes(name)) {
      const options = known.map((choice) => `--${dashed(choice)}`)
      throw new Usage(`found ${flag}; expected an option of this command; try ${nearest(flag, options)}`)
    }
    const value = inline ?? args[++i]
    if (value === undefined) throw new Usage(`found ${flag} with nothing after it; expected a value`)
    given[name] = gathered[typed] && given[name] !== undefined ? `${given[name]},${value}` : value
  }
  if (files.length > 1) throw new Usage(`found ${files.length} files; expected one; run the command once for each`)
  return { file: files[0] ?? '-', given }
}

/** A chart as text; a score file (MusicXML, compressed or not, or MEI) as the chart that it holds, with its problems. */
interface Input {
  readonly text: string
  readonly score: Chart | null
}

function readInput(file: string, outside: Outside): Input {
  let bytes: Uint8Array
  try {
    bytes = outside.read(file)
  } catch {
    throw new Usage(`found no file ${file} that can be read; expected a chart, or - for standard input`)
  }
  const text = new TextDecoder().decode(bytes)
  const packed = (bytes[0] === 0x50 && bytes[1] === 0x4b) || text.startsWith('%PDF')
  if (!packed && !isScore(text)) return { text, score: null }
  const score = readChanges(bytes)
  return { text: printChart(score), score }
}

const nameOfInput = (file: string) => (file === '-' ? 'stdin' : file)

/** Says errors on standard error; whether there were any. */
function reportErrors(outside: Outside, name: string, text: string, problems: readonly Problem[]): boolean {
  const errors = problems.filter(({ severity }) => severity === 'error')
  for (const problem of errors) outside.err(`${describeProblem(name, text, problem)}\n`)
  return errors.length > 0
}

function reportChoices(
  outside: Outside,
  given: Readonly<Record<string, string>>,
  problems: readonly BriefProblem[],
): boolean {
  for (const problem of problems) {
    const text = given[problem.choice] ?? ''
    outside.err(`${describeProblem(`--${dashed(problem.choice)}`, text, problem)}\n`)
  }
  return problems.length > 0
}

const json = (value: unknown): string => `${JSON.stringify(value, null, 2)}\n`

/** The format asked for: by name, else by the ending of the output, else JSON. */
function formatOf(given: Readonly<Record<string, string>>, allowed: readonly string[]): string {
  const { format, output } = given
  const named = format ?? (output?.includes('.') ? output.split('.').at(-1)!.toLowerCase() : 'json')
  const known = { mid: 'midi', xml: 'musicxml', txt: 'text' }[named] ?? named
  if (!allowed.includes(known))
    throw new Usage(`found format ${named}; expected one of ${allowed.join(', ')}; try ${nearest(named, allowed)}`)
  return known
}

function put(outside: Outside, output: string | undefined, bytes: string | Uint8Array): void {
  if (output === undefined) outside.out(bytes)
  else write(outside, output, bytes)
}

function write(outside: Outside, path: string, bytes: string | Uint8Array): void {
  try {
    outside.write(path, bytes)
  } catch {
    throw new Usage(`found no place to write ${path}; expected a path in a folder that exists`)
  }
}

/** On a terminal, says how far a book is, on one line that is wiped when it is done. */
const showProgress =
  ({ watched, err }: Outside) =>
  (done: number, of: number): void => {
    if (watched && of > 1) err(done < of ? `\r${done} of ${of} sheets` : '\r\x1b[K')
  }

/** Writes lines as files: to standard output where it is one, else beside each other, named by key and page. */
async function putFiles(
  outside: Outside,
  lines: readonly Line[],
  brief: Brief,
  format: string,
  output: string | undefined,
): Promise<void> {
  const ending = (format === 'midi' ? 'mid' : format) as Ending
  if (!endings.includes(ending)) throw new Usage(`found format ${format}; expected one of ${endings.join(', ')}`)
  const files = await writeFiles(lines, brief, ending, null, showProgress(outside))
  if (files.length === 1) return put(outside, output, files[0]!.bytes)
  if (files.length === 0)
    throw new Usage(
      brief.sound === 'sampled'
        ? `found no recorded notes here, or a recording of more than ${longestRecording / 60} minutes; expected plain sound or a shorter one; try --sound plain`
        : `found a recording of more than ${longestRecording / 60} minutes; expected a shorter one; ask for fewer keys or passes, or a quicker tempo`,
    )
  if (output === undefined)
    throw new Usage(
      `found ${files.length} ${format} files for standard output; expected one; give -o PATH, or ask for one key, fewer bars or pdf`,
    )
  const stem = output.replace(/\.[^./]+$/, '')
  const tail = output.slice(stem.length)
  for (const { suffix, bytes } of files) write(outside, `${stem}${suffix}${tail}`, bytes)
}

function chart(args: readonly string[], outside: Outside): number {
  const { file, given } = readOptions(args, ['format', 'output'])
  const format = formatOf(given, ['json', 'text'])
  const { text, score } = readInput(file, outside)
  if (score) {
    put(outside, given.output, format === 'json' ? json(chartJson(score, text)) : chartText(score))
    return reportErrors(outside, nameOfInput(file), '', score.problems) ? 1 : 0
  }
  const tooLong = readBrief({ changes: text }).problems
  const read = tooLong.length > 0 ? { ...readChart(''), problems: tooLong } : readChart(text)
  put(outside, given.output, format === 'json' ? json(chartJson(read, text)) : chartText(read))
  return reportErrors(outside, nameOfInput(file), text, read.problems) ? 1 : 0
}

/** What `line` and `guide-tones` have in common: the brief, from a file and options. */
function readAsked(
  args: readonly string[],
  outside: Outside,
): Options & { readonly brief: Brief; readonly failed: boolean; readonly problems: readonly BriefProblem[] } {
  const { file, given } = readOptions(args, ['format', 'output', ...choiceNames.filter((name) => name !== 'changes')])
  formatOf(given, formatNames)
  const { text: changes, score } = readInput(file, outside)
  const { brief, problems } = readBrief({ ...given, changes })
  const own = problems.filter(({ choice }) => choice !== 'changes')
  const failed = [
    reportErrors(outside, nameOfInput(file), '', score?.problems ?? []),
    reportErrors(
      outside,
      nameOfInput(file),
      changes,
      problems.filter(({ choice }) => choice === 'changes'),
    ),
    reportChoices(outside, given, own),
  ]
  return { file, given, brief, failed: failed.includes(true), problems }
}

async function line(args: readonly string[], outside: Outside): Promise<number> {
  const { file, given, brief, failed, problems } = readAsked(args, outside)
  const format = formatOf(given, formatNames)
  const output = given.output
  if (failed) {
    if (format === 'json')
      put(
        outside,
        output,
        json(
          linesJson({ ...writeLines({ ...brief, changes: '' }), brief, problems: [], choiceProblems: problems }, given),
        ),
      )
    return 1
  }
  const written = writeLines(brief)
  const wrong = [
    reportErrors(outside, nameOfInput(file), brief.changes, written.problems),
    reportChoices(outside, given, written.choiceProblems),
    reportChoices(outside, given, unfitParts(written.lines, brief)),
  ].includes(true)
  if (format === 'json') put(outside, output, json(linesJson(written, given)))
  else if (format === 'text') put(outside, output, written.lines.map((each) => lineText(each, brief)).join('\n'))
  else if (written.lines.length > 0) await putFiles(outside, written.lines, brief, format, output)
  return wrong ? 1 : 0
}

async function guideTones(args: readonly string[], outside: Outside): Promise<number> {
  const { file, given, brief, failed, problems } = readAsked(args, outside)
  const format = formatOf(given, formatNames)
  const output = given.output
  const read = failed ? { ...readChart(''), problems: [] } : readChart(brief.changes)
  const ofChoices = failed ? problems : checkBars(read, brief)
  const wrong = [
    reportErrors(outside, nameOfInput(file), brief.changes, read.problems),
    !failed && reportChoices(outside, given, ofChoices),
  ]
  const said = [
    ...read.problems.map((problem) => problemJson(brief.changes, problem)),
    ...ofChoices.map((problem) => problemJson(given[problem.choice] ?? '', problem)),
  ]
  if (failed || wrong.includes(true)) {
    if (format === 'json') put(outside, output, json(guideTonesJson([[], []], [], said)))
    return 1
  }
  const { harmony } = homeOf(read, brief)
  const threads = readGuideTones(harmony)
  if (format === 'json') put(outside, output, json(guideTonesJson(threads, harmony.bars, said)))
  else if (format === 'text') put(outside, output, guideTonesText(threads, harmony.chords))
  else {
    const instrument = instrumentOf(brief.instrument)!
    const range = soundingRange(instrument, brief)
    if (format === 'pdf') {
      const [{ worksheetBook }, { writePdf }] = await Promise.all([
        import('./engrave/book.ts'),
        import('./engrave/pdf/writePdf.ts'),
      ])
      const book = worksheetBook(harmony, instrument, range, brief, { answers: brief.answers })
      put(outside, output, await writePdf(book, { progress: showProgress(outside) }))
      return 0
    }
    await putFiles(
      outside,
      threads.map((thread) => threadLine(harmony, thread, instrument, range)),
      brief,
      format,
      output,
    )
  }
  return 0
}

async function serve(args: readonly string[], outside: Outside): Promise<number> {
  const { file, given } = readOptions(args, ['port'])
  const port = given.port ?? outside.port
  if (file !== '-' || !/^\d{1,5}$/.test(port) || Number(port) > 65_535)
    throw new Usage(`found --port ${port}; expected a number from 0 to 65535; try --port 3000`)
  await outside.serve(Number(port))
  return 0
}

async function run([command = '', ...args]: readonly string[], outside: Outside): Promise<number> {
  switch (command) {
    case 'chart':
      return chart(args, outside)
    case 'line':
      return line(args, outside)
    case 'guide-tones':
      return guideTones(args, outside)
    case 'serve':
      return serve(args, outside)
    case 'help':
    case '--help':
    case '-h':
      outside.out(usage)
      return 0
    default:
      throw new Usage(`found ${command || 'no command'}; expected chart, line, guide-tones or serve`)
  }
}

/**
 * Runs one command. Comes back with its exit code: 0 done, 1 the input has errors, 2 the command was not understood, which is
 * then said with what can be asked. Throws only for an error of our own.
 */
export async function runCommand(args: readonly string[], outside: Outside): Promise<number> {
  try {
    return await run(args, outside)
  } catch (error) {
    if (!(error instanceof Usage)) throw error
    outside.err(`throughline: ${error.message}\n${usage}`)
    return 2
  }
}
