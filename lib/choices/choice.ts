/** A choice as one record: its usual value, how it is read, what the command line and the page say of it. */
import type { Reader } from './reader.ts'

/**
 * Where a choice stands on the page: the changes themselves; in the sentence; under one of the headings that open below it;
 * beside playing; on the staff; or nowhere, and it is carried along.
 */
export type Group = 'changes' | 'sentence' | 'further' | 'drill' | 'reading' | 'playing' | 'staff' | 'aside'

/** The groups whose choices are fields of the page's form; the rest is carried along in it. */
export const formGroups: readonly Group[] = ['sentence', 'further', 'drill', 'reading']

/** What the page says of a choice. */
export interface PageWords {
  readonly group: Group
  /** What a screen reader calls it; also its heading in the explanations. */
  readonly label: string
  /** What it means, as a teacher would say it. */
  readonly explanation: string
  /** The values on offer in words, in the page's order; where none are given, all that can be listed, as they are. */
  readonly words?: readonly (readonly [value: string, words: string])[]
  /** What an empty field shows. */
  readonly hint?: string
}

export interface Choice<T> extends Reader<T> {
  /** What stands where nothing is chosen. */
  readonly usual: T
  /** What it chooses, as the help of the command line and the README say it. */
  readonly help: string
  readonly page: PageWords
  /** Its values as the foot of a printed sheet says them, where the page has other words. */
  readonly printed?: readonly (readonly [value: string, words: string])[]
  /**
   * What it belongs to, where that is not the line itself: whoever reads it, and so it stays when another drill is begun; or these
   * very changes, and so it goes when others come.
   */
  readonly belongs?: 'reader' | 'changes'
  /** Whether a device remembers it: instrument, print and sound, which hang on who plays there and not on the line. */
  readonly remembered?: true
  /** The option's name on the command line, where it is not the choice's own. */
  readonly option?: string
  /** Whether the option may be given several times, each adding to the list. */
  readonly gathers?: true
  /** Whether the option names a file, whose text is the choice. */
  readonly file?: true
}

/** A choice from its reader and what else there is to say of it; `form` where the reader's own is too long. */
export const choice = <T>(
  reader: Reader<T>,
  record: Omit<Choice<NoInfer<T>>, keyof Reader<T>> & { readonly form?: string },
): Choice<T> => ({ ...reader, ...record })
