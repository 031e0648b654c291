/** A line as the bytes of each format that is read back. */
import type { Brief } from '../../lib/brief.ts'
import type { Line } from '../../lib/line/line.ts'
import { lineText } from '../../lib/lineText.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeAbc } from '../../lib/score/writeAbc.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { sequenceOf, writeMidi } from '../../lib/score/writeMidi.ts'
import { writeMusicXml, writeMxl } from '../../lib/score/writeMusicXml.ts'

export const formats = ['musicxml', 'mxl', 'mei', 'midi', 'abc', 'text'] as const
export type Format = (typeof formats)[number]

export function bytesOf(line: Line, brief: Brief, format: Format): Uint8Array {
  const encode = (text: string) => new TextEncoder().encode(text)
  const score = layScore(line, brief)
  switch (format) {
    case 'musicxml':
      return encode(writeMusicXml(score))
    case 'mxl':
      return writeMxl(score)
    case 'mei':
      return encode(writeMei(score))
    case 'midi':
      return writeMidi(sequenceOf(line, { tempo: brief.tempo ?? 120 }))
    case 'abc':
      return encode(writeAbc(score))
    case 'text':
      return encode(lineText(line, brief))
  }
}
