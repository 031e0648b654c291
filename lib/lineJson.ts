/** Lines and guide tones in the shape that other programs rely on. */
import { type Brief, choiceNames, choices, writeBrief } from './brief.ts'
import { type ProblemJson, problemJson } from './changes/chartJson.ts'
import { split } from './choices/reader.ts'
import { markFingerings } from './line/fingerLine.ts'
import type { Thread } from './line/guideTones.ts'
import type { Line } from './line/line.ts'
import type { Lines } from './lines/write.ts'
import { writtenPitches } from './score/layScore.ts'
import { tonesOf } from './theory/chord.ts'
import { keyName } from './theory/key.ts'
import { meterName, ticksPerQuarter } from './theory/meter.ts'
import { midiOf, nameOf, type Pitch } from './theory/pitch.ts'

const nameOrNull = (pitch: Pitch | null) => pitch && nameOf(pitch)
const quarters = (ticks: number): number => ticks / ticksPerQuarter

/** A choice as JSON: numbers, yes and no, texts and lists as they are; keys, pitches and ranges by their names. */
type ChoiceJson = string | number | boolean | null | readonly string[]

/** Every choice of a brief, defaults included. */
export function briefJson(brief: Brief): Readonly<Record<keyof Brief, ChoiceJson>> {
  const plain = <K extends keyof Brief>(name: K): ChoiceJson => {
    const value: unknown = brief[name]
    const { text, holds, list } = choices[name]
    if (!holds(value) || value === null || ['string', 'number', 'boolean'].includes(typeof value))
      return value as ChoiceJson
    const texts = Array.isArray(value) && value.every((each) => typeof each === 'string')
    return texts ? (value as readonly string[]) : list ? split(text(brief[name])) : text(brief[name])
  }
  return Object.fromEntries(choiceNames.map((name) => [name, plain(name)])) as Record<keyof Brief, ChoiceJson>
}

/** The lines of a brief as the `line` command prints them. `typed` gives choices as the person wrote them, to place their problems in. */
export function linesJson(written: Lines, typed: Readonly<Record<string, string | undefined>> = {}) {
  const textOf = <K extends keyof Brief>(name: K): string => {
    const { text, holds } = choices[name]
    return typed[name] ?? (holds(written.brief[name]) ? text(written.brief[name]) : '')
  }
  return {
    brief: briefJson(written.brief),
    lines: written.lines.map((line) => lineJson(line, written.brief)),
    relaxed: written.lines.flatMap((line) => line.relaxed.map((each) => ({ key: keyName(line.key), ...each }))),
    problems: [
      ...written.problems.map((problem) => problemJson(written.brief.changes, problem)),
      ...written.choiceProblems.map((problem) => problemJson(textOf(problem.choice), problem)),
    ],
  }
}

/** A line by itself. A pickup's notes have bar 0, their beats those of the bar it would fill. */
export function lineJson(line: Line, brief: Brief) {
  const { harmony, instrument } = line
  const [from, to] = line.bars
  // A pickup stands in bar 0, whose beats are counted like those of bar 1.
  const inside = ({ bar }: { readonly bar: number }) => (bar >= from || (bar === 0 && from === 1)) && bar <= to
  const place = ({ bar, start }: { readonly bar: number; readonly start: number }) => {
    const first = harmony.bars[0]!
    const opens = bar === 0 ? first.start - first.ticks : harmony.bars[bar - 1]!.start
    return { bar, beat: 1 + quarters(start - opens) }
  }
  const originOf = ({ bar, start }: { readonly bar: number; readonly start: number }) => ({
    bar,
    beat: 1 + quarters(start - harmony.bars[bar - 1]!.start),
  })
  const figures = line.figures.map((figure, index) => ({ figure, index })).filter(({ figure }) => inside(figure))
  const written = new Map(writtenPitches(line, brief).map((pitch, i) => [line.notes[i]!, pitch]))
  const fingerings =
    brief.fingering === 'none'
      ? null
      : new Map(markFingerings(line, brief).map((mark, i) => [line.notes[i]!, mark?.text ?? null]))
  const numbers = new Map(figures.map(({ index }, n) => [index, n]))
  return {
    key: keyName(line.key),
    instrument: instrument.id,
    meter: meterName(harmony.bars[0]?.meter ?? { beats: 4, unit: 4 }),
    chords: harmony.chords.filter(inside).map((chord) => ({
      ...place(chord),
      beats: quarters(chord.ticks),
      symbol: chord.symbol,
      root: chord.root && nameOf(chord.root),
      tones: chord.root && chord.chord ? tonesOf(chord.root, chord.chord).map(nameOf) : [],
      bass: chord.bass && nameOf(chord.bass),
      localKey: chord.localKey && keyName(chord.localKey),
      function: chord.function,
      scale: chord.scale ? chord.scale.notes.map(nameOf) : [],
      scaleName: chord.scale?.name ?? null,
      reason: chord.reason,
    })),
    targets: line.targets.filter(inside).map((target) => ({
      ...place(target),
      pitch: nameOf(target.pitch),
      midi: midiOf(target.pitch),
      degree: target.degree,
      reason: target.reason,
    })),
    figures: figures.map(({ figure }) => ({
      kind: figure.kind,
      name: figure.name,
      ...place(figure),
      offsets: figure.offsets,
      count: figure.count,
      ...(figure.origin ? { origin: originOf(figure.origin) } : {}),
    })),
    notes: line.notes.filter(inside).map((note) => ({
      ...place(note),
      beats: quarters(note.ticks),
      pitch: note.pitch && nameOf(note.pitch),
      midi: note.pitch && midiOf(note.pitch),
      written: nameOrNull(written.get(note) ?? null),
      role: note.role,
      degree: note.degree,
      figure: note.figure === null ? null : (numbers.get(note.figure) ?? null),
      ...(note.articulation ? { articulation: note.articulation } : {}),
      ...(fingerings === null ? {} : { fingering: fingerings.get(note) ?? null }),
    })),
  }
}

/** The threads as the `guide-tones` command prints them. */
export function guideTonesJson(
  threads: readonly Thread[],
  bars: readonly { readonly start: number }[],
  problems: readonly ProblemJson[],
) {
  return {
    threads: threads.map((thread) =>
      thread.map(({ bar, start, pitch, degree }) => ({
        bar,
        beat: 1 + quarters(start - bars[bar - 1]!.start),
        pitch: nameOf(pitch),
        midi: midiOf(pitch),
        degree,
      })),
    ),
    problems,
  }
}

/** A brief written shortest, for a link. */
export const briefLink = (brief: Brief): string => new URLSearchParams(writeBrief(brief)).toString()
