/** Dropped files: typed text in each encoding that old and new programs write comes back as the same text. */
import { describe, expect, test } from 'vitest'
import { answerRead } from '../../../web/server/edits.ts'

const typed = '# Café\n| Dm7 | G7 |\n'
const swap = (bytes: Buffer): Buffer => Buffer.from(bytes).swap16()

// The byte order marks: The Unicode Standard, 2.13 table 2-4. é is E9 in ISO 8859-1 and in Windows-1252.
const files: readonly (readonly [string, Buffer])[] = [
  ['UTF-8 with its mark', Buffer.concat([Buffer.from([0xef, 0xbb, 0xbf]), Buffer.from(typed, 'utf8')])],
  ['UTF-16, little end first', Buffer.from(`\ufeff${typed}`, 'utf16le')],
  ['UTF-16, big end first', swap(Buffer.from(`\ufeff${typed}`, 'utf16le'))],
  ['Latin-1', Buffer.from(typed, 'latin1')],
]

describe('a dropped file of typed changes', () => {
  test.each(files)('%s', (_, bytes) => {
    const answer = answerRead({ kind: 'read', bytes })
    expect(answer.status).toBe(200)
    expect(Buffer.from(answer.body).toString('utf8')).toBe(typed)
  })
})
