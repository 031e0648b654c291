/**
 * No chord of a score is lost without a word, wherever it stands: over notes, stacked, before a rest, behind a backup, with an offset, in
 * any part (MusicXML 4.0: `harmony`, `offset`, `backup`, `forward`; a chord stands where the notes before it end).
 */
import fc from 'fast-check'
import { expect, test } from 'vitest'
import { readChanges } from '../../lib/changes/readChanges.ts'

const letters = ['C', 'D', 'E', 'F', 'G', 'A', 'B'] as const
const kinds = [
  ['major', ''],
  ['minor-seventh', 'm7'],
  ['dominant', '7'],
  ['half-diminished', 'm7b5'],
] as const

interface Said {
  readonly text: string
  readonly symbol: string
}

/** The next chord, another than the one before it: the same chord again would be no new one. */
function chordMaker() {
  let count = 0
  return (offset: string): Said => {
    const letter = letters[count % letters.length]!
    const [kind, suffix] = kinds[count % kinds.length]!
    count++
    return {
      text: `<harmony><root><root-step>${letter}</root-step></root><kind>${kind}</kind>${offset}</harmony>`,
      symbol: letter + suffix,
    }
  }
}

const note = (duration: number, rest: boolean) =>
  `<note>${rest ? '<rest/>' : '<pitch><step>C</step><octave>5</octave></pitch>'}<duration>${duration}</duration></note>`

/** Lengths of a measure's notes in eighths, so many in all; how many chords stand before each, and which of them are rests. */
const measure = (eighths: number) =>
  fc
    .array(fc.constantFrom(1, 2, 3, 4, 8), { minLength: 1, maxLength: 8 })
    .map((lengths) => {
      let room = eighths
      const kept = lengths.flatMap((length) => {
        const here = Math.min(length, room)
        room -= here
        return here > 0 ? [here] : []
      })
      return room > 0 ? [...kept, room] : kept
    })
    .chain((lengths) =>
      fc.record({
        notes: fc.tuple(
          ...lengths.map((length) =>
            fc.record({
              length: fc.constant(length),
              rest: fc.boolean(),
              chords: fc.constantFrom(0, 0, 1, 1, ...(length > 1 ? [2] : [])),
            }),
          ),
        ),
        voices: fc.boolean(),
      }),
    )

test('every chord stands in the chart, in order, or is said', () => {
  fc.assert(
    fc.property(
      fc.constantFrom([4, 4], [3, 4], [5, 4], [6, 8], [7, 8]).chain(([beats = 4, unit = 4]) =>
        fc.record({
          beats: fc.constant(beats),
          unit: fc.constant(unit),
          eighths: fc.constant((8 * beats) / unit),
          measures: fc.array(measure((8 * beats) / unit), { minLength: 1, maxLength: 8 }),
        }),
      ),
      fc.constantFrom('leading', 'second'),
      ({ beats, unit, eighths, measures }, where) => {
        const chord = chordMaker()
        const wanted: string[] = []
        const body = measures.map(({ notes, voices }) => {
          const inside = notes.map(({ length, rest, chords }) => {
            const said = Array.from({ length: chords }, () => chord(''))
            wanted.push(...said.map(({ symbol }) => symbol))
            return said.map(({ text }) => text).join('') + note(length, rest)
          })
          return (
            inside.join('') + (voices ? `<backup><duration>${eighths}</duration></backup>${note(eighths, false)}` : '')
          )
        })
        const start = `<attributes><divisions>2</divisions><time><beats>${beats}</beats><beat-type>${unit}</beat-type></time></attributes>`
        const part = (id: string, inside: readonly string[]) =>
          `<part id="${id}">${inside.map((each, i) => `<measure number="${i + 1}">${i === 0 ? start : ''}${each}</measure>`).join('')}</part>`
        const empty = measures.map(() => note(eighths, true))
        const parts = where === 'leading' ? part('P1', body) + part('P2', empty) : part('P1', empty) + part('P2', body)
        const chart = readChanges(`<score-partwise version="4.0">${parts}</score-partwise>`)
        const lost = chart.problems.filter(({ code }) => code === 'lost-chord').map(({ found }) => found.split(' ')[0])
        let last: string | null = null
        const read = chart.bars.flatMap(({ chords }) =>
          chords.flatMap(({ symbol }) => {
            const goesOn = symbol === last || symbol === 'N.C.'
            last = symbol
            return goesOn ? [] : [symbol]
          }),
        )
        expect([...read, ...lost].toSorted()).toEqual(wanted.toSorted())
        if (lost.length === 0) expect(read).toEqual(wanted)
        // With room for each, nothing is lost.
        expect(lost).toEqual([])
      },
    ),
    { numRuns: 300 },
  )
})
