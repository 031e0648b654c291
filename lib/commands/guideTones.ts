/** `guide-tones`: the two smoothest guide-tone lines through the changes. */
import { readChart } from '../changes/typed/readChart.ts'
import { exportOf } from '../exports.ts'
import { soundingRange } from '../line/draftLine.ts'
import { readGuideTones, threadInRange, threadLine } from '../line/guideTones.ts'
import { guideTonesJson } from '../lineJson.ts'
import { checkBars } from '../lines/checks.ts'
import { homeOf } from '../lines/write.ts'
import { guideTonesText } from '../lineText.ts'
import { instrumentOf } from '../theory/instrument.ts'
import { type Asked, allChoices, type Command, type Outside } from './command.ts'
import { problemsJson, readAskedBrief, reportChoices, reportErrors } from './input.ts'
import { formatOf, json, lineFormats, outputOptions, put, putFiles } from './output.ts'

export const guideTones: Command = {
  name: 'guide-tones',
  help: 'Writes the two smoothest guide-tone lines; as PDF a worksheet.',
  files: 'one',
  options: outputOptions(lineFormats),
  choices: allChoices,
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const format = formatOf(asked, lineFormats)
    const { brief, given, failed, problems } = readAskedBrief(asked, outside)
    const read = failed ? { ...readChart(''), problems: [] } : readChart(brief.changes)
    const ofChoices = failed ? problems : checkBars(read, brief)
    const wrong = [
      reportErrors(outside, asked, brief.changes, read.problems),
      !failed && reportChoices(outside, given, ofChoices),
    ]
    const said = problemsJson(brief.changes, read.problems, given, ofChoices)
    if (failed || wrong.includes(true)) {
      if (format === 'json') put(outside, asked, json(guideTonesJson([[], []], [], said)))
      return 1
    }
    const { harmony } = homeOf(read, brief)
    const instrument = instrumentOf(brief.instrument)
    const whole = soundingRange(instrument, { low: null, high: null, compass: 'full' })
    // The bare threads keep to what the instrument can play, the score to what it plays in comfort.
    const threads = readGuideTones(harmony).map((thread) => threadInRange(thread, whole))
    const none = { brief, chart: read, lines: [], problems: [], choiceProblems: [] }
    if (format === 'json') put(outside, asked, json(guideTonesJson(threads, harmony.bars, said)))
    else if (format === 'text') put(outside, asked, guideTonesText(threads, harmony.chords))
    else if (format === 'pdf') await putFiles(outside, asked, none, exportOf('worksheet')!)
    else {
      const range = soundingRange(instrument, brief)
      const lines = threads.map((thread) => threadLine(harmony, thread, instrument, range))
      await putFiles(outside, asked, { ...none, lines }, exportOf(format)!)
    }
    return 0
  },
}
