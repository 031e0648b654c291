/** Figures as small notes: where each stands on the staff, its signs, its ledger lines, and how it is said. */
import { describe, expect, test } from 'vitest'
import { readPitch } from '../../lib/theory/pitch.ts'
import { smallApproach, smallCell, smallNotes } from '../../web/views/smallNotes.ts'

/** What a picture holds: how many half spaces each head stands above the bottom line, its ledger lines and signs, and its name. */
function seen(svg: string) {
  const lines = [...svg.matchAll(/<path d="M0 (\S+)H/g)].map(([, y]) => Number(y))
  const bottom = Math.max(...lines)
  const space = (bottom - Math.min(...lines)) / 4
  return {
    heights: [...svg.matchAll(/cy="(\S+)" rx/g)].map(([, y]) => Math.round((2 * (bottom - Number(y))) / space)),
    ledgers: [...svg.matchAll(/<path d="M(?!0 )/g)].length,
    signs: [...svg.matchAll(/<text[^>]*>([^<]*)</g)].map(([, sign]) => sign),
    ringed: [...svg.matchAll(/class="aim"/g)].length,
    name: /aria-label="([^"]*)"/.exec(svg)![1],
    lines: lines.length,
  }
}
const notes = (text: string) => text.split(' ').map((name) => readPitch(name)!)

// Clefs as in any primer of notation (common practice): a treble's bottom line is E4, a bass's G2, an alto's F3, a tenor's D3.
describe('each note on its line or space', () => {
  test.each([
    ['treble', 'E4 F5', [0, 8], 0],
    ['treble', 'C4 A5', [-2, 10], 2],
    ['treble', 'B3 A3', [-3, -4], 3],
    ['treble-8', 'E3', [0], 0],
    ['alto', 'F3 C4', [0, 4], 0],
    ['tenor', 'D3 C4', [0, 6], 0],
    ['bass', 'G2 A3 C4', [0, 8, 10], 1],
  ] as const)('%s: %s', (clef, text, heights, ledgers) => {
    const picture = seen(smallNotes(notes(text), clef, null))
    expect(picture).toMatchObject({ heights, ledgers, ringed: 0, lines: 5, signs: [] })
  })
})

test('signs are written, the target is ringed, and all is said', () => {
  const picture = seen(smallNotes(notes('Db5 B4 C5 F#4'), 'treble', 2))
  expect(picture).toMatchObject({ signs: ['♭', '♯'], ringed: 1, name: 'D flat, B, target C, F sharp' })
})

test.each([
  [[2, -1], 'D, B, target C', [6, 4, 5]],
  [[3, 1, -2, -1], 'E flat, D flat, B flat, B, target C', [7, 6, 4, 4, 5]],
])('an approach around C: %j', (offsets, name, heights) => {
  expect(seen(smallApproach(offsets))).toMatchObject({ name, heights })
})

test.each([
  [[0, 1, 2, 4], 'target C, D, E, G', [-2, -1, 0, 2]],
  [[0, -1, 0, 1], 'target C, B, C, D', [-2, -3, -2, -1]],
])('a cell from C: %j', (steps, name, heights) => {
  expect(seen(smallCell(steps))).toMatchObject({ name, heights })
})
