/** From a played line and its harmony to a marked one: every note with its degree and role, targets, approaches and cells named. */

import type { Harmony } from '../harmony/harmony.ts'
import { lastStarted } from '../inOrder.ts'
import { chordIndexAt } from '../line/chooseTargets.ts'
import { approachCount, approachName, cellOf } from '../line/figures.ts'
import { degreeIn, landingIn, reasonFor } from '../line/finishLine.ts'
import type { Line, LineFigure, LineNote, LineTarget, Role } from '../line/line.ts'
import {
  type FoundFigure,
  type FoundTarget,
  isChordTone,
  isInScale,
  recognise,
  stepsFrom,
  type Tone,
} from '../line/recognise.ts'
import { spellNotes } from '../line/spellLine.ts'
import { type Carried, readCarried } from '../score/carriedRoles.ts'
import { type Instrument, instruments } from '../theory/instrument.ts'
import { ticksPerQuarter } from '../theory/meter.ts'
import { type Interval, invert, midiOf, type Pitch, readPitch, transposePitch } from '../theory/pitch.ts'
import type { PlayedLine } from './played.ts'

/** What a person may choose of the marking. */
export interface Marking {
  /** The instrument that reads it; null for the one that the file names, or a part written as the file has it. */
  readonly instrument: Instrument | null
  /** Whether every note is spelled anew, as the chords ask. */
  readonly tidy: boolean
  /** Read by the rules alone, whatever a file of our own says of its notes. */
  readonly byRules: boolean
}

export interface MarkedLine {
  readonly line: Line
  /** The tones in their order, rests included, and what was found among them; the line's notes stand in the same order. */
  readonly tones: readonly Tone[]
  readonly targets: readonly FoundTarget[]
  readonly figures: readonly FoundFigure[]
}

/**
 * Marks a line: targets and figures by the rules of recognition, or, where the file is one of our own that nobody has changed,
 * as they were drawn; a star or a dot that a person put in a text stands.
 */
export function markLine(played: PlayedLine, harmony: Harmony, marking: Marking): MarkedLine {
  const pitches: (Pitch | null)[] = []
  const marks: (string | null)[] = []
  const tones: Tone[] = []
  const put = (start: number, end: number, pitch: Pitch | null, mark: string | null) => {
    tones.push({ bar: barAt(harmony, start), start, ticks: end - start, midi: pitch && midiOf(pitch) })
    pitches.push(pitch)
    marks.push(mark)
  }
  let at = Math.min(0, played.notes[0]?.start ?? 0)
  const restUntil = (end: number) => {
    while (at < end) {
      const bar = harmony.bars[barAt(harmony, at) - 1]
      const stop = Math.min(end, bar ? bar.start + bar.ticks : 0)
      put(at, stop, null, null)
      at = stop
    }
  }
  const last = harmony.bars.at(-1)
  const whole = last ? last.start + last.ticks : 0
  for (const { start, ticks, pitch, mark } of played.notes) {
    if (start >= whole) break
    restUntil(start)
    put(start, Math.min(start + ticks, whole), pitch, mark)
    at = start + ticks
  }
  restUntil(whole)
  const asDrawn = marking.byRules ? null : (fromRoles(tones, played.carried) ?? fromHand(tones, marks))
  const found = asDrawn && believed(tones, harmony, asDrawn)
  const { targets, figures } = found ?? recognise(tones, harmony)
  const tidy = marking.tidy || !played.spelled || found !== null
  const line = finish(played, harmony, marking, tidy ? null : pitches, tones, targets, figures)
  return { line, tones, targets, figures }
}

/** The bar that a tick falls in, from 1; 0 for a pickup. */
const barAt = ({ bars }: Pick<Harmony, 'bars'>, tick: number): number => lastStarted(bars, tick) + 1

/** What the roles of the notes make: each tone's role. */
type Roles = readonly (Carried & { readonly sure: boolean })[]

function fromRoles(tones: readonly Tone[], carried: string | null): Roles | null {
  const sounding = tones.flatMap(({ start, midi }) => (midi === null ? [] : [{ start, midi }]))
  const roles = readCarried(carried, sounding)
  if (!roles) return null
  let next = 0
  return tones.map(({ midi }) => ({ ...(midi === null ? { role: 'rest' as const } : roles[next++]!), sure: true }))
}

/** The marks of a text, which says targets and approaches; its cells are those that the rules find beside them. */
function fromHand(tones: readonly Tone[], marks: readonly (string | null)[]): Roles | null {
  if (!marks.includes('target')) return null
  return tones.map(({ midi }, i) => {
    const mark = marks[i]
    return { role: midi === null ? 'rest' : mark === 'target' || mark === 'approach' ? mark : 'connect', sure: false }
  })
}

/** Targets and figures from roles, where every target that a person marked is a note of its chord or scale; null where somebody has changed them. */
function believed(
  tones: readonly Tone[],
  harmony: Harmony,
  roles: Roles,
): { readonly targets: readonly FoundTarget[]; readonly figures: readonly FoundFigure[] } | null {
  const targets: FoundTarget[] = []
  const figures: FoundFigure[] = []
  const roleAt = (tone: number) => roles[tone]?.role
  for (const [tone, { role, early = false, sure }] of roles.entries()) {
    if (role !== 'target') continue
    const sounds = chordIndexAt(harmony, tones[tone]!.start)
    const chord = sure ? sounds + (early ? 1 : 0) : landedOn(tones[tone]!, harmony)
    const heard = harmony.chords[chord]
    if (!heard) return null
    const target = targets.push({ tone, chord, by: 'strong' }) - 1
    let from = tone
    while (roleAt(from - 1) === 'approach') from--
    if (from < tone) figures.push({ kind: 'approach', target, from, notes: tone - from })
    const free = [1, 2, 3].every((n) => roleAt(tone + n) === 'cell' || roleAt(tone + n) === 'connect')
    const steps = free ? stepsFrom(tones, tone, heard) : null
    const cell = steps && cellOf(steps)
    if (cell) figures.push({ kind: 'cell', target, from: tone, notes: 4, cell })
  }
  return { targets, figures }
}

/** The chord that a target belongs to: the one that it comes early for, where it lasts until that enters, else the one that sounds; -1 for none. */
function landedOn({ start, ticks, midi }: Tone, harmony: Harmony): number {
  const { chords } = harmony
  const chord = chordIndexAt(harmony, start)
  const next = chords[chord + 1]
  const near = next !== undefined && next.start - start <= ticksPerQuarter
  if (near && start + ticks >= next.start && isChordTone(next, midi!)) return chord + 1
  if (chords[chord] && isInScale(chords[chord], midi!)) return chord
  return near && isInScale(next, midi!) ? chord + 1 : -1
}

function finish(
  played: PlayedLine,
  harmony: Harmony,
  marking: Marking,
  kept: readonly (Pitch | null)[] | null,
  tones: readonly Tone[],
  found: readonly FoundTarget[],
  figures: readonly FoundFigure[],
): Line {
  const roles: Role[] = tones.map(({ midi }) => (midi === null ? 'rest' : 'connect'))
  const figureOf: (number | null)[] = tones.map(() => null)
  for (const [f, { kind, from, notes }] of figures.entries())
    for (let i = from; i < from + notes; i++) {
      roles[i] = kind
      figureOf[i] = f
    }
  const targetOf = new Map(found.map(({ tone }, t) => [tone, t]))
  const chordOf = tones.map(({ start }) => Math.max(0, chordIndexAt(harmony, start)))
  for (const { tone, chord } of found) {
    roles[tone] = 'target'
    chordOf[tone] = chord
  }
  const spelled =
    kept ??
    spellNotes(
      tones.map(({ bar, midi }, i) => ({ bar: Math.max(1, bar), midi, role: roles[i]!, chord: chordOf[i]! })),
      harmony,
      { spelling: 'easy' },
    )
  const notes = tones.map(({ bar, start, ticks }, i): LineNote => {
    const heard = harmony.chords[chordOf[i]!]
    const pitch = spelled[i] ?? null
    const own = degreeIn(heard, pitch)
    return {
      bar,
      start,
      ticks,
      pitch,
      role: roles[i]!,
      degree: targetOf.has(i) ? landingIn(heard, own) : own,
      figure: figureOf[i]!,
    }
  })
  let before: number | null = null
  const targets = found.map(({ tone, chord }): LineTarget => {
    const { bar, start, pitch, degree } = notes[tone]!
    const midi = tones[tone]!.midi!
    const reason = reasonFor(before === null ? null : midi - before, degree ?? '1', harmony.chords[chord]!.symbol)
    before = midi
    return { bar, start, pitch: pitch!, degree: degree ?? '1', chord, reason }
  })
  const instrument = marking.instrument ?? instrumentFor(played, tones)
  const samePart = sameInterval(instrument.transposition, played.transposition)
  const up = invert(played.transposition)
  const written = kept && samePart ? { written: kept.map((pitch) => pitch && transposePitch(pitch, up)) } : {}
  return {
    key: harmony.key,
    instrument,
    harmony,
    bars: [1, harmony.bars.length],
    targets,
    figures: figures.map((figure) => nameFigure(figure, tones, found)),
    notes,
    relaxed: [],
    ...written,
  }
}

function nameFigure(figure: FoundFigure, tones: readonly Tone[], found: readonly FoundTarget[]): LineFigure {
  const { from, notes, target } = figure
  const { bar, start } = tones[from]!
  const goal = tones[found[target]!.tone]!.midi!
  const offsets = tones.slice(from, from + notes).map(({ midi }) => midi! - goal)
  return figure.kind === 'cell'
    ? { kind: 'cell', name: figure.cell.name, bar, start, offsets, count: figure.cell.count, target }
    : { kind: 'approach', name: approachName(offsets), bar, start, offsets, count: approachCount(offsets), target }
}

const sameInterval = (a: Interval, b: Interval): boolean => a.semitones === b.semitones

/** The instrument that a file names; else one that is written so and sounds so; else a part of no instrument, written as it is. */
function instrumentFor({ name, program, transposition }: PlayedLine, tones: readonly Tone[]): Instrument {
  const named = instruments.find((each) => each.name.toLowerCase() === name?.toLowerCase())
  if (named) return named
  const alike = instruments.filter((each) => sameInterval(each.transposition, transposition))
  const played = alike.find((each) => each.program === program)
  if (played) return played
  if (transposition.semitones % 12 !== 0 && alike[0]) return alike[0]
  const midis = tones.flatMap(({ midi }) => (midi === null ? [] : [midi - transposition.semitones]))
  const middle = midis.reduce((sum, midi) => sum + midi, 0) / Math.max(1, midis.length)
  const range = [readPitch('C2')!, readPitch('C7')!] as const
  return {
    id: 'as-written',
    name: name ?? 'Part',
    family: 'woodwind',
    group: middle < 57 ? 'bass clef' : 'C',
    clef: middle < 57 ? 'bass' : 'treble',
    transposition,
    range,
    comfortable: range,
    program: program ?? 73,
  }
}
