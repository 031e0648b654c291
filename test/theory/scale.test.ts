/** Chord scales: their notes against tonal 6.4.3, and the equalities that books state. */
import { Scale } from 'tonal'
import { describe, expect, test } from 'vitest'
import { degreeChroma, numberOf } from '../../lib/theory/degree.ts'
import { chromaOf, letters, nameOf, type PitchClass, readPitchClass } from '../../lib/theory/pitch.ts'
import { type ScaleName, scaleChromas, scaleDegrees, scaleHolds, scaleOver } from '../../lib/theory/scale.ts'

const names = Object.keys(scaleDegrees) as ScaleName[]

/** What tonal calls a scale, where that is another name. */
const called: Partial<Record<ScaleName, string>> = {
  'mixolydian b6': 'melodic minor fifth mode',
  'locrian natural 2': 'locrian #2',
  'whole-half diminished': 'diminished',
  'lydian #2': 'lydian #9',
  'bebop dominant': 'bebop',
  'bebop dorian with natural 3': 'bebop minor',
  'phrygian dominant with sharp 9': 'spanish heptatonic',
}
describe('sound as tonal has them', () => {
  // Books differ on the bebop dorian scale; tonal knows the one with a natural 3.
  test.each(names.filter((name) => name !== 'bebop dorian with natural 7'))('%s', (name) => {
    const { notes, empty } = Scale.get(`C ${called[name] ?? name}`)
    expect(empty).toBe(false)
    const chromas = notes.map((note) => chromaOf(readPitchClass(note)!))
    expect(scaleChromas(name)).toEqual([...chromas].sort((a, b) => a - b))
  })
})

describe.each(names)('%s', (name) => {
  test('rises from its root, within the octave, and holds its own notes and no others', () => {
    const chromas = scaleDegrees[name].map(degreeChroma)
    expect(chromas[0]).toBe(0)
    expect(chromas).toEqual([...new Set(chromas)].sort((a, b) => a - b))
    for (const letter of letters)
      for (const alter of [-1, 0, 1]) {
        const root: PitchClass = { letter, alter }
        const scale = scaleOver(root, name)
        expect(scale.degrees).toEqual(scaleDegrees[name])
        for (let chroma = 0; chroma < 12; chroma++)
          expect(scaleHolds(scale, chroma)).toBe(chromas.includes((chroma - chromaOf(root) + 12) % 12))
      }
  })
})

test('a scale of seven notes takes each letter once, but for the altered, which keeps its third', () => {
  const odd = names.filter((name) => {
    const numbers = scaleDegrees[name].map(numberOf)
    return numbers.length === 7 && new Set(numbers).size < 7
  })
  expect(odd).toEqual(['altered'])
})

// Source: Hutchinson, Music Theory for the 21st-Century Classroom; Levine, The Jazz Theory Book (1995); Sabatella, A Jazz
// Improvisation Primer. The last two rows by hand.
test.each([
  ['D', 'dorian', 'D E F G A B C'],
  ['F', 'lydian', 'F G A B C D E'],
  ['B', 'locrian', 'B C D E F G A'],
  ['Eb', 'lydian augmented', 'Eb F G A B C D'],
  ['C', 'melodic minor', 'C D Eb F G A B'],
  ['G', 'altered', 'G Ab Bb B Db Eb F'],
  ['Db', 'lydian dominant', 'Db Eb F G Ab Bb Cb'],
  ['B', 'locrian natural 2', 'B C# D E F G A'],
  ['G', 'phrygian dominant', 'G Ab B C D Eb F'],
  ['C', 'half-whole diminished', 'C Db Eb E F# G A Bb'],
  ['C', 'whole-half diminished', 'C D Eb F Gb Ab Bbb B'],
  ['C', 'whole tone', 'C D E F# G# Bb'],
  ['G', 'bebop dominant', 'G A B C D E F F#'],
  ['C', 'bebop major', 'C D E F G G# A B'],
] as const)('%s %s is %s', (root, name, notes) => {
  expect(scaleOver(readPitchClass(root)!, name).notes.map(nameOf).join(' ')).toBe(notes)
})

// G altered = D flat lydian dominant = A flat melodic minor, and the other modes that books name: same sources.
test.each([
  ['G altered', 'Db lydian dominant', 'Ab melodic minor'],
  ['G mixolydian b6', 'C melodic minor'],
  ['B locrian natural 2', 'D melodic minor'],
  ['Eb lydian augmented', 'C melodic minor'],
  ['G phrygian dominant', 'C harmonic minor'],
  ['D dorian', 'G mixolydian', 'C major', 'F lydian', 'E phrygian', 'A aeolian', 'B locrian'],
  ['C half-whole diminished', 'Db whole-half diminished', 'Eb half-whole diminished'],
])('%s has the notes of %s', (...scales) => {
  const sounds = scales.map((text) => {
    const [root = '', ...name] = text.split(' ')
    const { notes } = scaleOver(readPitchClass(root)!, name.join(' ') as ScaleName)
    return notes
      .map(chromaOf)
      .sort((a, b) => a - b)
      .join(' ')
  })
  expect(new Set(sounds).size).toBe(1)
})

// Bebop scales put chord tones on the beats when a run starts on one: every second note, counted from the root.
test.each([
  ['bebop dominant', '1 3 5 b7'],
  ['bebop major', '1 3 5 6'],
  ['bebop dorian with natural 7', '1 b3 5 b7'],
] as const)('a run down the %s has %s on the beats', (name, tones) => {
  const down = [...scaleDegrees[name]].reverse()
  const fromRoot = ['1', ...down.slice(0, -1)]
  expect(
    fromRoot
      .filter((_, i) => i % 2 === 0)
      .reverse()
      .sort(),
  ).toEqual(tones.split(' ').sort())
})
