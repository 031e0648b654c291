/** Chord scales against the books, against tonal, and against the chords themselves. */
import { Scale } from 'tonal'
import { describe, expect, test } from 'vitest'
import { readSymbol } from '../../lib/changes/symbol/readSymbol.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { chooseScale, type Heard, spellScale } from '../../lib/harmony/chooseScale.ts'
import { harmonicKind } from '../../lib/harmony/functions.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { chromaOf, nameOf } from '../../lib/theory/pitch.ts'
import { type ScaleName, scaleChromas, scaleDegrees } from '../../lib/theory/scale.ts'

const choices = {
  minorDominant: 'phrygian dominant',
  halfDiminished: 'locrian',
  sharpNine: 'half-whole diminished',
  bebop: false,
} as const

const at: Omit<Heard, 'kind'> = { mode: 'major', above: 0, leads: 'elsewhere', dorian: false }

function scaleOf(symbol: string, heard: Partial<Heard> = {}, chosen: Partial<typeof choices> = {}) {
  const { root, chord } = readSymbol(symbol).symbol!
  return chooseScale(root!, chord!, { ...at, kind: harmonicKind(chord!), ...heard }, { ...choices, ...chosen })
}

describe('the table of the books', () => {
  // Hutchinson, Music Theory for the 21st-Century Classroom; Levine, The Jazz Theory Book (1995); Sabatella, A Jazz
  // Improvisation Primer, as tabled in the project's facts; rows marked * have another author in favour of another scale.
  test.each<[string, Partial<Heard>, ScaleName, string]>([
    ['Cmaj7', { above: 0 }, 'major', 'Hutchinson; Levine'],
    ['C6', { above: 0 }, 'major', 'Hutchinson; Levine'],
    ['Cmaj7', { above: 5 }, 'lydian', 'Hutchinson; Levine'],
    ['Cmaj7(#11)', { above: 0 }, 'lydian', 'Hutchinson; Levine'],
    ['Cmaj7(#5)', { above: 0 }, 'lydian augmented', 'Hutchinson; Levine'],
    ['Cm7', { above: 2 }, 'dorian', 'Hutchinson'],
    ['Cm7', { above: 9 }, 'aeolian', 'Hutchinson'],
    ['Cm7', { above: 4 }, 'phrygian', 'Hutchinson'],
    ['Cm6', { mode: 'minor', above: 0 }, 'melodic minor', 'all'],
    ['Cm(maj7)', { mode: 'minor', above: 0 }, 'melodic minor', 'all'],
    ['Cm7b5', { mode: 'minor', above: 2 }, 'locrian', 'Hutchinson *'],
    ['Cdim7', { above: 1 }, 'whole-half diminished', 'all'],
    ['C7', { above: 7, leads: 'major' }, 'mixolydian', 'all'],
    ['C7', { above: 0 }, 'mixolydian', 'all: blues'],
    ['C7(#11)', { above: 7 }, 'lydian dominant', 'all'],
    ['C7(#5)', { above: 7 }, 'whole tone', 'all'],
    ['C13(b9)', { above: 7, leads: 'major' }, 'half-whole diminished', 'Hutchinson; Sabatella'],
    ['C7(b9)', { above: 7, leads: 'minor' }, 'phrygian dominant', 'Hutchinson; Sabatella *'],
    ['C7', { mode: 'minor', above: 7, leads: 'minor' }, 'phrygian dominant', 'Hutchinson; Sabatella *'],
    ['C', { mode: 'minor', above: 7, leads: 'minor' }, 'phrygian dominant', 'as C7: common practice'],
    ['C', { above: 4, leads: 'minor' }, 'phrygian dominant', 'as C7: common practice'],
    ['C', { above: 0, leads: 'minor' }, 'major', 'the tonic stays: common practice'],
    ['C7b5', { above: 7, leads: 'minor' }, 'altered', 'Levine *'],
    ['C7b5', { above: 7, leads: 'minor', mode: 'minor' }, 'altered', 'Levine *'],
    ['C7(#9)', { above: 7 }, 'half-whole diminished', 'Hutchinson; Sabatella *'],
    ['C7alt', { above: 7 }, 'altered', 'all'],
    ['C7sus4', { above: 7 }, 'mixolydian', 'Levine; Sabatella'],
    ['C7', { above: 1, leads: 'semitone' }, 'lydian dominant', 'all: bII7'],
    ['C7', { above: 10, leads: 'backdoor' }, 'lydian dominant', 'Nettles and Graf 1997, from memory'],
  ])('%s %j takes %s (%s)', (symbol, heard, name) => {
    expect(scaleOf(symbol, heard).name).toBe(name)
  })

  test('G altered, D flat lydian dominant and A flat melodic minor are the same notes', () => {
    const notes = (root: string, name: ScaleName) =>
      spellScale(readSymbol(root).symbol!.root!, name)
        .notes.map(chromaOf)
        .sort((a, b) => a - b)
    expect(notes('G', 'altered')).toEqual(notes('Db', 'lydian dominant'))
    expect(notes('G', 'altered')).toEqual(notes('Ab', 'melodic minor'))
  })
})

describe('every named scale has the notes that tonal gives it', () => {
  const others: Partial<Record<ScaleName, string>> = {
    'locrian natural 2': 'locrian #2',
    'bebop dominant': 'bebop',
    'bebop dorian with natural 3': 'bebop minor',
    'phrygian dominant with sharp 9': 'spanish heptatonic',
    'lydian #2': 'lydian #9',
  }
  /** A scale that tonal does not name: dorian with the major seventh put in. */
  const own: ScaleName = 'bebop dorian with natural 7'

  test.each((Object.keys(scaleDegrees) as ScaleName[]).filter((name) => name !== own))('%s', (name) => {
    const theirs = Scale.get(`C ${others[name] ?? name}`)
    expect(theirs.empty).toBe(false)
    const chromas = [...theirs.chroma].flatMap((on, chroma) => (on === '1' ? [chroma] : []))
    expect([...scaleChromas(name)].sort((a, b) => a - b)).toEqual(chromas)
  })

  test(`${own} is dorian and a major seventh`, () => {
    const dorian = [...Scale.get('C dorian').chroma].flatMap((on, chroma) => (on === '1' ? [chroma] : []))
    expect([...scaleChromas(own)]).toEqual([...dorian, 11])
  })
})

/** The chord qualities in use. */
const qualities = (
  ' m 6 m6 69 m69 maj7 m7 7 m(maj7) m7b5 dim dim7 + 5 sus4 sus2 7sus4 9sus4 13sus4 7sus4(b9) add9 m(add9) maj9 maj13 m9 m11 m13 9 11 13 ' +
  '7b5 7(#5) 7(b9) 7(#9) 7(#11) 7(b13) 9(#11) 9(#5) 9b5 13(b9) 13(#9) 13(#11) 7(b9,#11) 7(b9,b13) 7(#9,b13) 7(b9,#9) 7b5(b9) 7b5(#9) ' +
  '7(#5,b9) 7(#5,#9) 7alt maj7(#11) maj9(#11) maj7(#5) maj7b5 maj13(#11) m7(#5) m(maj9) m9b5 m11b5 mb6 dim(maj7) dim7(maj7) 9(b13) maj7(#9) ' +
  '6(#11) m6(maj7) 7(#11,b13) m7(b9) 13b5'
).split(' ')

describe('a scale holds every note of its chord', () => {
  const places = [0, 2, 4, 5, 7, 9, 10]
  const ways = ['minor', 'major', 'semitone', 'backdoor', 'elsewhere'] as const

  test.each(qualities)('C%s', (quality) => {
    const { problems, symbol } = readSymbol(`C${quality}`)
    expect(problems.filter(({ severity }) => severity === 'error')).toEqual([])
    for (const mode of ['major', 'minor'] as const)
      for (const above of places)
        for (const leads of ways) {
          const scale = scaleOf(`C${quality}`, { mode, above, leads })
          const chromas = scale.degrees.map(degreeChroma)
          for (const degree of symbol!.chord!.degrees)
            expect(chromas, `${scale.name} for ${degree}`).toContain(degreeChroma(degree))
          expect(new Set(chromas).size).toBe(chromas.length)
          expect(chromas).toEqual([...chromas].sort((a, b) => a - b))
          expect(scale.notes.map(chromaOf)).toEqual(chromas)
        }
  })

  test('there are sixty of them and more', () => {
    expect(new Set(qualities).size).toBeGreaterThan(60)
  })

  test.each([
    ['C13', 'mixolydian'],
    ['C9', 'mixolydian b6'],
    ['C7(b13)', 'phrygian dominant'],
    ['C13(#11)', 'lydian dominant'],
  ])('a written tension wins over the minor key: %s', (symbol, name) => {
    expect(scaleOf(symbol, { mode: 'minor', above: 7, leads: 'minor' }).name).toBe(name)
  })

  /** The thirteenth of a dominant is the major third of what it leads to: common practice leaves it out on the way to minor. */
  test.each([
    ['E7(#11)', 'E F G# A# B C D'],
    ['E9(#11)', 'E F# G# A# B C D'],
    ['E7(b9,#11)', 'E F G# A# B C D'],
    ['E7(#9,#11)', 'E F G G# A# B C D'],
  ])('on the way to minor %s has %s', (symbol, notes) => {
    expect(scaleOf(symbol, { mode: 'minor', above: 7, leads: 'minor' }).notes.map(nameOf).join(' ')).toBe(notes)
  })

  test('where no scale holds the chord, the nearest is bent to it', () => {
    expect(scaleOf('Cmaj7(b9)', { above: 0 }).notes.map(nameOf)).toEqual(['C', 'Db', 'E', 'F', 'G', 'A', 'B'])
  })

  test('a scale that the person chose may leave out the fifth, which the symbol does not say', () => {
    expect(scaleOf('G7', { mode: 'minor', above: 7, leads: 'minor' }).degrees).toContain('5')
    expect(
      chooseScale(
        { letter: 'G', alter: 0 },
        readSymbol('G7').symbol!.chord!,
        { ...at, kind: 'dominant', mode: 'minor', above: 7, leads: 'minor' },
        { ...choices, minorDominant: 'altered' },
      ).name,
    ).toBe('altered')
  })
})

test('on the way to minor no chosen scale holds the major third of the chord to come', () => {
  for (const before of ['E7', 'E7(#9)', 'E7(b9)', 'E7sus4', 'E9sus4', 'E7(#5)', 'E7alt', 'Eaug', 'G#dim7', 'E7(#5#9)'])
    for (const minor of ['Am6', 'Am7', 'Am', 'Am(maj7)']) {
      const { chords } = readHarmony(unrollChart(readChart(`| ${minor} | ${minor} | ${before} | ${minor} |`)))
      expect(chords[2]!.scale!.notes.map(chromaOf), `${before} ${minor}`).not.toContain(1)
    }
})
