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
const latin = (text: string): Uint8Array =>
  Uint8Array.from(typedSigns(text), (sign) => {
    const code = sign.codePointAt(0)!
    return code < 256 ? code : 63
  })

function chunk(name: string, content: Uint8Array): Uint8Array {
  const padded = content.length + (content.length & 1)
  const bytes = new Uint8Array(8 + padded)
  bytes.set(latin(name))
  new DataView(bytes.buffer).setUint32(4, content.length, true)
  bytes.set(content, 8)
  return bytes
}

function joined(pieces: readonly Uint8Array[]): Uint8Array {
  const bytes = new Uint8Array(pieces.reduce((sum, piece) => sum + piece.length, 0))
  let at = 0
  for (const piece of pieces) {
    bytes.set(piece, at)
    at += piece.length
  }
  return bytes
}

/** The tags as a LIST chunk of type INFO for a RIFF file: title as INAM, the rest as a comment, ICMT, since RIFF names no field for them. */
export function listInfo({ title, key, tempo, remarks }: Tags): Uint8Array {
  const text = (name: string, value: string) => chunk(name, joined([latin(value), new Uint8Array(1)]))
  const comment = [`${key}, ${Math.round(tempo)} beats a minute`, ...remarks].join('; ')
  return chunk('LIST', joined([latin('INFO'), text('INAM', title), text('ICMT', comment)]))
}
