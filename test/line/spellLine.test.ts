/** Letters of lines: by chord, role and direction, in every key; read in the same words as players write them. */
import { readFileSync } from 'node:fs'
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { defaultBrief } from '../../lib/brief.ts'
import { readChart } from '../../lib/changes/typed/readChart.ts'
import { unrollChart } from '../../lib/changes/unrollChart.ts'
import { readHarmony } from '../../lib/harmony/readHarmony.ts'
import type { Role } from '../../lib/line/line.ts'
import { type NoteToSpell, spellNotes, spellPart } from '../../lib/line/spellLine.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { writtenPart } from '../../lib/score/writtenPart.ts'
import { tonesOf } from '../../lib/theory/chord.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { readKey, signatureOf, signOfLetter } from '../../lib/theory/key.ts'
import { fifthsOf, invert, midiOf, nameOf, readPitch, sameNote } from '../../lib/theory/pitch.ts'
import { realChartTexts } from '../realCharts.ts'
import { ps13 } from './ps13.ts'

const roles: Readonly<Record<string, Role>> = { '*': 'target', '.': 'approach', _: 'cell', '-': 'connect' }

/** Harmony of a chart in a key that it states. */
function harmonyOf(changes: string, key: string) {
  const chart = readChart(`| ${changes} |`)
  expect(chart.problems.filter(({ severity }) => severity === 'error')).toEqual([])
  return readHarmony(unrollChart({ ...chart, key: readKey(key) }))
}

/** Bars of notes, each a pitch under any name and a mark for its role; the bar's chords share its notes out evenly. */
function notesOf(line: string, changes: ReturnType<typeof harmonyOf>): NoteToSpell[] {
  return line.split('|').flatMap((bar, b) => {
    const notes = bar.trim().split(/\s+/)
    const chords = changes.chords.flatMap((chord, i) => (chord.bar === b + 1 ? [i] : []))
    return notes.map((text, n) => {
      const chord = chords[Math.floor((n * chords.length) / notes.length)]!
      const role = roles[text.at(-1)!]!
      return { bar: b + 1, midi: midiOf(readPitch(text.slice(0, -1))!), role, chord }
    })
  })
}

function spelled(changes: string, key: string, line: string, spelling: 'easy' | 'strict' = 'easy'): string {
  const harmony = harmonyOf(changes, key)
  const notes = notesOf(line, harmony)
  const pitches = spellNotes(notes, harmony, { spelling })
  return pitches.map((pitch) => nameOf(pitch!).replace(/-?\d$/, '')).join(' ')
}

/** Changes, key, notes as entered (the names need not be right), expected letters. */
const lines: readonly [string, string, string, string][] = [
  // Ligon, Connecting Chords with Linear Harmony (1996), enclosures of C, E and G over C in F major and in F minor.
  ['C7 | F', 'F', 'D5. B4. C5* | F4*', 'D B C F'],
  ['C7 | F', 'F', 'F4. Eb4. E4* | F4*', 'F D# E F'],
  ['C7 | F', 'F', 'A4. Gb4. G4* | F4*', 'A F# G F'],
  ['C7 | Fm', 'Fm', 'C#5. B4. C5* | F4*', 'Db B C F'],
  ['C7 | Fm', 'Fm', 'F4. Eb4. E4* | F4*', 'F D# E F'],
  ['C7 | Fm', 'Fm', 'G#4. Gb4. G4* | F4*', 'Ab F# G F'],
  // The same source: E flat over Cm7, two chromatic notes each side.
  ['Cm7 | F7', 'Bb', 'Db4. D4. F4. E4. Eb4* | A4*', 'C# D F E Eb A'],
  // Lower neighbours of E, G and B flat; the upper neighbour of G from a half step: the design's own table.
  ['Cmaj7', 'C', 'F4. Eb4. E4*', 'F D# E'],
  ['Cmaj7', 'C', 'A4. Gb4. G4*', 'A F# G'],
  ['Gm7', 'F', 'C5. A4. Bb4*', 'C A Bb'],
  ['Cmaj7', 'C', 'G#4. F#4. G4*', 'Ab F# G'],
  // Passing notes, raised going up, lowered going down: common practice (Ligon: on in the direction of the alteration).
  ['Cmaj7', 'C', 'C5_ Db5- D5_ Eb5- E5*', 'C C# D D# E'],
  ['Cmaj7', 'C', 'E5_ D#5- D5_ C#5- C5*', 'E Eb D Db C'],
  ['Gm7 | C7', 'F', 'G4* G#4- A4_ Bb4_ B4. C5. | Bb4*', 'G G# A Bb B C Bb'],
  ['Fm7 | Bb7', 'Eb', 'Bb4_ A4- Ab4_ F#4- F4_ | D4*', 'Bb A Ab Gb F D'],
  // Two approaches to the third of the chord from below: D, D sharp, E.
  ['Dm7 G7 | Cmaj7', 'C', 'F4* A4_ C5_ A4_ B4* D4. Eb4. | E4*', 'F A C A B D D# E'],
  // A dominant on its way to minor keeps its scale's flats on the way down.
  ['Dm7b5 G7 | Cm6', 'Cm', 'F4* Ab4_ C5_ Ab4_ G#4_ G4_ F4_ Eb4_ | D#4*', 'F Ab C Ab Ab G F Eb Eb'],
  // Chord tones under the chord's letters, in flat and sharp keys.
  ['A7 | Dm7', 'C', 'A4_ Db5* E5_ G5_ | F5*', 'A C# E G F'],
  ['B7 | Em', 'G', 'B4_ Eb5* Gb5_ A5_ | G5*', 'B D# F# A G'],
  // A leading note read plain keeps the neighbours of its own letter: G sharp above F double sharp.
  ['G#m | G#m(maj7)', 'G#m', 'B4* A#4. Ab4. | G4*', 'B A# G# G'],
  ['Gdim7 | Abmaj7', 'Ab', 'G4_ A#4_ C#5_ E5_ | Eb5*', 'G Bb Db E Eb'],
]

describe('a line takes the letters a player expects', () => {
  test.each(lines)('%s in %s: %s', (changes, key, line, expected) => {
    expect(spelled(changes, key, line)).toBe(expected)
  })
})

describe('hard letters', () => {
  // Hutchinson: a chord's third and seventh keep their letter in strict teaching, or are read with ease.
  test.each([
    ['Dm7 | Db7 | Cmaj7', 'C', 'C5* | B4* | B4*', 'easy', 'C B B'],
    ['Dm7 | Db7 | Cmaj7', 'C', 'C5* | B4* | B4*', 'strict', 'C Cb B'],
    ['Abm7 | Db7', 'Eb', 'B4* Gb4_ | F4*', 'easy', 'B Gb F'],
    ['Abm7 | Db7', 'Eb', 'B4* Gb4_ | F4*', 'strict', 'Cb Gb F'],
    ['C#7 | F#m7', 'A', 'F4* G#4_ | E4*', 'easy', 'F G# E'],
    ['C#7 | F#m7', 'A', 'F4* G#4_ | E4*', 'strict', 'E# G# E'],
    // The signature has the C flat: both read it.
    ['Abm7 | Db7 | Gbmaj7', 'Gb', 'B4* Gb4_ | F4* | Bb4*', 'easy', 'Cb Gb F Bb'],
    ['G#m7 | C#7 | F#maj7', 'F#', 'B4* F#4_ | F4* | A#4*', 'easy', 'B F# E# A#'],
    // A seventh that would need two flats is read plain in both.
    ['Cdim7 | Dbmaj7', 'Db', 'A4* Gb4_ | F4*', 'strict', 'A Gb F'],
  ] as const)('%s in %s, %s', (changes, key, line, spelling, expected) => {
    expect(spelled(changes, key, line, spelling)).toBe(expected)
  })
})

describe('guide-tone threads', () => {
  // Threads derived from the rule in Ligon, Connecting Chords with Linear Harmony (1996), and Hutchinson, Music Theory for the
  // 21st-Century Classroom: the seventh falls to the next third, the third stays or falls to the next seventh.
  test.each([
    ['Dm7 | G7 | Cmaj7', 'C', 'F F E', 'C B B'],
    ['Dm7b5 | G7 | Cm(maj7)', 'Cm', 'F F Eb', 'C B B'],
    ['Dm7b5 | G7 | Cm6', 'Cm', 'F F Eb', 'C B A'],
    ['Dm7 | G7 | C6', 'C', 'F F E', 'C B A'],
    ['Dm7 | Db7 | Cmaj7', 'C', 'F F E', 'C Cb B'],
    ['Em7 | Am7 | Dm7 | G7 | Cmaj7', 'C', 'G G F F E', 'D C C B B'],
    ['Em7 | A7 | Dm7 | G7 | Cmaj7', 'C', 'G G F F E', 'D C# C B B'],
    ['Cmaj7 | Am7 | Dm7 | G7 | Cmaj7', 'C', 'E G F F E', 'B C C B B'],
    ['E7 | A7 | D7 | G7 | Cmaj7', 'C', 'G# G F# F E', 'D C# C B B'],
    ['Bb7 | Eb7 | Bb7', 'Bb', 'D Db D', 'Ab G Ab'],
    ['Gm7 | C7 | Fmaj7', 'F', 'Bb Bb A', 'F E E'],
    ['Cm7 | F7 | Bbmaj7', 'Bb', 'Eb Eb D', 'Bb A A'],
    ['Fm7 | Bb7 | Ebmaj7', 'Eb', 'Ab Ab G', 'Eb D D'],
    ['Bbm7 | Eb7 | Abmaj7', 'Ab', 'Db Db C', 'Ab G G'],
    ['Bm7 | E7 | Amaj7', 'A', 'D D C#', 'A G# G#'],
    ['Em7 | A7 | Dmaj7', 'D', 'G G F#', 'D C# C#'],
    ['Am7 | D7 | Gmaj7', 'G', 'C C B', 'G F# F#'],
  ])('%s: %s, %s and %s', (changes, key, ...threads) => {
    for (const thread of threads) {
      const line = thread.split(' ').map((name) => `${name}${name === 'Cb' ? 5 : 4}*`)
      expect(spelled(changes, key, line.join(' | '), 'strict')).toBe(thread)
    }
  })
})

const hard = /^(B#|E#|Cb|Fb)$/

describe('properties', () => {
  const keys = 'C F Bb Eb Ab Db Gb B F# E A D G Am Dm Gm Cm Fm Bbm Ebm G#m C#m F#m Bm Em'.split(' ')
  const qualities = ['m7', '7', 'maj7', 'm7b5', 'dim7', '7alt', 'm6', '7(b9)', '7(#9)', '7sus4', '13(#11)', '6', '']
  const roots = 'C Db C# D Eb D# E F Gb F# G Ab G# A Bb B'.split(' ')
  const chord = fc.tuple(fc.constantFrom(...roots), fc.constantFrom(...qualities)).map((parts) => parts.join(''))
  const bar = fc.tuple(
    chord,
    fc.array(fc.tuple(fc.integer({ min: 50, max: 84 }), fc.constantFrom(...Object.values(roles))), { maxLength: 10 }),
  )

  test('every note sounds as it did, without a double accidental, hard letters only where something asks for them', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...keys),
        fc.array(bar, { minLength: 1, maxLength: 4 }),
        fc.constantFrom('easy' as const, 'strict' as const),
        (key, bars, spelling) => {
          const harmony = harmonyOf(bars.map(([symbol]) => symbol).join(' | '), key)
          const notes = bars.flatMap(([, line], b) =>
            line.map(([midi, role]): NoteToSpell => ({ bar: b + 1, midi, role, chord: b })),
          )
          const pitches = spellNotes(notes, harmony, { spelling })
          expect(spellNotes(notes, harmony, { spelling })).toEqual(pitches)
          pitches.forEach((pitch, i) => {
            const { midi, chord: over } = notes[i]!
            expect(midiOf(pitch!)).toBe(midi)
            expect(Math.abs(pitch!.alter)).toBeLessThan(2)
            const { letter, alter } = pitch!
            if (!hard.test(nameOf({ letter, alter }))) return
            const { root, chord } = harmony.chords[over]!
            const held = tonesOf(root!, chord!).some((tone) => sameNote(tone, pitch!))
            expect(signOfLetter(signatureOf(readKey(key)!), letter) === alter || (spelling === 'strict' && held)).toBe(
              true,
            )
          })
        },
      ),
      { numRuns: 300 },
    )
  })

  test('rests stay rests, and a line without notes is a line', () => {
    const harmony = harmonyOf('C7', 'C')
    const rest: NoteToSpell = { bar: 1, midi: null, role: 'rest', chord: 0 }
    expect(spellNotes([rest, rest], harmony, { spelling: 'easy' })).toEqual([null, null])
    expect(spellNotes([], harmony, { spelling: 'easy' })).toEqual([])
  })

  test('a note over no chord at all is spelled in the key', () => {
    const harmony = harmonyOf('N.C. | D7', 'G')
    const notes = [66, 68, 70].map((midi): NoteToSpell => ({ bar: 1, midi, role: 'connect', chord: 0 }))
    expect(spellNotes(notes, harmony, { spelling: 'easy' }).map((pitch) => nameOf(pitch!))).toEqual([
      'F#4',
      'G#4',
      'A#4',
    ])
  })
})

describe('written lines', () => {
  /** Real charts: first choruses from the R data package jazzodata (MIT licence). */
  const charts = readFileSync(new URL('../data/real-changes.txt', import.meta.url), 'utf8')
    .split(/\n\n+/)
    .filter((text) => !text.startsWith('#') && text.trim() !== '')
  const linesOf = (text: string) =>
    writeLines({ ...defaultBrief, changes: text, instrument: 'flute', keys: 'fourths' }).lines

  test('C flat, F flat, E sharp and B sharp are under 2 % in twelve keys for every transposition', () => {
    const transpositions = new Map(instruments.map((each) => [String(each.transposition.semitones % 12), each]))
    let notes = 0
    let found = 0
    for (const text of [charts[9]!, charts[20]!])
      for (const line of linesOf(text))
        for (const instrument of transpositions.values()) {
          const { transposition } = writtenPart(line.key, instrument, false)
          for (const pitch of spellPart(line, invert(transposition), { spelling: 'easy' })) {
            if (!pitch) continue
            notes += 1
            if (hard.test(nameOf({ letter: pitch.letter, alter: pitch.alter }))) found += 1
          }
        }
    expect(transpositions.size).toBeGreaterThan(3)
    expect(notes).toBeGreaterThan(20_000)
    expect(found / notes).toBeLessThan(0.02)
  })

  test('a part sounds as its line does', () => {
    for (const line of linesOf(charts[6]!).slice(0, 4))
      for (const instrument of instruments) {
        const { transposition } = writtenPart(line.key, instrument, false)
        const part = spellPart(line, invert(transposition), { spelling: 'easy' })
        expect(part.map((pitch) => pitch && midiOf(pitch) + transposition.semitones)).toEqual(
          line.notes.map(({ pitch }) => pitch && midiOf(pitch)),
        )
      }
  })

  test('they differ from ps13 where chord, direction and target decide, and it needs double accidentals', () => {
    let notes = 0
    let same = 0
    let doubles = 0
    for (const text of charts) {
      const [line] = writeLines({ ...defaultBrief, changes: text, instrument: 'flute' }).lines
      const ours = line!.notes.flatMap(({ pitch }) => (pitch ? [pitch] : []))
      const theirs = ps13(ours.map(midiOf))
      const apart = ours.map((pitch, i) => fifthsOf(theirs[i]!) - fifthsOf(pitch))
      // The whole of its spelling may lie a diminished second off: the signature decides that.
      same += Math.max(...[-12, 0, 12].map((shift) => apart.filter((each) => each === shift).length))
      notes += ours.length
      doubles += theirs.filter(({ alter }) => Math.abs(alter) > 1).length
    }
    expect(same / notes).toBeGreaterThan(0.82)
    expect(same / notes).toBeLessThan(0.95)
    expect(doubles / notes).toBeGreaterThan(0.005)
  })

  test('ps13 itself spells what its author shows: scales, chromatic neighbours and passing notes in the key around them', () => {
    const named = (line: string) =>
      ps13(line.split(' ').map((name) => midiOf(readPitch(name)!)))
        .map(nameOf)
        .join(' ')
    const scale = 'A4 B4 C#5 D5 E5 F#5 G#5 A5'
    expect(named(scale)).toBe(scale)
    expect(named('C5 D5 E5 F5 G5 F5 E5 D5 C5 B4 C5 Eb5 D5 C5')).toBe('C5 D5 E5 F5 G5 F5 E5 D5 C5 B4 C5 Eb5 D5 C5')
  })
})

describe('one sound under one name in a bar', () => {
  /** Common practice: a reader takes two names for two notes, unless the one goes up and the other down. */
  test.each([
    // The chord's own A flat stays A flat on its way up.
    ['Bb7', 'Bb', 'Ab3_ F3_ Ab3* Bb3_ G3. Ab3. | A3*', 'Ab3 F3 Ab3 Bb3 G3 Ab3 A3'],
    // G sharp goes up and A flat down.
    ['F7', 'F', 'F5_ G#5. A5* Ab5. G5_ F5_ | C5*', 'F5 G#5 A5 Ab5 G5 F5 C5'],
  ])('%s in %s', (chord, key, line, expected) => {
    const harmony = harmonyOf(`${chord} | Fmaj7`, key)
    const spelled = spellNotes(notesOf(line, harmony), harmony, { spelling: 'easy' })
    expect(spelled.map((pitch) => nameOf(pitch!)).join(' ')).toBe(expected)
  })

  test('on the real charts, in concert and for alto', () => {
    let bars = 0
    for (const changes of realChartTexts().slice(0, 12))
      for (const up of [
        { steps: 0, semitones: 0 },
        { steps: 5, semitones: 9 },
      ]) {
        const line = writeLines({ ...defaultBrief, changes }).lines[0]!
        const spelled = spellPart(line, up, { spelling: 'easy' })
        const sung = line.notes.flatMap((note, i) => {
          const pitch = spelled[i]
          if (!pitch) return []
          const next = spelled[i + 1]
          const target = line.targets.find(({ start }) => start > note.start)
          const goals = [next && midiOf(next), target && midiOf(target.pitch) + up.semitones].map(
            (to) => (to ?? 0) - midiOf(pitch),
          )
          return [{ bar: note.bar, pitch, role: note.role, goals }]
        })
        for (let bar = 1; bar <= line.harmony.bars.length; bar++) {
          bars++
          for (let chroma = 0; chroma < 12; chroma++) {
            const group = sung.filter((note) => note.bar === bar && midiOf(note.pitch) % 12 === chroma)
            const names = new Set(group.map(({ pitch }) => nameOf({ letter: pitch.letter, alter: pitch.alter })))
            const chords = line.harmony.chords.filter((chord) => chord.bar === bar).length
            if (names.size < 2 || chords > 1) continue
            for (const { pitch, goals } of group) expect(goals.some((to) => Math.sign(to) === pitch.alter)).toBe(true)
          }
        }
      }
    expect(bars).toBeGreaterThan(500)
  })
})
