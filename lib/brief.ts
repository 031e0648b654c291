/** The brief: every choice that a person can make, read from options and addresses, and checked where a program made it. */
import { type Brief, type ChoiceName, choiceNames, choices, defaultBrief } from './choices/choices.ts'
import { levelSets } from './choices/levels.ts'
import { limits } from './choices/limits.ts'
import { nearest } from './choices/reader.ts'
import type { Problem } from './problem.ts'

export { type Brief, type ChoiceName, choiceNames, choices, defaultBrief } from './choices/choices.ts'
export { limits } from './choices/limits.ts'
export { type ApproachKind, approachKinds, type Landing, landings } from './choices/line.ts'
export { type Mark, marks } from './choices/paper.ts'
export {
  type Feel,
  feels,
  type Looseness,
  loosenesses,
  type Sounding,
  sounding,
  type TempoStep,
} from './choices/practice.ts'

/**
 * A problem with a choice; its span counts in the choice's own text. Where the name itself is unknown (`unknown-choice`), the
 * choice is the one that was probably meant, and the span counts in the name as given.
 */
export interface BriefProblem extends Problem {
  readonly choice: ChoiceName
}

/** What is not chosen otherwise: the defaults, with what a level sets. */
function usualBrief(level: string | undefined): Brief {
  return { ...defaultBrief, ...levelSets(/^[1-6]$/.test(level?.trim() ?? '') ? Number(level) : null) }
}

/** Names that are no choice, each with the choice that was probably meant. */
function unknownChoices(names: readonly string[]): readonly BriefProblem[] {
  return names
    .filter((name) => !Object.hasOwn(choices, name))
    .map((name) => {
      const meant = nearest(name, choiceNames) as ChoiceName
      const span = { start: 0, end: name.length }
      const said = { found: short(name), expected: 'the name of a choice', hint: `did you mean ${meant}?` }
      return { severity: 'error', code: 'unknown-choice', choice: meant, span, ...said }
    })
}

const short = (text: string): string => (text.length > 60 ? `${text.slice(0, 57)}…` : text || 'nothing')

/**
 * Reads a brief from named texts, such as the options of a command or the fields of an address; what is missing takes its
 * default, what is wrong is reported and takes its default too. So is a name that is no choice.
 *
 * @example
 * readBrief({ instrument: 'trumpet', notes: '2' }).brief.notes // => 2
 * readBrief({ key: 'H' }).problems[0].expected // => 'a key such as C, Eb, F#m or Bb minor'
 * readBrief({ tempoo: '120' }).problems[0].hint // => 'did you mean tempo?'
 */
export function readBrief(given: Readonly<Record<string, string | undefined>>): {
  readonly brief: Brief
  readonly problems: readonly BriefProblem[]
} {
  const problems: BriefProblem[] = []
  // A program may hand over anything.
  const fields: Readonly<Record<string, unknown>> = typeof given === 'object' && given !== null ? given : {}
  const usual = usualBrief(isText(fields.level) ? fields.level : undefined)
  const read = <K extends ChoiceName>(name: K): Brief[K] => {
    const raw = fields[name]
    if (raw === undefined) return usual[name]
    if (!isText(raw)) {
      problems.push(misfitProblem(name, raw))
      return usual[name]
    }
    const typed = name === 'changes' ? raw : raw.trim()
    const reading = typed.length > longestOf(name) ? tooLong(name) : choices[name].read(typed)
    if ('value' in reading) return reading.value
    const span = { start: 0, end: raw.length }
    problems.push({ severity: 'error', code: `bad-${name}`, choice: name, span, found: short(raw), ...reading })
    return usual[name]
  }
  const brief = Object.fromEntries(choiceNames.map((name) => [name, read(name)])) as unknown as Brief
  const named = Object.keys(fields).filter((name) => fields[name] !== undefined)
  return { brief, problems: [...problems, ...unknownChoices(named)] }
}

/**
 * Writes a brief as named texts, leaving out what is as by default, so that reading them gives the brief again. What no brief
 * can hold is left out, too; `checkBrief` says what that is.
 *
 * @example
 * writeBrief({ ...defaultBrief, seed: 7 }) // => { seed: '7' }
 */
export function writeBrief(brief: Brief): Readonly<Record<string, string>> {
  const holds = choiceNames.filter((name) => choices[name].holds(brief?.[name]))
  const base = usualBrief(holds.includes('level') && brief.level !== null ? String(brief.level) : undefined)
  const said = <K extends ChoiceName>(name: K): [string, string] => [name, choices[name].text(brief[name])]
  const usual = <K extends ChoiceName>(name: K): string =>
    choices[name].text(name === 'level' ? defaultBrief[name] : base[name])
  return Object.fromEntries(holds.filter((name) => said(name)[1] !== usual(name)).map(said))
}

/**
 * What is wrong with a brief that a program made: a choice whose value is of the wrong kind or out of its limits, one that is
 * missing, or a name that is no choice. Empty for any brief that `readBrief` gives. Spans count in the value as text.
 *
 * @example
 * checkBrief({ ...defaultBrief, instrument: 'kazoo' })[0].found // => '"kazoo"'
 * checkBrief({ ...defaultBrief, tempo: '120' })[0].expected // => 'a whole number from 40 to 320'
 * checkBrief(defaultBrief) // => []
 */
export function checkBrief(brief: unknown): readonly BriefProblem[] {
  const made: Readonly<Record<string, unknown>> =
    typeof brief === 'object' && brief !== null ? (brief as Record<string, unknown>) : {}
  // What it only inherits would be lost in a copy of it.
  const own = (name: ChoiceName): unknown => (Object.hasOwn(made, name) ? made[name] : undefined)
  const wrong = choiceNames.filter((name) => !choices[name].holds(own(name)))
  return [...wrong.map((name) => misfitProblem(name, own(name))), ...unknownChoices(Object.keys(made))]
}

/** The most characters of a choice: a text says its own; a number's limits are of another kind. */
function longestOf(name: ChoiceName): number {
  const { least, most = 0 } = choices[name]
  return least === undefined ? Math.max(limits.choice, most) : limits.choice
}
const tooLong = (name: ChoiceName) => ({ expected: `at most ${longestOf(name)} characters`, hint: 'shorten it' })

const isText = (value: unknown): value is string => typeof value === 'string'

/** That a program gave a choice a value that it cannot have. */
function misfitProblem(name: ChoiceName, value: unknown): BriefProblem {
  const { expected, hint } = misfit(name, value)
  const found = short(value === undefined ? 'nothing' : sayValue(value))
  const span = { start: 0, end: found.length }
  return { severity: 'error', code: `bad-${name}`, choice: name, span, found, expected, hint }
}

/** What is expected instead of a value: what reading it as text would say, else what the choice takes. */
function misfit(name: ChoiceName, value: unknown): { readonly expected: string; readonly hint: string } {
  const { read, expected, hint } = choices[name]
  const reading = typeof value === 'string' ? read(value) : { expected, hint }
  return 'value' in reading ? { expected, hint } : reading
}

/** A value as JSON; what has none by its kind. */
function sayValue(value: unknown): string {
  try {
    return JSON.stringify(value) ?? typeof value
  } catch {
    return typeof value
  }
}
