/** Every choice of a brief by its name, from the records of the subjects, in the order of an address. */
import { fixed } from '../fixed.ts'
import type { Choice } from './choice.ts'
import { harmonyChoices } from './harmony.ts'
import { lineChoices } from './line.ts'
import { paperChoices } from './paper.ts'
import { practiceChoices } from './practice.ts'
import { tuneChoices } from './tune.ts'

const records = { ...tuneChoices, ...lineChoices, ...harmonyChoices, ...practiceChoices, ...paperChoices } as const

/** Every choice that a person can make, with its value. */
export type Brief = { readonly [K in keyof typeof records]: (typeof records)[K]['usual'] }

export type ChoiceName = keyof Brief

/** Every choice, by its name: the option `--name` on the command line and `name` in an address. */
export const choices: { readonly [K in ChoiceName]: Choice<Brief[K]> } = fixed(records)

export const choiceNames: readonly ChoiceName[] = fixed(Object.keys(choices) as ChoiceName[])

/**
 * A value of a choice in words: as the page says it, or as the foot of a printed sheet does; empty where it needs none.
 *
 * @example
 * inWords('every', 'strong') // => 'on downbeats and changes'
 * inWords('every', 'strong', 'printed') // => 'on every downbeat and change'
 */
export function inWords(name: ChoiceName, value: string, where: 'page' | 'printed' = 'page'): string {
  const { page, printed = [] } = choices[name]
  const said = [...(where === 'printed' ? printed : []), ...(page.words ?? [])]
  return said.find(([each]) => each === value)?.[1] ?? ''
}

/** What stands where nothing is chosen. */
export const defaultBrief = fixed(Object.fromEntries(choiceNames.map((name) => [name, choices[name].usual])) as Brief)

/**
 * The name of a choice as an option, without the dashes before it.
 *
 * @example
 * dashed('majorSign') // => 'major-sign'
 */
export const dashed = (name: string): string => name.replace(/[A-Z]/g, (letter) => `-${letter.toLowerCase()}`)

/**
 * The option that the help names for a choice: its own name, or that of one entry where it gathers several.
 *
 * @example
 * optionOf('pins') // => 'pin'
 */
export const optionOf = (name: ChoiceName): string => choices[name].option ?? dashed(name)
