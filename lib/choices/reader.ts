/** How one choice is read from what a person typed, and written back: the kinds of choice that a brief is made of. */
import { type Key, nameOfKey, readKey } from '../theory/key.ts'
import { nameOf, type Pitch, readPitch } from '../theory/pitch.ts'
import { typedSigns } from '../theory/signs.ts'

export type Reading<T> = { readonly value: T } | { readonly expected: string; readonly hint: string }

/** How one choice is read from text and written back, and what a program may put in its place. */
export interface Reader<T> {
  readonly read: (text: string) => Reading<T>
  readonly text: (value: T) => string
  /** Whether a value that a program made can stand in a brief. */
  readonly holds: (value: unknown) => boolean
  /** What is typed, in short: `yes|no`, `1..4`. */
  readonly form: string
  /** What it takes, in words, and what to try. */
  readonly expected: string
  readonly hint: string
  /** The values to choose from, where they can be listed. */
  readonly options?: readonly string[]
  /** The limits of a number; the most characters of a text. */
  readonly least?: number
  readonly most?: number
  /** Several values with commas between. */
  readonly list?: true
}

export const value = <T>(v: T): Reading<T> => ({ value: v })
export const refuse = (expected: string, hint: string) => ({ expected, hint })
export const split = (text: string) =>
  text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '')

const isText = (v: unknown): v is string => typeof v === 'string'

export function oneOf<T extends string>(...options: readonly T[]): Reader<T> {
  const expected = `one of ${options.join(', ')}`
  const known = (v: unknown): v is T => isText(v) && (options as readonly string[]).includes(v)
  return {
    read: (text) => (known(text) ? value(text) : refuse(expected, `try ${nearest(text, options)}`)),
    text: (v) => v,
    holds: known,
    form: options.map((option) => (option.includes(' ') ? `'${option}'` : option)).join('|'),
    expected,
    hint: `try ${options[0]}`,
    options,
  }
}

/** The same, where links and scripts may still give a value under a name that it had before. */
export const formerly = <T extends string>(
  reader: Reader<T>,
  names: Readonly<Record<string, NoInfer<T>>>,
): Reader<T> => ({
  ...reader,
  read: (text) => reader.read(Object.hasOwn(names, text) ? names[text]! : text),
})

export function listOf<T extends string>(options: readonly T[], least = 1): Reader<readonly T[]> {
  const known = (v: unknown) => isText(v) && (options as readonly string[]).includes(v)
  const expected = `any of ${options.join(', ')}`
  return {
    read: (text) => {
      const parts = text === 'none' ? [] : split(text)
      const odd = parts.find((part) => !known(part))
      if (odd !== undefined) return refuse(expected, `try ${nearest(odd, options)}`)
      if (parts.length < least) return refuse(`at least one of ${options.join(', ')}`, `try ${options[0]}`)
      return value(options.filter((option) => parts.includes(option)))
    },
    text: (v) => v.join(',') || 'none',
    holds: (v) => Array.isArray(v) && v.length >= least && v.every(known),
    form: options.join(','),
    expected,
    hint: `try ${options[0]}`,
    options,
    list: true,
  }
}

export function whole(low: number, high: number): Reader<number> {
  const inside = (n: number) => Number.isInteger(n) && n >= low && n <= high
  const expected = `a whole number from ${low} to ${high}`
  return {
    read: (text) =>
      /^\d{1,10}$/.test(text) && inside(Number(text))
        ? value(Number(text))
        : refuse(expected, `try ${Number(text) > high ? high : low}`),
    text: String,
    holds: (v) => typeof v === 'number' && inside(v),
    form: `${low}..${high}`,
    expected,
    hint: `try ${low}`,
    least: low,
    most: high,
  }
}

export const orNone = <T>(reader: Reader<T>): Reader<T | null> => ({
  ...reader,
  read: (text) => (text === '' ? value(null) : reader.read(text)),
  text: (v) => (v === null ? '' : reader.text(v)),
  holds: (v) => v === null || reader.holds(v),
})

export const yesNo: Reader<boolean> = {
  read: (text) =>
    /^(yes|true|on|1)$/i.test(text)
      ? value(true)
      : /^(no|false|off|0|)$/i.test(text)
        ? value(false)
        : refuse('yes or no', 'try yes'),
  text: (v) => (v ? 'yes' : 'no'),
  holds: (v) => typeof v === 'boolean',
  form: 'yes|no',
  expected: 'yes or no',
  hint: 'try yes',
}

export const text = (most: number): Reader<string> => ({
  read: (t) => (t.length > most ? refuse(`at most ${most} characters`, 'shorten it') : value(t)),
  text: (v) => v,
  holds: (v) => isText(v) && v.length <= most,
  form: 'TEXT',
  expected: `text of at most ${most} characters`,
  hint: 'put it in quotes',
  most,
})

/** A list of so many entries at most, each read, written and known by itself. */
const manyOf = <T>(
  read: (text: string) => T | null,
  text: (value: T) => string,
  holds: (value: unknown) => boolean,
  expected: string,
  example: string,
  most: number,
): Reader<readonly T[]> => ({
  read: (t) => {
    const parts = split(t)
    if (parts.length > most) return refuse(`at most ${most} entries`, 'take some out')
    const entries = parts.map(read)
    return entries.every((v) => v !== null) ? value(entries) : refuse(expected, `try ${example}`)
  },
  text: (v) => v.map(text).join(','),
  holds: (v) => Array.isArray(v) && v.length <= most && v.every(holds),
  form: example,
  expected,
  hint: `try ${example}`,
  list: true,
})

export const each = (form: RegExp, expected: string, example: string, most: number): Reader<readonly string[]> =>
  manyOf(
    (part) => (form.test(part) ? part : null),
    (part) => part,
    (part) => isText(part) && form.test(part),
    expected,
    example,
    most,
  )

/** How one entry of a list is read, written and known. */
export interface Entry<T> {
  readonly read: (text: string) => T | null
  readonly text: (value: T) => string
  readonly holds: (value: Readonly<Record<string, unknown>>) => boolean
}

/** A list of entries that are more than their text. */
export const entriesOf = <T extends object>(
  entry: Entry<T>,
  expected: string,
  example: string,
  most: number,
): Reader<readonly T[]> =>
  manyOf(entry.read, entry.text, (each) => isRecord(each) && entry.holds(each), expected, example, most)

/** Whether a value of a program has fields to look at. */
export const isRecord = (v: unknown): v is Readonly<Record<string, unknown>> => typeof v === 'object' && v !== null

/** A reader of what has a name of its own: written, it reads back. */
function named<T>(
  read: (text: string) => T | null,
  text: (value: T) => string,
  isMadeUp: (value: Readonly<Record<string, unknown>>) => boolean,
  words: Pick<Reader<T>, 'form' | 'expected' | 'hint'>,
): Reader<T> {
  return {
    ...words,
    read: (t) => {
      const found = read(t)
      return found === null ? refuse(words.expected, words.hint) : value(found)
    },
    text,
    holds: (v) => isRecord(v) && isMadeUp(v) && read(text(v as T)) !== null,
  }
}

const isNoteName = (v: unknown): boolean =>
  isRecord(v) && isText(v.letter) && /^[A-G]$/.test(v.letter) && [-2, -1, 0, 1, 2].includes(v.alter as number)

export const key: Reader<Key> = named(
  readKey,
  nameOfKey,
  ({ tonic, mode }) => isNoteName(tonic) && (mode === 'major' || mode === 'minor'),
  { form: 'KEY', expected: 'a key such as C, Eb, F#m or Bb minor', hint: 'try C' },
)

export const pitch: Reader<Pitch> = named(
  (t) => readPitch(t.charAt(0).toUpperCase() + typedSigns(t.slice(1))),
  nameOf,
  (v) => isNoteName(v) && Number.isInteger(v.octave),
  { form: 'D4', expected: 'a written pitch with its octave, such as D4 (C4 is middle C)', hint: 'try D4' },
)

export const barRange: Reader<readonly [number, number]> = {
  read: (t) => {
    const match = /^(\d{1,5})(?:-(\d{1,5}))?$/.exec(t)
    const from = Number(match?.[1])
    const to = Number(match?.[2] ?? match?.[1])
    return match && from >= 1 && to >= from ? value([from, to] as const) : refuse('bars such as 5-8', 'try 1-4')
  },
  text: ([from, to]) => `${from}-${to}`,
  holds: (v) => Array.isArray(v) && v.length === 2 && v.every(Number.isInteger) && v[0] >= 1 && v[1] >= v[0],
  form: 'FROM-TO',
  expected: 'bars such as 5-8',
  hint: 'try 1-4',
}

export const ratio: Reader<number> = {
  read: (t) => {
    const n = Number(t.replace(',', '.'))
    return /^\d([.,]\d{1,2})?$/.test(t) && n >= 1 && n <= 3
      ? value(n)
      : refuse('a ratio of long eighth to short from 1 to 3', 'try 1.5')
  },
  text: String,
  holds: (v) => typeof v === 'number' && v >= 1 && v <= 3,
  form: '1..3',
  expected: 'a ratio of long eighth to short from 1 to 3',
  hint: 'try 1.5',
}

/** The option with the fewest changed letters from what was typed. */
export function nearest(typed: string, options: readonly string[]): string {
  const distance = (a: string, b: string): number => {
    let row = Array.from({ length: b.length + 1 }, (_, i) => i)
    for (let i = 1; i <= a.length; i++) {
      const next = [i]
      for (let j = 1; j <= b.length; j++)
        next.push(Math.min(row[j]! + 1, next[j - 1]! + 1, row[j - 1]! + (a[i - 1] === b[j - 1] ? 0 : 1)))
      row = next
    }
    return row[b.length]!
  }
  const short = typed.slice(0, 40).toLowerCase()
  return [...options].sort((a, b) => distance(short, a.toLowerCase()) - distance(short, b.toLowerCase()))[0] ?? ''
}
