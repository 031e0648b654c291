/** A line written in any format and read back: the same notes and chords; where the rules speak alone, how far roles agree, and why not. */
import fc from 'fast-check'
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { chordIndexAt } from '../../lib/line/chooseTargets.ts'
import type { Line } from '../../lib/line/line.ts'
import { isChordTone, strongPlaces } from '../../lib/line/recognise.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { isFaulty, type MarkedFile, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { pitchClassesOf } from '../../lib/theory/chord.ts'
import { instruments } from '../../lib/theory/instrument.ts'
import { chromaOf, midiOf } from '../../lib/theory/pitch.ts'
import { bytesOf, type Format, formats } from './writtenLine.ts'

/** Invented tunes in several meters. */
const tunes: readonly string[] = [
  'Key: F\n[A] | Fmaj7 D7 | Gm7 C7 | Am7 D7b9 | Gm7 C7 |\n[B] | Cm7 | F7 | Bbmaj7 | Eb9#11 | F6 | Gm7 C7sus4 |',
  'Key: Cm\n| Cm7 | Fm7 | Cm6 | C7alt | Fm7 | Ab7 | G7#9 | Dm7b5 G7b9 |',
  'Time: 3/4\nKey: Eb\n| Ebmaj7 | Abm7 Db7 | Gbmaj7 | F#m7 B7 | Emaj7 | Fm7 | Bb7sus4 Bb7 | Eb6 |',
  'Time: 6/8\nKey: D\n| Dmaj7 | Em7 A7 | Dmaj7 | B7b9 |',
  'Time: 5/4\nKey: G\n| Gmaj7 | Am7 D7 | Bm7 E7 | Am7 D7 |',
  'Key: Bb\n|: Bbmaj7 G7 | Cm7 F7 :| Ebmaj7 | Edim7 | N.C. | Bb6 |',
]

function drawn(given: Readonly<Record<string, string>>): { line: Line; brief: ReturnType<typeof readBrief>['brief'] } {
  const { brief, problems } = readBrief(given)
  expect(problems).toEqual([])
  const { lines, choiceProblems } = writeLines(brief)
  expect(choiceProblems).toEqual([])
  return { line: lines[0]!, brief }
}

function read(bytes: Uint8Array, name: string, byRules = false): MarkedFile {
  const marked = markFile({ name, bytes }, { ...usualMarking, byRules })
  if (isFaulty(marked)) throw new Error(`${name}: ${JSON.stringify(marked.problems)}`)
  return marked
}

const soundOf = ({ notes }: Line) =>
  notes.flatMap(({ bar, start, ticks, pitch }) => (pitch ? [{ bar, start, ticks, midi: midiOf(pitch) }] : []))
const chordsOf = ({ harmony }: Line) =>
  harmony.chords.map(({ start, ticks, root, chord, bass }) => {
    // By sound: a part's D sharp may come back as E flat.
    const sound = [root && chromaOf(root), chord && pitchClassesOf(chord), bass && chromaOf(bass)]
    return `${start} ${ticks} ${JSON.stringify(sound)}`
  })
const marksOf = ({ targets, figures, harmony }: Line, degrees: boolean) => ({
  targets: targets.map(({ start, degree }) => `${start} ${degrees ? degree : ''}`),
  // An idea that comes back is told of a drawing, not of what is on the paper.
  figures: figures
    .filter(({ kind }) => kind !== 'motif')
    .map(({ kind, start, offsets }) => `${kind} ${start} ${offsets.join(' ')}`),
  bars: harmony.bars.length,
})

const anyBrief = fc.record({
  changes: fc.constantFrom(...tunes),
  instrument: fc.constantFrom(...instruments.map(({ id }) => id)),
  key: fc.constantFrom('C', 'Db', 'D', 'Eb', 'E', 'F', 'Gb', 'G', 'Ab', 'A', 'Bb', 'B'),
  every: fc.constantFrom('half', 'strong', 'bar'),
  approach: fc.constantFrom('enclosure,chromatic', 'enclosure,chromatic,scale,arpeggio', 'enclosure'),
  rhythm: fc.constantFrom('eighths', 'phrased', 'triplets'),
  on: fc.constantFrom('1', '1', '3', '4&'),
  pickup: fc.constantFrom('no', 'no', 'yes'),
  seed: fc.integer({ min: 1, max: 1000 }).map(String),
})

describe('written and read back', () => {
  test.each(formats)('%s: the same notes, chords, targets and figures', (format: Format) => {
    fc.assert(
      fc.property(anyBrief, (given) => {
        const { line, brief } = drawn(given)
        const marked = read(bytesOf(line, brief, format), format)
        expect(soundOf(marked.line)).toEqual(soundOf(line))
        expect(chordsOf(marked.line)).toEqual(chordsOf(line))
        // A text does not say for which chord a target comes early.
        const degrees = format !== 'text'
        expect(marksOf(marked.line, degrees)).toEqual(marksOf(line, degrees))
        expect(marked.line.instrument.transposition.semitones).toBe(line.instrument.transposition.semitones)
        if (format !== 'abc') expect(marked.line.instrument.id).toBe(line.instrument.id)
      }),
      { numRuns: 40 },
    )
  })
})

describe('a pickup as long as a bar', () => {
  const changes = 'Time: 2/4\nKey: Ebm\n|: Dbm7 | Bbm7 Dbm6 | Abm7 | G6 |1. Bm6 :|2. Eb6 |'

  test.each(formats)('%s: stands before bar 1', (format: Format) => {
    const { line, brief } = drawn({ changes, pickup: 'yes', every: 'half', instrument: 'viola', seed: '578' })
    expect(line.notes.filter(({ bar }) => bar === 0).reduce((sum, { ticks }) => sum + ticks, 0)).toBe(48)
    const marked = read(bytesOf(line, brief, format), format)
    expect(soundOf(marked.line)).toEqual(soundOf(line))
    expect(marksOf(marked.line, true)).toEqual(marksOf(line, true))
  })

  test('in a score of others, too, whose first measure says that it is implicit', () => {
    const { line, brief } = drawn({ changes, pickup: 'yes', every: 'half', instrument: 'viola', seed: '578' })
    const text = new TextDecoder().decode(bytesOf(line, brief, 'musicxml'))
    const others = text.replace(/<miscellaneous>.*<\/miscellaneous>/, '')
    expect(soundOf(read(new TextEncoder().encode(others), 'others.musicxml').line)).toEqual(soundOf(line))
  })
})

test.each([
  ['under a chord', '1  G7   C4:8\n2  Dm7\n3  C    E4:4'],
  ['under none', '1  G7    C4:8\n2  N.C.\n3  C     E4:4'],
  ['in a meter of its own', '1  G7      C4:7\n2  3/4 Dm7\n3  4/4 C   E4:4'],
])('a bar through which a note is held has no notes of its own: %s', (_, rows) => {
  const text = `C major concert, Flute, written\n${rows}\n`
  const { line } = read(new TextEncoder().encode(text), 'a.txt')
  expect(line.harmony.bars.length).toBe(3)
  expect(line.notes.map(({ bar }) => bar)).toEqual([1, 3])
})

/** What may make a role read by the rules differ from the one drawn. */
const reasons = [
  'a target that was drawn stands off the strong beats, or is no chord tone',
  'a chord tone happens to stand on a strong beat',
  'the run into a target is longer than the approach drawn',
  'the approach drawn was of no kind, or reaches over a target, a break or another value',
  'a cell arises where an approach was drawn, or gives way to one',
] as const

describe('by the rules alone', () => {
  test.each([
    ['drills with a target on every strong beat', { every: 'half' }],
    ['solo lines', { approach: 'enclosure,chromatic,scale,arpeggio', rhythm: 'phrased' }],
  ])('%s: notes keep their roles, or a rule says why not', (name, choices) => {
    const tally = { same: 0, all: 0 }
    const why = new Map<string, number>()
    for (const changes of tunes)
      for (let seed = 1; seed <= 12; seed++) {
        const { line, brief } = drawn({ changes, seed: String(seed), ...choices })
        const marked = read(bytesOf(line, brief, 'text'), 'text', true)
        expect(soundOf(marked.line)).toEqual(soundOf(line))
        const drawnRole = new Map(line.notes.map(({ start, role }) => [start, role]))
        const targets = new Set(marked.line.targets.map(({ start }) => start))
        const wanted = new Set(line.targets.map(({ start }) => start))
        for (const { start, role, pitch } of marked.line.notes) {
          if (!pitch) continue
          tally.all += 1
          const was = drawnRole.get(start)!
          if (was === role) {
            tally.same += 1
            continue
          }
          const reason =
            was === 'target'
              ? reasons[0]
              : targets.has(start) && !wanted.has(start)
                ? reasons[1]
                : role === 'approach'
                  ? reasons[2]
                  : was === 'approach'
                    ? reasons[3]
                    : reasons[4]
          why.set(reason, (why.get(reason) ?? 0) + 1)
          // A target that was drawn is lost only where the rules ask for more than a drawn line does.
          if (was === 'target') {
            const strong = strongPlaces(line.harmony).has(start)
            const chord = line.harmony.chords[chordIndexAt(line.harmony, start)]!
            expect(strong && isChordTone(chord, midiOf(pitch))).toBe(false)
          }
        }
      }
    const percent = Math.round((100 * tally.same) / tally.all)
    const told = [...why].map(([reason, count]) => `${count}: ${reason}`).join('\n  ')
    console.info(`${name}: ${percent} % of ${tally.all} roles the same\n  ${told}`)
    expect(tally.same / tally.all).toBeGreaterThan(0.6)
  })
})
