/**
 * A line keeps to the bass that a chord symbol names (common practice: C over B flat is C7, so no B natural stands against it): on strong beats
 * no note of a line lies a half step from it, unless the chord itself has that note.
 */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { strongTicks } from '../../lib/theory/meter.ts'
import { chromaOf, nameOf } from '../../lib/theory/pitch.ts'

const qualities = [
  '',
  'm',
  '6',
  'm6',
  '7',
  'maj7',
  'm7',
  'm7b5',
  'dim7',
  '7(b9)',
  'aug',
  '7sus4',
  'm(maj7)',
  '9',
  'add9',
  '7(#11)',
]
const basses = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const ways = [{ rhythm: 'eighths' }, { rhythm: 'phrased' }, { rhythm: 'triplets' }, { exact: 'yes', notes: '2' }]

test('no strong beat contradicts a bass, over any quality, bass, key, seed and way of writing', () => {
  let strong = 0
  fc.assert(
    fc.property(
      fc.constantFrom(...qualities),
      fc.constantFrom(...basses),
      fc.constantFrom('F', 'Am7', 'G7', 'Cmaj7', 'Ebmaj7'),
      fc.constantFrom(...ways),
      fc.constantFrom('C', 'E', 'Ab', 'F#'),
      fc.integer({ min: 1, max: 99 }),
      (quality, bass, next, way, key, seed) => {
        const over = `C${quality}/${bass}`
        const changes = `| Cmaj7 | ${over} | ${next} | ${over} ${next} |`
        const { brief } = readBrief({ changes, keys: key, seed: String(seed), ...way })
        const [line] = writeLines(brief).lines
        for (const { pitch, start, bar: number } of line!.notes) {
          const bar = line!.harmony.bars[number - 1]
          const { chord, root, bass: under, symbol } = line!.harmony.chords.findLast((each) => each.start <= start)!
          if (!pitch || !bar || !under || chromaOf(under) === chromaOf(root!)) continue
          if (!strongTicks(bar.meter).includes(start - bar.start)) continue
          strong += 1
          const own = chord!.degrees.some((degree) => (chromaOf(root!) + degreeChroma(degree)) % 12 === chromaOf(pitch))
          const apart = (chromaOf(pitch) - chromaOf(under) + 12) % 12
          expect(own || (apart !== 1 && apart !== 11), `${nameOf(pitch)} against ${symbol} in bar ${number}`).toBe(true)
        }
      },
    ),
    { numRuns: 150 },
  )
  expect(strong).toBeGreaterThan(300)
})
