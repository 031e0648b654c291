/** What a program hands over of lines and of choices, described field by field. */
import { type Brief, type ChoiceName, checkBrief, choices } from '../brief.ts'
import type { GuideTone } from '../line/guideTones.ts'
import type { Line, LineFigure, LineNote, LineTarget, NoteArticulation } from '../line/line.ts'
import type { Lines } from '../lines/write.ts'
import {
  chart,
  count,
  degree,
  harmony,
  harmonyChord,
  instrument,
  key,
  length,
  pitch,
  problem,
  ticks,
} from './musicShapes.ts'
import {
  astray,
  holding,
  listOf,
  type Misfit,
  maybe,
  oneOf,
  orNull,
  pairOf,
  plainly,
  record,
  type Shape,
  text,
  whole,
  yesOrNo,
} from './shapes.ts'

export const guideTone: Shape<GuideTone> = record('a guide tone', {
  bar: whole(1, 1_000_000),
  start: ticks,
  ticks: length,
  pitch,
  degree,
  chord: count,
})

/** The tones of threads stand in bars that are there. */
export function tonesInBars(threads: readonly (readonly GuideTone[])[], bars: number): Misfit | null {
  for (const [i, thread] of threads.entries()) {
    const misfit = astray(
      thread,
      (at) => `threads[${i}][${at}].bar`,
      (each) => each.bar,
      bars + 1,
      'bar',
    )
    if (misfit) return misfit
  }
  return null
}

const target: Shape<LineTarget> = record('a target', {
  bar: count,
  start: ticks,
  pitch,
  degree,
  chord: count,
  reason: text,
})
export const figure: Shape<LineFigure> = record('a figure', {
  kind: oneOf('approach', 'cell', 'motif'),
  name: text,
  bar: count,
  start: ticks,
  offsets: listOf(whole(-127, 127), 1_000),
  count,
  target: count,
  origin: maybe(record('a place', { bar: count, start: ticks })),
})
export const articulation: Shape<NoteArticulation> = record('an articulation', {
  slur: oneOf('start', 'stop', 'both', 'inside', null),
  accent: yesOrNo,
  short: yesOrNo,
  ghost: yesOrNo,
})
export const role = oneOf('target', 'cell', 'approach', 'connect', 'rest')
const note: Shape<LineNote> = record('a note of a line', {
  bar: count,
  start: ticks,
  ticks: whole(1, 1_000_000),
  pitch: orNull(pitch),
  role,
  degree: orNull(degree),
  figure: orNull(count),
  articulation: maybe(articulation),
})

/** The notes of a line follow each other, stand in bars that are there, and belong to figures that are there. */
function inLine({
  harmony: { bars, chords },
  notes,
  figures,
  targets,
  bars: [from, to],
  ...line
}: Line): Misfit | null {
  if (bars.length === 0)
    return { at: '.harmony.bars', found: bars, expected: 'a bar or more', hint: 'write the line over some changes' }
  if (from > to || to > bars.length)
    return { at: '.bars', found: to, expected: `bars from 1 to ${bars.length}`, hint: 'the first, then the last' }
  const late = notes.findIndex(({ start, ticks: lasting }, i) => i > 0 && start !== endOf(notes[i - 1]!) && lasting > 0)
  if (late >= 0)
    return { at: `.notes[${late}].start`, found: notes[late]!.start, expected: `${endOf(notes[late - 1]!)}`, hint: gap }
  const astrayNote = notes.findIndex(({ bar: number, start }) => {
    const there = bars[Math.max(0, number - 1)]
    return !there || (number === 0 ? start >= 0 : start < there.start || start >= there.start + there.ticks)
  })
  if (astrayNote >= 0)
    return { at: `.notes[${astrayNote}]`, found: notes[astrayNote]!.bar, expected: 'the bar it starts in', hint: gap }
  const last = bars.at(-1)!
  if (notes.length > 0 && endOf(notes.at(-1)!) !== last.start + last.ticks)
    return { at: '.notes', found: endOf(notes.at(-1)!), expected: `to end at ${last.start + last.ticks}`, hint: gap }
  if (line.written && line.written.length !== notes.length)
    return { at: '.written', found: line.written, expected: 'a pitch a note', hint: 'leave it out' }
  const noteAt = (i: number) => `.notes[${i}].figure`
  return (
    astray(notes, noteAt, (each) => each.figure, figures.length, 'figure') ??
    astray(
      targets,
      (i) => `.targets[${i}].chord`,
      (each) => each.chord,
      chords.length,
      'chord',
    ) ??
    astray(
      [...targets, ...figures],
      (i) => (i < targets.length ? `.targets[${i}].bar` : `.figures[${i - targets.length}].bar`),
      (each) => each.bar,
      bars.length + 1,
      'bar',
    ) ??
    astray(
      figures,
      (i) => `.figures[${i}].target`,
      (each) => each.target,
      targets.length + 1,
      'target',
    )
  )
}
const gap = 'let notes follow each other without a gap, rests among them'
const endOf = ({ start, ticks: lasting }: LineNote): number => start + lasting

const leadsTo: Shape<NonNullable<Line['leadsTo']>> = record('where it leads', { pitch, chord: harmonyChord })
const relaxed: Shape<Line['relaxed'][number]> = record('a rule that gave way', { rule: text, bar: count, why: text })
export const line: Shape<Line> = holding(
  record<Line>('a line, as writeLines gives it', {
    key,
    instrument,
    harmony,
    bars: pairOf(whole(1, 1_000_000)),
    targets: listOf(target),
    figures: listOf(figure),
    notes: listOf(note),
    leadsTo: maybe(orNull(leadsTo)),
    written: maybe(listOf(orNull(pitch))),
    relaxed: listOf(relaxed),
  }),
  inLine,
)
export const linesOrNone: Shape<readonly Line[]> = listOf(line, 1_000)
export const lines: Shape<readonly Line[]> = holding(linesOrNone, (value) =>
  value.length > 0
    ? null
    : { at: '', found: value, expected: 'a line or more', hint: 'see the problems of writeLines' },
)

/** A brief whose every choice fits. */
export const brief: Shape<Brief> = {
  expected: 'a brief',
  hint: 'begin with { ...defaultBrief }',
  check: (value) => {
    if (typeof value !== 'object' || value === null)
      return { at: '', found: value, expected: 'a brief', hint: 'begin with { ...defaultBrief }' }
    const [wrong] = checkBrief(value)
    if (!wrong) return null
    if (wrong.code === 'unknown-choice') return { ...wrong, at: '' }
    return { ...wrong, at: `.${wrong.choice}`, found: (value as Readonly<Record<string, unknown>>)[wrong.choice] }
  },
}

/** Some choices of a brief, each of which may be needed or left out. */
export const someChoices = <T extends Partial<Brief>>(
  needed: readonly (keyof T & ChoiceName)[],
  open: readonly (keyof T & ChoiceName)[] = [],
): Shape<T> => {
  const expected = `choices of a brief: ${[...needed, ...open].join(', ')}`
  const hint = 'begin with { ...defaultBrief }'
  return {
    expected,
    hint,
    ...(needed.length === 0 ? { open: true } : {}),
    check: (value) => {
      if (typeof value !== 'object' || value === null) return { at: '', found: value, expected, hint }
      const given = value as Readonly<Record<string, unknown>>
      const asked = [...needed, ...open.filter((name) => given[name] !== undefined)]
      const wrong = asked.find((name) => !choices[name].holds(given[name]))
      if (wrong === undefined) return null
      return { at: `.${wrong}`, found: given[wrong], expected: choices[wrong].expected, hint: choices[wrong].hint }
    },
  }
}

/** Choices as texts, those that were typed. */
export const typedChoices: Shape<Readonly<Record<string, string | undefined>>> = plainly(
  'choices as texts',
  "try { tempo: '120' }",
  (v) =>
    typeof v === 'object' &&
    v !== null &&
    Object.values(v).every((each) => each === undefined || typeof each === 'string'),
)

const choiceName = oneOf(...(Object.keys(choices) as ChoiceName[]))
const choiceProblem: Shape<Lines['choiceProblems'][number]> = {
  expected: problem.expected,
  hint: problem.hint,
  check: (value) => {
    const named = choiceName.check((value as { choice?: unknown } | null)?.choice)
    return problem.check(value) ?? (named && { ...named, at: '.choice' })
  },
}
const anyBrief: Shape<Brief> = plainly(brief.expected, brief.hint, (v) => typeof v === 'object' && v !== null)
/** What `writeLines` gives, whatever the brief was: its problems say what is wrong there. */
export const writtenOrNot: Shape<Lines> = holding(
  record<Lines>('lines, as writeLines gives them', {
    brief: anyBrief,
    chart,
    lines: linesOrNone,
    problems: listOf(problem),
    choiceProblems: listOf(choiceProblem),
  }),
  ({ brief: asked, choiceProblems, problems, lines: all }) => {
    const misfit = choiceProblems.length === 0 || problems.length + all.length > 0 ? brief.check(asked) : null
    return misfit && { ...misfit, at: `.brief${misfit.at}` }
  },
)
