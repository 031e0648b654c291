/** What all share and nobody changes: tables, usual choices, and what is remembered from one call to the next. */

/**
 * The same value, which nobody can change any more, down to its last part: a program that is handed a table of ours, or a chord
 * that is remembered, cannot change what the next one is handed. Functions, maps and bytes stay as they are.
 *
 * @example
 * Object.isFrozen(fixed({ land: ['3', '7'] }).land) // => true
 */
export function fixed<T>(value: T): T {
  const isPlain = Array.isArray(value) || (typeof value === 'object' && value !== null && !ArrayBuffer.isView(value))
  if (!isPlain || Object.isFrozen(value)) return value
  Object.freeze(value)
  for (const part of Object.values(value as object)) fixed(part)
  return value
}
