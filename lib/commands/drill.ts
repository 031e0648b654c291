/** `drill`: a drill to start from, by its name, each of its choices open to another; without a name, the list of them. */
import { nearest } from '../choices/reader.ts'
import { drillNamed, type NamedDrill, namedDrills } from '../drill/drills.ts'
import { type Asked, allChoices, type Command, type Outside, Usage } from './command.ts'
import { putLines } from './line.ts'
import { json, lineFormats, outputOptions, put } from './output.ts'

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
    const found = drillNamed(name)
    if (!found) {
      const names = namedDrills.map((each) => each.name)
      throw new Usage(`found ${name}; expected a drill: ${names.join(', ')}; try ${nearest(name, names)}`)
    }
    const { changes = '', ...choices } = found.choices
    const usual = { title: found.title, ...choices }
    return putLines(asked, outside, asked.file === '-' ? { ...usual, changes } : usual)
  },
}

const listed = (drills: readonly NamedDrill[]): string =>
  drills.map(({ name, title, says }) => `${name}\n  ${title}. ${says}\n`).join('')
