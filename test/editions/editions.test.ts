/** A link gives the same notes for as long as its edition is today's. */
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { edition, editionSaid } from '../../lib/edition.ts'
import { linesJson } from '../../lib/lineJson.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { writeAbc } from '../../lib/score/writeAbc.ts'
import { writeMei } from '../../lib/score/writeMei.ts'
import { writeMusicXml } from '../../lib/score/writeMusicXml.ts'
import { addressOf, corpus, keptSums, sumOf } from './corpus.ts'

test('every address of today’s edition draws the notes that it drew; another drawing is another edition (lib/edition.ts, npm run edition)', () => {
  const kept = keptSums(edition)
  expect(Object.keys(kept)).toEqual(corpus.map(addressOf))
  const changed = corpus.filter((fields) => sumOf(fields) !== kept[addressOf(fields)]).map(addressOf)
  expect(changed).toEqual([])
  expect(Object.values(kept)).not.toContain('none')
  expect(new Set(Object.values(kept)).size).toBeGreaterThan(30)
})

test.each([
  ['1', `drawn by edition 1 of the lines; this program draws edition ${edition}`],
  ['9', `later than this program’s, ${edition}`],
])('edition %s is said', (named, words) => {
  const { brief } = readBrief({ changes: '| Dm7 | G7 |', edition: named })
  expect(writeLines(brief).lines[0]!.relaxed).toMatchObject([{ rule: 'edition', why: expect.stringMatching(words) }])
  expect(editionSaid(edition)).toBeNull()
})

test('an edition that is none is refused', () => {
  expect(readBrief({ edition: 'x' }).problems[0]!.choice).toBe('edition')
  expect(readBrief({ edition: '0' }).problems[0]!.choice).toBe('edition')
})

test('files and JSON tell the edition that wrote them', () => {
  const written = writeLines(readBrief({ changes: '| Dm7 | G7 |' }).brief)
  const score = layScore(written.lines[0]!, written.brief)
  expect(linesJson(written, {}).brief.edition).toBe(edition)
  expect(writeMei(score)).toContain(`<application version="${edition}">`)
  for (const text of [writeMusicXml(score), writeAbc(score)]) expect(text).toContain(`Throughline, edition ${edition}`)
})
