/** How one choice is read from what a person typed, and written back: the kinds of choice that a brief is made of. */
import { type Key, nameOfKey, readKey } from './theory/key.ts'
import { nameOf, type Pitch, readPitch } from './theory/pitch.ts'

export type Reading<T> = { readonly value: T } | { readonly expected: string; readonly hint: string }
/** How one choice is read from text and written back; `text` of the default is left out of addresses. */
export interface Choice<T> {
  readonly read: (text: string) => Reading<T>
  readonly text: (value: T) => string
}

export const value = <T>(v: T): Reading<T> => ({ value: v })
export const refuse = (expected: string, hint: string) => ({ expected, hint })
export const split = (text: string) =>
  text
    .split(/[,;]/)
    .map((part) => part.trim())
    .filter((part) => part !== '')

export function oneOf<T extends string>(...options: readonly T[]): Choice<T> {
  return {
    read: (text) =>
      (options as readonly string[]).includes(text)
        ? value(text as T)
        : refuse(`one of ${options.join(', ')}`, `try ${nearest(text, options)}`),
    text: (v) => v,
  }
}

export function listOf<T extends string>(options: readonly T[], least = 1): Choice<readonly T[]> {
  return {
    read: (text) => {
      const parts = text === 'none' ? [] : split(text)
      const odd = parts.find((part) => !(options as readonly string[]).includes(part))
      if (odd !== undefined) return refuse(`any of ${options.join(', ')}`, `try ${nearest(odd, options)}`)
      if (parts.length < least) return refuse(`at least one of ${options.join(', ')}`, `try ${options[0]}`)
      return value(options.filter((option) => parts.includes(option)))
    },
    text: (v) => v.join(',') || 'none',
  }
}

export function whole(low: number, high: number): Choice<number> {
  return {
    read: (text) => {
      const n = Number(text)
      return /^\d{1,10}$/.test(text) && n >= low && n <= high
        ? value(n)
        : refuse(`a whole number from ${low} to ${high}`, `try ${low}`)
    },
    text: String,
  }
}

export const orNone = <T>(choice: Choice<T>): Choice<T | null> => ({
  read: (text) => (text === '' ? value(null) : choice.read(text)),
  text: (v) => (v === null ? '' : choice.text(v)),
})

export const yesNo: Choice<boolean> = {
  read: (text) =>
    /^(yes|true|on|1)$/i.test(text)
      ? value(true)
      : /^(no|false|off|0|)$/i.test(text)
        ? value(false)
        : refuse('yes or no', 'try yes'),
  text: (v) => (v ? 'yes' : 'no'),
}

export const text = (most: number, form: RegExp = /^/, expected = 'text'): Choice<string> => ({
  read: (t) =>
    t.length > most
      ? refuse(`at most ${most} characters`, 'shorten it')
      : form.test(t)
        ? value(t)
        : refuse(expected, 'see the help of this choice'),
  text: (v) => v,
})

export const each = (form: RegExp, expected: string, hint: string, most: number): Choice<readonly string[]> => ({
  read: (t) => {
    const parts = split(t)
    if (parts.length > most) return refuse(`at most ${most} entries`, 'take some out')
    return parts.every((part) => form.test(part)) ? value(parts) : refuse(expected, hint)
  },
  text: (v) => v.join(','),
})

export const key: Choice<Key> = {
  read: (t) => {
    const read = readKey(t)
    return read ? value(read) : refuse('a key such as C, Eb, F#m or Bb minor', 'try C')
  },
  text: nameOfKey,
}

export const pitch: Choice<Pitch> = {
  read: (t) => {
    const read = readPitch(t.charAt(0).toUpperCase() + t.slice(1).replace('♭', 'b').replace('♯', '#'))
    return read ? value(read) : refuse('a written pitch with its octave, such as D4 (C4 is middle C)', 'try D4')
  },
  text: nameOf,
}

export const barRange: Choice<readonly [number, number]> = {
  read: (t) => {
    const match = /^(\d{1,5})(?:-(\d{1,5}))?$/.exec(t)
    const from = Number(match?.[1])
    const to = Number(match?.[2] ?? match?.[1])
    return match && from >= 1 && to >= from ? value([from, to] as const) : refuse('bars such as 5-8', 'try 1-4')
  },
  text: ([from, to]) => `${from}-${to}`,
}

export const ratio: Choice<number> = {
  read: (t) => {
    const n = Number(t.replace(',', '.'))
    return /^\d([.,]\d{1,2})?$/.test(t) && n >= 1 && n <= 3
      ? value(n)
      : refuse('a ratio of long eighth to short from 1 to 3', 'try 1.5')
  },
  text: String,
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
