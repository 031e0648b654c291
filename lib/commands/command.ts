/** What a command is, and how its arguments are read: words, files, options of its own, and choices. */
import { type ChoiceName, choiceNames, choices, dashed, optionOf } from '../choices/choices.ts'
import { nearest } from '../choices/reader.ts'
import type { FileToSave } from '../saveFiles.ts'
import { type OwnOption, readOption, usage } from './options.ts'

/** What a command reads from and writes to: files and standard streams, or whatever stands in for them. */
export interface Outside {
  /** The bytes of a file, `-` being standard input. Throws where there are none to be had. */
  readonly read: (file: string) => Uint8Array
  /** Writes files, all or none, and none over a file that is being read. Throws, in words, where they cannot be written. */
  readonly write: (files: readonly FileToSave[], inputs: readonly string[]) => void
  readonly out: (bytes: string | Uint8Array) => void
  readonly err: (text: string) => void
  /** Whether somebody watches standard error. */
  readonly watched: boolean
  /** The port to serve on, where no option says. */
  readonly port: string
  /** The version of the program. */
  readonly version: () => string
  /** Serves the page until it is told to stop. */
  readonly serve: (port: number) => Promise<void>
}

/** A word that stands after the command's name, before any file. */
export interface Word {
  readonly name: string
  readonly optional?: true
}

/** A command, as the list of commands holds it: all that there is to say of it, and what it does. */
export interface Command {
  readonly name: string
  /** What comes of it, in a sentence. */
  readonly help: string
  readonly words?: readonly Word[]
  /** How many files it reads; standard input where none is named. */
  readonly files: 'none' | 'one' | 'several'
  readonly options: readonly OwnOption[]
  /** The choices of a brief that it takes. */
  readonly choices: readonly ChoiceName[]
  /**
   * Comes back with the exit code: 0 done, 1 the input has errors. Throws `Usage` where it cannot be understood.
   *
   * @param commands - all there are, for a command that speaks of others
   */
  readonly run: (asked: Asked, outside: Outside, commands: readonly Command[]) => number | Promise<number>
}

/** Arguments as read. */
export interface Asked {
  readonly words: readonly string[]
  /** The files named, `-` where none is. */
  readonly files: readonly string[]
  /** The first of them. */
  readonly file: string
  /** The command's own options as typed, by name; each is what it takes. */
  readonly options: Readonly<Record<string, string>>
  /** Choices as typed, by name. */
  readonly given: Readonly<Partial<Record<ChoiceName, string>>>
}

/** Every choice but the changes, which stand in the file. */
export const allChoices: readonly ChoiceName[] = choiceNames.filter((name) => name !== 'changes')

/** The option of a command that a flag means, its own or a choice; undefined where there is none. */
function optionMeant(command: Command, flag: string): OwnOption | ChoiceName | undefined {
  const short = /^-([a-z])$/i.exec(flag)?.[1]
  if (short !== undefined) return command.options.find((option) => option.short === short)
  if (!flag.startsWith('--')) return undefined
  const typed = flag.slice(2)
  return (
    command.options.find(({ name }) => name === typed) ??
    command.choices.find((name) => [optionOf(name), dashed(name), name].includes(typed))
  )
}

/** Reads what stands after a command's name. Throws `Usage` where it is not what the command takes. */
export function readArguments(command: Command, args: readonly string[]): Asked {
  const options: Record<string, string> = {}
  const given: Partial<Record<ChoiceName, string>> = {}
  const plain: string[] = []
  for (let i = 0; i < args.length; i++) {
    const arg = args[i]!
    // After two dashes alone everything is a name, whatever it begins with (POSIX, utility syntax guideline 10).
    if (arg === '--') {
      plain.push(...args.slice(i + 1))
      break
    }
    if (arg === '-' || !arg.startsWith('-')) {
      plain.push(arg)
      continue
    }
    const [flag = '', inline] = arg.split(/=(.*)/s)
    const meant = optionMeant(command, flag)
    if (meant === undefined) {
      const known = [...command.options.map(({ name }) => name), ...command.choices.map(optionOf)].map((n) => `--${n}`)
      throw usage(flag, 'an option of this command', known.length > 0 ? `try ${nearest(flag, known)}` : 'leave it out')
    }
    const value = inline ?? args[++i]
    if (value === undefined) {
      const { expected, hint } = typeof meant === 'string' ? choices[meant] : meant.reader
      throw usage(`${flag} with nothing after it`, expected, hint)
    }
    if (typeof meant !== 'string') options[meant.name] = value
    else given[meant] = choices[meant].gathers && given[meant] !== undefined ? `${given[meant]},${value}` : value
  }
  for (const option of command.options) readOption(options, option)
  const taken = command.words ?? []
  const words = plain.slice(0, taken.length)
  const missing = taken[words.length]
  if (missing && !missing.optional)
    throw usage(`no ${missing.name}`, synopsisOf(command), `try throughline help ${command.name}`)
  const files = plain.slice(taken.length)
  if (command.files === 'none' && files.length > 0) throw usage(files[0]!, synopsisOf(command), 'leave it out')
  if (command.files === 'one' && files.length > 1)
    throw usage(`${files.length} files`, 'one', 'run the command once for each')
  const named = files.length > 0 ? files : ['-']
  return { words, files: named, file: named[0]!, options, given }
}

/** The format asked for, as typed: by name, else by the ending of the output, else JSON. */
export const formatNamed = ({ format, output }: Asked['options']): string =>
  format ?? (output?.includes('.') ? output.split('.').at(-1)!.toLowerCase() : 'json')

/** A command as it is typed, in one line. */
export function synopsisOf({ name, words = [], files, options, choices: taken }: Command): string {
  const parts = [
    `throughline ${name}`,
    ...words.map((word) => (word.optional ? `[${word.name}]` : word.name)),
    ...{ none: [], one: ['[FILE|-]'], several: ['FILE…'] }[files],
    ...options.map(({ name: option, short, reader }) => `[${short ? `-${short}` : `--${option}`} ${reader.form}]`),
    ...(taken.length > 0 ? ['[choices]'] : []),
  ]
  return parts.join(' ')
}
