/** `chart`: what was read of the changes. */
import { chartJson } from '../changes/chartJson.ts'
import { readTyped } from '../changes/typed/readTyped.ts'
import { chartText } from '../lineText.ts'
import type { Asked, Command, Outside } from './command.ts'
import { readInput, reportErrors } from './input.ts'
import { formatOf, json, outputOptions, put } from './output.ts'

const formats = ['json', 'text']

export const chart: Command = {
  name: 'chart',
  help: 'Says how the changes are read: bars, chords, form and what is wrong with them.',
  files: 'one',
  options: outputOptions(formats),
  choices: [],
  run: (asked: Asked, outside: Outside): number => {
    const format = formatOf(asked, formats)
    const { text, score } = readInput(asked.file, outside)
    if (score) {
      put(outside, asked, format === 'json' ? json(chartJson(score, text)) : chartText(score))
      return reportErrors(outside, asked, '', score.problems) ? 1 : 0
    }
    const read = readTyped(text)
    put(outside, asked, format === 'json' ? json(chartJson(read, text)) : chartText(read))
    return reportErrors(outside, asked, text, read.problems) ? 1 : 0
  },
}
