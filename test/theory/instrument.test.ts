import { describe, expect, test } from 'vitest'
import { choices } from '../../lib/brief.ts'
import { type Instrument, instrumentOf, instruments, soundingPitch, writtenPitch } from '../../lib/theory/instrument.ts'
import { midiOf, nameOf, readPitch } from '../../lib/theory/pitch.ts'

/**
 * Sounding minus written, put as MusicXML 4.0's `<transpose>` does: diatonic steps, chromatic semitones, octaves apart. The
 * transpositions are the instruments' usual names ("in B flat", "in F"): common practice, from memory.
 */
const transposing: readonly [string, number, number, number][] = [
  ['sopranino-sax', 2, 3, 0],
  ['soprano-sax', -1, -2, 0],
  ['alto-sax', -5, -9, 0],
  ['tenor-sax', -1, -2, -1],
  ['baritone-sax', -5, -9, -1],
  ['bass-sax', -1, -2, -2],
  ['clarinet', -1, -2, 0],
  ['bass-clarinet', -1, -2, -1],
  ['trumpet', -1, -2, 0],
  ['flugelhorn', -1, -2, 0],
  ['horn', -4, -7, 0],
  ['guitar', 0, 0, -1],
  ['double-bass', 0, 0, -1],
  ['electric-bass', 0, 0, -1],
]

describe('transposition', () => {
  test.each(transposing)('%s', (id, diatonic, chromatic, octaves) => {
    const expected = { steps: diatonic + 7 * octaves, semitones: chromatic + 12 * octaves }
    expect(instrumentOf(id)?.transposition).toEqual(expected)
  })

  test('every other instrument reads what sounds', () => {
    const moved = instruments.filter((each) => each.transposition.semitones !== 0).map((each) => each.id)
    expect([...moved].sort()).toEqual(transposing.map(([id]) => id).sort())
  })

  /** What each reads for concert C4. Common practice, from memory. */
  test.each([
    ['sopranino-sax', 'A3'],
    ['alto-sax', 'A4'],
    ['tenor-sax', 'D5'],
    ['baritone-sax', 'A5'],
    ['bass-sax', 'D6'],
    ['horn', 'G4'],
    ['guitar', 'C5'],
    ['flute', 'C4'],
    ['tenor-voice', 'C4'],
  ])('%s reads concert C4 as %s', (id, written) => {
    const instrument = instrumentOf(id) as Instrument
    const read = writtenPitch(instrument, readPitch('C4')!)
    expect(nameOf(read)).toBe(written)
    expect(nameOf(soundingPitch(instrument, read))).toBe('C4')
  })
})

describe('ranges', () => {
  test.each(instruments.map((each) => [each.id, each] as const))('%s', (_, { range, comfortable }) => {
    const [low, high] = range.map(midiOf)
    const [from, to] = comfortable.map(midiOf)
    expect(from).toBeGreaterThanOrEqual(low!)
    expect(to).toBeLessThanOrEqual(high!)
    // A line needs an octave and a fourth or so to turn round in.
    expect(to! - from!).toBeGreaterThanOrEqual(17)
  })

  /** Lowest notes that the instrument's build fixes, sounding. Common practice, from memory. */
  test.each([
    ['alto-sax', 'Db3'],
    ['tenor-sax', 'Ab2'],
    ['baritone-sax', 'C2'],
    ['flute', 'C4'],
    ['trumpet', 'E3'],
    ['trombone', 'E2'],
    ['bassoon', 'Bb1'],
    ['violin', 'G3'],
    ['viola', 'C3'],
    ['cello', 'C2'],
    ['guitar', 'E2'],
    ['double-bass', 'E1'],
  ])('%s goes down to %s', (id, lowest) => {
    const instrument = instrumentOf(id) as Instrument
    expect(midiOf(soundingPitch(instrument, instrument.range[0]))).toBe(midiOf(readPitch(lowest)!))
  })
})

test('ids are kebab case, each once, and are what the brief accepts', () => {
  const ids = instruments.map((each) => each.id)
  expect(new Set(ids).size).toBe(ids.length)
  expect(ids.filter((id) => !/^[a-z]+(-[a-z]+)*$/.test(id))).toEqual([])
  expect(ids.filter((id) => !('value' in choices.instrument.read(id)))).toEqual([])
  expect(choices.instrument.read('kazoo')).toHaveProperty('expected')
})

test('a class set has a part for everyone', () => {
  const treble = instruments.filter((each) => each.group !== 'bass clef' && each.clef === 'bass').map((each) => each.id)
  expect(treble).toEqual([])
  const wrong = instruments.filter(({ group, transposition }) => {
    const key = { C: 0, Bb: 10, Eb: 3, F: 5, 'bass clef': 0 }[group]
    return ((transposition.semitones % 12) + 12) % 12 !== key
  })
  expect(wrong.map((each) => each.id)).toEqual([])
})
