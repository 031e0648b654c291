import { describe, expect, test } from 'vitest'
import { accidentalsOf } from '../../lib/score/accidentals.ts'
import { readPitch } from '../../lib/theory/pitch.ts'

/** Bars of notes apart by `|`, `~` before a note that is held from the one before. */
function mark(signature: number, text: string): string {
  const bars = text.split('|').map((bar) =>
    bar
      .trim()
      .split(/\s+/)
      .map((word) => ({ pitch: readPitch(word.replace('~', '')), held: word.startsWith('~') })),
  )
  const letters = { shown: 'x', cautionary: '(x)', null: '.' }
  return accidentalsOf(bars.map((notes) => ({ signature, notes })))
    .map((bar) => bar.map((each) => letters[`${each}`]).join(' '))
    .join(' | ')
}

/** Common practice; Gould, *Behind Bars* (2011), from memory. */
describe('accidentals', () => {
  test.each([
    [0, 'C4 D4 E4 F4', '. . . .'],
    [0, 'F#4 G4 F#4', 'x . .'],
    [0, 'F#4 F4', 'x x'],
    [0, 'F#4 | F#4', 'x | x'],
    [0, 'F#4 | F4 F4', 'x | (x) .'],
    [0, 'F#4 | G4 | F4', 'x | . | .'],
    [0, 'F#4 F5', 'x (x)'],
    [0, 'F#4 F#5', 'x x'],
    [0, 'F#4 | F5', 'x | (x)'],
    [2, 'F#4 C#5 F4 | F#4', '. . x | (x)'],
    [-3, 'Bb3 Eb4 Ab4 A4 | Ab4', '. . . x | (x)'],
    [0, 'F#4 | ~F#4 G4 | F4', 'x | . . | (x)'],
    [0, 'F#4 | ~F#4 F4', 'x | . (x)'],
    [0, 'F#4 | ~F#4 F#4', 'x | . x'],
    [0, 'Bb4 A4 Ab4 G4 | G#4 A4', 'x . x . | x (x)'],
    [-6, 'Cb5 C5 | Cb5', '. x | (x)'],
  ])('%s sharps: %s gives %s', (signature, notes, expected) => {
    expect(mark(signature, notes)).toBe(expected)
  })
})
