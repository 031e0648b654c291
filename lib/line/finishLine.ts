/** From a line in numbers to a finished one: every note spelled, with its degree, its role and its figure named. */
import type { Harmony, HarmonyChord } from '../harmony/harmony.ts'
import { type Degree, degreeChroma, degreeOf, numberOf } from '../theory/degree.ts'
import type { Instrument } from '../theory/instrument.ts'
import { chromaOf, modulo, type Pitch } from '../theory/pitch.ts'
import type { Draft } from './draftLine.ts'
import { approachCount, approachName, cellOf } from './figures.ts'
import type { Line, LineFigure, LineNote, LineTarget, Role } from './line.ts'
import type { Motif } from './motifs.ts'
import { eighth } from './planRhythm.ts'
import { stepsFrom } from './recognise.ts'
import { leadingOn, noteOfGoal, spellNotes } from './spellLine.ts'

/** A note or rest before it is spelled. */
interface Plain {
  readonly bar: number
  readonly start: number
  readonly ticks: number
  readonly midi: number | null
  readonly chord: number
  readonly role: Role
  readonly figure: number | null
  readonly target: number | null
}

/** Finishes a draft over the harmony of the key it stands in, moved by so many semitones (an octave fold a note where given). */
export function finishLine(
  harmony: Harmony,
  instrument: Instrument,
  draft: Draft,
  spelling: 'easy' | 'strict',
  shift: (note: number) => number = () => 0,
): Line {
  const { figures, plain } = readFigures(harmony, draft, shift)
  const goal = draft.leadsTo
  const led = goal ? leadingOn(harmony, goal.chord) : harmony
  const pitches = spellNotes(goal ? [...plain, noteOfGoal(goal.midi, led)] : plain, led, { spelling })
  const notes: LineNote[] = plain.map(({ bar, start, ticks, midi, chord, role, figure, target }, i) => {
    const pitch = pitches[i] ?? null
    const heard = harmony.chords[chord]
    const own = midi === null ? null : degreeIn(heard, pitch)
    const degree = target === null ? own : draft.targets[target]!.degree || landingIn(heard, own)
    return { bar, start, ticks, pitch, role, degree, figure }
  })
  const targets: LineTarget[] = []
  let last: number | null = null
  plain.forEach(({ bar, start, target, chord }, i) => {
    const note = notes[i]!
    if (target === null || !note.pitch || note.degree === null) return
    const midi = plain[i]!.midi!
    targets.push({
      bar,
      start,
      pitch: note.pitch,
      degree: note.degree,
      chord,
      reason: reasonFor(last === null ? null : midi - last, note.degree, harmony.chords[chord]!.symbol),
    })
    last = midi
  })
  const bars = [1, harmony.bars.length] as const
  const leadsTo = goal ? { pitch: pitches.at(-1)!, chord: goal.chord } : null
  return { key: harmony.key, instrument, harmony, bars, targets, figures, notes, leadsTo, relaxed: draft.relaxed }
}

/** Why a target is what it is: its degree, and its motion from the one before. */
export function reasonFor(motion: number | null, degree: Degree, symbol: string): string {
  const what = `the ${degree} of ${symbol}`
  if (motion === null) return `${what}, where the line starts`
  if (motion === 0) return `${what}, a common tone with the last target`
  const size = Math.abs(motion)
  const names = [
    '',
    'a half step',
    'a whole step',
    'a minor third',
    'a major third',
    'a fourth',
    'a tritone',
    'a fifth',
  ]
  return `${what}, ${names[size] ?? `${size} semitones`} ${motion > 0 ? 'above' : 'below'} the last target`
}

/** Gives every moment its note, role and figure: approaches as drawn, cells as they arose. */
function readFigures(
  harmony: Harmony,
  draft: Draft,
  shift: (note: number) => number,
): { readonly figures: readonly LineFigure[]; readonly plain: readonly Plain[] } {
  const { moments, notes, figures: drawn } = draft
  const noteAt = new Map(notes.map((note, i) => [note.moment, i]))
  const figures: LineFigure[] = []
  const approachFigure = new Map<number, number>()
  const cellAt = new Map<number, number>()
  const motifAt = new Map(draft.motifs?.map((motif) => [motif.from, motif]))
  moments.forEach((moment, m) => {
    const n = noteAt.get(m)
    const note = n === undefined ? undefined : notes[n]!
    const motif = motifAt.get(m)
    if (motif) figures.push(motifFigure(draft, motif, noteAt, shift))
    if (
      note?.figure !== null &&
      note?.figure !== undefined &&
      drawn[note.figure]!.kind === 'approach' &&
      !approachFigure.has(note.figure)
    ) {
      const { target, offsets } = drawn[note.figure]!
      approachFigure.set(note.figure, figures.length)
      figures.push({
        kind: 'approach',
        name: approachName(offsets),
        bar: moment.bar,
        start: moment.start,
        offsets,
        count: approachCount(offsets),
        target,
      })
    }
    if (moment.target === null || n === undefined) return
    const cell = cellFrom(harmony, draft, m, noteAt, shift)
    if (!cell) return
    for (let i = 0; i < 4; i++) cellAt.set(m + i, figures.length)
    figures.push({ kind: 'cell', bar: moment.bar, start: moment.start, target: moment.target, ...cell })
  })
  const plain = moments.map((moment, m): Plain => {
    const { bar, start, ticks, chord, target } = moment
    const n = noteAt.get(m)
    const note = n === undefined ? undefined : notes[n]!
    if (!note || n === undefined)
      return { bar, start, ticks, midi: null, chord, role: 'rest', figure: null, target: null }
    const midi = note.midi + shift(n)
    const cell = cellAt.get(m) ?? null
    if (target !== null) return { bar, start, ticks, midi, chord, role: 'target', figure: cell, target }
    const approach = note.figure === null ? undefined : approachFigure.get(note.figure)
    if (approach !== undefined) return { bar, start, ticks, midi, chord, role: 'approach', figure: approach, target }
    return { bar, start, ticks, midi, chord, role: cell === null ? 'connect' : 'cell', figure: cell, target }
  })
  return { figures, plain }
}

/** What comes back, as a figure: from its first note, called by the bar in which it was first played. */
function motifFigure(
  { moments, notes, targets }: Draft,
  { from, origin, notes: count }: Motif,
  noteAt: ReadonlyMap<number, number>,
  shift: (note: number) => number,
): LineFigure {
  const { bar, start } = moments[from]!
  const pitches = Array.from({ length: count }, (_, i) => {
    const n = noteAt.get(from + i)!
    return notes[n]!.midi + shift(n)
  })
  const next = targets.findIndex((target) => target.start >= start)
  const first = moments[origin]!
  return {
    kind: 'motif',
    name: `motif of bar ${first.bar}`,
    bar,
    start,
    offsets: pitches.map((midi) => midi - pitches[0]!),
    count: 0,
    target: next < 0 ? Math.max(0, targets.length - 1) : next,
    origin: { bar: first.bar, start: first.start },
  }
}

/**
 * The cell that a target starts: itself and three more eighths before the next approach, all in the chord's scale, and counted.
 * Only the last note of a cell drawn as a whole may be held.
 */
function cellFrom(
  harmony: Harmony,
  draft: Draft,
  moment: number,
  noteAt: ReadonlyMap<number, number>,
  shift: (note: number) => number,
): { readonly name: string; readonly offsets: readonly number[]; readonly count: number } | null {
  const drawn = draft.figures
  const drawnAs = (figure: number | null, kind: 'approach' | 'cell') => figure !== null && drawn[figure]!.kind === kind
  const four = [0, 1, 2, 3].map((i) => ({ moment: draft.moments[moment + i], i }))
  const pitches: number[] = []
  for (const { moment: each, i } of four) {
    const n = noteAt.get(moment + i)
    const note = n === undefined ? undefined : draft.notes[n]!
    if (
      !each ||
      n === undefined ||
      !note ||
      (i < 3 && each.ticks !== eighth) ||
      (i > 0 && (drawnAs(note.figure, 'approach') || each.target !== null))
    )
      return null
    pitches.push(note.midi + shift(n))
  }
  const tones = four.map(({ moment: each }, i) => ({
    bar: 0,
    start: each!.start,
    ticks: each!.ticks,
    midi: pitches[i]!,
  }))
  const steps = stepsFrom(tones, 0, harmony.chords[four[0]!.moment!.chord])
  const cell = steps && cellOf(steps)
  if (cell && cell.count < (draft.heard ?? 0)) return null
  return cell && { name: cell.name, offsets: pitches.map((midi) => midi - pitches[0]!), count: cell.count }
}

/** The degree of a note on a chord: under the chord's own name for it, else the scale's, else as it is spelled. */
export function degreeIn(chord: HarmonyChord | undefined, pitch: Pitch | null): Degree | null {
  if (!chord?.root || !chord.chord || !pitch) return null
  const chroma = modulo(chromaOf(pitch) - chromaOf(chord.root), 12)
  const named = [...chord.chord.degrees, ...(chord.scale?.degrees ?? [])].find(
    (degree) => degreeChroma(degree) === chroma,
  )
  if (named) return named
  const spelled = degreeOf(pitch, chord.root)
  return /^(bb|##)/.test(spelled) ? chromatic[chroma]! : spelled
}

/** A degree as a landing is called: over a chord with a seventh, seconds, fourths and sixths are ninths, elevenths and thirteenths. */
export function landingIn(heard: HarmonyChord | undefined, degree: Degree | null): Degree | null {
  const own = heard?.chord?.degrees ?? []
  if (degree === null || own.includes(degree) || !own.some((each) => numberOf(each) === 7)) return degree
  return degree.replace(/[246]$/, (number) => String(Number(number) + 7)) as Degree
}

/** Degrees by pitch class, where neither chord nor scale has a name for it. */
const chromatic = ['1', 'b2', '2', 'b3', '3', '4', 'b5', '5', 'b6', '6', 'b7', '7'] as const
