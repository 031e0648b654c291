/** The band: bass, chords and drums keep their rules over every key, quality, meter and seed. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { feels } from '../../lib/brief.ts'
import { arrange } from '../../lib/sound/arrange.ts'
import { type Arrangement, cutPassage, type Part } from '../../lib/sound/arrangement.ts'
import { feelFor } from '../../lib/sound/feel.ts'
import { backBeats, drum, playDrums } from '../../lib/sound/playDrums.ts'
import { chooseVoicings, chordRange, motionBetween, voiceChords, voicingsOf } from '../../lib/sound/voiceChords.ts'
import { bassChroma, bassRange, writeBass } from '../../lib/sound/writeBass.ts'
import { chordTones, guideDegrees } from '../../lib/theory/chord.ts'
import { degreeChroma } from '../../lib/theory/degree.ts'
import { chromaOf } from '../../lib/theory/pitch.ts'
import { form, lineOver, qualities, tune } from './soundFixture.ts'

const meters = [
  { beats: 4, unit: 4 },
  { beats: 3, unit: 4 },
  { beats: 2, unit: 4 },
  { beats: 5, unit: 4 },
  { beats: 6, unit: 4 },
  { beats: 7, unit: 4 },
  { beats: 2, unit: 2 },
  { beats: 3, unit: 8 },
  { beats: 6, unit: 8 },
  { beats: 7, unit: 8 },
  { beats: 9, unit: 8 },
  { beats: 12, unit: 8 },
]

const roots = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B']
const anySymbol = fc.oneof(
  {
    weight: 12,
    arbitrary: fc.tuple(fc.constantFrom(...roots), fc.constantFrom(...Object.keys(qualities))).map((p) => p.join('')),
  },
  { weight: 1, arbitrary: fc.constant('N.C.') },
  { weight: 1, arbitrary: fc.constantFrom('C7/E', 'Fm7/Bb', 'G/D', 'Dm7/C') },
)
const anyTune = fc
  .record({
    bars: fc.array(fc.array(anySymbol, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 8 }),
    meter: fc.constantFrom(...meters),
    up: fc.nat(11),
  })
  .map(({ bars, meter, up }) => {
    const fitting = bars.map((bar) => bar.slice(0, meter.beats))
    return { text: fitting.map((bar) => bar.join(' ')).join(' | '), meter, up }
  })
const playedFeels = feels.filter((feel) => feel !== 'click')
const anyFeel = fc.constantFrom(...playedFeels)

const passageOf = (
  { text, meter, up }: { text: string; meter: (typeof meters)[number]; up: number },
  round = false,
) => {
  const line = lineOver(tune(text, { meter, up }))
  return cutPassage(line, 1, line.harmony.bars.length, round)
}

describe('the bass', () => {
  test('plays the root of every change, leads there by step, stays in range and within the chord and its scale', () => {
    fc.assert(
      fc.property(anyTune, anyFeel, fc.nat(), fc.boolean(), (given, feel, seed, round) => {
        const passage = passageOf(given, round)
        const bass = writeBass(passage, feel, seed)
        const { chords, next } = passage
        for (const [i, note] of bass.entries()) {
          expect(note.midi).toBeGreaterThanOrEqual(bassRange.low)
          expect(note.midi).toBeLessThanOrEqual(bassRange.high)
          const at = chords.findLastIndex((chord) => chord.start <= note.start)
          const chord = chords[at]!
          const after = bass[i + 1]
          const goal = chords[at + 1] ?? next
          const chroma = note.midi % 12
          if (chord.start === note.start) {
            expect(chroma).toBe(bassChroma(chord))
            continue
          }
          const leads = goal?.root && (after ? after.start === chords[at + 1]?.start : next !== null)
          if (leads) {
            const gap = (chroma - bassChroma(goal) + 12) % 12
            expect([1, 2, 10, 11]).toContain(gap)
            if (after) expect(Math.abs(after.midi - note.midi)).toBeLessThanOrEqual(2)
            continue
          }
          const tones = chordTones(chord.chord!).map((d) => (chromaOf(chord.root!) + degreeChroma(d)) % 12)
          const allowed = [...tones, bassChroma(chord), ...chord.scale!.notes.map(chromaOf)]
          expect(allowed).toContain(chroma)
        }
        for (const chord of chords) expect(bass.some((note) => note.start === chord.start)).toBe(chord.root !== null)
      }),
      { numRuns: 150 },
    )
  })

  test('walks a quarter a beat in swing, without gap or overlap', () => {
    const bass = writeBass(passageOf({ text: form, meter: meters[0]!, up: 0 }), 'swing', 3)
    expect(bass.map(({ start, ticks }) => [start, ticks])).toEqual(Array.from({ length: 128 }, (_, i) => [24 * i, 24]))
  })

  test('moves mostly by steps, and differs by seed', () => {
    const passage = passageOf({ text: form, meter: meters[0]!, up: 0 })
    const lines = [1, 2, 3].map((seed) => writeBass(passage, 'swing', seed).map((note) => note.midi))
    for (const line of lines) {
      const steps = line.slice(1).filter((midi, i) => Math.abs(midi - line[i]!) <= 2).length
      expect(steps / (line.length - 1)).toBeGreaterThan(0.5)
      const same = line.slice(1).filter((midi, i) => midi === line[i]).length
      expect(same / (line.length - 1)).toBeLessThan(0.05)
    }
    expect(new Set(lines.map(String)).size).toBe(3)
    expect(writeBass(passage, 'swing', 1).map((note) => note.midi)).toEqual(lines[0])
  })
})

describe('the chords', () => {
  test('every quality in every key: third and seventh (or what stands for them), in range, no semitone inside', () => {
    for (const quality of Object.keys(qualities))
      for (const root of roots) {
        const [chord] = tune(root + quality).chords
        const guides = guideDegrees(chord!.chord!).map((d) => (chromaOf(chord!.root!) + degreeChroma(d)) % 12)
        const voicings = voicingsOf(chord!)
        expect(voicings.length).toBeGreaterThan(0)
        for (const { notes } of voicings) {
          const chromas = notes.map((midi) => midi % 12)
          expect(chromas).toEqual(expect.arrayContaining(guides))
          expect(notes[0]).toBeGreaterThanOrEqual(chordRange.low)
          expect(notes.at(-1)).toBeLessThanOrEqual(chordRange.high)
          for (const [i, note] of notes.slice(1).entries()) expect(note - notes[i]!).toBeGreaterThanOrEqual(2)
          const allowed = [
            ...chord!.chord!.degrees.map((d) => (chromaOf(chord!.root!) + degreeChroma(d)) % 12),
            ...chord!.scale!.notes.map(chromaOf),
          ]
          expect(allowed).toEqual(expect.arrayContaining(chromas))
        }
      }
  })

  test('voices move little from chord to chord, in every key', () => {
    for (let up = 0; up < 12; up++) {
      const { chords } = passageOf({ text: form, meter: meters[0]!, up })
      const chosen = chooseVoicings(chords) as readonly (readonly number[])[]
      const motions = chosen.slice(1).map((voicing, i) => motionBetween(chosen[i]!, voicing))
      const mean = motions.reduce((a, b) => a + b, 0) / motions.length
      // Third to seventh moves by 0 to 2 semitones down a circle of fifths (Ligon's table), colours as much again.
      expect(mean).toBeLessThan(4)
      expect(Math.max(...motions)).toBeLessThanOrEqual(9)
    }
  })

  test('a stroke an eighth before a change has the new chord, and every chord is heard', () => {
    fc.assert(
      fc.property(anyTune, fc.constantFrom('swing', 'waltz', 'even'), fc.nat(), (given, feel, seed) => {
        const passage = passageOf(given, true)
        const { chords, next, bars } = passage
        const notes = voiceChords(passage, feel as 'swing', seed)
        const voicings = chooseVoicings([...chords, next!])
        const end = bars.at(-1)!.start + bars.at(-1)!.ticks
        const strokes = new Map(notes.map(({ start }) => [start, notes.filter((note) => note.start === start)]))
        for (const [start, group] of strokes) {
          const here = chords.findLastIndex((chord) => chord.start <= start)
          const change = chords[here + 1]?.start ?? end
          // A chord that lasts an eighth is played itself.
          const index = change - start === 12 && chords[here]!.start !== start ? here + 1 : here
          expect(group.map((note) => note.midi)).toEqual(voicings[index])
          for (const note of group) expect(note.start + note.ticks).toBeLessThanOrEqual(end)
        }
        for (const [i, chord] of chords.entries()) {
          if (!chord.root) continue
          const heard = [...strokes.keys()].some((at) => at >= chord.start - 12 && at < chord.start + chord.ticks)
          // The first chord may have been struck at the end of the last time round.
          expect(heard || (i === 0 && strokes.has(end - 12)), `${chord.symbol} at ${chord.start}`).toBe(true)
        }
      }),
      { numRuns: 150 },
    )
  })

  test('the Charleston and its relatives: strokes only where a rhythm has them', () => {
    const notes = voiceChords(passageOf({ text: form, meter: meters[0]!, up: 0 }), 'swing', 5)
    const places = new Set(notes.map((note) => note.start % 96))
    expect([...places].every((at) => [0, 12, 36, 48, 60, 84].includes(at))).toBe(true)
    expect(places.has(36)).toBe(true)
  })
})

describe('the drums', () => {
  const bar = (beats: number, unit: number) => ({
    bar: 1,
    start: 0,
    ticks: (beats * 96) / unit,
    meter: { beats, unit },
  })
  const at = (key: number, beats: number, unit: number, feel: Parameters<typeof playDrums>[1]) =>
    playDrums([bar(beats, unit)], feel, 1)
      .filter((note) => note.midi === key)
      .map((note) => note.start)

  // Common practice.
  test.each([
    ['ride in four: 1, 2 and, 3, 4 and', drum.ride, 4, 4, 'swing', [0, 24, 36, 48, 72, 84]],
    ['foot hat in four: 2 and 4', drum.foot, 4, 4, 'swing', [24, 72]],
    ['ride in three: 1, 2 and, 3', drum.ride, 3, 4, 'waltz', [0, 24, 36, 48]],
    ['foot hat in three: 2', drum.foot, 3, 4, 'waltz', [24]],
    ['foot hat in five, 3 + 2: 2 and 5', drum.foot, 5, 4, 'swing', [24, 96]],
    ['brushes in a ballad: every beat', drum.brush, 4, 4, 'ballad', [0, 24, 48, 72]],
    ['no ride in a ballad', drum.ride, 4, 4, 'ballad', []],
    ['even eighths on the hat', drum.hat, 4, 4, 'even', [0, 12, 24, 36, 48, 60, 72, 84]],
    ['six eighths on the hat', drum.hat, 6, 8, 'even', [0, 12, 24, 36, 48, 60]],
    ['a click has no drums', drum.ride, 4, 4, 'click', []],
  ] as const)('%s', (_, key, beats, unit, feel, expected) => {
    expect(at(key, beats, unit, feel)).toEqual(expected)
  })

  test('back beats', () => {
    expect(backBeats({ beats: 4, unit: 4 })).toEqual([24, 72])
    expect(backBeats({ beats: 7, unit: 4 })).toEqual([24, 72, 120])
    expect(backBeats({ beats: 6, unit: 8 })).toEqual([24, 60])
    expect(backBeats({ beats: 1, unit: 4 })).toEqual([])
  })
})

describe('the feel', () => {
  const four = { beats: 4, unit: 4 }
  test.each([
    ['Bossa nova', four, 130, 'even'],
    ['Straight eighths', four, 130, 'even'],
    ['Medium swing', four, 60, 'swing'],
    ['Ballad', four, 120, 'ballad'],
    ['Jazz waltz', { beats: 3, unit: 4 }, 150, 'waltz'],
    [null, { beats: 3, unit: 4 }, 150, 'waltz'],
    [null, { beats: 6, unit: 8 }, 150, 'even'],
    [null, four, 120, 'swing'],
    [null, four, 60, 'ballad'],
    ['Swinging latinate nonsense', four, 120, 'swing'],
  ] as const)('%s, %o at %d is %s', (style, meter, tempo, feel) => {
    expect(feelFor(style, meter, tempo)).toBe(feel)
  })
})

describe('the arrangement', () => {
  const line = lineOver(tune(form))
  const trackOf = (arrangement: Arrangement, part: Part) =>
    arrangement.tracks.find((track) => track.part === part)!.notes

  test('the count-in clicks every beat before the first bar; two bars count halves first', () => {
    const one = arrange(line, { countIn: 1 })
    expect(one.bars.map((bar) => bar.bar).slice(0, 3)).toEqual([0, 1, 2])
    expect(trackOf(one, 'count').map((note) => note.start)).toEqual([0, 24, 48, 72])
    expect(trackOf(one, 'bass')[0]!.start).toBe(96)
    const two = arrange(line, { countIn: 2 })
    expect(trackOf(two, 'count').map((note) => note.start)).toEqual([0, 48, 96, 120, 144, 168])
    expect(trackOf(arrange(line, { countIn: 0 }), 'count')).toEqual([])
  })

  test('the metronome is on 2 and 4; the plain click on every beat, and then no band', () => {
    const swing = arrange(line, { countIn: 0 })
    expect(
      trackOf(swing, 'click')
        .slice(0, 4)
        .map((note) => note.start),
    ).toEqual([24, 72, 120, 168])
    const click = arrange(line, { countIn: 0, feel: 'click' })
    expect(
      trackOf(click, 'click')
        .slice(0, 4)
        .map((note) => note.start),
    ).toEqual([0, 24, 48, 72])
    for (const part of ['bass', 'chords', 'drums'] as const) expect(trackOf(click, part)).toEqual([])
  })

  test('the line is the line: every sounding note, at its pitch, with the id of its written note', () => {
    const notes = trackOf(arrange(line, { countIn: 1 }), 'line')
    expect(notes.length).toBe(line.notes.filter((note) => note.pitch).length)
    expect(notes[0]!.id).toBe('n-1-0')
    expect(notes.every((note, i) => note.start === line.notes[i]!.start + 96)).toBe(true)
    expect(trackOf(arrange(line, { lineOut: true }), 'line')).toEqual([])
  })

  test('bars cut out are played alone, and a loop leads back to its own first bar', () => {
    const cut = arrange(line, { bars: [3, 4], countIn: 0, round: true })
    expect(cut.bars.map((bar) => [bar.bar, bar.start])).toEqual([
      [3, 0],
      [4, 96],
    ])
    expect(trackOf(cut, 'line')[0]!.id).toBe('n-3-0')
    const bass = trackOf(cut, 'bass')
    expect(bass[0]!.midi % 12).toBe(0)
    expect([1, 2, 10, 11]).toContain(bass.at(-1)!.midi % 12)
  })

  test('anything at all is arranged: every meter, feel and key, all notes inside their bars, the same twice', () => {
    fc.assert(
      fc.property(
        anyTune,
        fc.constantFrom(...feels, null),
        fc.integer({ min: 40, max: 320 }),
        fc.nat(),
        (given, feel, tempo, seed) => {
          const made = lineOver(tune(given.text, given))
          const options = { feel, tempo, seed, countIn: seed % 3 }
          const arrangement = arrange(made, options)
          const last = arrangement.bars.at(-1)!
          const end = last.start + last.ticks
          for (const { part, notes } of arrangement.tracks)
            for (const note of notes) {
              expect(note.start).toBeGreaterThanOrEqual(0)
              expect(note.ticks).toBeGreaterThan(0)
              expect(note.start).toBeLessThan(end)
              if (part !== 'drums' && part !== 'click') expect(note.start + note.ticks).toBeLessThanOrEqual(end)
              expect(note.velocity).toBeGreaterThan(0)
              expect(note.velocity).toBeLessThanOrEqual(1)
            }
          expect(arrange(made, options)).toEqual(arrangement)
        },
      ),
      { numRuns: 120 },
    )
  })
})
