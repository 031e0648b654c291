/** The form of a score's measures settled: parts of bars joined, pickups left out, endings carried to their repeats, signs sorted out. */
import type { Problem } from '../../problem.ts'
import { ticksPerBar } from '../../theory/meter.ts'
import type { Mark } from '../chart.ts'
import { plainText } from '../typed/characters.ts'
import { bareLabel } from '../typed/sectionLabel.ts'
import { placedIn, type ScoreMeasure } from './scoreMeasure.ts'

/** Bars one for each measure as written, or as a player counts them: parts of a bar joined, an empty pickup left out. */
export type BarCount = 'written' | 'counted'

const lengthOf = (measure: ScoreMeasure): number => measure.length ?? 0
const isShort = (measure: ScoreMeasure): boolean =>
  lengthOf(measure) > 0 && lengthOf(measure) < ticksPerBar(measure.meter)

/** Measures as a player counts them: the parts of a bar that a repeat sign splits are one, and a pickup without chords is none. */
export function countMeasures(measures: readonly ScoreMeasure[]): readonly ScoreMeasure[] {
  return joinParts(withoutPickup(measures))
}

/** Without a first measure that is shorter than its meter and holds no chords; what it opens, the next opens. */
function withoutPickup(measures: readonly ScoreMeasure[]): readonly ScoreMeasure[] {
  const [first, next, ...rest] = measures
  if (!first || !next || first.chords.length > 0 || !(isShort(first) || first.partial)) return measures
  const marks = first.marks.filter((mark) => mark === 'Segno')
  return [
    {
      ...next,
      key: next.key ?? first.key,
      section: next.section ?? first.section,
      repeatStart: next.repeatStart || first.repeatStart,
      marks: [...marks, ...next.marks],
    },
    ...rest,
  ]
}

/** Two measures that make one bar between them, the second of which says that it is no bar of its own, joined. */
function joinParts(measures: readonly ScoreMeasure[]): readonly ScoreMeasure[] {
  const joined: ScoreMeasure[] = []
  /** A repeat that opens within a bar opens with the next. */
  let opens = false
  for (const each of measures) {
    const measure: ScoreMeasure = opens ? { ...each, repeatStart: true } : each
    opens = false
    const last = joined[joined.length - 1]
    const whole = last && lengthOf(last) + lengthOf(measure) === ticksPerBar(last.meter)
    if (!last || !whole || !isShort(last) || !isShort(measure) || !(last.partial || measure.partial)) {
      joined.push(measure)
      continue
    }
    const moved = measure.chords.map((chord) => ({
      ...chord,
      at: chord.at + lengthOf(last),
    }))
    opens = measure.repeatStart
    joined[joined.length - 1] = {
      ...last,
      length: lengthOf(last) + lengthOf(measure),
      repeatEnd: last.repeatEnd || measure.repeatEnd,
      times: last.times ?? measure.times,
      marks: [...last.marks, ...measure.marks],
      codas: [...(last.codas ?? []), ...(measure.codas ?? [])],
      chords: [...last.chords, ...moved],
    }
  }
  return joined
}

/** Opened repeats that nothing closes before the next opens, left out, and said. */
function withoutOpenRepeats(measures: readonly ScoreMeasure[], problems: Problem[]): readonly ScoreMeasure[] {
  const open = new Set<number>()
  let last = -1
  for (const [i, measure] of measures.entries()) {
    if (measure.repeatStart) {
      if (last >= 0) open.add(last)
      last = i
    }
    if (measure.repeatEnd) last = -1
  }
  if (last >= 0) open.add(last)
  for (const i of open)
    problems.push({
      severity: 'warning',
      code: 'unclosed-repeat',
      span: measures[i]!.span,
      found: placedIn('|:', measures[i]!),
      expected: 'a repeat sign that closes it; played on without',
      hint: ':|',
    })
  return measures.map((measure, i) => (open.has(i) ? { ...measure, repeatStart: false } : measure))
}

const samePasses = (a: readonly number[] | null, b: readonly number[] | null): boolean =>
  a !== null && b !== null && a.length === b.length && a.every((n, i) => n === b[i])

interface Ending {
  readonly passes: readonly number[]
  readonly from: number
  to: number
}

/** The stretches under one bracket. */
function endingsOf(measures: readonly ScoreMeasure[]): readonly Ending[] {
  const endings: Ending[] = []
  for (const [i, { ending, repeatStart }] of measures.entries()) {
    const open = endings[endings.length - 1]
    const goesOn = open && open.to === i - 1 && samePasses(open.passes, ending)
    if (goesOn && !measures[i - 1]!.repeatEnd && !repeatStart) open.to = i
    else if (ending) endings.push({ passes: ending, from: i, to: i })
  }
  return endings
}

/**
 * Endings as they are played: a bracket that closes before its repeat sign goes on to it, one that nothing closes is as long as the
 * one before it, one that the next follows at once repeats, and one alone without a repeat is no ending, which is said.
 */
function settleEndings(measures: readonly ScoreMeasure[], problems: Problem[]): readonly ScoreMeasure[] {
  const settled = measures.map((measure) => ({ ...measure }))
  const endings = endingsOf(measures)
  for (const [e, ending] of endings.entries()) {
    const next = endings[e + 1]
    const before = endings[e - 1]
    const closed = (at: number): boolean => settled[at]!.repeatEnd
    // On to the repeat sign, where one comes before anything else opens.
    let sign = ending.to
    while (sign < settled.length - 1 && !closed(sign) && !settled[sign + 1]!.ending && !settled[sign + 1]!.repeatStart)
      sign++
    const follows = next && next.from === sign + 1 && Math.min(...next.passes) > Math.min(...ending.passes)
    if (!closed(ending.to) && closed(sign) && follows)
      for (; ending.to < sign; ending.to++) settled[ending.to + 1]!.ending = ending.passes
    if (next && next.from === ending.to + 1 && Math.min(...next.passes) > Math.min(...ending.passes))
      settled[ending.to]!.repeatEnd = true
    const last = before && before.to === ending.from - 1 && !closed(ending.to)
    const length = before ? before.to - before.from + 1 : 0
    if (last && settled[ending.to]!.endingOpen && ending.to - ending.from >= length)
      for (; ending.to - ending.from >= length; ending.to--) settled[ending.to]!.ending = null
    const alone = !last && !(next && next.from === ending.to + 1) && !closed(ending.to)
    if (!alone) continue
    problems.push({
      severity: 'warning',
      code: 'unmatched-ending',
      span: measures[ending.from]!.span,
      found: placedIn(`${ending.passes.join(',')}.`, measures[ending.from]!),
      expected: 'an ending of a repeat; played as any bar',
      hint: ':|',
    })
    for (let i = ending.from; i <= ending.to; i++) settled[i]!.ending = null
  }
  return settled
}

/** Coda signs: with several and no `To Coda` the first leaves; the last, where it closes its bar, leads to the next. */
function settleCodas(measures: readonly ScoreMeasure[]): readonly ScoreMeasure[] {
  const marks = measures.map((measure) => new Set(measure.marks))
  const signs = measures.flatMap(({ codas = [] }, bar) => codas.map((place) => ({ place, bar })))
  for (const [bar, measure] of measures.entries())
    if (
      /^coda$/i.test(measure.section ?? '') &&
      !measure.codas?.length &&
      measures[bar - 1]?.section !== measure.section
    )
      signs.push({ place: 'start', bar })
  signs.sort((a, b) => a.bar - b.bar)
  const explicit = marks.some((each) => each.has('To Coda'))
  for (const [i, { place, bar }] of signs.entries()) {
    const leaves = i === 0 && signs.length > 1 && !explicit
    if (leaves) marks[place === 'start' && bar > 0 ? bar - 1 : bar]!.add('To Coda')
    else marks[place === 'end' && marks[bar + 1] ? bar + 1 : bar]!.add('Coda')
  }
  return measures.map((measure, i) => ({ ...measure, marks: [...marks[i]!] }))
}

/** Jumps that lead nowhere: left out, and said. */
function settleJumps(measures: readonly ScoreMeasure[], problems: Problem[]): readonly ScoreMeasure[] {
  const all = new Set(measures.flatMap((measure) => measure.marks))
  const wanted = (mark: Mark): Mark | null =>
    mark.startsWith('D.S.') && !all.has('Segno')
      ? 'Segno'
      : mark.endsWith('al Fine') && !all.has('Fine')
        ? 'Fine'
        : mark.endsWith('al Coda') && !all.has('Coda')
          ? 'Coda'
          : mark.endsWith('al Coda') && !all.has('To Coda')
            ? 'To Coda'
            : null
  return measures.map((measure) => {
    const astray = measure.marks.filter((mark) => mark.startsWith('D.') && wanted(mark))
    for (const mark of astray)
      problems.push({
        severity: 'warning',
        code: 'missing-mark',
        span: measure.span,
        found: placedIn(mark, measure),
        expected: `a ${wanted(mark)}; played on without`,
        hint: wanted(mark)!,
      })
    if (astray.length === 0) return measure
    return {
      ...measure,
      marks: measure.marks.filter((mark) => !astray.includes(mark)),
    }
  })
}

/** A first measure that is short is a pickup: its chords stand at the end of a whole bar. */
function alignPickup(measures: readonly ScoreMeasure[]): readonly ScoreMeasure[] {
  const [first, ...rest] = measures
  if (!first || rest.length === 0 || !isShort(first)) return measures
  const late = ticksPerBar(first.meter) - lengthOf(first)
  const chords = first.chords.map((chord) => ({
    ...chord,
    at: chord.at + late,
  }))
  return [{ ...first, length: ticksPerBar(first.meter), chords }, ...rest]
}

/** The form of a score's measures, settled. */
export const settleForm = (measures: readonly ScoreMeasure[], problems: Problem[]): readonly ScoreMeasure[] =>
  withoutOpenRepeats(settleEndings(settleJumps(settleCodas(alignPickup(measures)), problems), problems), problems)

const longestWords = 120
const longestName = 40

/** Words of a score as a line of a chart can hold them: plain, on one line, without what would read as a header of their own. */
export function plainWords(text: string | null | undefined): string | null {
  // Twice: some signs are made plain to others that are made plain again.
  const words = plainText(plainText(text ?? '').text)
    .text.replace(/[<>{}|]/g, ' ')
    .replace(/&(?=#?\w+;)/g, '+')
    .replace(/\b([A-Za-z]+)\s?[:=]/g, '$1 -')
    .replace(/\s+/g, ' ')
    .trim()
    .slice(0, longestWords)
    .replace(/^[\s*_]+|[\s|,;*_]+$/g, '')
  return words === '' ? null : words
}

/** A rehearsal mark as the name of a section. */
export function sectionName(text: string): string | null {
  const words = plainWords(bareLabel(plainText(text).text.replace(/["[\]*]/g, ' ')))
  const name = bareLabel(
    (words ?? '').slice(0, longestName).replace(/[\s,]*\(?\s?(?:x\s?\d+|\d+\s?(?:x|times))\s?\)?$/i, ''),
  )
  return name === '' ? null : name
}
