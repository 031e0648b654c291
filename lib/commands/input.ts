/** What commands read: a chart from a file, a brief from its options, and the errors of both said on standard error. */
import { type Brief, type BriefProblem, readBrief } from '../brief.ts'
import type { Chart } from '../changes/chart.ts'
import { problemJson } from '../changes/chartJson.ts'
import { printChart } from '../changes/printChart.ts'
import { decodeText, isScore, readChanges } from '../changes/readChanges.ts'
import { type ChoiceName, choiceNames, choices, optionOf } from '../choices/choices.ts'
import { describeProblem, type Problem } from '../problem.ts'
import { type Asked, formatNamed, type Outside } from './command.ts'
import { usage } from './options.ts'

/** The bytes of a file. Throws `Usage` where there are none to be had. */
export function readBytes(outside: Outside, file: string, expected: string): Uint8Array {
  try {
    return outside.read(file)
  } catch (error) {
    if (error instanceof Error && error.name === 'TooLongError')
      throw usage(`${error.message} in ${file}`, expected, 'name a shorter file')
    throw usage(`no file ${file} that can be read`, expected, 'name one that is there, or - for standard input')
  }
}

/** A chart as text; a score file (MusicXML, compressed or not, or MEI) as the chart that it holds, with its problems. */
export interface Input {
  readonly text: string
  readonly score: Chart | null
}

export function readInput(file: string, outside: Outside): Input {
  const bytes = readBytes(outside, file, 'a chart')
  const text = decodeText(bytes)
  const packed = (bytes[0] === 0x50 && bytes[1] === 0x4b) || text.startsWith('%PDF')
  if (!packed && !isScore(text)) return { text, score: null }
  const score = readChanges(bytes)
  return { text: printChart(score), score }
}

export const nameOfInput = (file: string) => (file === '-' ? 'stdin' : file)

/** Says errors on standard error, and warnings where no JSON says them; whether there were errors. */
export function reportErrors(
  outside: Outside,
  { file, options }: Pick<Asked, 'file' | 'options'>,
  text: string,
  problems: readonly Problem[],
): boolean {
  const name = nameOfInput(file)
  const inJson = formatNamed(options) === 'json'
  for (const problem of problems)
    if (problem.severity === 'error' || !inJson) outside.err(`${describeProblem(name, text, problem)}\n`)
  return problems.some(({ severity }) => severity === 'error')
}

/** Says errors of choices, each by its option; whether there were any. */
export function reportChoices(outside: Outside, given: Asked['given'], problems: readonly BriefProblem[]): boolean {
  for (const problem of problems) {
    const text = given[problem.choice] ?? ''
    outside.err(`${describeProblem(`--${optionOf(problem.choice)}`, text, problem)}\n`)
  }
  return problems.length > 0
}

/** Problems as JSON has them: those of the changes, then those of choices, each beside what was typed for it. */
export const problemsJson = (
  changes: string,
  problems: readonly Problem[],
  given: Asked['given'],
  ofChoices: readonly BriefProblem[],
) => [
  ...problems.map((problem) => problemJson(changes, problem)),
  ...ofChoices.map((problem) => problemJson(given[problem.choice] ?? '', problem)),
]

/** Choices whose option names a file become its text. */
function withFiles(given: Asked['given'], outside: Outside): Asked['given'] {
  const named = choiceNames.filter((name) => choices[name].file && given[name] !== undefined && given[name] !== '')
  const read = (name: ChoiceName) => decodeText(readBytes(outside, given[name]!, `a file for --${optionOf(name)}`))
  return { ...given, ...Object.fromEntries(named.map((name) => [name, read(name)])) }
}

/** A brief from a file and options. */
export interface AskedBrief {
  readonly brief: Brief
  /** Choices as typed, those of files as their text. */
  readonly given: Asked['given']
  readonly problems: readonly BriefProblem[]
  /** Whether any of it could not be read; what is then said on standard error has been. */
  readonly failed: boolean
}

/**
 * Reads the changes from a command's file and the rest of the brief from its options.
 *
 * @param usual - choices that stand where no option says another; changes among them stand in place of the file
 */
export function readAskedBrief(asked: Asked, outside: Outside, usual: Asked['given'] = {}): AskedBrief {
  const { text: changes, score } =
    usual.changes === undefined ? readInput(asked.file, outside) : { text: usual.changes, score: null }
  const given = { ...usual, ...withFiles(asked.given, outside) }
  const { brief, problems } = readBrief({ ...given, changes })
  const ofChanges = problems.filter(({ choice }) => choice === 'changes')
  const own = problems.filter(({ choice }) => choice !== 'changes')
  const failed = [
    reportErrors(outside, asked, '', score?.problems ?? []),
    reportErrors(outside, asked, changes, ofChanges),
    reportChoices(outside, given, own),
  ]
  return { brief, given, problems, failed: failed.includes(true) }
}
