/** What a function of a door takes, described plainly, and how what does not fit is refused: with a problem of the project's own. */
import type { Problem } from '../problem.ts'

/** Where a value fails to be what was expected. */
export interface Misfit {
  /** The way from the argument to the place, such as `.notes[3].pitch`. */
  readonly at: string
  readonly found: unknown
  readonly expected: string
  readonly hint: string
}

/** What a value has to be: null where it is so, else the first place where it is not. */
export interface Shape<T> {
  readonly check: (value: unknown) => Misfit | null
  readonly expected: string
  readonly hint: string
  /** Fields that hold nothing are as fields left out. */
  readonly open?: true
  /** Never there: it holds the type that the shape describes. */
  readonly of?: T
}

/** An error that carries what is wrong with an argument as a problem; its span counts in what was found. */
export interface WrongInput extends Error {
  readonly problem: Problem
}

/**
 * Whether an error says that an argument was wrong, and has the problem.
 *
 * @example
 * isWrongInput(wrongInput('nameOf: note', { at: '.letter', found: 5, expected: 'a letter', hint: 'try C' })) // => true
 * isWrongInput(new Error('something else')) // => false
 */
export const isWrongInput = (error: unknown): error is WrongInput => error instanceof Error && 'problem' in error

/**
 * A problem with an argument, to be thrown.
 *
 * @example
 * wrongInput('nameOf: note', { at: '.letter', found: 5, expected: 'a letter', hint: 'try C' }).message
 * // => 'nameOf: note.letter: found 5; expected a letter; try C'
 */
export function wrongInput(where: string, { at, found, expected, hint }: Misfit): WrongInput {
  const said = saidShort(found)
  const span = { start: 0, end: said.length }
  const problem: Problem = { severity: 'error', code: 'wrong-input', span, found: said, expected, hint }
  return Object.assign(new Error(`${where}${at}: found ${said}; expected ${expected}; ${hint}`), { problem })
}

/** A value as a message says it: as JSON where it is short, else by its kind. */
function saidShort(value: unknown): string {
  if (value === undefined) return 'nothing'
  if (typeof value === 'number' || typeof value === 'bigint') return String(value)
  if (typeof value === 'string') return JSON.stringify(value.length > 60 ? `${value.slice(0, 57)}…` : value)
  if (value === null || typeof value === 'boolean') return `${value}`
  if (Array.isArray(value)) return `a list of ${value.length}`
  return typeof value === 'object' ? 'an object' : `a ${typeof value}`
}

/** A shape that is fitted or not as a whole. */
export const plainly = <T>(expected: string, hint: string, fits: (value: unknown) => boolean): Shape<T> => ({
  expected,
  hint,
  check: (value) => (fits(value) ? null : { at: '', found: value, expected, hint }),
})

export const text: Shape<string> = plainly('a text', 'try "…"', (v) => typeof v === 'string')
export const yesOrNo: Shape<boolean> = plainly('true or false', 'try true', (v) => typeof v === 'boolean')
export const anything: Shape<never> = plainly('anything', '', () => true)
export const call: Shape<never> = plainly('a function', 'leave it out', (v) => typeof v === 'function')

export const whole = (low: number, high: number): Shape<number> =>
  plainly(
    `a whole number from ${low} to ${high}`,
    `try ${Math.max(low, 1)}`,
    (v) => Number.isInteger(v) && (v as number) >= low && (v as number) <= high,
  )

export const number = (low: number, high: number): Shape<number> =>
  plainly(
    `a number from ${low} to ${high}`,
    `try ${Math.max(low, 1)}`,
    (v) => typeof v === 'number' && v >= low && v <= high,
  )

export const oneOf = <const T>(...options: readonly T[]): Shape<T> =>
  plainly(
    `one of ${options.join(', ')}`,
    `try ${options[0]}`,
    // Zero is written in two ways, and either will do.
    (v) => options.includes(v as T),
  )

export const made = <T>(kind: abstract new (...args: never[]) => T, expected: string): Shape<T> =>
  plainly(expected, 'take what the library made', (v) => v instanceof kind)

/** The same, or null. */
export const orNull = <T>(shape: Shape<T>): Shape<T | null> => ({
  ...shape,
  expected: `${shape.expected}, or null`,
  check: (value) => (value === null ? null : shape.check(value)),
})

/** The same, or nothing at all. */
export const maybe = <T>(shape: Shape<T>): Shape<T> => ({
  ...shape,
  check: (value) => (value === undefined ? null : shape.check(value)),
})

export const listOf = <T>(shape: Shape<T>, most = 1_000_000): Shape<readonly T[]> => {
  const expected = `a list, each ${shape.expected}`
  return {
    expected,
    hint: 'try []',
    check: (value) => {
      if (!Array.isArray(value) || value.length > most) return { at: '', found: value, expected, hint: 'try []' }
      for (let i = 0; i < value.length; i++) {
        const misfit = shape.check(value[i])
        if (misfit) return { ...misfit, at: `[${i}]${misfit.at}` }
      }
      return null
    },
  }
}

export const pairOf = <T>(shape: Shape<T>): Shape<readonly [T, T]> => {
  const expected = `two of them: each ${shape.expected}`
  const list = listOf(shape)
  return {
    expected,
    hint: 'give both',
    check: (value) =>
      Array.isArray(value) && value.length !== 2
        ? { at: '', found: value, expected, hint: 'give both' }
        : list.check(value),
  }
}

/** The shapes of the fields of a record: one for each field that its type has. */
export type Fields<T> = { readonly [K in keyof T]-?: Shape<Exclude<T[K], undefined>> }

/** A record by its fields; `expected` says in a few words what it is. */
export const record = <T extends object>(expected: string, fields: Fields<T>): Shape<T> => {
  const entries = Object.entries(fields) as readonly (readonly [string, Shape<unknown>])[]
  const hint = `give it ${Object.keys(fields).slice(0, 3).join(', ')}${entries.length > 3 ? ' …' : ''}`
  return {
    expected,
    hint,
    check: (value) => {
      if (typeof value !== 'object' || value === null || Array.isArray(value))
        return { at: '', found: value, expected, hint }
      for (const [name, shape] of entries) {
        const misfit = shape.check((value as Readonly<Record<string, unknown>>)[name])
        if (misfit) return { ...misfit, at: `.${name}${misfit.at}` }
      }
      return null
    },
  }
}

/** A record of which each field may be left out, or hold nothing. */
export const options = <T extends object>(fields: Fields<T>): Shape<Partial<T>> => {
  const each = Object.entries(fields).map(([name, shape]) => [name, maybe(shape as Shape<unknown>)] as const)
  const expected = `options, any of ${Object.keys(fields).join(', ')}`
  const shape = record<Partial<T>>(expected, Object.fromEntries(each) as Fields<Partial<T>>)
  return { ...shape, hint: 'leave them out', open: true }
}

/** A shape with something more to hold between its parts, looked at once the parts fit. */
export const holding = <T>(shape: Shape<T>, more: (value: T) => Misfit | null): Shape<T> => ({
  ...shape,
  check: (value) => shape.check(value) ?? more(value as T),
})

/** The first misfit of an index that has to be below a count, over a list. */
export function astray<T>(
  list: readonly T[],
  at: (index: number) => string,
  index: (each: T) => number | null | undefined,
  below: number,
  what: string,
): Misfit | null {
  const wrong = list.findIndex((each) => (index(each) ?? -1) >= below)
  if (wrong < 0) return null
  const expected = `the number of a ${what} that is there`
  return { at: at(wrong), found: index(list[wrong]!), expected, hint: `there are ${below}` }
}

/** Arguments by their names, in order. */
export type Named<P extends readonly unknown[]> = {
  readonly [I in keyof P]-?: readonly [name: string, shape: Shape<Exclude<P[I], undefined>>]
}

/** The same function, which looks at its arguments first and throws a problem where one does not fit. */
export function checked<P extends readonly unknown[], R>(
  name: string,
  inner: (...given: P) => R,
  shapes: Named<P>,
  together: (...given: P) => Misfit | null = () => null,
): (...given: P) => R {
  return (...given) => {
    refuseMisfits(name, given, shapes, together)
    return inner(...withoutNothing(given, shapes))
  }
}

/** The same for a function that promises: the promise is broken with the problem. */
export function checkedLater<P extends readonly unknown[], R>(
  name: string,
  inner: (...given: P) => Promise<R>,
  shapes: Named<P>,
): (...given: P) => Promise<R> {
  return async (...given) => {
    refuseMisfits<P>(name, given, shapes, () => null)
    return inner(...withoutNothing(given, shapes))
  }
}

/** The arguments, options that hold nothing left out. */
const withoutNothing = <P extends readonly unknown[]>(given: P, shapes: Named<P>): P =>
  given.map((each, i) =>
    shapes[i]?.[1].open && typeof each === 'object' && each !== null
      ? Object.fromEntries(Object.entries(each).filter(([, value]) => value !== undefined))
      : each,
  ) as unknown as P

function refuseMisfits<P extends readonly unknown[]>(
  name: string,
  given: P,
  shapes: Named<P>,
  together: (...given: P) => Misfit | null,
): void {
  const all = shapes as unknown as readonly (readonly [string, Shape<unknown>])[]
  for (const [i, [argument, shape]] of all.entries()) {
    const misfit = shape.check(given[i])
    if (misfit) throw wrongInput(`${name}: ${argument}`, misfit)
  }
  const misfit = together(...given)
  if (misfit) throw wrongInput(`${name}: `, misfit)
}
