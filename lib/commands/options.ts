/** Options of commands: how what is typed is read, and in what words it is refused; the same for every command. */
import { type Reader, refuse, value } from '../choices/reader.ts'
import { isDay } from '../practice/days.ts'
import { readOrigin } from './origin.ts'

/** A command that could not be understood: exit 2. */
export class Usage extends Error {}

/** What could not be understood, in the words of every problem. */
export const usage = (found: string, expected: string, hint: string): Usage =>
  new Usage(`found ${found}; expected ${expected}; ${hint}`)

/** How what is typed is read, as a choice is. */
export type OptionReader<T> = Pick<Reader<T>, 'read' | 'form' | 'expected' | 'hint'>

/** An option that is a command's own and no choice of a brief. */
export interface OwnOption<T = unknown> {
  /** Without its dashes. */
  readonly name: string
  /** A single letter that does as well, without its dash. */
  readonly short?: string
  readonly reader: OptionReader<T>
  readonly help: string
}

/** Reads a text by a reader, or throws `Usage` with what was found under the name it was typed with. */
export function understood<T>(reader: OptionReader<T>, text: string, found = text): T {
  const read = reader.read(text)
  if ('value' in read) return read.value
  throw usage(found, read.expected, read.hint)
}

/** An option's value as read; null where it was not given. Throws `Usage` where it is not what the option takes. */
export function readOption<T>(options: Readonly<Record<string, string>>, { name, reader }: OwnOption<T>): T | null {
  const text = options[name]
  return text === undefined ? null : understood(reader, text, `--${name} ${text}`)
}

/** Whatever is typed: a name or a path. */
export const named = (form: string, expected: string, hint: string): OptionReader<string> => ({
  read: value,
  form,
  expected,
  hint,
})

/** What a function makes of a text, or null where it can make nothing of it. */
export const made = <T>(
  make: (text: string) => T | null,
  form: string,
  expected: string,
  hint: string,
): OptionReader<T> => ({
  read: (text) => {
    const found = make(text)
    return found === null ? refuse(expected, hint) : value(found)
  },
  form,
  expected,
  hint,
})

export const day = made((text) => (isDay(text) ? text : null), 'DAY', 'a day of the calendar', 'try 2026-11-30')

/** Hour and minute. */
export const timeOfDay = made(
  (text): readonly [number, number] | null => {
    const [, hour, minute] = /^([01]?\d|2[0-3]):([0-5]\d)$/.exec(text) ?? []
    return hour === undefined ? null : [Number(hour), Number(minute)]
  },
  'HH:MM',
  'a time of day',
  'try 17:30',
)

export const origin = made(
  readOrigin,
  'URL',
  'where the page is, such as https://lines.example.org',
  'write it out with https://',
)
