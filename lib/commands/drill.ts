/** `drill`: a drill to start from, by its name, each of its choices open to another; without a name, the list of them. */
import { oneOf } from '../choices/reader.ts'
import { drillNamed, type NamedDrill, namedDrills } from '../drill/drills.ts'
import { type Asked, allChoices, type Command, type Outside } from './command.ts'
import { putLines } from './line.ts'
import { type OptionReader, understood } from './options.ts'
import { json, lineFormats, outputOptions, put } from './output.ts'

/** The name of a drill. */
export const drillName: OptionReader<string> = { ...oneOf(...namedDrills.map(({ name }) => name)), form: 'NAME' }

/** What a drill chooses, its own changes too where no file is named. */
export function choicesOfDrill(name: string, file: string): Asked['given'] {
  const { title, choices } = drillNamed(name)!
  const { changes = '', ...others } = choices
  return { title, ...others, ...(file === '-' ? { changes } : {}) }
}

export const drill: Command = {
  name: 'drill',
  help: 'Writes a drill by its name, through a tune where a file is named; without a name, lists the drills.',
  words: [{ name: 'NAME', optional: true }],
  files: 'one',
  options: outputOptions(lineFormats),
  choices: allChoices,
  run: async (asked: Asked, outside: Outside): Promise<number> => {
    const [name] = asked.words
    if (name === undefined) {
      put(outside, asked, asked.options.format === 'json' ? json({ drills: namedDrills }) : listed(namedDrills))
      return 0
    }
    return putLines(asked, outside, choicesOfDrill(understood(drillName, name), asked.file))
  },
}

const listed = (drills: readonly NamedDrill[]): string =>
  drills.map(({ name, title, says }) => `${name}\n  ${title}. ${says}\n`).join('')
