/** The places to touch, as DEVELOPERS.md's table has them, and the README's tables, held against what the files say. */
import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, test } from 'vitest'
import { withTables } from './readmeTables.ts'

const read = (file: string) => readFileSync(file, 'utf8')
const filesUnder = (folder: string): readonly string[] =>
  readdirSync(folder, { recursive: true, encoding: 'utf8' })
    .filter((file) => /\.(ts|hbs)$/.test(file))
    .map((file) => join(folder, file).replaceAll('\\', '/'))
const code = (file: string) => read(file).replace(/\/\*[\s\S]*?\*\/|\/\/.*$/gm, '')

test('the tables of the README are as the records of commands and choices', () => {
  const readme = read('README.md')
  expect(readme, 'run: node test/run.mjs test/rebuild/readme.ts').toBe(withTables(readme))
  expect(readme.match(/^\| `--/gm)!.length).toBeGreaterThan(60)
  expect(withTables(readme.replace(/^\| `--seed .*\n/m, ''))).toBe(readme)
})

/** The rows of the table: what is added, at how many places, and the files or folders where. */
const rows = new Map(
  [...read('DEVELOPERS.md').matchAll(/^\| (an? [^|]+?) \| (\d) \| (.*) \|$/gm)].map(([, what, places, where]) => [
    what!,
    {
      places: Number(places),
      where: [...where!.matchAll(/`((?:lib|web|templates)\/[^`]*)`/g)].map(([, path]) => path!),
    },
  ]),
)
const row = (what: string) => {
  const found = rows.get(what)
  expect(found, `DEVELOPERS.md has no row for ${what}`).toBeDefined()
  return found!
}
/** What is said of names that are no common words is said in so many files, each where the table has it. */
function expectPlaces(what: string, files: readonly string[]): void {
  const { places, where } = row(what)
  expect(files).toHaveLength(places)
  for (const file of files)
    expect(
      where.some((path) => file.startsWith(path)),
      file,
    ).toBe(true)
  for (const path of where)
    expect(
      files.some((file) => file.startsWith(path)),
      path,
    ).toBe(true)
}

/** Where a choice could be wired: what reads, writes, explains and shows it. What it does is elsewhere, and so is which command takes it. */
const wiring = [
  ...filesUnder('lib/choices'),
  ...['command', 'commands', 'help', 'input', 'options', 'output'].map((file) => `lib/commands/${file}.ts`),
  ...['brief.ts', 'lineJson.ts', 'cli.ts'].map((file) => `lib/${file}`),
  ...filesUnder('web'),
  ...filesUnder('templates'),
].filter((file) => file !== 'lib/choices/levels.ts')

describe('places to touch', () => {
  test.each(['minorDominant', 'halfDiminished', 'sharpNine', 'majorSign', 'minorSign', 'ownStaves'])(
    'a choice of the page: %s',
    (name) => {
      const word = new RegExp(`\\b${name}\\b`)
      expectPlaces(
        'a choice of the page',
        wiring.filter((file) => word.test(code(file))),
      )
    },
  )

  /** The files of the program that say a word; presets such as levels choose among what is there. */
  const saying = (word: string, but: readonly string[] = []) =>
    [...filesUnder('lib'), ...filesUnder('web'), ...filesUnder('templates')].filter(
      (file) => !but.some((path) => file.startsWith(path)) && code(file).includes(word),
    )

  test.each(['worksheet', 'musicxml', 'band-midi', 'flac'])('an export: %s', (id) => {
    // Commands may write only some of them, a class packet holds some, a worksheet is what guide tones are on paper, and who writes sound knows its kinds.
    expectPlaces('an export', saying(`'${id}'`, ['lib/commands/', 'lib/sound/', 'lib/packet.ts']))
  })

  test.each(['sopranino-sax', 'flugelhorn', 'vibraphone', 'viola', 'mezzo-voice', 'bassoon'])(
    'an instrument: %s',
    (id) => {
      const { places, where } = row('an instrument')
      // One that is fingered in its own way, or borrows a neighbour's recording, is named there too.
      expect(saying(id, ['lib/fingering/', 'lib/sound/recordings.ts'])).toEqual(where.slice(0, places))
    },
  )

  test.each(['halfdiminished', 'halfdim', 'half dim'])('a spelling of a quality: %s', (spelling) => {
    expectPlaces('a spelling of a quality', saying(`['${spelling}',`))
  })

  test.each(['minor-major'])('a chord family: %s', (name) => {
    // Scores by other programs may call a kind by the same word.
    expectPlaces('a chord family', saying(`'${name}'`, ['lib/changes/xml/']))
  })

  test.each(['arpeggio'])('a kind of approach: %s', (name) => {
    expectPlaces('a kind of approach', saying(`'${name}'`, ['lib/choices/levels.ts', 'lib/drill/drills.ts']))
  })

  test.each(['chart', 'guideTones', 'serve'])('a command: %s', (name) => {
    const importing = filesUnder('lib/commands').filter((file) => code(file).includes(`'./${name}.ts'`))
    expectPlaces('a command', [`lib/commands/${name}.ts`, ...importing])
  })
})
