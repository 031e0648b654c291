/** Held against programs and counts that are not ours: MEI that Verovio makes of MusicXML and ABC, MIDI that it plays, and a recount by hand-written loops. */
import { describe, expect, test } from 'vitest'
import { readBrief } from '../../lib/brief.ts'
import { loadEngraver } from '../../lib/engrave/engraver.ts'
import type { Line } from '../../lib/line/line.ts'
import { writeLines } from '../../lib/lines/write.ts'
import { countFigures } from '../../lib/mark/countFigures.ts'
import { isFaulty, type MarkedFile, markFile, usualMarking } from '../../lib/mark/mark.ts'
import { degreeChroma, numberOf } from '../../lib/theory/degree.ts'
import { chromaOf, midiOf } from '../../lib/theory/pitch.ts'
import { countedApproaches } from '../solos.ts'
import { bytesOf } from './writtenLine.ts'

const changes = 'Key: Eb\n| Fm7 | Bb7 | Ebmaj7 | C7b9 | Fm7 | Bb7 | Eb6 | Db7 |'
const drawn = (given: Record<string, string>) => {
  const { brief } = readBrief({ changes, ...given })
  return { brief, line: writeLines(brief).lines[0]! }
}
const read = (bytes: Uint8Array, choices = usualMarking): MarkedFile => {
  const marked = markFile({ name: 'a', bytes }, choices)
  if (isFaulty(marked)) throw new Error(JSON.stringify(marked.problems))
  return marked
}
const soundOf = ({ notes }: Line) =>
  notes.flatMap(({ start, ticks, pitch }) => (pitch ? [`${start} ${ticks} ${midiOf(pitch)}`] : []))
const text = (bytes: Uint8Array) => new TextDecoder().decode(bytes)

describe('as Verovio writes it', () => {
  test.each(['flute', 'alto-sax', 'trombone'])(
    'MEI from the MusicXML of %s: the same notes and chords',
    async (instrument) => {
      const { brief, line } = drawn({ instrument, every: 'half' })
      const { toolkit } = await loadEngraver()
      toolkit.setOptions({ inputFrom: 'musicxml' })
      toolkit.loadData(text(bytesOf(line, brief, 'musicxml')))
      const mei = toolkit.getMEI({})
      toolkit.setOptions({ inputFrom: 'auto' })
      const marked = read(new TextEncoder().encode(mei))
      expect(soundOf(marked.line)).toEqual(soundOf(line))
      expect(marked.line.harmony.chords.map(({ start, root }) => `${start} ${root && chromaOf(root)}`)).toEqual(
        line.harmony.chords.map(({ start, root }) => `${start} ${root && chromaOf(root)}`),
      )
    },
  )

  test('MIDI that it plays from our MEI, over changes given beside it: the same notes', async () => {
    const { brief, line } = drawn({ instrument: 'flute' })
    const { toolkit } = await loadEngraver()
    toolkit.loadData(text(bytesOf(line, brief, 'mei')))
    const bytes = Uint8Array.from(Buffer.from(toolkit.renderToMIDI(), 'base64'))
    const chart = (await import('../../lib/changes/typed/readChart.ts')).readChart(changes)
    expect(soundOf(read(bytes, { ...usualMarking, changes: chart }).line)).toEqual(soundOf(line))
  })
})

/** The classes as the README of the counts defines them, written out anew. */
function classOf(offsets: readonly number[]): string {
  const path = [...offsets, 0]
  const moves = path.slice(1).map((to, i) => to - path[i]!)
  const up = moves.every((move) => move > 0)
  const down = moves.every((move) => move < 0)
  const sides = new Set(offsets.map(Math.sign))
  if (sides.has(1) && sides.has(-1) && Math.max(...offsets.map(Math.abs)) <= 3) return 'enclosure'
  if ((up || down) && moves.every((move) => Math.abs(move) === 1)) return 'chromatic'
  if ((up || down) && moves.every((move) => Math.abs(move) <= 2)) return 'scale'
  return moves.every((move) => Math.abs(move) >= 3) ? 'arpeggio' : 'mixed'
}

test('the classes of the recount are those of the counts', () => {
  const wrong = [...countedApproaches].filter(
    ([offsets, { kind }]) => classOf(offsets.split(' ').map(Number)) !== kind.replace('scalar', 'scale'),
  )
  expect(wrong).toEqual([])
})

test('a recount by loops over onsets finds the same approaches, windows and targets', () => {
  for (let seed = 1; seed <= 20; seed++) {
    const { brief, line } = drawn({
      instrument: 'flute',
      seed: String(seed),
      approach: 'enclosure,chromatic,scale,arpeggio',
      rhythm: 'phrased',
    })
    const marked = read(bytesOf(line, brief, 'musicxml'), { ...usualMarking, byRules: true })
    const notes = line.notes.flatMap(({ start, pitch }) => (pitch ? [{ start, midi: midiOf(pitch) }] : []))
    const longest = new Map<string, number>()
    const windows = new Map<string, number>()
    const add = (counts: Map<string, number>, offsets: readonly number[]) =>
      counts.set(offsets.join(' '), (counts.get(offsets.join(' ')) ?? 0) + 1)
    const taken = new Set(marked.line.targets.map(({ start }) => start))
    notes.forEach(({ start, midi }, i) => {
      if (start % 48 !== 0) return
      const { root, chord } = line.harmony.chords.findLast((each) => each.start <= start)!
      const tones = chord!.degrees
        .filter((degree) => numberOf(degree) <= 7)
        .map((degree) => (chromaOf(root!) + degreeChroma(degree)) % 12)
      if (!tones.includes(midi % 12)) return
      let best: readonly number[] | null = null
      let free = true
      for (let k = 1; k <= 4 && i - k >= 0; k++) {
        if (notes[i - k + 1]!.start - notes[i - k]!.start !== 12) break
        const offsets = notes.slice(i - k, i).map((note) => note.midi - midi)
        add(windows, offsets)
        free &&= !taken.has(notes[i - k]!.start)
        if (free && classOf(offsets) !== 'mixed') best = offsets
      }
      if (best) add(longest, best)
    })
    const found = countFigures([marked])
    expect(new Map(found.approaches.map(({ offsets, count }) => [offsets.join(' '), count]))).toEqual(longest)
    expect(new Map(found.windows.map(({ offsets, count }) => [offsets.join(' '), count]))).toEqual(windows)
  }
})
