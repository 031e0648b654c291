import { describe, expect, test } from 'vitest'
import { readChart } from '../../../lib/changes/typed/readChart.ts'
import { nameOfKey } from '../../../lib/theory/key.ts'
import { chromaOf } from '../../../lib/theory/pitch.ts'
import { alignBars, moveChanges } from '../../../web/server/edits.ts'
import { examples } from '../../../web/views/examples.ts'

/** What the chords sound, whatever letters they take: names may change enharmonically on the way round. */
const sounds = (text: string) =>
  readChart(text).bars.map((bar) =>
    bar.chords.map(({ root, chord, bass }) => [root && chromaOf(root), chord?.named, bass && chromaOf(bass)]),
  )
const symbols = (text: string) => readChart(text).bars.map((bar) => bar.chords.map(({ symbol }) => symbol))

describe('lining bars up', () => {
  test.each([
    ['| Dm7 | G7 |\n| Cmaj7 | Cmaj7 |', '| Dm7   | G7    |\n| Cmaj7 | Cmaj7 |'],
    ['Key: C\n|Dm7|G7|\n\n| C6 | C6 |', 'Key: C\n| Dm7 | G7 |\n\n| C6 | C6 |'],
    ['words only', 'words only'],
    ['', ''],
  ])('%j gives %j', (text, expected) => {
    expect(alignBars(text)).toBe(expected)
  })

  test.each(examples.map(({ name, changes }) => [name, changes]))(
    '%s means the same afterwards, and stays so',
    (_, changes) => {
      const aligned = alignBars(changes)
      expect(symbols(aligned)).toEqual(symbols(changes))
      expect(readChart(aligned).playOrder).toEqual(readChart(changes).playOrder)
      expect(alignBars(aligned)).toBe(aligned)
    },
  )
})

describe('changes moved by half steps', () => {
  test.each([
    // Sources: the key names of common practice, D flat over C sharp and G flat over F sharp.
    ['Key: C\n| Dm7 G7 | C/E |', 1, 'Key: Db\n| Ebm7 Ab7 | Db/F |'],
    ['Key: Eb\n| Fm7/Bb | Ebmaj7 % |', -1, 'Key: D\n| Em7/A | Dmaj7 % |'],
    ['Key: F\n| C7(b9) | (F6) N.C. |', 1, 'Key: Gb\n| Db7(b9) | (Gb6) N.C. |'],
    ['no chords here', 1, 'no chords here'],
  ])('%j by %i', (text, by, expected) => {
    expect(moveChanges(text, by)).toBe(expected)
  })

  test.each(examples.map(({ name, changes }) => [name, changes]))(
    '%s comes home after twelve half steps',
    (_, changes) => {
      let text = changes
      const keys = new Set<string>()
      for (let i = 0; i < 12; i++) {
        text = moveChanges(text, 1)
        expect(readChart(text).problems).toEqual(readChart(changes).problems)
        keys.add(nameOfKey(readChart(text).key!))
      }
      expect(keys.size).toBe(12)
      expect(sounds(text)).toEqual(sounds(changes))
      expect(sounds(moveChanges(moveChanges(changes, -1), 1))).toEqual(sounds(changes))
    },
  )
})
