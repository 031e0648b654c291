/** What the server and the page's scripts go by alike, said once: sizes, limits and what one of them writes for the other to read. */
import { limits } from '../../lib/choices/limits.ts'
import type { LineNote } from '../../lib/line/line.ts'

export const agreed = {
  /** Screens on which two bars stand on a line; style sheets cannot be told, and have the same. */
  narrow: '(max-width: 640px)',
  /** Characters of a link that a printed code, or one on a screen, still holds in squares that a camera can read. */
  codeLength: 1_200,
  /** Characters of a name under which something is kept. */
  nameLength: 120,
  /** Tunes and tables that one device keeps: a list that is still told in a moment. */
  keptMost: 2_000,
  /** Bytes of the file that holds them. */
  keptSize: 100_000_000,
  /** Bytes of a file that changes are read from. */
  fileSize: 4_000_000,
  /** Characters of a table of figures of one's own. */
  tableLength: limits.own,
} as const

/** One note of the staff, as the page's script and the words need it. */
export interface ShownNote {
  readonly id: string
  readonly at: string
  readonly bar: number
  readonly role: LineNote['role']
  /** Index into the line's notes. */
  readonly note: number
  /** Said of it alone. */
  readonly label: string
  /** Pinned, by itself, with its figure or with its bar. */
  readonly kept: boolean
  /** Which figure it belongs to, so that a bracket lights up as one. */
  readonly figure: number | null
}

/** The field of an address that asks how far a file is, and the answer's lines: so far, or that it is there to be asked for. */
export const watching = { name: 'watch', value: 'yes' } as const
export interface Going {
  readonly kind: 'going'
  /** Counted in what the file holds. */
  readonly done: number
  readonly of: number
}
export type WatchedNews = Going | { readonly kind: 'done' }
