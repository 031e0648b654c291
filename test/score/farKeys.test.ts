/**
 * Tunes whose chords lie in a key that no signature can write: D flat minor, G sharp major. The part stands in the enharmonic key, chords
 * and notes with it: common practice (facts: concert B reads D flat, not C sharp, for a B flat part).
 */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { lineText } from '../../lib/lineText.ts'
import { readTextLine } from '../../lib/mark/readTextLine.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { nameOfKey, signatureOf } from '../../lib/theory/key.ts'
import { chromaOf, fifthsOf, midiOf, nameOf } from '../../lib/theory/pitch.ts'

const minor = '| Dbm7 | Dbm7 | Gbm7 | Gbm7 | Dbm7 | Dbm7 | Ebm7b5 | Ab7 |'
const major = '| G#maj7 | C#maj7 | D#7 | G#maj7 | A#m7 | D#7 | G#6 | G#6 |'
const mixed = '| Gbm6 | Bm7 | Db7 | Gbm6 | Abm7b5 | Db7 | Gbm6 | Gbm6 |'

test.each([
  [minor, 'flute', 'written', 'C#m', 'C#m7'],
  [minor, 'alto-sax', 'written', 'Bbm', 'Bbm7'],
  [minor, 'trumpet', 'written', 'Ebm', 'Ebm7'],
  [minor, 'trumpet', 'concert', 'C#m', 'C#m7'],
  [major, 'flute', 'written', 'Ab', 'Abmaj7'],
  [major, 'alto-sax', 'written', 'F', 'Fmaj7'],
  [mixed, 'trumpet', 'written', 'G#m', 'G#m6'],
])('%s for %s, %s', (changes, instrument, pitch, key, chord) => {
  const { brief } = readBrief({ changes, instrument, pitch })
  const score = layScore(writeLines(brief).lines[0]!, brief)
  expect([nameOfKey(score.key), score.bars[0]!.harmony[0]!.symbol]).toEqual([key, chord])
  expect(Math.abs(score.bars[0]!.signature)).toBeLessThanOrEqual(6)
})

test('its printed text reads back, note for note', () => {
  const { brief } = readBrief({ changes: minor, instrument: 'trumpet' })
  const line = writeLines(brief).lines[0]!
  const { played } = readTextLine(lineText(line, brief), null)
  expect(played!.notes.map(({ pitch }) => midiOf(pitch))).toEqual(
    line.notes.flatMap(({ pitch }) => (pitch ? [midiOf(pitch)] : [])),
  )
})

describe('for every instrument', () => {
  test.each([minor, major, mixed])('%s: notes sound as they should, chords lie where the signature does', (changes) => {
    for (const { id } of instruments)
      for (const pitch of ['written', 'concert']) {
        const { brief } = readBrief({ changes, instrument: id, pitch })
        const line = writeLines(brief).lines[0]!
        const score = layScore(line, brief)
        expect(Math.abs(signatureOf(score.key))).toBeLessThanOrEqual(6)
        const read = score.bars.flatMap(({ events }) => events).filter(({ tie }) => tie !== 'middle' && tie !== 'end')
        const sounding = read.flatMap((event) =>
          event.pitch ? [midiOf(event.pitch) + score.transposition.semitones] : [],
        )
        expect(sounding).toEqual(line.notes.flatMap((note) => (note.pitch ? [midiOf(note.pitch)] : [])))
        for (const { pitch: each } of read) expect(Math.abs(each?.alter ?? 0)).toBeLessThanOrEqual(1)
        const { tonic } = score.key
        expect(nameOf(score.bars[0]!.harmony[0]!.root!)).toBe(nameOf(tonic))
        for (const { root } of score.bars.flatMap(({ harmony }) => harmony))
          if (root && changes !== mixed)
            expect(Math.abs(fifthsOf(root) - fifthsOf(tonic)), nameOf(root)).toBeLessThan(7)
        expect(chromaOf(tonic)).toBe((chromaOf(line.key.tonic) - score.transposition.semitones + 48) % 12)
      }
  })
})
