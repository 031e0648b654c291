/**
 * Bars with a chord on every beat and in every meter: each chord has a note and a scale of its own, and a reader meets no pitch under two names in
 * a bar, nor within a beat across a bar line, unless a sharp goes up and a flat goes down (common practice of chromatic notes).
 */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { writtenPitches } from '../../lib/score/layScore.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { ticksPerQuarter } from '../../lib/theory/meter.ts'
import { chromaOf, midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B']
const qualities = ['m7', '7', 'maj7', 'm7b5', 'dim7', '7alt', '6', 'm6', '7(#11)', '7(b9)', '/E']
const symbol = fc.tuple(fc.constantFrom(...roots), fc.constantFrom(...qualities)).map((both) => both.join(''))
const invented = fc
  .constantFrom(['4/4', 4], ['3/4', 2], ['5/4', 3], ['7/4', 4], ['6/8', 2], ['12/8', 4])
  .chain(([meter, most]) =>
    fc
      .array(fc.array(symbol, { minLength: 1, maxLength: Number(most) }), { minLength: 2, maxLength: 8 })
      .map((bars) => `Time: ${meter}\n| ${bars.map((bar) => bar.join(' ')).join(' | ')} |`),
  )
const briefs = fc.record({
  changes: fc.oneof(invented, fc.constantFrom(...realChartTexts())),
  key: fc.constantFrom('C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'),
  instrument: fc.constantFrom('alto-sax', 'trumpet', 'trombone', 'flute', 'horn'),
  approach: fc.constantFrom('enclosure,chromatic', 'enclosure,chromatic,scale,arpeggio'),
  seed: fc.integer({ min: 1, max: 99 }).map(String),
})

test('every chord has a note and its own scale, and no pitch has two names at once', () => {
  fc.assert(
    fc.property(briefs, (given) => {
      const { brief } = readBrief(given)
      const line = writeLines(brief).lines[0]!
      for (const { start, ticks, root, chord, scale, symbol } of line.harmony.chords)
        if (root) {
          const held = scale!.notes.map(chromaOf)
          // An altered scale leaves out the fifth, which the symbol does not say.
          for (const degree of chord!.degrees.filter((each) => each !== '5'))
            expect(held, symbol).toContain((chromaOf(root) + degreeChroma(degree)) % 12)
          expect(
            line.notes.some((note) => note.pitch && note.start < start + ticks && note.start + note.ticks > start),
            `${symbol} at ${start}`,
          ).toBe(true)
        }
      const read = writtenPitches(line, brief)
      const sung = line.notes.flatMap(({ bar, start }, i) => (read[i] ? [{ bar, start, pitch: read[i] }] : []))
      const goes = (i: number) => Math.sign((sung[i + 1] ? midiOf(sung[i + 1]!.pitch) : 0) - midiOf(sung[i]!.pitch))
      sung.forEach((one, i) => {
        for (let j = i + 1; j < sung.length; j++) {
          const other = sung[j]!
          if (other.bar !== one.bar && other.start - one.start > ticksPerQuarter) break
          if (chromaOf(other.pitch) !== chromaOf(one.pitch) || other.pitch.letter === one.pitch.letter) continue
          const apart = goes(i) !== 0 && goes(i) === -goes(j)
          expect(apart, `${nameOf(one.pitch)} and ${nameOf(other.pitch)} in bar ${one.bar}`).toBe(true)
        }
      })
    }),
    { numRuns: 120 },
  )
})
