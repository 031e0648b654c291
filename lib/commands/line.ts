/** `line`: lines over the changes, one in each key asked for. */
import { exportOf } from '../exports.ts'
import { linesJson } from '../lineJson.ts'
import { writeLines } from '../lines/write.ts'
import { unfitParts } from '../score/classSet.ts'
import { type Asked, allChoices, type Command, type Outside } from './command.ts'
import { readAskedBrief, reportChoices, reportErrors } from './input.ts'
import { formatOf, json, lineFormats, outputOptions, put, putFiles } from './output.ts'

export const line: Command = {
  name: 'line',
  help: 'Writes lines over the changes, one in each key asked for.',
  files: 'one',
  options: outputOptions(lineFormats),
  choices: allChoices,
  run: (asked: Asked, outside: Outside): Promise<number> => putLines(asked, outside),
}

/** Writes the lines of a brief in the format asked for, and says what is wrong with it; comes back with the exit code. */
export async function putLines(asked: Asked, outside: Outside, usual: Asked['given'] = {}): Promise<number> {
  const format = formatOf(asked, lineFormats)
  const { brief, given, failed, problems } = readAskedBrief(asked, outside, usual)
  if (failed) {
    const none = { ...writeLines({ ...brief, changes: '' }), brief, problems: [], choiceProblems: problems }
    if (format === 'json') put(outside, asked, json(linesJson(none, given)))
    return 1
  }
  const written = writeLines(brief)
  const wrong = [
    reportErrors(outside, asked, brief.changes, written.problems),
    reportChoices(outside, given, written.choiceProblems),
    reportChoices(outside, given, unfitParts(written.lines, brief)),
  ].includes(true)
  const wanted = exportOf(format)!
  if (written.lines.length > 0 || wanted.saysProblems) await putFiles(outside, { ...asked, given }, written, wanted)
  return wrong ? 1 : 0
}
