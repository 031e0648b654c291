/** `help`: what can be asked, from the records of commands and choices. */
import { choices, optionOf } from '../choices/choices.ts'
import { nearest } from '../choices/reader.ts'
import { type Command, synopsisOf } from './command.ts'
import { type Usage, usage } from './options.ts'

export const help: Command = {
  name: 'help',
  help: 'Says what can be asked; with the name of a command, all its options.',
  words: [{ name: 'COMMAND', optional: true }],
  files: 'none',
  options: [],
  choices: [],
  run: ({ words: [name] }, outside, commands) => {
    const command = commands.find((each) => each.name === name)
    if (name !== undefined && !command) throw unknownCommand(name, commands)
    outside.out(command ? commandHelp(command) : `${usageOf(commands)}\n${commandList(commands)}`)
    return 0
  },
}

/** What is said where no command has such a name. */
export function unknownCommand(typed: string, commands: readonly Command[]): Usage {
  const names = commands.map(({ name }) => name)
  const hint = typed === '' ? 'try help' : `try ${nearest(typed, names)}`
  return usage(typed || 'no command', `${names.slice(0, -1).join(', ')} or ${names.at(-1)}`, hint)
}

/** Every command as it is typed. */
export function usageOf(commands: readonly Command[]): string {
  const lines = [...commands.map(synopsisOf), 'throughline --version']
  return `usage: ${lines.join('\n       ')}
A file is a chart as text, or a score as MusicXML, compressed MusicXML or MEI; - is standard input.
throughline help COMMAND says its options and the choices of a line.
`
}

const commandList = (commands: readonly Command[]): string =>
  columns(commands.map(({ name, help: said }) => [name, said]))

/** An option as it is typed, what it chooses, and what is usual, empty where that is nothing. */
export interface OptionHelp {
  readonly typed: string
  readonly help: string
  readonly usual: string
}

/** The options of a command: its own, then the choices that it takes. */
export function optionsHelp(command: Command): {
  readonly own: readonly OptionHelp[]
  readonly chosen: readonly OptionHelp[]
} {
  const own = command.options.map(({ name, short, reader, help: said }) => ({
    typed: `${short ? `-${short}, ` : ''}--${name} ${reader.form}`,
    help: said,
    usual: '',
  }))
  const chosen = command.choices.map((name) => {
    const { form, help: said, usual, gathers, text } = choices[name]
    return {
      typed: `--${optionOf(name)} ${form}`,
      help: `${said}${gathers ? '; as often as needed' : ''}`,
      usual: text(usual as never),
    }
  })
  return { own, chosen }
}

/** A command with all its options, what is usual in brackets. */
export function commandHelp(command: Command): string {
  const { own, chosen } = optionsHelp(command)
  const rows = (options: readonly OptionHelp[]) =>
    columns(options.map(({ typed, help: said, usual }) => [typed, usual === '' ? said : `${said} (${usual})`]))
  const parts = [
    `usage: ${synopsisOf(command)}\n${command.help}\n`,
    ...(own.length > 0 ? [rows(own)] : []),
    ...(chosen.length > 0 ? [`Choices, what is usual in brackets:\n${rows(chosen)}`] : []),
  ]
  return parts.join('\n')
}

/** Names beside what is said of them; a long name has a line of its own. */
function columns(rows: readonly (readonly [string, string])[]): string {
  const width = Math.min(28, Math.max(...rows.map(([name]) => name.length)) + 2)
  return rows
    .map(([name, said]) =>
      name.length + 2 <= width ? `  ${name.padEnd(width)}${said}\n` : `  ${name}\n  ${' '.repeat(width)}${said}\n`,
    )
    .join('')
}
