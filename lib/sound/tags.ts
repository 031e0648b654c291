/** What a sound file says about itself: title, key, tempo and what it replaced, in the words of each format. */
import { typedSigns } from '../theory/signs.ts'

/** Title, keys and tempo of a recording. */
export interface Tags {
  readonly title: string
  /** As `C major`; of several keys one after another. */
  readonly key: string
  /** Quarter notes a minute, as it begins. */
  readonly tempo: number
  /** What sounds otherwise than asked, in words; empty for nearly every recording. */
  readonly remarks: readonly string[]
}

/** The tags as Vorbis comments (RFC 9639, 8.6; RFC 7845, 5.2): the field names are those in common use. */
export const vorbisComments = ({ title, key, tempo, remarks }: Tags): Readonly<Record<string, string>> => ({
  TITLE: title,
  KEY: key,
  BPM: String(Math.round(tempo)),
  ...(remarks.length > 0 ? { COMMENT: remarks.join('; ') } : {}),
})

/** Text as bytes of Latin 1, a sign that it lacks as a question mark. */
const latin = (text: string): readonly number[] =>
  Array.from(typedSigns(text), (sign) => {
    const code = sign.codePointAt(0)!
    return code < 256 ? code : 63
  })

/** A chunk of a RIFF file: its name, its length in four bytes, the lowest first, and what it holds, filled up to an even number. */
function chunk(name: string, content: readonly number[]): readonly number[] {
  const length = [0, 8, 16, 24].map((shift) => (content.length >> shift) & 255)
  return [...latin(name), ...length, ...content, ...(content.length & 1 ? [0] : [])]
}

/** The tags as a LIST chunk of type INFO for a RIFF file: title as INAM, the rest as a comment, ICMT, since RIFF names no field for them. */
export function listInfo({ title, key, tempo, remarks }: Tags): Uint8Array {
  const text = (name: string, value: string) => chunk(name, [...latin(value), 0])
  const comment = [`${key}, ${Math.round(tempo)} beats a minute`, ...remarks].join('; ')
  return Uint8Array.from(chunk('LIST', [...latin('INFO'), ...text('INAM', title), ...text('ICMT', comment)]))
}
