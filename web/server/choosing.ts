/** What a choice on the staff does to the brief: pins set and let go, places drawn anew. Each gives the fields of a new address. */
import { defaultBrief, limits } from '../../lib/brief.ts'
import { fieldsOf, type Given } from './address.ts'

const entries = (text: string | undefined): readonly string[] =>
  (text ?? '')
    .split(/[,;]/)
    .map((each) => each.trim())
    .filter((each) => each !== '')

/** The pins of a state, one by one. */
export const pinsOf = (given: Given): readonly string[] => entries(given.pins)

/** The bars of `FROM-TO` or `BAR`; null where it is neither. */
export function readBars(text: string): readonly [number, number] | null {
  const match = /^(\d{1,5})(?:-(\d{1,5}))?$/.exec(text.trim())
  if (!match) return null
  const [from, to] = [Number(match[1]), Number(match[2] ?? match[1])]
  return from >= 1 && to >= from ? [from, to] : null
}

const barOf = (entry: string): number => Number.parseInt(entry, 10)

/** What a pin keeps: a bar, a note, a cell or an approach; at one place there is one pin of a kind. */
export function pinKind(pin: string): string {
  const [place = '', value = ''] = pin.split('=')
  const kind = !place.includes('.')
    ? 'bar'
    : /^[A-G]/.test(value)
      ? 'note'
      : /^\d+(-\d+)+$/.test(value)
        ? 'cell'
        : 'approach'
  return `${place} ${kind}`
}

/** With a pin; one of its kind at the same place gives way. */
export function pinned(given: Given, pin: string): Given {
  const rest = entries(given.pins).filter((each) => pinKind(each) !== pinKind(pin))
  return {
    ...given,
    pins: [...rest, pin].sort((a, b) => barOf(a) - barOf(b) || (a < b ? -1 : a > b ? 1 : 0)).join(','),
  }
}

/** Without this one pin. */
export const withoutPin = (given: Given, pin: string): Given => ({
  ...given,
  pins: entries(given.pins)
    .filter((each) => each !== pin)
    .join(','),
})

/** Without the pins of some bars, or without any. */
export function unpinned(given: Given, bars: readonly [number, number] | 'all'): Given {
  const rest =
    bars === 'all' ? [] : entries(given.pins).filter((each) => barOf(each) < bars[0] || barOf(each) > bars[1])
  return { ...given, pins: rest.join(',') }
}

/**
 * Another line: for `all`, the next number and nothing drawn anew any more; for bars `FROM-TO`, the next drawing of these. What
 * is pinned stays.
 *
 * @example
 * another({ seed: '4' }, 'all') // => { seed: '5', again: '' }
 * another({ seed: '4' }, '5-8') // => { seed: '4', again: '5-8:5' }
 * another({ again: '5-8:5' }, '5-8') // => { again: '5-8:6' }
 */
export function another(given: Given, where: string): Given {
  const bars = readBars(where)
  const seed = /^\d{1,10}$/.test(given.seed?.trim() ?? '') ? Number(given.seed) : defaultBrief.seed
  if (!bars) {
    return { ...given, seed: String(seed >= limits.seed ? 0 : seed + 1), again: '' }
  }
  const range = `${bars[0]}-${bars[1]}`
  const drawn = entries(given.again)
  const before = drawn.find((each) => each.startsWith(`${range}:`))
  // The number of the whole line would draw the same notes again.
  const last = before ? Number(before.slice(range.length + 1)) : seed
  const next = last >= limits.seed ? 0 : last + 1
  return { ...given, again: [...drawn.filter((each) => each !== before), `${range}:${next}`].join(',') }
}

/**
 * A form says every choice, so a new step of difficulty would set nothing: what stood as the step before had it is left for the
 * new one to set.
 */
export function withLevel(given: Given, before: string | undefined): Given {
  const { level = '', ...rest } = given
  if (before === undefined || before === level) return given
  return { ...fieldsOf({ ...rest, level: before }), level }
}
