/** The tables of the README that are made from records: commands and their options. `test/rebuild/readme.ts` writes them anew. */
import { commands } from '../lib/commands/commands.ts'
import { type OptionHelp, optionsHelp } from '../lib/commands/help.ts'

const row = (...cells: readonly string[]) => `| ${cells.map((cell) => cell.replaceAll('|', '\\|')).join(' | ')} |`
const table = (heads: readonly string[], rows: readonly (readonly string[])[]): string =>
  [row(...heads), `|${'---|'.repeat(heads.length)}`, ...rows.map((cells) => row(...cells))].join('\n')

/** Options that several commands share stand once. */
function optionTable(): string {
  const rows = new Map<string, OptionHelp>()
  for (const { chosen } of commands.map(optionsHelp)) for (const option of chosen) rows.set(option.typed, option)
  return table(
    ['option', 'what it chooses', 'usual'],
    [...rows.values()].map(({ typed, help, usual }) => [`\`${typed}\``, help, usual === '' ? '' : `\`${usual}\``]),
  )
}

const commandTable = (): string =>
  table(
    ['command', 'what comes of it'],
    commands.map(({ name, help }) => [`\`${name}\``, help]),
  )

/** A README with its tables as the records have them, each between comments that name it. */
export function withTables(readme: string): string {
  const tables = { commands: commandTable(), options: optionTable() }
  return Object.entries(tables).reduce(
    (text, [name, rows]) =>
      text.replace(
        new RegExp(`(<!-- ${name} -->\\n)[\\s\\S]*?(\\n<!-- /${name} -->)`),
        (_, open, close) => open + rows + close,
      ),
    readme,
  )
}
