/** A class set: one line handed out to many instruments, the same music at the same bar numbers, and a concert score. */

import type { Brief, BriefProblem } from '../brief.ts'
import { bestPath, type Edge } from '../lattice/lattice.ts'
import type { Line } from '../line/line.ts'
import { type Instrument, instrumentOf, type PartGroup, partGroups, soundingPitch } from '../theory/instrument.ts'
import { keyName } from '../theory/key.ts'
import { midiOf, nameOf, type Pitch, readPitch, spanOf } from '../theory/pitch.ts'

/** A part that whoever plays in its key and clef can read, in the range that they share. Common practice, from memory. */
function groupPart(
  group: PartGroup,
  name: string,
  model: string,
  range: readonly [string, string],
  comfortable: readonly [string, string],
): Instrument {
  const pair = ([low, high]: readonly [string, string]): [Pitch, Pitch] => [readPitch(low)!, readPitch(high)!]
  const { transposition, clef, family, program } = instrumentOf(model)!
  const id = `part-${group.replace(' ', '-').toLowerCase()}`
  return { id, name, family, group, clef, transposition, range: pair(range), comfortable: pair(comfortable), program }
}

/** One part for each group of a class. */
export const groupParts: Readonly<Record<PartGroup, Instrument>> = {
  C: groupPart('C', 'C instruments', 'flute', ['C4', 'D6'], ['C4', 'A5']),
  Bb: groupPart('Bb', 'B♭ instruments', 'trumpet', ['Bb3', 'C6'], ['C4', 'A5']),
  Eb: groupPart('Eb', 'E♭ instruments', 'alto-sax', ['Bb3', 'D6'], ['C4', 'A5']),
  F: groupPart('F', 'F instruments', 'horn', ['A3', 'C6'], ['C4', 'G5']),
  'bass clef': groupPart('bass clef', 'Bass clef instruments', 'trombone', ['E2', 'G4'], ['F2', 'E4']),
}

/** The score for whoever teaches: at concert pitch, in the octave that it is read in. */
export const concertScore: Instrument = {
  ...groupPart('C', 'Concert score', 'piano', ['F3', 'E6'], ['A3', 'C6']),
  id: 'concert-score',
}

/** The parts of a set unless others are named: C, B flat, E flat and bass clef. */
export const usualParts: readonly Instrument[] = (['C', 'Bb', 'Eb', 'bass clef'] as const).map(
  (each) => groupParts[each],
)

const isGroup = (name: string): name is PartGroup => (partGroups as readonly string[]).includes(name)

/**
 * The parts of a class set by their names, groups and instruments; the usual ones where none are named.
 *
 * @example
 * askedParts({ parts: ['Bb', 'alto-sax'] }).map((part) => part.name) // => ['B♭ instruments', 'Alto saxophone']
 * askedParts({ parts: [] }).length // => 4
 */
export const askedParts = ({ parts }: Pick<Brief, 'parts'>): readonly Instrument[] =>
  parts.length === 0 ? usualParts : parts.map((name) => (isGroup(name) ? groupParts[name] : instrumentOf(name)!))

/** The parts of a class set that no octave fits: which bars, what they need and what the instrument has. */
export function unfitParts(lines: readonly Line[], brief: Pick<Brief, 'parts'>): readonly BriefProblem[] {
  return brief.parts.length === 0 ? [] : unfitAmong(lines, askedParts(brief))
}

/** The same of parts at hand. */
export function unfitAmong(lines: readonly Line[], parts: readonly Instrument[]): readonly BriefProblem[] {
  return parts.flatMap((part): readonly BriefProblem[] => {
    for (const line of lines) {
      const fitted = lineFor(line, part)
      if (!('unfit' in fitted)) continue
      const { bars, needs, has } = fitted.unfit
      const where = bars[0] === bars[1] ? `bar ${bars[0]}` : `bars ${bars[0]} to ${bars[1]}`
      const found = `${part.name} in ${keyName(line.key)}, where ${where} would reach from ${needs}`
      const hint = 'narrow the written range, or leave this part out'
      return [
        {
          severity: 'error',
          code: 'part-out-of-range',
          choice: 'parts',
          span: { start: 0, end: 0 },
          found,
          expected: `notes from ${has}`,
          hint,
        },
      ]
    }
    return []
  })
}

/** What no octave of a part holds: the bars, what is needed and what there is, written. */
export interface Unfit {
  readonly bars: readonly [number, number]
  readonly needs: string
  readonly has: string
}

/** Nats for each change of octave inside the line; less where a rest or a landing makes a natural joint. */
const foldCost = { inside: 8, target: 3, rest: 1 }
const octaves = [0, -12, 12, -24, 24, -36, 36]

/**
 * The same line for another instrument: its notes by letter and bar, in the octave that the part reads with ease, else in its
 * whole range, phrases folded by an octave where no single octave holds them all.
 *
 * @returns the line with the bars at which its octave changes, or what does not fit
 */
export function lineFor(
  line: Line,
  part: Instrument,
): { readonly line: Line; readonly folds: readonly number[] } | { readonly unfit: Unfit } {
  const shifts = shiftsFor(line, part)
  if (!shifts) return { unfit: unfitOf(line, part) }
  const moved = (pitch: Pitch, shift: number): Pitch => ({ ...pitch, octave: pitch.octave + shift / 12 })
  const starts = new Map(line.notes.map((note, index) => [note.start, shifts[index]!]))
  const notes = line.notes.map((note, index) => ({ ...note, pitch: note.pitch && moved(note.pitch, shifts[index]!) }))
  const targets = line.targets.map((target) => ({
    ...target,
    pitch: moved(target.pitch, starts.get(target.start) ?? 0),
  }))
  const folds = line.notes.flatMap(({ bar }, index) => (index > 0 && shifts[index] !== shifts[index - 1] ? [bar] : []))
  const said = [...new Set(folds)]
  const relaxed = said.map((bar) => ({
    rule: 'one octave',
    bar,
    why: `goes on in another octave, to fit ${part.name}`,
  }))
  return { line: { ...line, instrument: part, notes, targets, relaxed: [...line.relaxed, ...relaxed] }, folds: said }
}

const soundingRange = (part: Instrument, range: readonly [Pitch, Pitch]): readonly [number, number] => [
  midiOf(soundingPitch(part, range[0])),
  midiOf(soundingPitch(part, range[1])),
]

/** By how many semitones each note moves, rests with the note before them; null where no octaves do. */
function shiftsFor(line: Line, part: Instrument): readonly number[] | null {
  const notes = line.notes.flatMap((note, index) => (note.pitch ? [{ ...note, index, midi: midiOf(note.pitch) }] : []))
  const holds = ([low, high]: readonly [number, number], midi: number) => midi >= low && midi <= high
  for (const range of [part.comfortable, part.range].map((each) => soundingRange(part, each))) {
    const whole = octaves.find((shift) => notes.every(({ midi }) => holds(range, midi + shift)))
    if (whole !== undefined) return line.notes.map(() => whole)
  }
  const range = soundingRange(part, part.range)
  const path = bestPath({
    sizes: notes.map(() => octaves.length),
    nodeCost: (at, octave) =>
      holds(range, notes[at]!.midi + octaves[octave]!) ? 0.01 * Math.abs(octaves[octave]!) : Number.POSITIVE_INFINITY,
    edges: (at, octave) => {
      const [note, next] = [notes[at]!, notes[at + 1]]
      if (!next) return []
      const rest = next.index > note.index + 1
      const cost = rest ? foldCost.rest : next.role === 'target' ? foldCost.target : foldCost.inside
      return octaves.flatMap((shift, to): Edge[] => {
        if (to === octave) return [{ layer: at + 1, node: to, cost: 0 }]
        const leap = Math.abs(next.midi + shift - note.midi - octaves[octave]!)
        // An approach stays whole, with the target that it leads to.
        if (note.role === 'approach' || (!rest && leap > 12)) return []
        return [{ layer: at + 1, node: to, cost: cost + leap / 12 }]
      })
    },
  })
  if (!path) return null
  const byNote = new Map(path.steps.map(({ layer, node }) => [notes[layer]!.index, octaves[node]!]))
  let last = 0
  return line.notes.map((_, index) => {
    last = byNote.get(index) ?? last
    return last
  })
}

/** The first stretch that no octave holds: an approach with its target, else the whole line, where it leaps too far. */
function unfitOf(line: Line, part: Instrument): Unfit {
  const [low, high] = soundingRange(part, part.range)
  const range = part.range.map((pitch) => nameOf(pitch)).join(' to ')
  let stretch: { bar: number; midi: number }[] = []
  for (const { bar, pitch, role } of line.notes) {
    if (!pitch) continue
    stretch.push({ bar, midi: midiOf(pitch) })
    if (role === 'approach') continue
    const found = said(stretch)
    if (!octaves.some((shift) => found.low + shift >= low && found.high + shift <= high)) return found.unfit
    stretch = []
  }
  return said(line.notes.flatMap(({ bar, pitch }) => (pitch ? [{ bar, midi: midiOf(pitch) }] : []))).unfit

  function said(some: readonly { bar: number; midi: number }[]) {
    const [lowest, highest] = spanOf(some.map((each) => each.midi))
    const unfit: Unfit = {
      bars: spanOf(some.map((each) => each.bar)),
      needs: `a range of ${highest - lowest} semitones or more`,
      has: `${range}, ${high - low} semitones`,
    }
    return { low: lowest, high: highest, unfit }
  }
}
