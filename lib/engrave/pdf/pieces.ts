/** What is put on the sheets of a book, apart from how it is drawn. */
import type { Score } from '../../score/score.ts'

/** What the foot of the first sheet says: the brief in words, and the address that rebuilds the sheet. */
export interface Cover {
  readonly words: string
  readonly link: string | null
}

/** A piece of a book: a line in one key, a part of a class set, staves to write on. */
export interface Piece {
  readonly score: Score
  /** What stands over its music, such as `F major`; null where the head says enough. */
  readonly name: string | null
  /** Its bookmark; null for none. */
  readonly bookmark: string | null
  /** The bookmark that holds it, such as `Tenor saxophone`. */
  readonly group: string | null
  /** It belongs under the piece before it, and stands on the same sheet wherever it can. */
  readonly under?: boolean
}

export interface Layout {
  readonly paper: 'A4' | 'Letter'
  readonly large: boolean
  /** What the foot of the first sheet says. */
  readonly cover: Cover | null
  readonly pieces: readonly Piece[]
}
