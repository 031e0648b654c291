import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { defaultBrief, readBrief } from '../../lib/brief.ts'
import type { Line } from '../../lib/line/line.ts'
import { askedParts, concertScore, groupParts, lineFor, usualParts } from '../../lib/score/classSet.ts'
import { layScore } from '../../lib/score/layScore.ts'
import { type Instrument, instrumentOf, instruments, soundingPitch, writtenPitch } from '../../lib/theory/instrument.ts'
import { midiOf, nameOf } from '../../lib/theory/pitch.ts'
import { makeLine } from './lineFixture.ts'

const tune = makeLine({
  instrument: 'alto-sax',
  chords: 'A: Dm7 | G7 | Cmaj7 | A7(b9) | B: Dm7 | G7 | Cmaj7 | Cmaj7',
  notes: `*F4 E4 D4 C4 [A4 G4 D#4 C#4] *B4 (D5 F5 A5) [F#5 F5 Eb5 D5] *E5/24 D5/12 B4 G4/24 [A4/12 C#5] *C#5/12 E5 G5 Bb5 -/12 [F#5 E5 Eb5]
    *F5/36 E5/12 D5 C5 Bb4 A4 *F4/96 *E4/48`,
})
const pitched = (line: Line) => line.notes.filter((note) => note.pitch !== null)
const ranges = (part: Instrument) => part.range.map((pitch) => midiOf(soundingPitch(part, pitch))) as [number, number]

/** A line of random eighths and rests over the widest class of ranges, an approach of three before some targets. */
const wild = fc
  .array(fc.tuple(fc.integer({ min: 36, max: 90 }), fc.constantFrom('target', 'approach', 'connect', 'rest')), {
    minLength: 8,
    maxLength: 64,
  })
  .map((drawn) => {
    let midi = 60
    const words = drawn.map(([wanted, role]) => {
      // No leap over an octave: so the line's own rule.
      midi = Math.max(midi - 12, Math.min(midi + 12, wanted))
      const name = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'][midi % 12]!
      const note = `${name}${Math.floor(midi / 12) - 1}`
      return role === 'rest' ? '-' : role === 'target' ? `*${note}` : note
    })
    return makeLine({ chords: Array(8).fill('C').join(' | '), notes: words.join(' ') })
  })

describe('every part is the same music at the same bar numbers', () => {
  test.each([...instruments, ...Object.values(groupParts), concertScore].map((part) => [part.name, part] as const))(
    '%s',
    (_, part) => {
      let fit = 0
      fc.assert(
        fc.property(wild, (line) => {
          const found = lineFor(line, part)
          if ('unfit' in found) return
          fit += 1
          const [low, high] = ranges(part)
          expect(found.line.notes.length).toBe(line.notes.length)
          found.line.notes.forEach((note, index) => {
            const before = line.notes[index]!
            expect([note.bar, note.start, note.ticks, note.role]).toEqual([
              before.bar,
              before.start,
              before.ticks,
              before.role,
            ])
            expect(note.pitch === null).toBe(before.pitch === null)
            if (!note.pitch || !before.pitch) return
            expect([note.pitch.letter, note.pitch.alter]).toEqual([before.pitch.letter, before.pitch.alter])
            expect(midiOf(note.pitch)).toBeGreaterThanOrEqual(low)
            expect(midiOf(note.pitch)).toBeLessThanOrEqual(high)
          })
        }),
        { numRuns: 25 },
      )
      expect(fit, 'most lines fit somehow').toBeGreaterThan(12)
    },
  )

  test('bar numbers, chords and sections stand alike in all parts', () => {
    const bars = [concertScore, ...usualParts].map((part) => {
      const found = lineFor(tune, part)
      if (!('line' in found)) throw new Error('does not fit')
      const score = layScore(found.line, defaultBrief)
      return score.bars.map(({ number, section, systemStart, harmony }) => [
        number,
        section,
        systemStart,
        harmony.map(({ at }) => at),
      ])
    })
    for (const other of bars) expect(other).toEqual(bars[0])
  })
})

test('a line that fits in one octave is moved whole, to the nearest that reads with ease', () => {
  const moved = (id: string) => {
    const found = lineFor(tune, instrumentOf(id)!)
    return 'line' in found ? [midiOf(found.line.notes[0]!.pitch!) - midiOf(tune.notes[0]!.pitch!), found.folds] : null
  }
  // C#4 to Bb5 sounding: as it stands for a flute, an octave down for a trombone, two for a tuba.
  expect(moved('violin')).toEqual([0, []])
  expect(moved('trombone')).toEqual([-12, []])
  expect(moved('tuba')).toEqual([-24, []])
})

test('folds come where a phrase ends, not inside an approach, and are told by their bars', () => {
  const wide = makeLine({
    chords: Array(8).fill('C').join(' | '),
    notes: 'C4 D4 E4 F4 G4 A4 B4 C5 -/24 [D5/12 B4] *C5 D5 E5 F5 G5 A5 B5 C6 D6 E6 F6 G6 -/12 E6 C6 G5 E5 C5 G4 E4 C4',
  })
  const narrow = {
    ...instrumentOf('flute')!,
    range: [pitch('C4'), pitch('D6')] as const,
    comfortable: [pitch('C4'), pitch('D6')] as const,
  }
  const found = lineFor(wide, narrow)
  if (!('line' in found)) throw new Error('does not fit')
  expect(found.folds).not.toEqual([])
  expect(found.line.relaxed.map(({ bar }) => bar)).toEqual(found.folds)
  pitched(found.line).forEach((note, index, notes) => {
    if (note.role !== 'approach') return
    const before = pitched(wide)
    const shift = (at: number) => midiOf(notes[at]!.pitch!) - midiOf(before[at]!.pitch!)
    expect(shift(index + 1)).toBe(shift(index))
  })
})
const pitch = (name: string) =>
  writtenPitch(instrumentOf('flute')!, makeLine({ chords: 'C', notes: name }).notes[0]!.pitch!)

test('what no octave holds is told: the bars, what it needs and what there is', () => {
  const tiny = {
    ...instrumentOf('flute')!,
    range: [pitch('C5'), pitch('E5')] as const,
    comfortable: [pitch('C5'), pitch('E5')] as const,
  }
  const found = lineFor(tune, tiny)
  expect(found).toMatchObject({ unfit: { bars: [1, 1], has: 'C5 to E5, 4 semitones' } })
})

describe('parts by name', () => {
  test.each([
    ['C, Bb, Eb, bass', ['C instruments', 'B♭ instruments', 'E♭ instruments', 'Bass clef instruments']],
    ['bass clef', ['Bass clef instruments']],
    ['B♭', ['B♭ instruments']],
    ['trumpet; Alto sax, guitar', ['Trumpet in B♭', 'Alto saxophone', 'Guitar']],
    ['horn, horn', ['Horn in F']],
  ])('%s', (text, names) => {
    const { brief, problems } = readBrief({ parts: text })
    expect(problems).toEqual([])
    expect(askedParts(brief).map((part) => part.name)).toEqual(names)
  })
  test('what is none is refused, and what is nearest said', () => {
    const [problem] = readBrief({ parts: 'Bb, trumpit' }).problems
    expect(problem).toMatchObject({ choice: 'parts', found: 'Bb, trumpit', hint: 'try trumpet' })
  })
  test.each(['', ' , '])('none named, %j, are the usual ones', (text) => {
    const { brief, problems } = readBrief({ parts: text })
    expect([problems, askedParts(brief)]).toEqual([[], usualParts])
  })
  test('each group part is in the range of every instrument that reads it, but for voices', () => {
    for (const part of Object.values(groupParts))
      for (const each of instruments.filter(
        ({ group, family, clef }) => group === part.group && family !== 'voices' && clef === part.clef,
      )) {
        const [low, high] = part.comfortable.map((note) => midiOf(note))
        expect(
          midiOf(each.range[0]),
          `${part.name}, ${each.name}, down to ${nameOf(each.range[0])}`,
        ).toBeLessThanOrEqual(low!)
        expect(
          midiOf(each.range[1]),
          `${part.name}, ${each.name}, up to ${nameOf(each.range[1])}`,
        ).toBeGreaterThanOrEqual(high!)
      }
  })
})
